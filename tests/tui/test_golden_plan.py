"""What stands on the screens of a plan, sign for sign, at three sizes; the plan is made by hand, no time passes.

``UPDATE_GOLDEN=1`` writes the files anew; what has changed is then read in the difference.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.events import Resize

from tests.tui.on_screen import until
from tests.tui.planned import listed, made_by_hand, planning, type_in, written
from tests.tui.test_golden import SIZES, check
from tui.screens.plan_record import RecordScreen
from tui.screens.plans import PlansScreen
from tui.widgets.rows import RowList


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_a_plan_from_its_first_row_to_the_list(
    size: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first row with all cautions, a verdict with why beside a reading half typed, the record, and the list."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path, size) as (app, pilot, _):
        check(app, "plan")
        await type_in(app, pilot, "0.31", "0.2", "4.7k")
        await pilot.press("s", "enter")
        await written(app, pilot)
        await pilot.press("up", "up", "2", "full_stop", "5")
        rows = app.screen.query_one(RowList)
        # how far the list had scrolled before depends on the order in which the window was laid out
        rows.scroll_to(y=0, animate=False, force=True)
        rows.on_resize(Resize(rows.size, rows.virtual_size))
        await pilot.pause()
        check(app, "plan_answered")
        await pilot.press("escape", "r")
        await until(pilot, lambda: isinstance(app.screen, RecordScreen) and bool(app.screen.shown.entries))
        await pilot.press("up")
        await pilot.pause()
        check(app, "plan_record")
        await pilot.press("escape", "escape")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))
        await listed(app, pilot)
        check(app, "plans")
