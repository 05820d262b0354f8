"""Millivolts across a seated fuse told in amperes, beside what the model expects there."""

from __future__ import annotations

import math

from model.plans.plan import PlanRow
from model.words import amps_text


def expected_amps(row: PlanRow) -> float:
    """Give the amperes that a sound loom drives through the fuse of a row."""
    return 0.0 if row.fuse is None or row.expect is None else row.fuse.amps(row.expect)


def coarse_words(row: PlanRow) -> str:
    """Say below how many amperes a fuse shows nothing that counts; empty of a row that tells, or is of no fuse."""
    high = None if row.limit is None else row.limit.high
    if row.tells or row.fuse is None or high is None:
        return ""
    return f"too coarse below {amps_text(row.fuse.amps(high))}"


def means_words(row: PlanRow, millivolts: float) -> str:
    """Say what millivolts across a fuse are in amperes, with the band; empty of any other row."""
    if row.fuse is None or not math.isfinite(millivolts):
        return ""
    size = abs(millivolts)
    least, most = row.fuse.span_amps(size)
    about = f"about {amps_text(row.fuse.amps(size))}, between {amps_text(least)} and {amps_text(most)}"
    return f"; that is {about}, and {amps_text(expected_amps(row))} is expected"
