"""No harness breaks a screen: nasty names everywhere, next to nothing in the file, circuits without rest."""

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from model.circuit.condition import Condition
from model.circuit.settle import Settled, settle
from model.errors import CircuitError
from model.harness.harness import Harness
from model.words import clean
from tests.tui.builds import LAMP, build, opened, standing_of, told
from tests.tui.hostile_build import LABELS, hostile_build
from tests.tui.on_screen import at_rest, screen_text, until
from tui.app import FusewalkApp
from tui.screens.card import CardScreen
from tui.screens.key_table import KeyTableScreen
from tui.screens.loads import LoadsScreen
from tui.screens.settings import SettingsScreen
from tui.screens.walk import WalkScreen
from tui.text import CUT

ONE_WIRE = """format = 1
build = { name = "One wire", nominal_volts = 12 }
key_states = [ { name = "on" } ]
batteries = [ { id = "G1" } ]
wires = [ { id = "W1", from = "G1.+" } ]
"""
NO_GROUND = """format = 1
build = { name = "No ground", nominal_volts = 12, chassis = false }
key_states = [ { name = "on" } ]
batteries = [ { id = "G1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
wires = [ { id = "W1", from = "G1.+", to = "E1.+" } ]
"""
BUZZER = """format = 1
build = { name = "Buzzer", nominal_volts = 12 }
key_states = [ { name = "on" } ]
batteries = [ { id = "G1" } ]
relays = [ { id = "K1", contacts = "changeover" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30" }, { id = "W2", from = "K1.87a", to = "K1.86" },
  { id = "W3", from = "K1.85", to = "G1.-" }, { id = "W4", from = "K1.87a", to = "E1.+" },
  { id = "W5", from = "E1.-", to = "G1.-" },
]
"""
NEVER_PROBED = LAMP.replace('kind = "lamp"', 'kind = "lamp", hazard = "restraint"')
KEYS = (
    *(
        "k",
        "K",
        "down",
        "end",
        "pageup",
        "enter",
        "escape",
        "m",
        "end",
        "k",
        "enter",
        "escape",
        "escape",
        "v",
        "end",
        "k",
        "enter",
        "escape",
        "escape",
        "a",
        "escape",
    ),
    *("b", "1", "2", "enter", "escape", "escape", "s", "down", "space", "left", "k", "slash", "x", "escape", "r"),
    *("escape", "c", "question_mark", "escape", "slash", "e", "escape"),
)


def shown_or_cut(text: str, label: str) -> bool:
    """Return whether a label stands in a text whole, or begun and cut with the sign for it."""
    words = clean(label).strip()
    return words in text or any(words[:end].rstrip() + CUT in text for end in range(1, len(words)))


def assert_harmless(app: FusewalkApp) -> None:
    """Check that nothing on the screen is obeyed by a terminal, and that the app runs on."""
    shown = screen_text(app).replace("\n", "")
    assert not [c for c in shown if ord(c) < 32 or 0x7F <= ord(c) < 0xA0 or c in "\u202e\u2066\u200f"]
    assert app.return_code is None


async def all_pages(app: FusewalkApp, pilot: Pilot[Any]) -> str:
    """Return all that the list of a screen shows, from its first row to its last."""
    await pilot.press("home")
    pages = []
    for _ in range(24):
        await pilot.pause()
        assert_harmless(app)
        pages.append(screen_text(app))
        await pilot.press("pagedown")
    return "\n".join(pages)


@pytest.mark.slow
@pytest.mark.parametrize(
    "size",
    [
        (60, 20),
        (120, 40),
        pytest.param((40, 12), marks=pytest.mark.thorough),
        pytest.param((80, 24), marks=pytest.mark.thorough),
    ],
)
async def test_nasty_names_on_every_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    """Each label stands whole or cut with the sign, in the loads, the walk, all key states, the settings and a card."""
    async with opened(build(tmp_path, hostile_build()), size) as (app, pilot):
        await pilot.press("n")
        await at_rest(pilot)
        listed = await all_pages(app, pilot)
        assert [label for label in LABELS if not shown_or_cut(listed, label)] == []
        await pilot.press("home", "enter")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))
        await told(app, pilot)
        walk = await all_pages(app, pilot)
        assert "K1.87" in walk
        await pilot.press("m")
        await until(pilot, lambda: isinstance(app.screen, KeyTableScreen))
        await told(app, pilot)
        assert "K1.87" in await all_pages(app, pilot)
        await pilot.press("escape", "s")
        await until(pilot, lambda: isinstance(app.screen, SettingsScreen) and bool(app.screen.settings))
        await pilot.press("space", "down", "space")
        settings = await all_pages(app, pilot)
        assert shown_or_cut(settings, "S1 [on]")
        assert shown_or_cut(settings, LABELS[7])
        await pilot.press("escape", "home", "enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))
        await all_pages(app, pilot)
        for key in ("escape", "slash", "1", "question_mark", "escape", "a", "escape"):
            await pilot.press(key)
            assert_harmless(app)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "size"),
    [
        (ONE_WIRE, (80, 24)),
        (NO_GROUND, (60, 20)),
        (BUZZER, (40, 12)),
        (NEVER_PROBED, (120, 40)),
    ],
)
async def test_no_harness_breaks_a_screen(tmp_path: Path, text: str, size: tuple[int, int]) -> None:
    """Whatever is missing from a harness, every key can be pressed on every screen and the app lives."""
    async with opened(build(tmp_path, text), size) as (app, pilot):
        for key in ("enter", *KEYS):
            await pilot.press(key)
            assert_harmless(app)


async def test_a_buzzing_relay_is_named(tmp_path: Path) -> None:
    """The list and the walk say which relay never comes to rest, and its points say unsettled."""
    async with opened(build(tmp_path, BUZZER), (100, 30)) as (app, pilot):
        assert "K1: buzzes; it never comes to rest." in screen_text(app)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))
        await told(app, pilot)
        assert "K1: buzzes; it never comes to rest." in screen_text(app)
        assert "unsettled" in screen_text(app)


@pytest.mark.slow
async def test_what_is_never_probed_shows_no_figure(tmp_path: Path) -> None:
    """At a restraint the row says that it is never probed, the step says why, and no volts stand in either."""
    async with opened(build(tmp_path, NEVER_PROBED), (80, 30)) as (app, pilot):
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))
        await told(app, pilot)
        walk = await all_pages(app, pilot)
        rows = [line for line in walk.splitlines() if "E1.+" in line and "red" not in line]
        assert any("never probed" in line for line in rows)
        assert not any("12." in line for line in rows if "never probed" in line)
        assert "No probe here." in walk


async def test_a_circuit_that_cannot_be_is_said_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a condition has no solution each screen says so in a line, and no dialog comes however often it turns."""

    def fails_with_the_key_on(harness: Harness, condition: Condition, *, first_emf: float | None = None) -> Settled:
        if condition.key == "ignition":
            raise CircuitError("The circuit finds no rest.", do="Look for a loop.")
        return settle(harness, condition, first_emf=first_emf)

    monkeypatch.setattr("model.circuit.survey.settle", fails_with_the_key_on)
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        for _ in range(3):
            await pilot.press("k")
            await pilot.pause()
        await until(pilot, lambda: "The circuit finds no rest. Look for a loop." in screen_text(app))
        assert isinstance(app.screen, LoadsScreen)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))
        await until(pilot, lambda: "The circuit finds no rest." in screen_text(app))
        await pilot.press("m", "escape", "s", "escape", "escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        assert standing_of(app).condition.key == "ignition"
