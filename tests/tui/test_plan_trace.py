"""From a bad row to a trace that opens with its reading, and back to the plan: the record goes with them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.plans.plan import PlanKind
from model.record import read_record
from model.tracing.asking import Also
from tests.model.plan_rows import ROWS
from tests.tui.builds import LAMP, build, opened
from tests.tui.on_screen import screen_text, until
from tests.tui.planned import listed, made_by_hand, marked_key, plan_of, planning, ready, type_in
from tui.screens.dialog import MessageDialog
from tui.screens.plan import PlanScreen
from tui.screens.plans import PlansScreen
from tui.screens.trace import TraceScreen


async def test_a_bad_row_opens_a_trace_with_its_reading_weighed(tmp_path: Path) -> None:
    """W3 of the lamp reads open: t traces the lamp, the reading stands as its first answer, the record has both.

    Esc leads back to the plan, which takes answers again.
    """
    path = build(tmp_path, LAMP)
    async with opened(path) as (app, pilot):
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen), 3000)
        await listed(app, pilot)
        await pilot.press("enter")
        await ready(app, pilot)
        plan_of(app).go_to("W3")
        await pilot.pause()
        await pilot.press("t")
        await pilot.pause()
        assert "A trace starts from a row that is bad." in screen_text(app)
        await type_in(app, pilot, "OL")
        plan_of(app).go_to("W3")
        await pilot.pause()
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None, 3000)
        await pilot.pause()
        assert isinstance(app.screen, TraceScreen)
        seen = app.screen.seen
        assert seen is not None
        assert seen.complaint.loads == ("E1:load",)
        assert isinstance(seen.last, Also)
        assert seen.answers[0].check.red == "S1.2"
        assert seen.unkept == ""
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlanScreen))
        await ready(app, pilot)
        assert marked_key(app) == "W3"
        assert plan_of(app).keeper.held_words == ""
        await pilot.press("home")
        await type_in(app, pilot, "0.1")
    entries = read_record(path).entries
    assert [entry.kind for entry in entries] == ["measured", "trace", "reading", "measured"]
    assert {entry.plan for entry in entries if entry.kind == "measured"} == {PlanKind.CONTINUITY}


async def test_where_no_load_shows_it_no_trace_opens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """6 A asked and 60 read at a fuse that no load names: it says what to do in place of a trace."""
    made_by_hand(monkeypatch, (replace(ROWS[5], key="amps"),))
    async with planning(tmp_path) as (app, pilot, _):
        await type_in(app, pilot, "60")
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog), 3000)
        await pilot.pause()
        assert "No trace helps here." in screen_text(app)
        assert "More flows than should" in screen_text(app)
