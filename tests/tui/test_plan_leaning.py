"""A row of a plan that leans on what was read in another: its band on the screen, and its verdict."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.plans.plan import Leaning, Limit, Measure
from model.tables import SourceKind
from tests.model.plan_rows import ROWS
from tests.tui.planned import made_by_hand, measured_in, plan_of, planning, type_in
from tui.widgets.rows import RowList

WIDE = Limit(11.6, 13.7, "computed", SourceKind.JUDGEMENT)
AT_REST = replace(ROWS[5], key="rest", title="posts, off", measure=Measure.VOLTS, expect=12.7, limit=WIDE)
FURTHER = replace(
    AT_REST, key="further", title="posts, on", expect=12.6, leans=Leaning("rest", 12.7, 0.2, "at the posts", "meter")
)


async def test_what_was_read_at_rest_narrows_the_next_key_state(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """12.60 V at rest where 12.70 are expected: 12.50 with the key on, 0.2 V either way, so that 12.00 is bad."""
    made_by_hand(monkeypatch, (AT_REST, FURTHER))
    async with planning(tmp_path, (120, 40)) as (app, pilot, path):
        await type_in(app, pilot, "12.60")
        step = plan_of(app).step
        assert step is not None
        assert "12.30 V to 12.70 V" in dict(step.lines)["expect"]
        assert any("12.30 V to 12.70 V" in row.content.plain for row in app.screen.query_one(RowList).rows)
        await type_in(app, pilot, "12.00")
        assert [(one.row, one.verdict) for one in measured_in(path)] == [("rest", "good"), ("further", "bad")]
        assert measured_in(path)[1].low == pytest.approx(12.3)
