"""Every screen as it is drawn: enough contrast in both painted looks, and nothing cut that stands nowhere whole."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from _pytest.mark import ParameterSet
from textual.app import App, ComposeResult
from textual.pilot import Pilot
from textual.widgets import Static

from tests.tui.builds import BUGGY
from tests.tui.looked_at import cut_lines, cut_texts, weak
from tui.commands import Place
from tui.picture_stops import TOURS
from tui.picture_tour import Stop, Tour, place_of, resized, take_tour
from tui.terminal import Look
from tui.theme import THEMES

SIZES_AND_LOOKS = (((80, 24), Look.DARK), ((120, 40), Look.LIGHT))

STEP = "the step beside or above the list says all of the marked row"
BELOW = "the marked row stands whole below the list"
CUT_ON_PURPOSE = {
    Place.LOADS: BELOW,
    Place.WALK: STEP,
    Place.SETTINGS: BELOW,
    Place.TRACE_ASK: BELOW,
    Place.TRACE: STEP,
    Place.WHY: BELOW,
    Place.ANSWERS: BELOW,
    Place.AMEND: BELOW,
    Place.PRACTICE: STEP,
    Place.PLAN: STEP,
    Place.RECORD: BELOW,
    Place.HELP: "the sign for a cut is explained there",
}
"""Screens on which rows may be cut, and where all of the marked one can be read there."""

WHOLE_BELOW = {"trace_point"}
"""Stops whose place has other screens besides, on which nothing may be cut."""


def marked(tour: Tour) -> ParameterSet:
    """Take the shortest tours whenever slow tests are run, the others where all is to be gone through."""
    short = tour.name in {"open", "cards", "filling in"}
    return pytest.param(tour, id=tour.name, marks=pytest.mark.slow if short else pytest.mark.thorough)


async def look_through(tour: Tour, harness: Path) -> list[str]:
    """Go on a tour, and list what cannot be read at its stops.

    The colours do not hang on the size of the window, so that each size has another look.
    """
    found: list[str] = []

    async def visit(stop: Stop, pilot: Pilot[Any]) -> None:
        for size, look in SIZES_AND_LOOKS:
            await resized(pilot, stop.size or size)
            assert place_of(pilot) is stop.place, stop.name
            pilot.app.theme = THEMES[look].name
            await pilot.pause()
            at = f"{stop.name} {pilot.app.size} {look.value}"
            found.extend(f"{at}: weak {one}" for one in weak(pilot.app))
            found.extend(f"{at}: no room for {one}" for one in cut_texts(pilot.app))
            if stop.place not in CUT_ON_PURPOSE and stop.name not in WHOLE_BELOW:
                found.extend(f"{at}: cut {one}" for one in cut_lines(pilot.app))

    await take_tour(tour, harness, visit)
    return found


@pytest.mark.parametrize("tour", [marked(tour) for tour in TOURS])
async def test_every_screen_can_be_read(tour: Tour, tmp_path: Path) -> None:
    """Text has 4.5:1 and lines 3:1 (WCAG 2.2, 1.4.3 and 1.4.11), in 256 colours too; nothing is cut."""
    found = await look_through(tour, Path(shutil.copy(BUGGY, tmp_path)))
    assert not found, "\n".join(found)


@pytest.mark.slow
async def test_the_first_screens_can_be_read(tmp_path: Path) -> None:
    """The choice of a file and its help, as all other screens."""
    stops = (Stop("open", Place.OPEN), Stop("open_help", Place.HELP, ("question_mark",)))
    assert await look_through(Tour("first", stops, opens_file=False), tmp_path) == []


class Unreadable(App[None]):
    """A text in hardly another shade than its ground, one with too few lines, and one cut by hand."""

    CSS = "Screen { background: #101010; } Static { height: 1; color: #FFFFFF; } #weak { color: #303030; }"

    def compose(self) -> ComposeResult:
        """Put them below each other."""
        yield Static("weak", id="weak")
        yield Static("word " * 40, id="long")
        yield Static("a text without its e…", id="cut")


async def test_what_cannot_be_read_is_found() -> None:
    """Each of the three is told, and nothing else: #303030 on #101010 is 1.42:1 by hand."""
    app = Unreadable()
    async with app.run_test(size=(80, 24)):
        assert weak(app) == ["'weak': #303030 on #101010, 1.42"]
        assert [one.partition(":")[0] for one in cut_texts(app)] == ["#long"]
        assert cut_lines(app) == ["a text without its e…"]
