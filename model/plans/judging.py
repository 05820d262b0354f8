"""What a reading says of its row, and why: the value against the limit, with the limit's source."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from model.circuit.bands import WIRE_TOLERANCE
from model.plans.draw_words import coarse_words, means_words
from model.plans.limits import high_of
from model.plans.plan import Limit, Measure, PlanRow
from model.plans.row_words import limit_words, value_words
from model.tables import SourceKind
from model.words import amps_text

LEAST_AMPS_SHARE = 0.1
LEAST_EXPECTED_SHARE = 0.3
TELLING_MILLIVOLTS = 1.0
"""Ten digits of a hand meter's lowest range; this and the shares are judgement."""


_AS_DRAWN = "Nothing is broken there: it is what the loom gives as its file draws it, and more than the limit."


_BELOW_NOTHING = (
    "no conductor has less than nothing. Zero the leads again, see that no volts stand on it, and read again."
)


class Standing(StrEnum):
    """How a row stands."""

    OPEN = "open"
    GOOD = "good"
    BAD = "bad"
    SKIPPED = "skipped"
    UNPROVEN = "unproven"
    """Answered, but the row could not have failed."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What was read in a row, or said of it.

    Attributes
    ----------
    value
        In the unit of the row, infinite where open; None where it was said.
    said
        ``GOOD``, ``BAD`` or ``SKIPPED`` where nothing was measured.
    amps
        Of millivolts the amperes that flowed; None where they were those of the row.
    """

    value: float | None = None
    said: Standing | None = None
    amps: float | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What comes of a reading.

    Attributes
    ----------
    why
        One or two sentences: the value, the limit with its source, what it was computed from.
    """

    standing: Standing
    why: str


def judge(row: PlanRow, taken: Taken) -> Verdict:
    """Judge what was read in a row, or said of it.

    A row that could not have failed is never good: it stays unproven, and so do millivolts where no current can have
    flowed, and ohms further below nothing than a meter is off by. A reading on the wrong side of a limit is bad all the
    same, unless it is what the file itself draws.
    """
    if taken.said is Standing.SKIPPED:
        return Verdict(Standing.SKIPPED, "Skipped: it stays open in the record.")
    if taken.said is Standing.BAD:
        return Verdict(Standing.BAD, "Said to be bad.")
    if taken.value is None:
        return _unless_blind(row, "Said to be good; no value was given.")
    if _is_below_nothing(row, taken.value):
        return Verdict(Standing.UNPROVEN, f"{value_words(row, taken.value)}: {_BELOW_NOTHING}")
    limit = limit_at(row, taken.amps)
    read = value_words(row, taken.value)
    if row.measure is Measure.MILLIVOLTS and (taken.amps or row.amps):
        read = f"{read} at {amps_text(taken.amps or row.amps or 0.0)}"
    if limit is None:
        return _unless_blind(row, f"{read}; the row has no limit.")
    is_good = fits(row, taken.value, limit)
    held = f"{read}, {'within' if is_good else 'outside'} {limit_words(row, limit)}"
    why = f"{held}{means_words(row, taken.value)}. {source_words(limit)}"
    if is_good:
        nothing = _nothing_flowed(row, taken)
        return Verdict(Standing.UNPROVEN, f"{nothing} {why}") if nothing else _unless_blind(row, why)
    if _is_as_drawn(row, taken, limit):
        return Verdict(Standing.UNPROVEN, f"{_AS_DRAWN} {why}")
    return Verdict(Standing.BAD, why)


def _is_as_drawn(row: PlanRow, taken: Taken, limit: Limit) -> bool:
    """Tell whether a reading outside its limit is what the sound loom, by its file, reads there."""
    if taken.value is None or not row.expect or not math.isfinite(row.expect):
        return False
    share = taken.amps / row.amps if row.measure is Measure.MILLIVOLTS and taken.amps and row.amps else 1.0
    expect = row.expect * share
    off = abs(abs(taken.value) - abs(expect)) if limit.low is None else abs(taken.value - expect)
    return not fits(row, expect, limit) and off <= WIRE_TOLERANCE * abs(expect)


def fits(row: PlanRow, value: float, limit: Limit | None = None) -> bool:
    """Tell whether a value lies within the limit of its row.

    A row with a high limit alone takes the value without its sign: probes the wrong way round make no broken ground
    good. Ohms a little under nothing, as far as a meter is off by with its leads zeroed badly, are none; further under
    they are no reading, and never good.

    Parameters
    ----------
    limit
        In place of the row's own.
    """
    limit = limit or row.limit
    if limit is None:
        return True
    if math.isnan(value):
        return False
    if row.measure in (Measure.OHMS, Measure.APART):
        if _is_below_nothing(row, value):
            return False
        value = max(value, 0.0)
    elif limit.low is None:
        value = abs(value)
    return (limit.low is None or value >= limit.low) and (limit.high is None or value <= limit.high)


def _is_below_nothing(row: PlanRow, value: float) -> bool:
    """Tell whether ohms are further below nothing than the digits of a meter."""
    return row.measure in (Measure.OHMS, Measure.APART) and value < -high_of("ohmmeter digits")


def _nothing_flowed(row: PlanRow, taken: Taken) -> str:
    """Say why millivolts tell nothing: too few amperes flowed, or hardly any millivolts stand where some must."""
    if row.measure is not Measure.MILLIVOLTS or not row.amps or taken.value is None:
        return ""
    amps = row.amps if taken.amps is None else taken.amps
    if amps < LEAST_AMPS_SHARE * row.amps:
        return f"So few amperes tell nothing: drive about {amps_text(row.amps)}."
    expect = (row.expect or 0.0) * amps / row.amps
    if expect >= TELLING_MILLIVOLTS and abs(taken.value) < LEAST_EXPECTED_SHARE * expect:
        return (
            f"It is far too little for {value_words(row, expect)}: no current flowed, or both probes stand on one "
            "piece of metal. Read it again."
        )
    return ""


def limit_at(row: PlanRow, amps: float | None) -> Limit | None:
    """Give the limit of a row at the amperes that flowed: millivolts go with them."""
    limit = row.limit
    if limit is None or row.measure is not Measure.MILLIVOLTS or not amps or not row.amps:
        return limit
    share = amps / row.amps
    low = None if limit.low is None else limit.low * share
    high = None if limit.high is None else limit.high * share
    return Limit(low, high, limit.source, limit.source_kind, limit.computed_from)


def source_words(limit: Limit) -> str:
    """Say where a limit comes from, and what it was computed from."""
    marks = {
        SourceKind.PUBLISHED: "",
        SourceKind.COMMON_PRACTICE: ", common practice",
        SourceKind.FROM_MEMORY: ", from memory",
        SourceKind.JUDGEMENT: ", a judgement",
    }
    mark = marks[limit.source_kind]
    is_said = mark[2:].removeprefix("common ") in limit.source
    said = f"Limit: {limit.source}{'' if is_said else mark}."
    return f"{said} Computed from {limit.computed_from}." if limit.computed_from else said


def _unless_blind(row: PlanRow, why: str) -> Verdict:
    if row.tells:
        return Verdict(Standing.GOOD, why)
    coarse = coarse_words(row)
    cannot = f"It is {coarse}" if coarse else "The row could not have failed"
    return Verdict(Standing.UNPROVEN, f"{cannot}: {row.blind} {why}")
