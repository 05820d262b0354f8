"""Keys that come in one bunch, as over a slow link: each does what it does after the one before it."""

from pathlib import Path
from typing import Any

import pytest
from textual.events import Key
from textual.pilot import Pilot

from model.record_entries import Reading, TakenBack
from tests.tui.on_screen import until
from tests.tui.planned import entries_in, made_by_hand, marked_key, measured_in, planning, written
from tests.tui.traced import entries_of, free, scripted, trace_of, tracing
from tui.app import FusewalkApp
from tui.widgets.rows import RowList

NAMES = {".": "full_stop", "\r": "enter"}


async def bunch(app: FusewalkApp, pilot: Pilot[Any], *keys: str) -> None:
    """Send keys without waiting for what any of them does."""
    for key in keys:
        app.post_message(Key(NAMES.get(key, key), key if len(key) == 1 else None))
    await pilot.pause()


async def test_a_number_behind_a_move_is_for_the_row_moved_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Down and a reading in one bunch: the reading stands in the second row, the first is open still."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, path):
        rows = [row.key for row in app.screen.query_one(RowList).rows if row.can_be_marked]
        assert marked_key(app) == rows[0]
        await bunch(app, pilot, "down", *"0.3\r")
        await until(pilot, lambda: len(measured_in(path)) == 1)
        assert measured_in(path)[0].row == rows[1]


async def test_a_number_behind_a_taking_back_is_taken_after_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reading, the key that takes it back, and another reading in one bunch: they are kept in that order."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, path):
        await bunch(app, pilot, *"0.3\r", "up", "u", *"0.2\r")
        await until(pilot, lambda: len(entries_in(path)) == 3)
        await written(app, pilot)
        assert [isinstance(entry, TakenBack) for entry in entries_in(path)] == [False, True, False]
        assert [entry.ohms for entry in measured_in(path)] == [0.3, 0.2]


async def test_a_reading_behind_a_move_is_for_the_point_moved_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a trace the number goes to the marked point, which was not asked for, and the check is asked still."""
    scripted(monkeypatch)
    async with tracing(tmp_path) as (app, pilot, path):
        trace_of(app).query_one(RowList).mark_key(trace_of(app).home)
        await bunch(app, pilot, "down", *"12.3\r")
        await until(pilot, lambda: any(isinstance(entry, Reading) for entry in entries_of(path)))
        await free(app, pilot)
        reading = next(entry for entry in entries_of(path) if isinstance(entry, Reading))
        assert reading.unasked
        assert reading.red != "F1.out"
