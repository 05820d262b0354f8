"""A trace beside its record: picked up where it was left; a record that cannot be written stops nothing."""

import shutil
import signal
from datetime import UTC, datetime
from pathlib import Path
from threading import Event

import pytest

from model.circuit.bench import Bench
from model.record import Record
from model.record_entries import TraceStart
from model.tracing.complaint import Complaint, Symptom
from tests.tui.builds import TRACTOR, build, opened
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.real_terminal import RealTerminal
from tests.tui.traced import (
    LOAD,
    RELAY_LAMP,
    asked_of,
    asking,
    entries_of,
    kinds_of,
    mark_load,
    press,
    scripted,
    trace_of,
    tracing,
)
from tests.tui.traced_by_script import TracedByScript
from tui.app import FusewalkApp
from tui.screens.dialog import QuestionDialog
from tui.screens.loads import LoadsScreen
from tui.screens.trace import TraceScreen
from tui.screens.trace_ask import TraceAskScreen
from tui.standing import Standing
from tui.trace_record import Unfinished, unfinished

RESUMES = "go on with the trace of"


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


@pytest.mark.slow
async def test_a_trace_that_was_left_is_picked_up_where_it_stood(tmp_path: Path) -> None:
    """Opened again after the program ended, t offers it first; Enter asks the very check that was open."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "n")
        before = asked_of(app)
    async with tracing(tmp_path) as (app, pilot, path):
        assert asked_of(app) == before
        seen = trace_of(app).seen
        assert seen is not None
        assert [one.outcome.least for one in seen.answers] == [12.0]
        await press(app, pilot, "2", "enter")
        assert kinds_of(path) == ["trace", "reading", "skip", "picked up", "reading"]
        assert len({entry.trace for entry in entries_of(path)}) == 1


@pytest.mark.slow
async def test_what_was_taken_back_stays_so(tmp_path: Path) -> None:
    """A trace picked up knows nothing of a reply that was undone."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "0", "enter", "u")
        before = asked_of(app)
    async with tracing(tmp_path) as (app, pilot, _):
        assert asked_of(app) == before


@pytest.mark.first_few(1)
@pytest.mark.parametrize("is_left", [True, False])
async def test_enter_waits_until_it_is_known_whether_one_was_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_left: bool
) -> None:
    """Pressed before the record is read it starts nothing beside a trace that was left: that is offered first."""
    may_come, look = Event(), unfinished

    def slowly(standing: Standing, loads: tuple[str, ...]) -> Unfinished | None:
        assert may_come.wait(20)
        return look(standing, loads) if is_left else None

    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        monkeypatch.setattr("tui.trace_record.unfinished", slowly)
        await pilot.press("t", "enter")
        assert isinstance(app.screen, TraceAskScreen)
        assert "the record is still being read" in screen_text(app)
        may_come.set()
        if is_left:
            await until(pilot, lambda: RESUMES in screen_text(app))
            assert isinstance(app.screen, TraceAskScreen)
            await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
        await pilot.pause()
        assert asked_of(app).step == (2 if is_left else 1)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", [(60, 20), (120, 40)])
async def test_the_list_of_loads_names_a_trace_that_was_left(tmp_path: Path, size: tuple[int, int]) -> None:
    """At once after Esc and at the next start, in the line of the load and once at the bottom; not in another's."""
    async with tracing(tmp_path, size=size) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "escape")
        await until(pilot, lambda: "1 answer: t goes on with it." in screen_text(app))
        await pilot.press("home")
        await until(pilot, lambda: "Trace left " not in screen_text(app))
    async with opened(tmp_path / "lamp.toml", size) as (app, pilot):
        await until(pilot, lambda: "A trace was left: Lamp. t on that row" in screen_text(app))
        mark_load(app, LOAD)
        await until(pilot, lambda: "Trace left " in screen_text(app))


async def test_a_new_trace_can_be_started_beside_one_that_was_left(tmp_path: Path) -> None:
    """Below the offer the questions stand as ever; Enter there starts anew, under a name of its own."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        await pilot.press("t")
        await until(pilot, lambda: RESUMES in screen_text(app))
        assert "1 answer" in screen_text(app)
        await pilot.press("down", "enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
        await pilot.pause()
        assert asked_of(app).step == 1


async def test_another_load_has_no_trace_to_go_on_with(tmp_path: Path) -> None:
    """What was left of one load is not offered for another."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        mark_load(app, "E2:load")
        await pilot.press("t")
        await asking(app, pilot)
        await at_rest(pilot)
        assert RESUMES not in screen_text(app)


