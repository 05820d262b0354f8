"""Every screen of the program reached by keys, as a person would reach it: what the pictures are drawn from."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from tui.app import FusewalkApp
from tui.commands import Place
from tui.terminal import Look

Visit = Callable[["Stop", Pilot[Any]], Awaitable[None]]
"""What is done at a stop."""

Act = Callable[[Pilot[Any]], Awaitable[None]]
"""What is done on the way to a stop."""

SIZES = ((60, 20), (80, 24), (120, 40))
"""Windows that every screen is designed for, in cells."""

_REACHED_IN = (80, 24)
_QUIET_ROUNDS = 3


@dataclass(frozen=True, slots=True)
class Stop:
    """One screen on a tour.

    Attributes
    ----------
    name
        Of its picture.
    place
        Where it is; None of the notice of a small window, which has no keys.
    keys
        What is pressed to come here from the stop before; behind ``=`` stands a text that is typed.
    act
        What is done after the keys; None where they are all.
    size
        The only size of the window, in cells, in which it is to be seen; None where it is seen in all.
    """

    name: str
    place: Place | None
    keys: tuple[str, ...] = ()
    act: Act | None = None
    size: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Tour:
    """Stops that follow on each other in one run of the program.

    Attributes
    ----------
    opens_file
        Whether it starts with a harness, else with the choice of one.
    """

    name: str
    stops: tuple[Stop, ...]
    opens_file: bool = True


def letters(text: str) -> tuple[str, ...]:
    """Return the keys that type a text."""
    named = {" ": "space", ".": "full_stop", "/": "slash", "-": "minus"}
    return tuple(named.get(letter, letter) for letter in text)


async def settled(pilot: Pilot[Any]) -> None:
    """Wait until nothing is being worked out any more."""
    quiet = 0
    while quiet < _QUIET_ROUNDS:
        await pilot.pause()
        is_quiet = all(worker.is_finished for worker in pilot.app.workers)
        quiet = quiet + 1 if is_quiet else 0
        if not is_quiet:
            await pilot.pause(0.02)


async def take_tour(tour: Tour, harness: Path, visit: Visit, look: Look = Look.DARK) -> None:
    """Run the program without a terminal from stop to stop, and let each be visited.

    Parameters
    ----------
    harness
        A copy that may be written to, beside which a record may be kept.
    visit
        Called at each stop; it may leave the window in another size, and the screen in another look.
    """
    app = FusewalkApp(harness if tour.opens_file else None, look)
    async with app.run_test(size=_REACHED_IN) as pilot:
        await settled(pilot)
        for stop in tour.stops:
            for key in stop.keys:
                await pilot.press(*(letters(key[1:]) if key.startswith("=") else (key,)))
                await settled(pilot)
            if stop.act is not None:
                await stop.act(pilot)
                await settled(pilot)
            await visit(stop, pilot)
            await resized(pilot, _REACHED_IN)


async def resized(pilot: Pilot[Any], size: tuple[int, int]) -> None:
    """Give the window another size, and wait until the screen has followed."""
    if tuple(pilot.app.size) != size:
        await pilot.resize_terminal(*size)
        await settled(pilot)


def place_of(pilot: Pilot[Any]) -> Place | None:
    """Return which place is on top; None of the notice of a small window, which has no keys."""
    return getattr(pilot.app.screen, "PLACE", None)
