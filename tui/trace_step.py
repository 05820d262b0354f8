"""The step of a trace in words, from what is asked; the words themselves are the model's."""

from __future__ import annotations

from model.circuit.survey import LoadState
from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.points import all_points
from model.harness.supply import grounded_posts
from model.tracing.answer_words import expect_words, number_words, outcome_words, prompt_words
from model.tracing.asking import Answered, Question
from model.tracing.blown_fuses import blown_fuses, left_words, renewed_words
from model.tracing.check_words import CheckLine, LineName, check_lines, check_part
from model.tracing.checks import MEASURED, Check, CheckKind
from model.tracing.names import part_name, point_name
from model.tracing.rows import ToldWalk
from model.words import nearest
from tui.trace_layout import Named, TraceStep, step_sentences
from tui.trace_run import Seen, element_named

_DOES = {
    CheckKind.LISTEN: "listen to",
    CheckKind.LOOK: "look at",
    CheckKind.LAMP: "test lamp at",
    CheckKind.BRIDGE: "bridge from",
    CheckKind.SWAP: "swap",
    CheckKind.NEW_FUSE: "new fuse in",
}


def question_step(seen: Seen, question: Question) -> TraceStep:
    """Return the step of a question: at most eight lines, then why it is asked and what it costs."""
    harness, check = seen.harness, question.check
    words = left_words if isinstance(seen.now, Question) else renewed_words
    besides = words(harness, check, blown_fuses(harness, seen.complaint, seen.answers))
    told = check_lines(
        harness,
        check,
        seen.complaint.loads,
        is_on=_is_on(seen.told, check),
        besides=besides,
        healthy=question.healthy,
    )
    moving: list[Named] = [("move", question.moving)] if question.moving else []
    expect = _expect(harness, question)
    after: list[Named] = [("why", question.why)] if question.why else []
    after += [("cost", f"{minutes_words(question.minutes)} from here")]
    return TraceStep(check_title(harness, check), question.cautions, (*_merged(told), *moving, *expect), tuple(after))


def check_title(harness: Harness, check: Check) -> str:
    """Name a check in a few words: ``volts at K7 (Fuel pump) pin 30, wire side``.

    The black lead is named where it does not lie on a grounded post.
    """
    match check.kind:
        case CheckKind.VOLTS | CheckKind.LAMP if check.red and check.black in grounded_posts(harness):
            return f"{_does(check)} {point_name(harness, check.red)}"
        case CheckKind.VOLTS | CheckKind.LAMP if check.red:
            does = _does(check).removesuffix(" at")
            return f"{does} between {point_name(harness, check.red)} and {point_name(harness, check.black)}"
        case CheckKind.DROP | CheckKind.OHMS | CheckKind.BRIDGE:
            does = "from" if check.kind is CheckKind.BRIDGE else "between"
            word = str(check.kind)
            joins = "to" if check.kind is CheckKind.BRIDGE else "and"
            return f"{word} {does} {point_name(harness, check.red)} {joins} {point_name(harness, check.black)}"
        case CheckKind.OBSERVE:
            return f"see whether {element_named(harness, [check.load])} works"
    return f"{_does(check)} {part_name(harness, check_part(check))}"


def answer_title(harness: Harness, answered: Answered) -> str:
    """Return an answer in one line: the check and what came of it."""
    return f"{check_title(harness, answered.check)}: {outcome_words(answered.check, answered.outcome)}"


def minutes_words(minutes: float) -> str:
    """Say how long something takes, to a half minute under two."""
    if minutes < 0.75:
        return "half a minute"
    if minutes < 1.75:
        return "1 minute" if minutes < 1.25 else "1.5 minutes"
    return f"{minutes:.0f} minutes"


def step_text(seen: Seen, question: Question) -> str:
    """Return the step and the answers so far as text, for the clipboard or a file."""
    head = f"{seen.harness.build.name}: {doing_words(seen)}"
    told = step_sentences(question_step(seen, question))
    answers = [f"{place}. {answer_title(seen.harness, one)}" for place, one in enumerate(seen.answers, 1)]
    return "\n".join([head, "", *told, *(["", "Answers so far:", *answers] if answers else [])]) + "\n"


