"""The help of every place."""

import pytest

from tests.tui.on_screen import screen_text
from tui.app import FusewalkApp
from tui.commands import Place, help_of
from tui.screens.help import HelpScreen


@pytest.mark.parametrize("place", [Place.OPEN, Place.LOADS, Place.WALK, Place.CARD])
@pytest.mark.parametrize("size", [(40, 30), (60, 20), (80, 24)])
async def test_the_help_fits_on_one_screen(place: Place, size: tuple[int, int]) -> None:
    """The sentence and every key stand on the screen without scrolling."""
    app = FusewalkApp()
    async with app.run_test(size=size) as pilot:
        await app.push_screen(HelpScreen(place))
        await pilot.pause()
        words = screen_text(app).split()
        assert app.screen.query_one("#help").max_scroll_y == 0
    for key, told in help_of(place):
        assert set(key.split()) <= set(words)
        assert set(told.split()) <= set(words)
    assert set(place.value.split()) <= set(words)


async def test_the_help_opens_twice_and_goes() -> None:
    """? opens it; Esc and Enter leave it."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        for leave in ("escape", "enter"):
            await pilot.press("question_mark")
            assert isinstance(app.screen, HelpScreen)
            assert app.screen.place is Place.OPEN
            await pilot.press(leave)
            assert not isinstance(app.screen, HelpScreen)


async def test_ascii_signs_are_explained() -> None:
    """Where twins stand for signs the help says which."""
    app = FusewalkApp(ascii_only=True)
    async with app.run_test() as pilot:
        await pilot.press("question_mark")
        await pilot.pause()
        assert "R ohms" in screen_text(app)
