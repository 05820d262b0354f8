"""The notice of a window that is too small."""

import pytest

from tests.tui.on_screen import screen_text, until
from tests.tui.test_frame import Sample
from tui.app import FusewalkApp
from tui.screens.open_harness import OpenHarness
from tui.screens.too_small import TooSmall


@pytest.mark.slow
@pytest.mark.parametrize("size", [(39, 24), (80, 11), (20, 5), (10, 3), (1, 1)])
async def test_a_small_window_is_told_and_forgotten(size: tuple[int, int]) -> None:
    """The notice comes when the window shrinks and goes when it grows; the screen below keeps its focus."""
    app = FusewalkApp()
    async with app.run_test(size=(80, 24)) as pilot:
        below, focused = app.screen, app.focused
        await pilot.resize_terminal(*size)
        await until(pilot, lambda: isinstance(app.screen, TooSmall))
        await pilot.resize_terminal(max(size[0], 20), max(size[1], 10) if size[0] < 40 else size[1])
        assert isinstance(app.screen, TooSmall)
        await pilot.resize_terminal(40, 12)
        await until(pilot, lambda: app.screen is below)
        assert app.focused is focused


async def test_a_window_small_from_the_start() -> None:
    """It is said at once in one line, and the first screen is there when the window has grown."""
    app = FusewalkApp()
    async with app.run_test(size=(30, 10)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, TooSmall))
        await until(pilot, lambda: "Window too small: 40×12" in screen_text(app))
        await pilot.resize_terminal(100, 30)
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))


async def test_a_dialog_over_the_notice_does_not_keep_it() -> None:
    """Where something came on top while the window was small, the notice goes once that is gone."""
    app = FusewalkApp()
    async with app.run_test(size=(80, 24)) as pilot:
        below = app.screen
        await pilot.resize_terminal(30, 10)
        await until(pilot, lambda: isinstance(app.screen, TooSmall))
        app.tell(RuntimeError("x"))
        await pilot.resize_terminal(80, 24)
        await pilot.press("enter")
        await until(pilot, lambda: app.screen is below)


async def test_a_screen_left_from_below_leaves_the_notice() -> None:
    """Work that ends meanwhile takes its own screen away; the window is as small as before, and says so."""
    app = FusewalkApp()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = Sample()
        await app.push_screen(screen)
        await pilot.resize_terminal(30, 10)
        await until(pilot, lambda: isinstance(app.screen, TooSmall))
        screen.dismiss(None)
        await until(pilot, lambda: screen not in app.screen_stack)
        await until(pilot, lambda: isinstance(app.screen, TooSmall))
        await pilot.resize_terminal(80, 24)
        await until(pilot, lambda: isinstance(app.screen, OpenHarness))
