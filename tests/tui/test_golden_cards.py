"""What stands on the screen of a card, of the search and of a fault, at three sizes, sign for sign.

``UPDATE_GOLDEN=1`` writes the files anew; what has changed is then read in the difference.
"""

import os
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from model.circuit.faults import parse_fault
from tests.tui.on_bench import looking_at, put_on_bench, standing_of
from tests.tui.on_screen import at_rest, screen_text
from tui.screens.card import CardScreen
from tui.screens.frame import Findable
from tui.screens.search import SearchScreen
from tui.screens.what_if_seen import SeenScreen
from tui.widgets.bars import BarFacts

GOLDEN = Path(__file__).parents[1] / "golden"
SIZES = [(60, 20), (80, 24), (120, 40)]


async def card(pilot: Pilot[Any]) -> Screen[Any]:
    """Show a plug with one of its cavities asked for."""
    return await shown(pilot, CardScreen("X2", "X2.cab.6"))


async def search(pilot: Pilot[Any]) -> Screen[Any]:
    """Show what a sentence finds."""
    screen = await shown(pilot, SearchScreen([Findable("settings", "key s", lambda: None)], BarFacts()))
    screen.query_one(Input).cursor_blink = False
    screen.query_one(Input).value = "I hold a green/white 2.5 in the tank bay"
    return screen


async def what_if(pilot: Pilot[Any]) -> Screen[Any]:
    """Show what a feed worn through does, the fault put in already."""
    fault = parse_fault(standing_of(pilot).harness, "W10=to body")
    return await shown(pilot, SeenScreen(fault))


async def shown(pilot: Pilot[Any], screen: Screen[Any]) -> Screen[Any]:
    """Open a screen."""
    await pilot.app.push_screen(screen)
    return screen


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
@pytest.mark.parametrize("show", [card, search, what_if], ids=lambda show: show.__name__)
async def test_the_screen_is_as_it_was(
    show: Callable[[Pilot[Any]], Awaitable[Screen[Any]]], size: tuple[int, int]
) -> None:
    """Sign for sign what the file holds."""
    standing = put_on_bench(key="ignition")
    if show is card:
        standing = standing.with_fault(parse_fault(standing.harness, "GND8=open"))
    async with looking_at(None, standing, size) as pilot:
        await show(pilot)
        await at_rest(pilot)
        await at_rest(pilot)
        lines = [line.rstrip() for line in screen_text(pilot.app).splitlines()]
    text = "\n".join(lines) + "\n"
    path = GOLDEN / f"{show.__name__}_{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")
