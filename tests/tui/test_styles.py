"""The style sheets: what a screen brings stays with it, whatever was looked at before."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path
from typing import Any, cast

import pytest
from textual.containers import VerticalScroll
from textual.widgets import Static

from tests.tui.builds import BUGGY
from tests.tui.on_bench import looking_at, put_on_bench
from tests.tui.on_screen import at_rest, screen_text
from tui.app import FusewalkApp
from tui.commands import Place
from tui.screens.card import CardScreen
from tui.screens.frame import Framed
from tui.screens.help import HelpScreen
from tui.screens.practised import PractisedScreen
from tui.screens.profile import ProfileScreen
from tui.screens.trace_found import FoundScreen
from tui.widgets.rows import RowList

STYLES = Path(__file__).parents[2] / "tui" / "styles"
OF_ALL = {Path(str(path)).name for path in cast("list[Path]", FusewalkApp.CSS_PATH)}
"""Sheets that hold from the start, on every screen."""

OF_SCREENS = sorted(path for path in STYLES.glob("*.tcss") if path.name not in OF_ALL)
_RULE = re.compile(r"^([^\s{}/*][^{}]*)\{", re.MULTILINE)


def screens() -> list[type[Framed[Any]]]:
    """Return the classes of all screens that have a top and a bottom line."""
    for path in (STYLES.parent / "screens").glob("*.py"):
        import_module(f"tui.screens.{path.stem}")
    found: list[type[Framed[Any]]] = [Framed]
    for one in found:
        found += one.__subclasses__()
    return found


@pytest.mark.parametrize("sheet", OF_SCREENS, ids=lambda sheet: sheet.stem)
def test_the_sheet_of_a_screen_names_its_screens_and_widgets(sheet: Path) -> None:
    """Once loaded it holds for all screens: a bare id or class would change those that are opened afterwards."""
    rules = _RULE.findall(sheet.read_text(encoding="utf-8"))
    selectors = [one.strip() for rule in rules for one in rule.split(",")]
    assert selectors
    assert [one for one in selectors if one[0] in "#."] == []
    assert [one for one in selectors if re.match(r"Screen\S* [#.]", one)] == []


async def test_a_help_opened_after_other_screens_can_be_scrolled() -> None:
    """With the sheets of the trace and of practice loaded the last of its words still comes into the window."""
    async with looking_at(None, put_on_bench(BUGGY), (60, 20)) as pilot:
        for screen in (FoundScreen, PractisedScreen):
            pilot.app.stylesheet.read_all([Path(str(screen.CSS_PATH or STYLES / "trace.tcss"))])
        pilot.app.stylesheet.reparse()
        await pilot.app.push_screen(HelpScreen(Place.TRACE))
        await at_rest(pilot)
        assert pilot.app.screen.query_one(VerticalScroll).max_scroll_y > 20
        await pilot.press("end")
        await at_rest(pilot)
        assert "splice" in screen_text(pilot.app)


def test_every_screen_that_a_sheet_names_brings_it() -> None:
    """Or lies over one that has it: else it would look otherwise once another screen had been opened."""
    over_a_trace = {"FoundScreen", "AnswersScreen", "ProveScreen"}
    for sheet in OF_SCREENS:
        named = set(re.findall(r"\b([A-Z]\w*(?:Screen|Shown))\b", sheet.read_text(encoding="utf-8"))) - over_a_trace
        for screen in (one for one in screens() if one.__name__ in named):
            paths = screen.CSS_PATH if isinstance(screen.CSS_PATH, list) else [screen.CSS_PATH]
            assert sheet.name in {Path(str(path)).name for path in paths}, screen.__name__


async def test_a_card_opened_after_the_profile_has_its_row_whole() -> None:
    """The volts in every key state stand below the card, whichever screen was there before."""
    async with looking_at(None, put_on_bench(BUGGY), (60, 20)) as pilot:
        pilot.app.stylesheet.read_all([Path(str(ProfileScreen.CSS_PATH))])
        pilot.app.stylesheet.reparse()
        await pilot.app.push_screen(CardScreen("K7", "K7.30"))
        await at_rest(pilot)
        assert pilot.app.screen.query_one(RowList).marked_row is not None
        assert "running" in screen_text(pilot.app).splitlines()[-2]
        assert pilot.app.screen.query_one("#detail", Static).styles.border_top[0] == ""
