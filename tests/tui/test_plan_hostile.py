"""The plans of harnesses that nobody meant to be kind: nasty names everywhere, next to nothing in the file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from model.plans.plan import PlanKind
from tests.model.plan_rows import hostile_plan
from tests.tui.builds import build, opened
from tests.tui.hostile_build import hostile_build
from tests.tui.on_screen import until
from tests.tui.planned import listed, made_by_hand, plan_of, planning, ready
from tests.tui.test_hostile_build import NO_GROUND, ONE_WIRE, assert_harmless
from tui.app import FusewalkApp
from tui.commands import Place, commands_of, foot_of, help_of, key_label
from tui.screens.plan import PlanScreen
from tui.screens.plans import PlansScreen

KEYS = (
    *("0", "full_stop", "3", "enter", "g", "enter", "b", "enter", "s", "enter", "u", "f"),
    *("down", "a", "escape", "o", "escape", "c", "w"),
    *("slash", "1", "escape", "i", "x", "escape", "question_mark", "escape", "r", "down", "c", "w", "escape"),
    *("L", "L", "pagedown", "2", "4", "escape", "f", "end", "b", "enter", "home", "down"),
)


async def press_all(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Press every key of a plan."""
    for key in KEYS:
        await pilot.press(key)
        assert_harmless(app)


async def each_plan(path: Path, size: tuple[int, int], kinds: int = len(PlanKind)) -> None:
    """Open each plan of a build in turn and press every key in it."""
    async with opened(path, size) as (app, pilot):
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen), 3000)
        await listed(app, pilot)
        for place in range(kinds):
            await pilot.press("home", *["down"] * place, "enter")
            await until(pilot, lambda: isinstance(app.screen, PlanScreen), 3000)
            await until(pilot, lambda: plan_of(app).plan is not None and plan_of(app).keeper.is_open, 3000)
            plan = plan_of(app).plan
            if plan is not None and plan.rows:
                await ready(app, pilot)
            await press_all(app, pilot)
            while not isinstance(app.screen, PlansScreen):
                await pilot.press("escape")
                await pilot.pause()


@pytest.mark.slow
@pytest.mark.parametrize(
    "size",
    [(60, 20), pytest.param((40, 30), marks=pytest.mark.thorough), pytest.param((120, 40), marks=pytest.mark.thorough)],
)
async def test_nasty_names_break_no_plan(tmp_path: Path, size: tuple[int, int]) -> None:
    """Each plan of a harness with nasty names everywhere: no key breaks it and nothing is obeyed by a terminal."""
    await each_plan(build(tmp_path, hostile_build()), size)


@pytest.mark.slow
@pytest.mark.parametrize("text", [ONE_WIRE, pytest.param(NO_GROUND, marks=pytest.mark.thorough)])
async def test_next_to_nothing_breaks_no_plan(tmp_path: Path, text: str) -> None:
    """A plan without rows says that there is nothing to prove, or why, and every key can be pressed."""
    await each_plan(build(tmp_path, text), (80, 24))


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_a_plan_whose_every_text_is_nasty(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """Titles, places, sources and cautions with markup and escapes are shown, not obeyed."""
    made_by_hand(monkeypatch, hostile_plan().rows)
    async with planning(tmp_path, size) as (app, pilot, _):
        await press_all(app, pilot)


def test_every_key_of_the_plans_is_explained() -> None:
    """Each key stands in the help of its screen, in a line of its own or named in another."""
    for place in (Place.PLANS, Place.PLAN, Place.RECORD):
        told = " ".join(f"{keys} {words}" for keys, words in help_of(place)).replace(";", " ").replace(":", " ").split()
        hidden = {"explain_plan", "back", "loom_back"}
        for command in commands_of(place):
            if command.id not in hidden:
                assert key_label(command.keys[0]) in told, (place, command.id)
        assert foot_of(place)[0] == ("?", "help")
