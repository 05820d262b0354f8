"""The frame of every screen, and work done aside."""

import threading
from collections.abc import Iterable
from pathlib import Path
from typing import ClassVar

import pytest
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from model.errors import FusewalkError
from tests.tui.on_screen import NASTY, screen_text, until
from tui.app import FusewalkApp
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.dialog import MessageDialog
from tui.screens.frame import Framed
from tui.text import plain
from tui.widgets.bars import BarFacts, BottomBar


class Sample(Framed[None]):
    """A screen with one line."""

    PLACE = Place.CARD
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.CARD)]

    def __init__(self, label: str = "horn", text: str | None = "horn 12.36 V\n") -> None:
        super().__init__(BarFacts(label, label, label, 12.36, "read"))
        self.label = label
        self.text = text

    def body(self) -> Iterable[Widget]:
        """Return the line."""
        yield Static(plain(self.label))

    def page(self) -> Page | None:
        """Return the text, where there is any."""
        return None if self.text is None else Page(self.label, self.text)

    def action_settings(self) -> None:
        """Fail as a command may."""
        raise FusewalkError("No such switch.", "S9", "Press / to find one.")


async def test_the_lines_stand_round_the_body() -> None:
    """The facts stand on top, the keys of the place at the bottom."""
    app = FusewalkApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await app.push_screen(Sample("horn"))
        await pilot.pause()
        shown = screen_text(app).splitlines()
    assert shown[0].split() == ["horn", "horn", "key", "HORN", "posts", "12.36", "V", "read"]
    assert shown[2].startswith("horn")
    assert shown[-1].split()[:4] == ["?", "help", "Enter", "go"]


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24), (120, 40)])
async def test_nasty_labels_in_the_frame(size: tuple[int, int]) -> None:
    """Whatever a harness calls things, the frame holds and nothing is obeyed."""
    app = FusewalkApp()
    async with app.run_test(size=size) as pilot:
        for label in NASTY:
            await app.push_screen(Sample(label))
            await pilot.pause()
            shown = screen_text(app)
            assert not any(ord(c) < 32 or 0x7F <= ord(c) < 0xA0 for c in shown.replace("\n", ""))
            assert "12.36 V" in shown.splitlines()[0]
            app.pop_screen()


async def test_c_sends_and_w_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page goes to the terminal's clipboard, or to a file whose place is told until the next key."""
    monkeypatch.chdir(tmp_path)
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await app.push_screen(Sample("Horn [b]"))
        bar = app.screen.query_one(BottomBar)
        await pilot.press("c")
        assert app.clipboard == "horn 12.36 V\n"
        assert bar.said.startswith("Sent to terminal.")
        await pilot.press("w")
        assert bar.said == f"Written to {tmp_path / 'horn-b.txt'}"
        assert (tmp_path / "horn-b.txt").read_text(encoding="utf-8") == "horn 12.36 V\n"
        await pilot.press("question_mark", "escape")
        assert bar.said == ""


async def test_nothing_to_send_is_said() -> None:
    """A screen without a page says so."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await app.push_screen(Sample(text=None))
        bar = app.screen.query_one(BottomBar)
        await pilot.press("c")
        assert bar.said == "There is nothing here to send."
        await pilot.press("w")
        assert bar.said == "There is nothing here to write."


async def test_esc_goes_back_as_far_as_there_is_a_screen() -> None:
    """On the first screen it says how to leave instead."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        first = app.screen
        await app.push_screen(Sample())
        await pilot.press("escape")
        assert app.screen is first
        await pilot.press("escape")
        assert app.screen is first
        assert first.query_one(BottomBar).said == "Press q to quit."


async def test_an_error_of_a_command_is_a_dialog() -> None:
    """A command that cannot be done says why, twice if need be, and the screen stays."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await app.push_screen(Sample())
        for _ in range(2):
            await pilot.press("s")
            told = app.screen_stack[-1]
            assert isinstance(told, MessageDialog)
            assert told.heading == "No such switch."
            await pilot.press("enter")
            assert type(app.screen) is Sample


async def test_slow_work_goes_on_with_its_outcome() -> None:
    """Work runs in a thread of its own; what it gives arrives on the screen's thread."""
    app = FusewalkApp()
    got: list[tuple[int, bool]] = []
    async with app.run_test() as pilot:
        screen = Sample()
        await app.push_screen(screen)
        own = threading.get_ident()
        screen.aside(threading.get_ident, lambda thread: got.append((thread, threading.get_ident() == own)))
        await until(pilot, lambda: bool(got))
    assert got[0][0] != own
    assert got[0][1]


async def test_work_that_was_overtaken_is_dropped() -> None:
    """Only the latest work of a group goes on, however late the first one ends."""
    app = FusewalkApp()
    got: list[str] = []
    hold = threading.Event()
    async with app.run_test() as pilot:
        screen = Sample()
        await app.push_screen(screen)

        def slow() -> str:
            hold.wait(5)
            return "first"

        screen.aside(slow, got.append)
        await pilot.pause()
        screen.aside(lambda: "second", got.append)
        await until(pilot, lambda: bool(got))
        hold.set()
        await until(pilot, lambda: not screen._asides)
    assert got == ["second"]


async def test_an_outcome_that_waits_is_dropped_where_new_work_begins() -> None:
    """Stale work that has ended but was not handed on yet begins nothing more in the place of the new."""
    app = FusewalkApp()
    got: list[str] = []

    class Overtaken(Sample):
        """Begins new work in the moment before the outcome of the first is handed on."""

        def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
            """Come before the frame, as a key may."""
            if event.state is WorkerState.SUCCESS and event.worker.result == "first":
                self.aside(lambda: "second", got.append)

    async with app.run_test() as pilot:
        screen = Overtaken()
        await app.push_screen(screen)
        screen.aside(lambda: "first", lambda _: screen.aside(lambda: "stale", got.append))
        await until(pilot, lambda: bool(got) and not screen._asides)
    assert got == ["second"]


@pytest.mark.parametrize("error", [FusewalkError("No such file."), KeyError("row")])
async def test_an_error_aside_is_a_dialog(error: Exception, tmp_path: Path) -> None:
    """What can be mended is told as it is; a fault of our own leaves a note; the app lives in both cases."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        screen = Sample()
        await app.push_screen(screen)

        def fails() -> None:
            raise error

        screen.aside(fails, lambda _: None)
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        dialog = app.screen_stack[-1]
        assert isinstance(dialog, MessageDialog)
        told = dialog.heading
        await pilot.press("enter")
        assert app.screen_stack[-1] is screen
    notes = list((tmp_path / "state" / "fusewalk").glob("crash-*.txt"))
    if isinstance(error, FusewalkError):
        assert told == "No such file."
        assert notes == []
    else:
        assert told == "Something went wrong in Fusewalk itself."
        assert "KeyError" in notes[0].read_text(encoding="utf-8")


async def test_an_error_in_going_on_is_a_dialog() -> None:
    """The outcome may turn out to be no good where it is used."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        screen = Sample()
        await app.push_screen(screen)

        def unfit(_: int) -> None:
            raise FusewalkError("Not a harness.")

        screen.aside(lambda: 1, unfit)
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
