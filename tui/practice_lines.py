"""Practice in plain sentences: the person types, the vehicle answers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TextIO

from model.circuit.condition import Condition, require_point
from model.errors import AnswerError, ArgumentError, FusewalkError
from model.harness.harness import Harness
from model.harness.points import all_points
from model.harness.supply import grounded_posts
from model.tracing.answer_words import outcome_words
from model.tracing.checks import Check, CheckKind
from model.tracing.practice import Practice
from model.words import clean, nearest, plural
from tui.line_input import LineInput
from tui.line_out import wrapped
from tui.practice_words import (
    VEHICLE_WORDS,
    asked_sentence,
    compared_sentences,
    hypothesis_words,
    made_words,
    named_as_typed,
    offer_words,
    offers_by_place,
    seed_sentence,
    told_complaint,
    verdict_sentences,
    wrong_sentence,
)

RIGHT, NOT_RIGHT = 0, 1
LISTED_AT_MOST = 400

HELP = (
    "list: the checks that are offered, by place; list and a word: those that have it. A number makes that check.",
    "A point, K7.30: volts from there to the grounded post; two points, K7.30 K7.87: volts between them; with key "
    "and a key state behind, K7.30 key off.",
    "it is W9, or it is W9 open: names what is wrong; a wrong name is counted, and another may follow. suspects, "
    "suspects and a word: what may be named.",
    "made: the readings so far. hint: the next best check, which is counted. again: the complaint. give up: ends.",
)


def run_practice(practice: Practice, answers: LineInput, out: TextIO) -> int:
    """Run a practice to its end.

    Returns
    -------
    int
        0 where the fault was named right, or nothing was named; 1 where it was named wrong alone or given up.
    """
    _say(out, [*told_complaint(practice), VEHICLE_WORDS, _offer(practice), "Type ? for what else there is to type."])
    while practice.verdict is None:
        try:
            line = answers.read()
            if line is None:
                named = "the fault" if practice.wrong_names else "anything"
                _say(out, [f"The input ended before {named} was named.", seed_sentence(practice)])
                return NOT_RIGHT if practice.wrong_names else RIGHT
            _say(out, answer_lines(practice, line))
        except FusewalkError as error:
            _say(out, [clean(str(error), 500)])
    _say(out, verdict_sentences(practice, practice.verdict))
    out.flush()
    _say(out, [*compared_sentences(practice, practice.planned()), seed_sentence(practice)])
    return RIGHT if practice.verdict.is_right else NOT_RIGHT


def answer_lines(practice: Practice, typed: str) -> Iterator[str]:
    """Do what was typed, and say what came of it.

    Raises
    ------
    AnswerError, ArgumentError
        Where it is nothing that can be done.
    """
    words = typed.split()
    folded = [word.casefold() for word in words]
    match folded:
        case []:
            yield "Type the number of a check, a point, or ? for help."
        case ["?" | "help"]:
            yield from HELP
        case ["again"]:
            yield from told_complaint(practice)
        case ["made" | "readings"]:
            yield from _made(practice)
        case ["hint"]:
            yield _hint(practice)
        case ["why"]:
            yield "That would spoil it. hint tells the next best check."
        case ["list", *wanted]:
            yield from _list(practice, wanted)
        case ["suspects", *wanted]:
            yield from _suspects(practice, wanted)
        case ["give", "up"] | ["stop" | "quit"]:
            practice.give_up()
        case ["it", "is", _, *_] | ["it's", _, *_]:
            rest = words[2:] if folded[0] == "it" else words[1:]
            verdict = practice.name(named_as_typed(practice, " ".join(rest)))
            if not verdict.is_right:
                yield wrong_sentence(practice, verdict)
        case _:
            yield from _make(practice, _check_typed(practice, words))


def _make(practice: Practice, check: Check) -> Iterator[str]:
    made = practice.make(check)
    yield from (f"Caution: {caution}" for caution in practice.cautions(check))
    yield asked_sentence(practice, check)
    yield f"{_sentence(outcome_words(check, made.outcome))}."
    yield f"{plural(practice.steps, 'check')}, about {plural(round(practice.minutes), 'minute')} so far."


def _check_typed(practice: Practice, words: list[str]) -> Check:
    """Read the number of an offered check, or one or two points with or without a key state."""
    if len(words) == 1 and words[0].isascii() and words[0].isdigit():
        number = int(words[0][:9])
        if not 1 <= number <= len(practice.offered):
            raise AnswerError(f"There is no check {number}.", do=f"There are 1 to {len(practice.offered)}: list.")
        return practice.offered[number - 1]
    points, condition = _with_key(practice, words)
    if not 1 <= len(points) <= 2:
        raise AnswerError(f"“{clean(' '.join(words), 40)}” is not understood.", do="Type ? for what can be typed.")
    return point_check(practice.harness, condition, *points)


def point_check(harness: Harness, condition: Condition, red: str, black: str = "") -> Check:
    """Give the volts check at a point, against the grounded post where no other is said.

    Raises
    ------
    ArgumentError
        Where there is no such point.
    """
    black_point = _point(harness, black) if black else grounded_posts(harness)[0]
    return Check(CheckKind.VOLTS, condition, red=_point(harness, red), black=black_point)


def _point(harness: Harness, typed: str) -> str:
    """Give the point that was typed, capitals or not."""
    folded = typed.casefold()
    named = next((name for name in all_points(harness) if name.casefold() == folded), typed)
    return require_point(harness, named).name


def _with_key(practice: Practice, words: list[str]) -> tuple[list[str], Condition]:
    folded = [word.casefold() for word in words]
    if "key" not in folded:
        return words, practice.condition
    place = folded.index("key")
    typed = " ".join(folded[place + 1 :])
    keys = {key.casefold(): key for key in practice.harness.key_names}
    if typed not in keys:
        near = nearest(typed, practice.harness.key_names)
        listed = ", ".join(clean(key, 40) for key in practice.harness.key_names)
        raise ArgumentError(
            f"There is no key state “{clean(typed, 40)}”.",
            do=f"Did you mean {clean(near, 40)}?" if near else f"There are: {listed}.",
        )
    return words[:place], practice.condition.at_key(keys[typed])


def _list(practice: Practice, wanted: list[str]) -> Iterator[str]:
    count = 0
    for place, numbers in offers_by_place(practice).items():
        named = [(number, offer_words(practice, number)) for number in numbers]
        shown = [one for one in named if all(word in f"{place} {one[1]}".casefold() for word in wanted)]
        if shown:
            yield f"{_sentence(place)}:"
            yield from (f"{number + 1}. {words}" for number, words in shown)
            count += len(shown)
    if not count:
        yield "No check that is offered has that word."


def _suspects(practice: Practice, wanted: list[str]) -> Iterator[str]:
    named = [(one.site, hypothesis_words(practice.harness, one)) for one in practice.suspects]
    shown = [words for site, words in named if all(word in f"{site} {words}".casefold() for word in wanted)]
    yield from (f"{_sentence(words)}." for words in shown[:LISTED_AT_MOST])
    if not shown:
        yield "No suspect has that word."


def _made(practice: Practice) -> Iterator[str]:
    if not practice.made:
        yield "Nothing has been read yet."
    yield from (f"{one.step}. {made_words(practice, one)}." for one in practice.made)


def _hint(practice: Practice) -> str:
    check = practice.hint()
    if check is None:
        return "Enough has been read: name what is wrong."
    number = practice.offered.index(check) + 1 if check in practice.offered else 0
    asked = asked_sentence(practice, check)
    return f"{number}. {asked}" if number else asked


def _offer(practice: Practice) -> str:
    places = len(offers_by_place(practice))
    checks, at = plural(len(practice.offered), "check"), plural(places, "place")
    return f"{checks} at {at} can be made: list shows them. Any other point can be measured by its name."


def _say(out: TextIO, sentences: Iterable[str]) -> None:
    for sentence in sentences:
        out.write(f"{wrapped(sentence, out)}\n")
    out.flush()


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