async def test_a_record_that_is_held_is_told_and_stops_nothing(tmp_path: Path) -> None:
    """While another has the record the trace says so and goes on; once it is free, all that waited is written."""
    path = build(tmp_path, RELAY_LAMP, "lamp.toml")
    other = Record.open(path, datetime.now(UTC))
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter")
        assert "another program writes this record" in " ".join(screen_text(app).split())
        assert asked_of(app).step == 2
        assert kinds_of(path) == []
        other.close()
        await press(app, pilot, "0", "enter")
        assert kinds_of(path) == ["trace", "reading", "reading"]
        assert "another program" not in screen_text(app)


async def test_a_record_that_cannot_be_written_stops_nothing(tmp_path: Path) -> None:
    """Where a directory stands in its place the trace goes on, and says at every answer that it is not written."""
    (tmp_path / "lamp.record.toml").mkdir()
    async with tracing(tmp_path) as (app, pilot, _):
        assert "Nothing is written down" in screen_text(app)
        await press(app, pilot, "1", "2", "enter")
        assert "Not written down" in screen_text(app)
        assert asked_of(app).step == 2


async def test_leaving_lets_the_record_go(tmp_path: Path) -> None:
    """After Esc another program can write at once."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter", "escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))

        def is_free() -> bool:
            with Record.open(path, datetime.now(UTC)) as record:
                return record.held_by is None and record.problem is None

        await until(pilot, is_free)


async def test_leaving_while_it_is_set_up_lets_the_record_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Esc before the first check stands there does not wait for it; the record is free once it would have come."""
    go_on = Event()

    def waits(bench: Bench, complaint: Complaint, learned: object) -> TracedByScript:
        assert go_on.wait(20)
        return TracedByScript(bench, complaint)

    monkeypatch.setattr("tui.trace_record.make_trace", waits)
    path = build(tmp_path, RELAY_LAMP, "lamp.toml")
    async with opened(path) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, TraceAskScreen))
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen))
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        go_on.set()

        def is_free() -> bool:
            with Record.open(path, datetime.now(UTC)) as record:
                return record.held_by is None

        await until(pilot, is_free)
        assert kinds_of(path) == []


@pytest.mark.slow
def test_a_kill_loses_no_answer(tmp_path: Path) -> None:
    """Killed outright after Enter, the program has left the answer in the record, and the next run goes on there."""
    path = Path(shutil.copy(TRACTOR, tmp_path))
    program = RealTerminal(tmp_path, str(path))
    program.shows("Needs key")
    program.child.send("t")
    program.shows("what is wrong")
    program.child.send("\r")
    program.until(lambda: any(words in program.text for words in ("Type what the meter shows,", "then Enter")), 60)
    program.child.send("1\r" if "then Enter" in program.text else "6.1\r")
    program.shows("check 2")
    program.child.kill(signal.SIGKILL)
    assert program.end() == -signal.SIGKILL
    assert kinds_of(path) == ["trace", "reading"]
    with Record.open(path, datetime.now(UTC)) as record:
        assert record.held_by is None


async def test_a_complaint_told_on_the_command_line_opens_straight(tmp_path: Path) -> None:
    """Without a question before it the first check stands there, and the record has the complaint as it was told."""
    path = build(tmp_path, RELAY_LAMP, "lamp.toml")
    app = FusewalkApp(path)
    app.complaint = Complaint(("E1:load",), Symptom.WEAK, posts_volts=12.6)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
        await pilot.pause()
        await press(app, pilot, "1", "2", "enter", "escape")
        assert isinstance(app.screen, LoadsScreen)
    start = entries_of(path)[0]
    assert isinstance(start, TraceStart)
    assert (start.symptom, start.posts_volts) == ("weak", 12.6)


@pytest.mark.first_few(1)
@pytest.mark.parametrize(("key", "step"), [("enter", 2), ("escape", 1)])
async def test_a_complaint_told_again_asks_about_the_trace_that_was_left(tmp_path: Path, key: str, step: int) -> None:
    """Enter goes on with it, Esc starts anew."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter")
    app = FusewalkApp(path)
    app.complaint = Complaint(("E1:load",))
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, QuestionDialog))
        await pilot.pause()
        assert "1 answer, was left" in screen_text(app)
        await pilot.press(key)
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
        await pilot.pause()
        assert asked_of(app).step == step
