"""What a reading says of its row, and why: the value against the limit, with the limit's source."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from model.plans.plan import Limit, Measure, PlanRow
from model.plans.row_words import limit_words, value_words
from model.tables import SourceKind
from model.words import amps_text


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

    A row that could not have failed is never good: it stays unproven. A reading on the wrong side of a limit is bad
    all the same.
    """
    if taken.said is Standing.SKIPPED:
        return Verdict(Standing.SKIPPED, "Skipped: it stays open in the record.")
    if taken.said is Standing.BAD:
        return Verdict(Standing.BAD, "Said to be bad.")
    if taken.value is None:
        return _unless_blind(row, "Said to be good; no value was given.")
    limit = limit_at(row, taken.amps)
    read = value_words(row, taken.value)
    if row.measure is Measure.MILLIVOLTS and (taken.amps or row.amps):
        read = f"{read} at {amps_text(taken.amps or row.amps or 0.0)}"
    if limit is None:
        return _unless_blind(row, f"{read}; the row has no limit.")
    fits = _is_within(taken.value, limit)
    why = f"{read}, {'within' if fits else 'outside'} {limit_words(row, limit)}. {source_words(limit)}"
    return _unless_blind(row, why) if fits else Verdict(Standing.BAD, why)


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
    said = f"Limit: {limit.source}{'' if mark[2:] == limit.source else mark}."
    return f"{said} Computed from {limit.computed_from}." if limit.computed_from else said


def _is_within(value: float, limit: Limit) -> bool:
    if math.isnan(value):
        return False
    return (limit.low is None or value >= limit.low) and (limit.high is None or value <= limit.high)


def _unless_blind(row: PlanRow, why: str) -> Verdict:
    if row.tells:
        return Verdict(Standing.GOOD, why)
    return Verdict(Standing.UNPROVEN, f"{why} The row could not have failed: {row.blind}")