def doing_words(seen: Seen) -> str:
    """Say what is traced and how far: ``fuel pump dead, check 3, about 4 min``."""
    name = element_named(seen.harness, seen.complaint.loads)
    what = f"{name} {symptom_words(str(seen.complaint.symptom))}"
    if not isinstance(seen.now, Question):
        return f"{what}, ended"
    so_far = f", {seen.minutes:.0f} min so far" if seen.minutes >= 1 else ""
    part = f" reading {seen.now.reading} of {seen.now.of}" if seen.now.of > 1 else ""
    return f"{what}, check {seen.now.step}{part}{so_far}"


def symptom_words(symptom: str) -> str:
    """Return a symptom as it is said: ``stays on``."""
    return symptom.replace("-", " ")


def choices_of(check: Check) -> tuple[str, ...]:
    """Return the answers that are given with one key, in words; none of a check answered with a number."""
    return tuple(one.words for one in prompt_words(check.kind))


def big_words(seen: Seen, question: Question) -> list[str]:
    """Return the few words of a step that are drawn big: probes, what to expect, the key."""
    check = question.check
    where = [f"red {check.red}", f"black {check.black}"] if check.red else [check_title(seen.harness, check)]
    expect = [words for _, words in _expect(seen.harness, question)]
    if check.kind in MEASURED and question.low is not None and question.high is not None:
        expect = [_short(expect_words(seen.harness, check, question.low, question.high).partition(" (")[0])]
    return [*where, *expect, f"key {check.condition.key}"]


def _short(band: str) -> str:
    """Name the unit of a band once."""
    low, _, high = band.partition(" to ")
    unit = high.rpartition(" ")[2]
    return f"{low.removesuffix(unit).rstrip()} to {high}" if high else band


def point_typed(harness: Harness, typed: str) -> str:
    """Read the point that was typed.

    Raises
    ------
    ArgumentError
        Where there is no such point, naming the nearest.
    """
    points = all_points(harness)
    found = next((name for name in points if name.casefold() == typed.strip().casefold()), None)
    if found is not None:
        refusal = may_be_probed(harness, found)
        if refusal is not None:
            raise ArgumentError(f"{found} is never probed.", do=refusal.reason)
        return found
    near = nearest(typed, points)
    raise ArgumentError(f"There is no point “{typed}”.", do=f"Did you mean {near}?" if near else "Choose with Down.")


def suggested_check(seen: Seen, question: Question, point: str) -> Check:
    """Return the volts check at a point that was not asked for, in the condition the vehicle is in now."""
    asked = question.check
    condition = asked.condition if asked.kind is not CheckKind.OHMS else seen.condition
    black = seen.told.walk.black if seen.told is not None else asked.black
    if asked.kind is CheckKind.VOLTS and asked.black:
        black = asked.black
    return Check(CheckKind.VOLTS, condition, red=point, black=black)


def _is_on(told: ToldWalk | None, check: Check) -> bool | None:
    if told is None or told.condition != check.condition:
        return None
    return told.load.reading[check.condition.key].state in (LoadState.WORKS, LoadState.WEAK)


def _merged(lines: tuple[CheckLine, ...]) -> list[Named]:
    """Put key and settings into one line: seven lines are all there is room for."""
    words = {line.name: line.words for line in lines}
    named: list[Named] = []
    for name in LineName:
        match name:
            case LineName.SET:
                continue
            case LineName.KEY:
                said = ", ".join(words[one] for one in (LineName.KEY, LineName.SET) if one in words)
                named += [("set", said)] if said else []
            case _:
                named += [(str(name), words[name])] if name in words else []
    return named


def _expect(harness: Harness, question: Question) -> list[Named]:
    check = question.check
    if check.kind not in MEASURED:
        return [("expect", question.healthy_words)] if question.healthy_words else []
    if question.low is None or question.high is None:
        return [("expect", question.healthy_words or "nothing holds this point: any reading")]
    band = expect_words(harness, check, question.low, question.high)
    healthy = "" if question.healthy is None else f"{number_words(check.kind, question.healthy)}, "
    return [("expect", f"{healthy}good {band}")]


def _does(check: Check) -> str:
    return _DOES.get(check.kind, f"{check.kind} at")
