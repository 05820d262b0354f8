"""Millivolts across a seated fuse told in amperes, beside what the model expects there."""

from __future__ import annotations

import math

from model.plans.plan import PlanRow
from model.words import amps_text


def expected_amps(row: PlanRow) -> float:
    """Give the amperes that a sound loom drives through the fuse of a row."""
    return 0.0 if row.fuse is None or row.expect is None else row.fuse.amps(row.expect)


def means_words(row: PlanRow, millivolts: float) -> str:
    """Say what millivolts across a fuse are in amperes, with the band; empty of any other row."""
    if row.fuse is None or not math.isfinite(millivolts):
        return ""
    size = abs(millivolts)
    least, most = row.fuse.span_amps(size)
    about = f"about {amps_text(row.fuse.amps(size))}, between {amps_text(least)} and {amps_text(most)}"
    return f"; that is {about}, and {amps_text(expected_amps(row))} is expected"
