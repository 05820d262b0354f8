"""The pictures of every screen: none is left out, and each is reached."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from tui.commands import Place
from tui.picture_stops import TOURS
from tui.picture_tour import Stop, Tour, place_of, take_tour

SMALL_TOUR = Tour("small", (Stop("open", Place.OPEN), Stop("help", Place.HELP, ("question_mark",))), opens_file=False)


def test_every_place_is_on_the_sheet() -> None:
    """A new screen needs a stop on one of the tours."""
    stops = [stop for tour in TOURS for stop in tour.stops]
    assert {stop.place for stop in stops} == {*Place, None}


def test_no_two_pictures_have_one_name() -> None:
    """Each stop has a file of its own."""
    names = [stop.name for tour in TOURS for stop in tour.stops]
    assert len(names) == len(set(names))


async def test_a_tour_goes_from_stop_to_stop(tmp_path: Path) -> None:
    """Each stop is visited once, in its place, in the window in which it was reached."""
    seen: list[tuple[str, Place | None, int]] = []

    async def visit(stop: Stop, pilot: Pilot[Any]) -> None:
        seen.append((stop.name, place_of(pilot), pilot.app.size.width))
        await pilot.resize_terminal(60, 20)

    await take_tour(SMALL_TOUR, tmp_path, visit)
    assert seen == [("open", Place.OPEN, 80), ("help", Place.HELP, 80)]
