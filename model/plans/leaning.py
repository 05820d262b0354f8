"""A row that leans on another: what was read there shifts what is expected here, and narrows its limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from model.plans.limits import COMPUTED
from model.plans.plan import Limit, Measure, PlanRow
from model.tables import SourceKind
from model.words import volts_text

if TYPE_CHECKING:
    from model.plans.kept import Kept


def as_read(row: PlanRow, kept: Mapping[str, Kept]) -> PlanRow:
    """Give a row with what it expects by what was read where it leans; as it is where nothing of use was.

    Parameters
    ----------
    kept
        The answers of its plan by the keys of their rows.
    """
    leaning = row.leans
    answer = None if leaning is None else kept.get(leaning.key)
    if leaning is None or row.expect is None or row.measure is not Measure.VOLTS:
        return row
    if answer is None or answer.taken.value is None or answer.taken.value * leaning.volts <= 0.0:
        return row
    read_volts = answer.taken.value
    expect_volts = row.expect + read_volts - leaning.volts
    read = f"{volts_text(read_volts)} V read {leaning.words}, {answer.entry.when:%d %b %H:%M}"
    words = f"{read}, and what this key state draws; {leaning.computed_from}"
    limit = Limit(
        expect_volts - leaning.half_volts, expect_volts + leaning.half_volts, COMPUTED, SourceKind.JUDGEMENT, words
    )
    return replace(row, expect=round(expect_volts, 4), expect_words="", limit=limit)
