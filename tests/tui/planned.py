"""Plans on the screen: a small plan made by hand in place of those worked out, opened with keys as a person would."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from model.harness.harness import Harness
from model.plans.plan import LoomState, Plan, PlanKind, PlanRow
from model.record import read_record
from model.record_entries import AnyEntry, Measured
from tests.model.plan_rows import ROWS, WHEN, small_plan
from tests.tui.builds import build, opened
from tests.tui.on_screen import at_rest, until
from tui.app import FusewalkApp
from tui.screens.plan import PlanScreen
from tui.screens.plans import PlansScreen
from tui.widgets.rows import RowList

RIG = """format = 1
build = { name = "Rig", nominal_volts = 12, revision = 3 }
key_states = [ { name = "on" } ]
locations = [ { name = "fuse box", reach = "two clips" }, { name = "tank" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 15, location = "fuse box" }, { id = "F2", amps = 10, location = "fuse box" } ]
loads = [
  { id = "M1", kind = "motor", amps = 6, label = "Fuel pump", location = "tank" },
  { id = "P1", kind = "horn", amps = 4 },
]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", size = 1.5, length = 1 },
  { id = "W2", from = "F1.out", to = "M1.+", size = 1.5, length = 1 },
  { id = "W3", from = "M1.-", to = "CHASSIS", size = 1.5, length = 1 },
  { id = "W4", from = "G1.+", to = "F2.in", size = 1.5, length = 1 },
  { id = "W5", from = "F2.out", to = "P1.+", size = 1.5, length = 1 },
  { id = "W6", from = "P1.-", to = "CHASSIS", size = 1.5, length = 1 },
  { id = "W7", from = "G1.-", to = "CHASSIS", size = 1.5, length = 1 },
]
"""
"""The harness that the small plan is of."""


def made_by_hand(monkeypatch: pytest.MonkeyPatch, rows: tuple[PlanRow, ...] = ROWS) -> None:
    """Let the continuity plan be the small one, and every other empty; the clock stands still."""

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        if kind is PlanKind.CONTINUITY:
            return small_plan(rows)
        return Plan(kind, harness.build.name, harness.build.revision, ())

    def still() -> datetime:
        return WHEN

    monkeypatch.setattr("model.plans.every_plan.make_plan", make)
    monkeypatch.setattr("tui.plan_keeper.now", still)


def plan_of(app: FusewalkApp) -> PlanScreen:
    """Return the plan, which is on top."""
    assert isinstance(app.screen, PlanScreen)
    return app.screen


def measured_in(path: Path) -> list[Measured]:
    """Return what was measured, as it stands in the record of a build."""
    return [entry for entry in entries_in(path) if isinstance(entry, Measured)]


def entries_in(path: Path) -> tuple[AnyEntry, ...]:
    """Return what stands in the record of a build."""
    return read_record(path).entries


async def ready(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Wait until the plan on top takes answers."""
    await until(pilot, lambda: isinstance(app.screen, PlanScreen) and app.screen.can_answer(), 3000)
    await pilot.pause()


async def written(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Wait until all that was answered is on the disk, or cannot be."""
    await at_rest(pilot)


async def type_in(app: FusewalkApp, pilot: Pilot[Any], *readings: str) -> None:
    """Type readings, each with Enter behind it, and wait until they are written."""
    names = {".": "full_stop", ",": "comma", "-": "minus", " ": "space"}
    for reading in readings:
        await pilot.press(*(names.get(sign, sign) for sign in reading), "enter")
    await written(app, pilot)


@asynccontextmanager
async def listing(directory: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any]]]:
    """Open the harness and the list of its plans, all of them made."""
    path = directory / "rig.toml"
    if not path.exists():
        build(directory, RIG, path.name)
    async with opened(path, size) as (app, pilot):
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen), 3000)
        await listed(app, pilot)
        yield app, pilot


async def listed(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Wait until the list of plans on top has counted them all."""

    def is_listed() -> bool:
        screen = app.screen
        return isinstance(screen, PlansScreen) and all(line.plan or line.trouble for line in screen.lines)

    await until(pilot, is_listed, 3000)
    await written(app, pilot)


@asynccontextmanager
async def planning(
    directory: Path, size: tuple[int, int] = (80, 24)
) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any], Path]]:
    """Open the harness, then its continuity plan, and wait until it takes answers."""
    async with listing(directory, size) as (app, pilot):
        await pilot.press("enter")
        await ready(app, pilot)
        yield app, pilot, directory / "rig.toml"


def marked_key(app: FusewalkApp) -> str:
    """Return the key of the marked row."""
    marked = app.screen.query_one(RowList).marked_row
    return "" if marked is None else marked.key
