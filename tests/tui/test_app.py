"""The app: looks, filters, the way in and out."""

from pathlib import Path
from threading import Event

import pytest

from tests.tui.on_screen import screen_text, small_harness, until
from tui import remembered
from tui.app import FusewalkApp
from tui.filters import AsciiOnly, Disarm
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.open_harness import OpenHarness
from tui.terminal import Look
from tui.widgets.bars import BottomBar


async def test_a_file_given_is_opened_and_remembered(tmp_path: Path) -> None:
    """The vehicle's name stands on top, brackets and all."""
    path = small_harness(tmp_path)
    app = FusewalkApp(path)
    async with app.run_test() as pilot:
        await until(pilot, lambda: "Ten wires [b]" in screen_text(app))
        assert isinstance(app.screen, LoadsScreen)
        await until(pilot, lambda: app.standing is not None)
    assert remembered.recent_files() == [path]


async def test_without_a_file_one_is_chosen(tmp_path: Path) -> None:
    """The file opened before stands first; Enter opens it."""
    remembered.remember_file(small_harness(tmp_path))
    app = FusewalkApp()
    async with app.run_test() as pilot:
        assert isinstance(app.screen, OpenHarness)
        await pilot.press("enter")
        await until(pilot, lambda: "Ten wires [b]" in screen_text(app))


@pytest.mark.slow
@pytest.mark.parametrize("content", [None, b"format = ", b"\xff\xfe", b""])
async def test_a_file_that_cannot_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: bytes | None
) -> None:
    """The person is told, the app lives, and the choice of files comes back."""
    monkeypatch.chdir(tmp_path)
    path = Path("bad [x].toml")
    if content is not None:
        path.write_bytes(content)
    app = FusewalkApp(path)
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        await until(pilot, lambda: "bad [x].toml" in screen_text(app))
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
        await pilot.pause()
        await pilot.press("q")
    assert app.return_code == 0


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_quitting_is_success(key: str) -> None:
    """The exit code is 0."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await pilot.press(key)
    assert app.return_code == 0


async def test_ctrl_c_says_how_to_quit() -> None:
    """It quits nothing."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await pilot.press("ctrl+c")
        await until(pilot, lambda: app.screen.query_one(BottomBar).said == "Press q to quit.")


async def test_the_look_turns_and_is_remembered() -> None:
    """L changes between dark and light, also for the next run."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        assert app.theme == "fusewalk-dark"
        await pilot.press("L")
        assert app.theme == "fusewalk-light"
        assert remembered.look() == "light"
        await pilot.press("L")
        assert app.theme == "fusewalk-dark"


@pytest.mark.parametrize("look", [Look.TERMINAL, Look.PLAIN])
async def test_the_terminals_own_colours_stay(look: Look) -> None:
    """Where the look was not ours to choose L says so."""
    app = FusewalkApp(look=look)
    async with app.run_test() as pilot:
        await pilot.press("L")
        assert app.look is look
        assert "terminal's own colours" in app.screen.query_one(BottomBar).said


@pytest.mark.slow
@pytest.mark.parametrize("look", Look)
async def test_every_look_draws_every_sheet(look: Look) -> None:
    """Style sheets hold in each look, in ASCII too."""
    app = FusewalkApp(look=look, ascii_only=True)
    async with app.run_test() as pilot:
        await pilot.press("question_mark", "escape", "slash", "escape")
        app.tell(ValueError("x"))
        await pilot.pause()
        assert screen_text(app).isascii()


def test_filters_stand_behind_textuals_own() -> None:
    """Nothing drawn passes without being disarmed; ASCII comes last."""
    kinds = [type(each) for each in FusewalkApp(ascii_only=True).get_line_filters()]
    assert kinds[-2:] == [Disarm, AsciiOnly]
    assert type(FusewalkApp().get_line_filters()[-1]) is Disarm


@pytest.mark.parametrize(
    ("size", "classes"),
    [((60, 20), {"-narrow", "-short"}), ((80, 24), {"-normal", "-tall"}), ((120, 40), {"-wide", "-tall"})],
)
async def test_widths_and_heights_have_names(size: tuple[int, int], classes: set[str]) -> None:
    """Style sheets can tell a narrow window from a wide one, and a short one from a tall one."""
    app = FusewalkApp()
    async with app.run_test(size=size):
        named = {"-narrow", "-normal", "-wide", "-short", "-tall"}
        assert app.screen.classes & named == classes


async def test_a_fault_leaves_its_note_behind_what_was_said_before(tmp_path: Path) -> None:
    """Readings that could not be written are still told, and so is the fault, with its note."""
    app = FusewalkApp()

    async def fails() -> None:
        async with app.run_test() as pilot:
            app.say_at_the_end("Not written.\n")
            app.screen.call_later(lambda: 1 / 0)
            await pilot.pause()

    with pytest.raises(ZeroDivisionError):
        await fails()
    note = next((tmp_path / "state" / "fusewalk").glob("crash-*.txt"))
    not_written, told, _ = app.last_words.splitlines()
    assert not_written == "Not written."
    assert told == f"Fusewalk stopped by a fault of its own. A note is in {note}"


def test_what_is_said_while_a_record_closes_is_kept() -> None:
    """A record that takes its time to close takes nothing back that was said meanwhile."""
    app, is_closing, goes_on = FusewalkApp(), Event(), Event()

    def close() -> str:
        is_closing.set()
        assert goes_on.wait(20)
        return "Not written.\n"

    app.let_go(close)
    assert is_closing.wait(20)
    app.say_at_the_end("It stopped.\n")
    goes_on.set()
    app.wait_for_records()
    assert app.last_words == "It stopped.\nNot written.\n"


async def test_a_fault_of_our_own_leaves_a_note_and_no_values(tmp_path: Path) -> None:
    """An error in a handler ends the app with code 1 and one line that says where the note is."""
    app = FusewalkApp()

    async def fails() -> None:
        async with app.run_test() as pilot:
            app.screen.call_later(lambda: 1 / 0)
            await pilot.pause()

    with pytest.raises(ZeroDivisionError):
        await fails()
    note = next((tmp_path / "state" / "fusewalk").glob("crash-*.txt"))
    assert app.return_code == 1
    told, what_next = app.last_words.splitlines()
    assert told == f"Fusewalk stopped by a fault of its own. A note is in {note}"
    assert what_next.startswith("Start it again: ")
    assert app._exit_renderables == []
    assert note.stat().st_mode & 0o777 == 0o600
