"""Screens that fill a file in, driven with keys as a person would; a cart whose list left much open."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from tests.tui.on_screen import at_rest, screen_text, until
from tui.app import FusewalkApp
from tui.screens.form import FormScreen
from tui.screens.needs import NeedsScreen
from tui.widgets.rows import RowList

CART = """format = 1
build = { name = "Cart", nominal_volts = 12, revision = 3, note = "Assumed: nominal_volts." }
key_states = [ { name = "off" }, { name = "ignition" } ]
locations = [ { name = "nose" }, { name = "box" } ]
batteries = [ { id = "G1", location = "box" } ]
fuses = [ { id = "F1", amps = 10, note = "Assumed: amps." } ]  # in the box
switches = [
  { id = "S1", terminals = ["1", "2", "3"], positions = { off = [], on = [["1", "2"]] }, note = "Assumed: positions." },
]
relays = [
  { id = "K1", pins = { 30 = 1, 85 = 2, 86 = 3, 87 = 4 }, location = "box", note = "Assumed: pins." },
]
loads = [ { id = "E1", label = "Lamp", kind = "lamp", watts = 21, location = "nose" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", colour = "RD", size = 4, length = 1 },
  { id = "W2", from = "F1.out", to = "S1.1", colour = "RD", size = 1, length = 1 },
  { id = "W3", from = "S1.2", to = "K1.86", colour = "GN", size = 1, length = 2 },
  { id = "W4", from = "K1.85", to = "CHASSIS", colour = "BK", size = 1, length = 1 },
  { id = "W5", from = "F1.out", to = "K1.30", colour = "RD", size = 1, length = 1 },
  { id = "W6", from = "K1.87", to = "E1.+", colour = "GN/WH", size = 1 },
  { id = "W7", from = "E1.-", to = "CHASSIS", colour = "BK", size = 1, length = 1 },
  { id = "W8", from = "G1.-", to = "CHASSIS", colour = "BK", size = 10, length = 1 },
]
"""
"""It asks in this order: volts of the build, rating of F1, positions of S1, pins of K1, length of W6."""

_SIGNS = {" ": "space", "/": "slash", ".": "full_stop", ",": "comma", "-": "minus", "+": "plus", ";": "semicolon"}


def typed(words: str) -> list[str]:
    """Give the keys of some words."""
    return [_SIGNS.get(sign, "colon" if sign == ":" else sign) for sign in words]


async def press(app: FusewalkApp, pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one after the other, each once what came before is done."""
    for key in keys:
        await pilot.press(key)
        await at_rest(pilot)


async def asked(app: FusewalkApp, pilot: Pilot[Any]) -> NeedsScreen:
    """Open what the file still needs, and wait for its first question."""
    await pilot.press("f")
    await until(pilot, lambda: isinstance(app.screen, NeedsScreen) and app.screen.asked is not None)
    await at_rest(pilot)
    return needs_of(app)


def needs_of(app: FusewalkApp) -> NeedsScreen:
    """Return the questions, which are on top."""
    assert isinstance(app.screen, NeedsScreen)
    return app.screen


def form_of(app: FusewalkApp) -> FormScreen:
    """Return the form, which is on top."""
    assert isinstance(app.screen, FormScreen)
    return app.screen


def question_id(app: FusewalkApp) -> str:
    """Return what is asked now; empty where nothing is."""
    question = needs_of(app).question
    return "" if question is None else question.id


def marked(app: FusewalkApp) -> str:
    """Return the key of the marked row."""
    row = app.screen.query_one(RowList).marked_row
    return "" if row is None else row.key


async def mark(app: FusewalkApp, pilot: Pilot[Any], key: str) -> None:
    """Go to a row with the arrows."""
    await pilot.press("home")
    for _ in range(len(app.screen.query_one(RowList).rows)):
        if marked(app) == key:
            break
        await pilot.press("down")
    await at_rest(pilot)
    assert marked(app) == key


def shown(app: FusewalkApp) -> str:
    """Return what stands on the screen as one line of words."""
    return " ".join(screen_text(app).split())


def names(folder: Path) -> list[str]:
    """List the files of a folder that hold a harness, its record, or a revision of it."""
    return sorted(one.name for one in folder.iterdir() if one.suffix == ".toml")
