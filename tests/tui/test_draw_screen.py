"""A draw on the screen: a bad fuse says where to look, in its row, under a and t, and on the review before all else."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.model.plan_rows import WHEN
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.planned import plan_of, ready, type_in, written
from tests.tui.reviewed import reviewing
from tests.tui.test_draw_command import LOOM
from tui.app import FusewalkApp
from tui.review_making import ReviewKind
from tui.screens.dialog import MessageDialog
from tui.screens.draw import DrawScreen
from tui.widgets.rows import RowList


@asynccontextmanager
async def drawing(directory: Path) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any]]]:
    """Open the draw of a unit behind F1 and a horn behind F2, at 80 columns and 24 lines."""
    path = directory / "small.toml"
    path.write_text(LOOM, encoding="utf-8")
    async with reviewing(path, ReviewKind.DRAW) as (app, pilot):
        await until(pilot, lambda: isinstance(app.screen, DrawScreen))
        yield app, pilot


def said(app: FusewalkApp) -> str:
    """Return the screen as one line."""
    return " ".join(screen_text(app).split())


async def message(app: FusewalkApp, pilot: Pilot[Any], key: str) -> str:
    """Return what the message says that a key brings up, and leave it."""
    await pilot.press(key)
    await until(pilot, lambda: isinstance(app.screen, MessageDialog), 3000)
    assert isinstance(app.screen, MessageDialog)
    words = " ".join(app.screen.sentences)
    await pilot.press("escape")
    await at_rest(pilot)
    return words


@pytest.mark.slow
async def test_a_bad_fuse_says_where_to_look_everywhere(tmp_path: Path) -> None:
    """3.3 mV on F2: its relay in the verdict, whole under a, named under t, first on the review; so on again."""
    async with drawing(tmp_path) as (app, pilot):
        assert "nothing measured" in said(app)
        assert "Where to look next" not in said(app)
        await pilot.press("enter")
        await ready(app, pilot)
        app.screen.query_one(RowList).mark_key("fuse F2")
        await pilot.pause()
        await type_in(app, pilot, "3.3")
        await until(pilot, lambda: "fuse F2" in plan_of(app).suspects, 3000)
        await pilot.pause()
        shown = said(app)
        assert "Behind F2 hang K1 (Horn relay) and P1 (Horn): take them apart one by one." in shown
        assert "a: all of it" in shown
        app.screen.query_one(RowList).mark_key("fuse F1")
        await pilot.pause()
        app.screen.query_one(RowList).mark_key("fuse F2")
        await pilot.pause()
        for key in ("a", "t", "a"):
            told = await message(app, pilot, key)
            assert "K1 (Horn relay), box" in told, key
        await pilot.press("escape")
        await at_rest(pilot)
        if not isinstance(app.screen, DrawScreen):
            await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, DrawScreen), 3000)
        await until(pilot, lambda: "Where to look next" in said(app), 3000)
    async with drawing(tmp_path) as (app, pilot):
        await until(pilot, lambda: "Where to look next" in said(app), 3000)
        shown = said(app)
        assert shown.index("Where to look next") < shown.index("look here next") < shown.index("Computed from")
        assert "look here next" in await message(app, pilot, "a")


@pytest.mark.slow
async def test_what_was_read_of_the_whole_stands_on_the_review(tmp_path: Path) -> None:
    """22 mA asleep are within the limit: the days at that, and that the search may stop."""
    async with drawing(tmp_path) as (app, pilot):
        await pilot.press("enter")
        await ready(app, pilot)
        app.screen.query_one(RowList).mark_key("draw asleep G1")
        await pilot.pause()
        await type_in(app, pilot, "22 mA")
    async with drawing(tmp_path) as (app, pilot):
        await until(pilot, lambda: "22 mA read on" in said(app), 3000)
        assert "the search may stop here" in said(app)
        assert "nothing measured" not in said(app)


@pytest.mark.slow
async def test_the_clock_of_the_wait_goes_on_the_screen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Woken: the clock runs anew since then; good too early is unproven; the meter in once more opens the wait."""
    minutes = count()
    monkeypatch.setattr("tui.plan_keeper.now", lambda: WHEN + timedelta(minutes=next(minutes)))
    async with drawing(tmp_path) as (app, pilot):
        await pilot.press("enter")
        await ready(app, pilot)
        stood = []
        for key, word in (("meter in G1", "g"), ("wait G1", "b"), ("wait G1", "g"), ("meter in G1", "g")):
            app.screen.query_one(RowList).mark_key(key)
            await pilot.pause()
            await pilot.press(word, "enter")
            await written(app, pilot)
            wait = plan_of(app).kept.get("wait G1")
            stood.append("open" if wait is None else f"{wait.verdict.standing}: {wait.verdict.why}")
        assert stood[0] == stood[3] == "open"
        assert stood[1].startswith("bad: Something woke")
        assert stood[2].startswith("unproven: Said at ")
