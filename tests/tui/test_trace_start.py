"""The program started with a complaint: its file is read, then the trace asks."""

from __future__ import annotations

import threading
from io import BytesIO, TextIOWrapper
from pathlib import Path

import pytest

from model.errors import CircuitError
from model.harness.toml_file import read_harness
from model.tracing.complaint import Complaint
from tests.tui.builds import build, opened
from tests.tui.on_screen import screen_text, until
from tests.tui.small_loom import SMALL_LOOM
from tests.tui.traced import asking, mark_load, trace_of
from tui.__main__ import main
from tui.app import FusewalkApp
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.trace import TraceScreen
from tui.taken_words import taken_words


async def test_a_complaint_is_traced_once_its_file_has_been_read(tmp_path: Path) -> None:
    """Nothing is asked before; the way back leads to the loads, and nothing is traced again."""
    app = FusewalkApp(build(tmp_path, SMALL_LOOM))
    app.complaint = Complaint(("E1:load",))
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.question is not None)
        assert app.complaint is None
        assert isinstance(app.screen_stack[-2], LoadsScreen)
        app.standing = app.standing.turned(1) if app.standing is not None else None
        await pilot.pause()
        assert sum(isinstance(screen, TraceScreen) for screen in app.screen_stack) == 1


TWO_CIRCUITS = SMALL_LOOM.replace(
    'label = "Lamp", kind = "lamp", watts = 55',
    'label = "Lamp", kind = "lamp", '
    'elements = [{ name = "dip", from = "+", to = "-", watts = 55 }, '
    '{ name = "side", from = "58", to = "-", watts = 5 }]',
).replace("wires = [", 'wires = [\n  { id = "W9", from = "S1.2", to = "E1.58", colour = "GY" },')


@pytest.mark.parametrize(
    ("loads", "words"),
    [
        (("E1:dip", "E1:side"), "Taken: dip and side of E1 (Lamp), all at once. One alone: E1:dip."),
        (("E1:dip", "P1:load", "E1:side"), "Taken: dip and side of E1 (Lamp), all at once. One alone: E1:dip."),
        (("E1:side", "P1:load"), ""),
    ],
)
def test_circuits_taken_as_one_complaint_are_said(tmp_path: Path, loads: tuple[str, ...], words: str) -> None:
    """Of each part of which several are complained of, with how one alone is named; loads of their own are not."""
    assert taken_words(read_harness(build(tmp_path, TWO_CIRCUITS)), loads) == words


async def test_which_circuits_are_traced_stands_under_the_first_check(tmp_path: Path) -> None:
    """Somebody who named the part alone sees that all of it is taken as dead; an answer takes its place."""
    app = FusewalkApp(build(tmp_path, TWO_CIRCUITS))
    app.complaint = Complaint(("E1:dip", "E1:side"))
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.question is not None)
        await pilot.pause()
        assert "Taken: dip and side of E1 (Lamp), all at once. One alone: E1:dip." in screen_text(app)
        await pilot.press("0", "enter")
        await until(
            pilot, lambda: isinstance(app.screen, TraceScreen) and bool(app.screen.seen and app.screen.seen.did)
        )
        assert "Taken: " not in screen_text(app)


@pytest.mark.slow
def test_in_lines_it_is_said_before_the_first_check(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """On the first line, and once."""
    monkeypatch.setattr("sys.stdin", TextIOWrapper(BytesIO(b"")))
    main(["trace", str(build(tmp_path, TWO_CIRCUITS)), "E1", "--lines"])
    told = capsys.readouterr().out.splitlines()
    assert told[0] == "Taken: dip and side of E1 (Lamp), all at once. One alone: E1:dip."
    assert sum(line.startswith("Taken: ") for line in told) == 1


async def test_without_a_complaint_the_loads_are_shown(tmp_path: Path) -> None:
    """As ever."""
    app = FusewalkApp(build(tmp_path, SMALL_LOOM))
    async with app.run_test() as pilot:
        await until(pilot, lambda: app.standing is not None)
        await pilot.pause()
        assert isinstance(app.screen, LoadsScreen)


COMMA_LAMP = SMALL_LOOM.replace('label = "Lamp"', 'label = "Lamp, left (dip): no. 2"')


async def test_until_the_first_check_the_label_stands_whole_on_top(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A comma in it ends nothing: which of two lamps is traced is told by what stands behind it."""
    may_go = threading.Event()

    def waits(*_: object) -> None:
        may_go.wait()
        raise CircuitError("Not traced.", do="It was only looked at.")

    monkeypatch.setattr("tui.trace_record.start_trace", waits)
    async with opened(build(tmp_path, COMMA_LAMP), (100, 24)) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen))
        trace = trace_of(app)
        may_go.set()
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        assert trace.facts.doing == "Lamp, left (dip): no. 2"
