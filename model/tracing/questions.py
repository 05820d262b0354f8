"""A check as it is asked: what the sound circuit shows, what each outcome leaves, and why it comes now."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from model.caution_words import CAUTIONS, Caution, CautionKind
from model.cautions import cautions_for
from model.circuit.arrays import FloatArray
from model.circuit.bands import Bands
from model.circuit.condition import Condition
from model.errors import CircuitError
from model.harness.parts import Battery
from model.harness.points import points_of
from model.tracing.answer_words import outcome_words
from model.tracing.asking import Outlook, Question
from model.tracing.belief import Belief
from model.tracing.blown_fuses import as_it_stands, blown_fuses
from model.tracing.check_words import moving_words
from model.tracing.checks import MEASURED, WORDS_OF, Check, CheckKind, Outcome, Word, measured, seen
from model.tracing.complaint import Symptom
from model.tracing.inquiry import Inquiry
from model.tracing.marks import suspects_left
from model.tracing.noticing import Noticed, noticed
from model.tracing.off_way import off_way_words
from model.tracing.reasons import why_sentence
from model.tracing.suspects import Suspect
from model.units import SHOWN_OPEN_OHMS
from model.words import volts_text

_SHOWN_SHARE = 0.01
_LIKELY_SHARE = 0.02


@dataclass(frozen=True, slots=True)
class Healthy:
    """What the sound circuit shows of a check: a number with its band, or words."""

    value: float | None = None
    low: float | None = None
    high: float | None = None
    words: str = ""


def question_of(
    inquiry: Inquiry,
    belief: Belief,
    check: Check,
    *,
    minutes: float,
    step: int,
    reading: tuple[int, int] = (1, 1),
    before: str = "",
) -> Question:
    """Ask a check.

    Parameters
    ----------
    minutes
        What it costs from where one stands.
    reading
        Which reading of the step it is, and of how many.
    before
        A sentence that stands before the reason: why it is asked again.
    """
    blown = blown_fuses(inquiry.harness, inquiry.complaint, belief.answers)
    healthy = healthy_of(inquiry, belief, as_it_stands(inquiry.harness, check, blown))
    outlooks = outlooks_of(belief, check)
    suspects = suspects_of(belief)
    why = why_sentence(inquiry.harness, outlooks, suspects_left(belief.hypotheses(), _SHOWN_SHARE), check)
    off_way = off_way_words(inquiry, check)
    key = check.condition.key
    posts_read = belief.known.posts_volts.get(key)
    return Question(
        step=step,
        reading=reading[0],
        of=reading[1],
        check=check,
        healthy=healthy.value,
        low=healthy.low,
        high=healthy.high,
        healthy_words=healthy.words,
        why=" ".join(one for one in (before, why, off_way) if one),
        minutes=minutes,
        cautions=cautions_of(inquiry, check),
        suspects=suspects,
        outlooks=outlooks,
        posts_volts=posts_read if posts_read is not None else _posts(inquiry, check.condition),
        posts_read=posts_read is not None,
        off_way=off_way,
        moving=moving_words(check.kind) if inquiry.complaint.symptom is Symptom.COMES_AND_GOES else "",
    )


def suspects_of(belief: Belief, most: int = 50) -> tuple[Suspect, ...]:
    """List the hypotheses that are in play, the likeliest first."""
    shares = belief.hypotheses()
    found: list[Suspect] = []
    for place in np.argsort(-shares, kind="stable").tolist()[:most]:
        one = belief.field.hypotheses[place]
        if shares[place] >= _SHOWN_SHARE or not found:
            found.append(Suspect(one.site, one.fault, one.partner, float(shares[place])))
    return tuple(found)


def healthy_of(inquiry: Inquiry, belief: Belief, check: Check) -> Healthy:
    """Give what the sound circuit shows of a check, with the band of a good reading."""
    if check.kind in (CheckKind.VOLTS, CheckKind.DROP):
        return _healthy_volts(inquiry, belief, check)
    if check.kind in MEASURED:
        numbers, _ = belief.foresight.of_sound.exact_numbers(check, belief.known)
        if not np.isfinite(numbers.sound) or numbers.sound > 1e8:
            return Healthy(words="open")
        half = 2.0 * numbers.sound_sigma
        return Healthy(numbers.sound, max(numbers.sound - half, 0.0), numbers.sound + half)
    return Healthy(words=_healthy_word(belief, check))


def _healthy_volts(inquiry: Inquiry, belief: Belief, check: Check) -> Healthy:
    posts_read = belief.known.posts_volts.get(check.condition.key)
    settled = inquiry.bench.survey(check.condition).settled
    if posts_read is not None:
        try:
            settled = inquiry.bench.survey(replace(check.condition, posts_volts=posts_read)).settled
        except CircuitError:
            posts_read = None
    red, black = (settled.net.index[point] for point in (check.red, check.black))
    if {red, black} & settled.floating:
        return Healthy(words="floating")
    if {red, black} & settled.unsettled:
        return Healthy(words="unsettled")
    band = Bands(settled).at(red, black, across_joint=check.kind is CheckKind.DROP)
    return Healthy(band.volts, band.low, band.high)


def _healthy_word(belief: Belief, check: Check) -> str:
    match check.kind:
        case CheckKind.LOOK:
            return "good"
        case CheckKind.BRIDGE | CheckKind.SWAP:
            return "not cured"
    sound = belief.foresight.of_sound.sound_word(check)
    if check.kind is CheckKind.LAMP and check.part and sound is not None:
        volts, most_volts = belief.foresight.fuse_lamp_volts(check)
        return f"{sound}, about {volts_text(volts)} V across it; {volts_text(most_volts)} V with a short behind it"
    return "" if sound is None else str(sound)


def outlooks_of(belief: Belief, check: Check) -> tuple[Outlook, ...]:
    """List what could come of a check, the likeliest first, with how many suspects each would leave."""
    shares = belief.foresight.shares(check, belief.known)
    outcomes = _outcomes(belief, check, shares)
    together: dict[str, FloatArray] = {}
    each: dict[str, Outcome] = {}
    for outcome, likelihood in zip(outcomes, shares, strict=True):
        word = _near(check, outcome)
        together[word] = together[word] + likelihood if word in together else likelihood
        each.setdefault(word, outcome)
    likely = {word: float(likelihood @ belief.rows) for word, likelihood in together.items()}
    found = [
        Outlook(word, likely[word], _left(belief, likelihood), each[word])
        for word, likelihood in together.items()
        if likely[word] >= _LIKELY_SHARE and not _is_said_of_none(belief, check, each[word])
    ]
    return tuple(sorted(found, key=lambda one: -one.likely))


def _is_said_of_none(belief: Belief, check: Check, outcome: Outcome) -> bool:
    """Tell whether a word is none that is said of such a load: a motor or a horn does not glow."""
    is_heard = check.kind is CheckKind.OBSERVE and noticed(belief.foresight.bench.harness, check.load) is Noticed.HEARD
    return is_heard and outcome.word is Word.GLOWS


def _left(belief: Belief, likelihood: FloatArray) -> int:
    """Count those in play that would still be: what an answer brings back besides is told once it is given."""
    after = belief.rows * likelihood
    by_hypothesis = belief.field.by_hypothesis(after / after.sum())
    return suspects_left(by_hypothesis[belief.hypotheses() >= _SHOWN_SHARE], _SHOWN_SHARE)


def _outcomes(belief: Belief, check: Check, shares: FloatArray) -> list[Outcome]:
    """Give the words of a check, or the middle of what each bin of its numbers holds."""
    if check.kind not in MEASURED:
        return [seen(word) for word in WORDS_OF[check.kind]]
    numbers, rows = belief.foresight.numbers(check, belief.known)
    finite = np.clip(np.nan_to_num(numbers.predicted, posinf=SHOWN_OPEN_OHMS), -SHOWN_OPEN_OHMS, SHOWN_OPEN_OHMS)
    predicted = rows.of_variants(finite)[1:]
    weights = belief.rows[: belief.field.solved]
    middles = [_weighted_median(predicted, weights * outcome[: belief.field.solved]) for outcome in shares]
    return [measured(math.inf if middle >= SHOWN_OPEN_OHMS else middle) for middle in middles]


def _near(check: Check, outcome: Outcome) -> str:
    words = outcome_words(check, outcome)
    is_number = check.kind in MEASURED and not math.isinf(outcome.value)
    return f"near {words}" if is_number else words


def _weighted_median(values: FloatArray, weights: FloatArray) -> float:
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weights[order])
    return float(values[order[int(np.searchsorted(reached, 0.5 * reached[-1]))]])


def cautions_of(inquiry: Inquiry, check: Check) -> tuple[str, ...]:
    """Give the cautions that stand before a check, the gravest first, as full sentences."""
    points = list(check.points)
    for name in (check.part, check.load.partition(":")[0], check.other):
        part = inquiry.harness.parts.get(name)
        if part is not None and check.kind is not CheckKind.OBSERVE:
            points += [point.name for point in points_of(part)]
    found = list(cautions_for(inquiry.harness, points, check.condition))
    found += [one for one in _load_cautions(inquiry, check) if one not in found]
    if check.kind is CheckKind.BRIDGE and _ends_on_posts(inquiry, check):
        found.append(CAUTIONS[CautionKind.BATTERY_GAS])
    if check.kind is CheckKind.OHMS:
        found += [CAUTIONS[kind] for kind in (CautionKind.BATTERY_ORDER, CautionKind.POWER_OFF)]
    if check.kind is CheckKind.NEW_FUSE or (check.kind is CheckKind.LAMP and check.part):
        found.append(CAUTIONS[CautionKind.FUSE_RATING])
    return tuple(dict.fromkeys(caution.text for caution in found))


def _ends_on_posts(inquiry: Inquiry, check: Check) -> bool:
    """Tell whether a clip of a bridge, which may spark, is put on a lead battery."""
    parts = (inquiry.harness.parts.get(point.partition(".")[0]) for point in check.points)
    return any(isinstance(part, Battery) and part.chemistry == "lead" for part in parts)


def _load_cautions(inquiry: Inquiry, check: Check) -> list[Caution]:
    """Give the caution of what may start to move, wherever the probes are: the load complained of, switched on."""
    names = [name.partition(":")[0] for name in inquiry.complaint.loads]
    parts = [inquiry.harness.parts[name] for name in names if name in inquiry.harness.parts]
    points = [point.name for part in parts for point in points_of(part)]
    is_on = check.condition == inquiry.condition and check.kind not in (CheckKind.OHMS, CheckKind.LOOK)
    cautions = cautions_for(inquiry.harness, points, check.condition) if is_on else ()
    return [caution for caution in cautions if caution.kind is CautionKind.MOTION]


def _posts(inquiry: Inquiry, condition: Condition) -> float:
    return abs(inquiry.bench.survey(condition).settled.posts_volts)
