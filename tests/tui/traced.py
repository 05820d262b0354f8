"""A trace on the screen, its checks scripted: a lamp behind a relay, opened with keys as a person would."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from model.circuit.bench import Bench
from model.record import read_record
from model.record_entries import AnyEntry
from model.tracing.asking import Finding, Question
from model.tracing.complaint import Complaint
from tests.tui.builds import build, loads_of, opened
from tests.tui.on_screen import until
from tests.tui.traced_by_script import TracedByScript
from tui.app import FusewalkApp
from tui.screens.trace import TraceScreen
from tui.screens.trace_ask import TraceAskScreen
from tui.screens.trace_found import FoundScreen
from tui.widgets.reading import Answering, ReadingLine

RELAY_LAMP = """format = 1
build = { name = "Relay lamp", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" } ]
locations = [ { name = "nose", reach = "two screws" }, { name = "dash" } ]
batteries = [ { id = "G1", emf = 12.7, ohms = 0.01 } ]
fuses = [ { id = "F1", amps = 10, location = "dash" } ]
switches = [ { id = "S1", label = "Key", key = true, positions = { off = [], ignition = [[1, 2]] } } ]
relays = [ { id = "K1", label = "Lamp relay", location = "dash" } ]
loads = [
  { id = "E1", label = "Lamp", kind = "lamp", watts = 55, location = "nose" },
  { id = "E2", label = "Tell-tale", kind = "lamp", watts = 2, location = "dash" },
]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 2.5, length = 1 },
  { id = "W2", from = "F1.out", to = "S1.1", colour = "RD/BK" },
  { id = "W3", from = "S1.2", to = "K1.86", colour = "GN" },
  { id = "W4", from = "K1.85", to = "CHASSIS", colour = "BK" },
  { id = "W5", from = "F1.out", to = "K1.30", colour = "RD" },
  { id = "W6", from = "K1.87", to = "E1.+", colour = "GN/WH" },
  { id = "W7", from = "E1.-", to = "CHASSIS", colour = "BK" },
  { id = "W8", from = "G1.-", to = "CHASSIS", colour = "BK", size = 25 },
  { id = "W9", from = "K1.87", to = "E2.+", colour = "GN/WH" },
  { id = "W10", from = "E2.-", to = "CHASSIS", colour = "BK" },
]
"""
"""The script of it: volts at ``F1.out``, volts at ``E1.-``, whether K1 pulls in, a test lamp at ``F1.out``."""

LOAD = "E1:load"


def scripted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every trace ask its checks in turn."""

    def make(bench: Bench, complaint: Complaint, learned: object) -> TracedByScript:
        return TracedByScript(bench, complaint)

    monkeypatch.setattr("tui.trace_record.make_trace", make)


def trace_of(app: FusewalkApp) -> TraceScreen:
    """Return the trace, which is on top."""
    assert isinstance(app.screen, TraceScreen)
    return app.screen


def asked_of(app: FusewalkApp) -> Question:
    """Return what is asked."""
    question = trace_of(app).question
    assert question is not None
    return question


def finding_of(app: FusewalkApp) -> Finding:
    """Return how the trace below the finding ended."""
    seen = next(screen.seen for screen in app.screen_stack if isinstance(screen, TraceScreen))
    assert seen is not None
    assert isinstance(seen.now, Finding)
    return seen.now


def answering_of(app: FusewalkApp) -> Answering:
    """Return what the line of the answer says."""
    return app.screen.query_one(ReadingLine).answering


def entries_of(path: Path) -> tuple[AnyEntry, ...]:
    """Return what stands in the record of a build."""
    return read_record(path).entries


def kinds_of(path: Path) -> list[str]:
    """Return the kinds of the entries in the record of a build, in their order."""
    return [entry.kind for entry in entries_of(path)]


async def free(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Wait until the trace has taken in what it was told."""

    def is_free() -> bool:
        screens = [screen for screen in app.screen_stack if isinstance(screen, TraceScreen)]
        return not any(screen.is_busy for screen in screens)

    await until(pilot, is_free)
    await pilot.pause()


async def press(app: FusewalkApp, pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one after the other, each once the trace is free."""
    for key in keys:
        await pilot.press(key)
        await free(app, pilot)


async def to_the_proof(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Read a finding to its end with Enter, and go on from there."""
    while isinstance(app.screen, FoundScreen):
        await press(app, pilot, "enter")


async def asking(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Wait until what is asked before a trace stands there, and whether one was left is known."""

    def is_asking() -> bool:
        screen = app.screen
        return isinstance(screen, TraceAskScreen) and screen.is_looked_up and screen.choices is not None

    await until(pilot, is_asking)
    await pilot.pause()


async def begun(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Press t on the marked load, then Enter, and wait for the first check."""
    await pilot.press("t")
    await asking(app, pilot)
    await pilot.press("enter")
    await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None)
    await free(app, pilot)


@asynccontextmanager
async def tracing(
    directory: Path, text: str = RELAY_LAMP, size: tuple[int, int] = (80, 24), load: str = LOAD
) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any], Path]]:
    """Write a build, open it, and trace one of its loads up to the first check."""
    path = directory / "lamp.toml"
    if not path.exists():
        build(directory, text, path.name)
    async with opened(path, size) as (app, pilot):
        mark_load(app, load)
        await begun(app, pilot)
        yield app, pilot, path


def mark_load(app: FusewalkApp, load: str) -> None:
    """Mark a load in the list."""
    from tui.widgets.rows import RowList

    loads_of(app).query_one(RowList).mark_key(load)
