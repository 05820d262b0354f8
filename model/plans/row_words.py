"""Rows of a plan in words: values, expectations and limits, as a person reads them."""

from __future__ import annotations

import math

from model.plans.plan import Limit, Measure, PlanRow
from model.words import amps_text, clean, drop_text, ohms_text, volts_text

OUTSIDE_BY_FILE = "Already by its file the sound loom is outside the limit here: better that first."
"""What is to be done before a row whose sound reading is bad."""

_OPEN_WORDS = "open"


def titled(words: str) -> str:
    """Give words as the title of a row, whole, with a capital."""
    return clean(words[:1].upper() + words[1:])


def value_words(row: PlanRow, value: float) -> str:
    """Say a value of a row with its unit: ``0.24 Ω``, ``open``, ``12.36 V``, ``35 mV``."""
    if math.isinf(value):
        return _OPEN_WORDS
    match row.measure:
        case Measure.OHMS | Measure.APART:
            return ohms_text(value)
        case Measure.MILLIVOLTS:
            return drop_text(value / 1000)
        case Measure.AMPS:
            return amps_text(value)
        case Measure.LAMP:
            return drop_text(value)
    return f"{volts_text(value)} V"


def expect_words(row: PlanRow) -> str:
    """Say what a sound loom shows in a row: its words where it has some, else the value; empty where it has neither."""
    if row.expect_words:
        return row.expect_words
    return "" if row.expect is None else value_words(row, row.expect)


def outside_words(row: PlanRow, limit: Limit, beside: str = "the limit of ") -> str:
    """Say that the sound loom of the file is outside a limit: ``over the limit of 2.2 mV``; empty where it is within.

    Parameters
    ----------
    limit
        Of the row, as it holds for what is expected. Where it has a high side alone the sign does not count.
    beside
        What stands before the limit; where it is empty the limit is ``that``.
    """
    if row.expect is None or math.isinf(row.expect):
        return ""
    expect = abs(row.expect) if limit.low is None else row.expect
    is_below_zero = expect < 0
    if limit.high is not None and expect > limit.high:
        word, side = "nearer 0 than" if is_below_zero else "over", limit.high
    elif limit.low is not None and expect < limit.low:
        word, side = "further from 0 than" if is_below_zero else "under", limit.low
    else:
        return ""
    return f"{word} {beside}{value_words(row, side)}" if beside else f"{word} that"


def limit_words(row: PlanRow, limit: Limit) -> str:
    """Say between what a reading is good: ``at most 0.45 Ω``, ``at least 100 kΩ``, ``11.8 V to 12.6 V``."""
    if limit.low is None and limit.high is None:
        return "no limit"
    if limit.low is None:
        return f"at most {value_words(row, limit.high or 0.0)}"
    if limit.high is None:
        return f"at least {value_words(row, limit.low)}"
    return f"{value_words(row, limit.low)} to {value_words(row, limit.high)}"
