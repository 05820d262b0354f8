"""The walk under a trace: the mark stands on what is asked about, on the walk or beside it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.circuit.condition import Condition
from model.tracing.asking import Question
from model.tracing.checks import Check, CheckKind
from tests.tui.builds import BUGGY
from tests.tui.on_screen import screen_text, until
from tests.tui.traced import RELAY_LAMP, press, scripted, trace_of, tracing
from tests.tui.traced_by_script import TracedByScript
from tui.screens.card import CardScreen
from tui.trace_rows import beside_walk, home_key, name_beside, trace_rows
from tui.widgets.rows import RowList

IGNITION = Condition("ignition")
BESIDE = Check(CheckKind.VOLTS, IGNITION, "E2.+", "G1.-")
HORN_FUSE = Check(CheckKind.LOOK, IGNITION, part="F9")
WITH_HORN_FUSE = RELAY_LAMP.replace(
    "fuses = [", 'fuses = [ { id = "F9", label = "Spare", amps = 5, location = "nose" },'
)


def script(monkeypatch: pytest.MonkeyPatch, check: Check) -> None:
    """Let a trace ask one check before those of its script."""
    scripted(monkeypatch)
    asked = TracedByScript._asked
    monkeypatch.setattr(
        TracedByScript, "_asked", lambda self, state: asked(self, state) if check in state.done else check
    )


@pytest.mark.parametrize(
    ("check", "row"),
    [(BESIDE, "E2.+"), (HORN_FUSE, "F9")],
)
async def test_what_is_asked_beside_the_walk_has_a_row_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, check: Check, row: str
) -> None:
    """On top, marked, with its sign and word; no row of the walk is marked in its place; Enter there is its card."""
    script(monkeypatch, check)
    async with tracing(tmp_path, WITH_HORN_FUSE) as (app, pilot, _):
        points = app.screen.query_one(RowList)
        marked = points.marked_row
        assert marked is not None
        assert name_beside(marked.key) == row
        assert f"› ● {row}" in screen_text(app)
        assert points.rows[0].content.plain == "beside the walk"
        assert points.rows[1] == marked
        assert "here" in marked.content.plain
        trace_of(app).action_part()
        await until(pilot, lambda: isinstance(app.screen, CardScreen))


async def test_the_row_beside_the_walk_has_its_reason_in_every_width(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What on the walk it tells about stands in the line of the head where that has room, else whole below it."""
    script(monkeypatch, BESIDE)
    reason = "It tells whether busbar BB4 (Ignition bus) is live."
    async with tracing(tmp_path, RELAY_LAMP) as (app, _, _):
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.now, Question)
        told = replace(seen, now=replace(seen.now, off_way=reason))
        tops = {cells: [row.content.plain for row in trace_rows(told, cells)[:3]] for cells in (58, 78)}
    assert tops[58][:2] == ["beside the walk", f"  {reason}"]
    assert tops[58][2].startswith("● E2.+")
    assert tops[78][0] == "beside the walk: it tells whether busbar BB4 (Ignition bus) is live."
    assert tops[78][1].startswith("● E2.+")


async def test_the_walk_has_no_such_row_where_its_own_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The mark stands on the row of the point, with what it is about to read; a row away is another point."""
    scripted(monkeypatch)
    async with tracing(tmp_path) as (app, pilot, _):
        points = app.screen.query_one(RowList)
        assert points.marked_row is not None
        assert "F1.out" in points.marked_row.content.plain
        assert "beside the walk" not in screen_text(app)
        await press(app, pilot, "down")
        assert trace_of(app).elsewhere
        await press(app, pilot, "up")
        assert not trace_of(app).elsewhere


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_big_letters_say_what_is_set_besides_the_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """At its usual size over the letters, below the cautions; where all else is at rest no such line stands there."""
    script(monkeypatch, replace(BESIDE, condition=IGNITION.with_setting("F9", "out")))
    async with tracing(tmp_path, WITH_HORN_FUSE, size=size) as (app, pilot, _):
        await press(app, pilot, "g")
        await until(pilot, lambda: "fuse F9 (Spare) out" in screen_text(app))
        lines = screen_text(app).splitlines()
        place = next(place for place, line in enumerate(lines) if "fuse F9 (Spare) out" in line)
        assert lines[place].startswith(" set     ")
        assert any("aution" in line for line in lines[:place])
        await press(app, pilot, "1", "2", "enter")
        await until(pilot, lambda: " set " not in screen_text(app))


@pytest.mark.slow
async def test_every_check_of_the_buggy_has_its_row(tmp_path: Path) -> None:
    """Whatever a trace of its right dip beam may ask, a row is there to be marked, and names what is asked."""
    async with tracing(tmp_path, BUGGY.read_text(encoding="utf-8"), load="E2:dip") as (app, _, _):
        run, seen = trace_of(app).run_of, trace_of(app).seen
        assert run is not None
        assert seen is not None
        assert isinstance(seen.now, Question)
        offered = run._trace.offered()
        assert any(beside_walk(replace(seen, now=replace(seen.now, check=one.check))) for one in offered)
        for one in offered:
            shown = replace(seen, now=replace(seen.now, check=one.check))
            keys = [row.key for row in trace_rows(shown, 58)]
            assert home_key(shown) in keys, one.check
