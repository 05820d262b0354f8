"""What still comes for a screen that has been left."""

import asyncio
from pathlib import Path

import pytest
from textual.events import Key, MouseDown, MouseUp, Resize
from textual.geometry import Size

from tests.tui.builds import LAMP, build
from tests.tui.on_screen import at_rest, screen_text, small_harness, until
from tests.tui.test_frame import Sample
from tui.app import FusewalkApp
from tui.commands import Place
from tui.screens.dialog import MessageDialog
from tui.screens.help import HelpScreen
from tui.screens.loads import LoadsScreen
from tui.screens.open_harness import Choice, OpenHarness
from tui.screens.settings import SettingsScreen
from tui.screens.walk import WalkScreen
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


async def test_a_new_size_of_a_left_screen_is_let_go() -> None:
    """The help left by the key after the one that opened it: its first size comes once its widgets are gone."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        screen = HelpScreen(Place.OPEN)
        await app.push_screen(screen)
        screen.dismiss(False)
        await until(pilot, lambda: not screen.query("#told"))
        await screen.on_event(Resize(Size(80, 24), Size(80, 24)))


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


@pytest.mark.slow
async def test_a_double_click_on_a_row_opens_one_screen(tmp_path: Path) -> None:
    """Both clicks are in the list before the first has led to the walk; a setting is moved by each."""
    app = FusewalkApp(build(tmp_path, LAMP))
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        await pilot.pause()
        click_twice(app, "Lamp")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))
        await at_rest(pilot)
        assert [type(screen) for screen in app.screen_stack[1:]] == [LoadsScreen, WalkScreen]
        await pilot.press("s", "home")
        await until(pilot, lambda: isinstance(app.screen, SettingsScreen) and bool(app.screen.settings))
        await pilot.pause()
        marked = app.screen.query_one(RowList).marked_row
        assert marked is not None
        before = marked.content.plain
        click_twice(app, before.split()[0])
        await at_rest(pilot)
        after = app.screen.query_one(RowList).marked_row
        assert after is not None
        assert after.content.plain == before


def click_twice(app: FusewalkApp, words: str) -> None:
    """Click twice on the marked row, as fast as a mouse does."""
    y = next(y for y, line in enumerate(screen_text(app).split("\n")) if words in line and "›" in line)
    for kind in (MouseDown, MouseUp) * 2:
        app.post_message(
            kind(None, 5, y, 0, 0, 1, shift=False, meta=False, ctrl=False, screen_x=5, screen_y=y, style=None)
        )


@pytest.mark.parametrize("steps", range(4))
async def test_the_program_can_be_left_while_a_screen_opens(steps: int, tmp_path: Path) -> None:
    """Whatever of the screen stands by then, none of what was never mounted is looked for."""
    app = FusewalkApp(build(tmp_path, LAMP))
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        app.push_screen(WalkScreen("E1"))
        for _ in range(steps):
            await asyncio.sleep(0)
