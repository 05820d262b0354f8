"""What still comes for a screen that has been left."""

from pathlib import Path

from textual.events import Key

from tests.tui.on_screen import small_harness, until
from tests.tui.test_frame import Sample
from tui.app import FusewalkApp
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.open_harness import Choice, OpenHarness
from tui.text import plain
from tui.widgets.rows import Row, RowList


async def test_what_waits_for_the_layout_of_a_left_screen_is_dropped() -> None:
    """A window that changes as a screen goes lays that out no more: its widgets are gone."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        screen = Sample()
        await app.push_screen(screen)
        called: list[str] = []
        app.pop_screen()
        screen.call_after_refresh(called.append, "left")
        app.screen.call_after_refresh(called.append, "here")
        await until(pilot, lambda: "here" in called)
        await pilot.pause()
        assert called == ["here"]


async def test_a_double_click_on_a_file_opens_it_once(tmp_path: Path) -> None:
    """The first click on the marked file leaves the choice; the second finds it gone and takes no other screen."""
    path = small_harness(tmp_path)
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
        choice = app.screen
        assert isinstance(choice, OpenHarness)
        choice.show_choices([Choice(path.name, "", path)])
        for _ in range(2):
            choice.post_message(RowList.Taken(Row(plain("ten wires"))))
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        assert [type(screen) for screen in app.screen_stack[1:]] == [LoadsScreen]


async def test_a_screen_that_is_left_from_below_takes_what_stands_above() -> None:
    """Work that fails under a dialog leaves its own screen, not the dialog alone."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        below, screen = app.screen, Sample()
        results: list[None] = []
        await app.push_screen(screen, results.append)
        await app.push_screen(MessageDialog("Read this.", ["First."]))
        screen.dismiss(None)
        await until(pilot, lambda: app.screen is below)
        screen.dismiss(None)
        await pilot.pause()
        assert app.screen is below
        assert results == [None]


async def test_what_is_typed_behind_the_key_that_quits_is_not_heard(tmp_path: Path) -> None:
    """Somebody who types ``quit`` quits with the first letter; the others would open screens of a program that goes."""
    app = FusewalkApp(small_harness(tmp_path))
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        for letter in "qst?":
            app.post_message(Key("question_mark" if letter == "?" else letter, letter))
        await until(pilot, lambda: not app.is_running)
        assert [type(screen) for screen in app.screen_stack[1:]] in ([LoadsScreen], [])
    assert app.return_code == 0
