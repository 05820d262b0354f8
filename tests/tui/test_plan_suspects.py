"""The plan of insulation on the screen: what fits a bad reading stands below its verdict."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from model.plans.plan import PlanKind
from tests.tui.on_screen import screen_text, until
from tests.tui.planned import listing, plan_of, ready, type_in
from tui.app import FusewalkApp
from tui.screens.dialog import MessageDialog
from tui.widgets.rows import RowList


async def open_insulation(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Open the insulation plan from the list, and mark the row behind F1."""
    await pilot.press("down", "enter")
    await ready(app, pilot)
    assert plan_of(app).kind is PlanKind.INSULATION
    app.screen.query_one(RowList).mark_key("group F1.out")
    await pilot.pause()


def said(app: FusewalkApp) -> str:
    """Return the screen as one line."""
    return " ".join(screen_text(app).split())


async def test_a_bad_reading_names_what_fits_it(tmp_path: Path) -> None:
    """20 mΩ behind F1: W2 through to the body, from the fuse box; the same in the message that shows all."""
    async with listing(tmp_path, (120, 40)) as (app, pilot):
        await open_insulation(app, pilot)
        await type_in(app, pilot, "0.02")
        await until(pilot, lambda: "group F1.out" in plan_of(app).suspects, 3000)
        await pilot.pause()
        assert "W2" in said(app)
        assert "through to the body" in said(app)
        assert "fuse box" in said(app)
        app.screen.query_one(RowList).mark_key("group F1.out")
        await pilot.pause()
        await pilot.press("a")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog), 3000)
        assert "through to the body" in said(app)


async def test_what_is_taken_back_has_no_suspects(tmp_path: Path) -> None:
    """The answer goes, and what fitted it goes with it."""
    async with listing(tmp_path, (120, 40)) as (app, pilot):
        await open_insulation(app, pilot)
        await type_in(app, pilot, "0.02")
        await until(pilot, lambda: "group F1.out" in plan_of(app).suspects, 3000)
        await pilot.press("u")
        await pilot.pause()
        assert plan_of(app).suspects == {}
