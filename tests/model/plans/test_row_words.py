"""Rows of a plan in words: what the file gives that is outside its own limit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model.plans.plan import Limit, Measure
from model.plans.row_words import outside_words
from model.tables import SourceKind
from tests.model.plan_rows import ROWS


@pytest.mark.parametrize(
    ("expect", "low", "high", "said"),
    [
        (2.7, None, 2.2, "over the limit of 2.20 V"),
        (-2.7, None, 2.2, "over the limit of 2.20 V"),
        (2.1, None, 2.2, ""),
        (6.33, 6.9, 7.4, "under the limit of 6.90 V"),
        (-0.23, -0.1, 0.1, "further from 0 than the limit of -0.10 V"),
        (-6.33, -7.4, -6.9, "nearer 0 than the limit of -6.90 V"),
        (-7.0, -7.4, -6.9, ""),
        (None, None, 2.2, ""),
    ],
)
def test_a_sound_reading_outside_its_limit_is_said(
    expect: float | None, low: float | None, high: float | None, said: str
) -> None:
    """With a high side alone the sign does not count; on a positive ground it is told from zero."""
    limit = Limit(low, high, "a judgement", SourceKind.JUDGEMENT)
    row = replace(ROWS[3], measure=Measure.VOLTS, expect=expect, limit=limit)
    assert outside_words(row, limit) == said
    assert outside_words(row, limit, "") == said.partition(" the limit")[0] + (" that" if said else "")
