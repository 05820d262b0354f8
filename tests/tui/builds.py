"""Builds for the tests of the screens that look at a harness, and how to get there."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from tests.tui.on_screen import until
from tui.app import FusewalkApp
from tui.screens.loads import LoadsScreen
from tui.screens.told import ToldScreen
from tui.screens.walk import WalkScreen
from tui.standing import Standing

BUILDS = Path(__file__).parent.parent.parent / "demo_builds"
BUGGY = BUILDS / "trail_buggy.toml"
TRACTOR = BUILDS / "field_tractor.toml"

LAMP = """format = 1
build = { name = "Lamp", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" } ]
locations = [ { name = "nose", reach = "two screws" } ]
batteries = [ { id = "G1", emf = 12.7, ohms = 0.01 } ]
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", label = "Key", key = true, positions = { off = [], ignition = [[1, 2]] } } ]
loads = [ { id = "E1", label = "Lamp", kind = "lamp", watts = 55, location = "nose" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 2.5, length = 1 },
  { id = "W2", from = "F1.out", to = "S1.1", colour = "RD/BK" },
  { id = "W3", from = "S1.2", to = "E1.+", colour = "GN" },
  { id = "W4", from = "E1.-", to = "CHASSIS", colour = "BK" },
  { id = "W5", from = "G1.-", to = "CHASSIS", colour = "BK", size = 25 },
]
"""
"""A lamp behind the key: dead with the key off."""


def build(directory: Path, text: str, name: str = "build.toml") -> Path:
    """Write a harness file and return where."""
    path = directory / name
    path.write_text(text, encoding="utf-8", errors="surrogatepass")
    return path


def standing_of(app: FusewalkApp) -> Standing:
    """Return what the screens look at."""
    assert app.standing is not None
    return app.standing


def loads_of(app: FusewalkApp) -> LoadsScreen:
    """Return the list of loads, which is on top."""
    assert isinstance(app.screen, LoadsScreen)
    return app.screen


def walk_of(app: FusewalkApp) -> WalkScreen:
    """Return the walk, which is on top."""
    assert isinstance(app.screen, WalkScreen)
    return app.screen


@asynccontextmanager
async def opened(path: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any]]]:
    """Open a build and wait until what its loads do now stands in the list."""
    app = FusewalkApp(path)
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        await until(pilot, lambda: app.standing is not None and app.standing.solved() is not None)
        await pilot.pause()
        yield app, pilot


async def told(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Wait until the walk on top is told for what stands now."""
    await until(pilot, lambda: isinstance(app.screen, ToldScreen) and app.screen.now is not None)
    await pilot.pause()


@asynccontextmanager
async def walking(
    path: Path, element: str, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any]]]:
    """Open a build, then the walk of one of its loads, and wait until it is told."""
    async with opened(path, size) as (app, pilot):
        loads_of(app).open_walk(element)
        await told(app, pilot)
        yield app, pilot
