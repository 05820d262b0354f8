"""The search."""

from textual.widgets import Input

from tests.tui.on_screen import NASTY, screen_text, until
from tui.app import FusewalkApp
from tui.screens.find import FindScreen, found
from tui.screens.frame import Findable
from tui.widgets.rows import RowList

CHOICES = [
    Findable("Fuel pump", "tank", lambda: None),
    Findable("Horn", "front [left]", lambda: None),
    Findable("Pump of the bilge", "hull", lambda: None),
    Findable("Bumper lamp", "rear", lambda: None),
]


def names(typed: str) -> list[str]:
    """Return what is found, by name."""
    return [choice.words for choice in found(typed, CHOICES)]


def test_every_word_counts_and_the_first_leads() -> None:
    """All words have to be there; what begins with the first stands in front; capitals do not matter."""
    assert names("") == [choice.words for choice in CHOICES]
    assert names("pump") == ["Pump of the bilge", "Fuel pump"]
    assert names("PUMP tank") == ["Fuel pump"]
    assert names("ump") == ["Fuel pump", "Pump of the bilge", "Bumper lamp"]
    assert names("[left]") == ["Horn"]
    assert names("zebra") == []


async def test_a_command_is_found_and_run() -> None:
    """/ opens the search, a few letters and Enter do what the command does."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await pilot.press("slash")
        assert isinstance(app.screen, FindScreen)
        await pilot.press(*"light")
        await pilot.press("enter")
        await until(pilot, lambda: app.theme == "fusewalk-light")
        await pilot.press("slash", "escape")
        assert not isinstance(app.screen, FindScreen)
        await pilot.press("slash", *"quit", "enter")
        await until(pilot, lambda: app.return_value == 0)


async def test_arrows_choose_among_nasty_names() -> None:
    """Any name is shown whole, the arrows move while letters are typed, and the marked one is given back."""
    app = FusewalkApp()
    given: list[Findable | None] = []
    choices = [Findable(label, "[note]", lambda: None) for label in NASTY]
    async with app.run_test(size=(80, 24)) as pilot:
        await app.push_screen(FindScreen(choices), given.append)
        await pilot.press("down", "down", "up")
        assert app.screen.query_one(Input).has_focus
        assert app.screen.query_one(RowList).marked == 1
        shown = screen_text(app)
        assert "S1 [on]" in shown
        assert "› F1 [/15A]" in shown
        await pilot.press("enter")
        await until(pilot, lambda: bool(given))
    assert given == [choices[1]]


async def test_nothing_found_goes_nowhere() -> None:
    """Enter on an empty list stays."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await pilot.press("slash", *"zzzz", "enter")
        assert isinstance(app.screen, FindScreen)
