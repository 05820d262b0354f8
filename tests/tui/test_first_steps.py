"""The first steps: what they say, when they come, and that they stand in nobody's way."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from model.tracing.complaint import Complaint
from tests.tui.builds import LAMP, build, opened, told
from tests.tui.on_screen import screen_text, until
from tui import remembered
from tui.__main__ import main
from tui.app import FusewalkApp, run
from tui.commands import Place, foot_of
from tui.places import config_directory, state_directory
from tui.screens.card import CardScreen
from tui.screens.help import HelpScreen
from tui.screens.loads import LoadsScreen
from tui.screens.settings import SettingsScreen
from tui.screens.walk import WalkScreen
from tui.step_words import STEPS_COUNT, step_at, step_keys, step_words
from tui.terminal import Options
from tui.widgets.bars import BottomBar
from tui.widgets.rows import RowList


@asynccontextmanager
async def first_start(path: Path, size: tuple[int, int] = (60, 20)) -> AsyncIterator[tuple[FusewalkApp, Pilot[Any]]]:
    """Open a harness as the program does at its very first start, and wait until the first step stands there."""
    app = FusewalkApp(path)
    app.begins_with_steps = remembered.is_first_start()
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and bool(app.screen.counts))
        await until(pilot, lambda: app.standing is not None and app.standing.solved() is not None)
        await pilot.pause()
        yield app, pilot


def step_on(app: FusewalkApp) -> str:
    """Return what the first steps say on the screen on top."""
    return app.screen.query_one(BottomBar).step


def test_each_step_is_short() -> None:
    """Two sentences or three, in four lines of the smallest window; none is said where they are over or not at home."""
    for step in range(1, STEPS_COUNT + 1):
        place = Place.LOADS if step == 1 else Place.WALK
        assert step_at(step, place) == step
        assert len(step_words(step, place)) <= 4 * 37
        assert ("Esc", "end first steps") in step_keys(step, place, foot_of(place))[:2]
    for place in Place:
        assert step_words(0, place) == ""
        assert step_keys(0, place, foot_of(place)) == foot_of(place)
        if place not in {Place.LOADS, Place.WALK}:
            assert step_words(2, place) == ""


@pytest.mark.parametrize("size", [(40, 12), pytest.param((60, 20), marks=pytest.mark.thorough)])
async def test_enter_leads_through_the_four(tmp_path: Path, size: tuple[int, int]) -> None:
    """The list, its walk, the key, the trace: each sentence is whole on the screen, and after the last all is usual."""
    async with first_start(build(tmp_path, LAMP), size) as (app, pilot):
        for step in range(1, STEPS_COUNT + 1):
            place = Place.LOADS if step == 1 else Place.WALK
            assert step_on(app) == step_words(step, place)
            shown = " ".join(screen_text(app).split())
            assert step_words(step, place) in shown
            assert "Esc end first steps" in shown
            assert app.screen.query_one(RowList).size.height >= 1
            await pilot.press("enter")
            if step == 1:
                await told(app, pilot)
            await pilot.pause()
        assert isinstance(app.screen, WalkScreen)
        assert step_on(app) == ""
        assert app.step == 0
        await pilot.press("enter")
        assert isinstance(app.screen, CardScreen)


async def test_escape_ends_them_for_good(tmp_path: Path) -> None:
    """Esc ends the first steps and nothing else; the next Esc goes back as ever, and no later start has them."""
    path = build(tmp_path, LAMP)
    async with first_start(path) as (app, pilot):
        await pilot.press("enter")
        await told(app, pilot)
        await pilot.press("escape")
        assert isinstance(app.screen, WalkScreen)
        assert step_on(app) == ""
        await pilot.press("escape")
        assert isinstance(app.screen, LoadsScreen)
        assert step_on(app) == ""
    assert not remembered.is_first_start()
    async with first_start(path) as (app, _):
        assert step_on(app) == ""


@pytest.mark.slow
async def test_other_keys_do_what_they_always_do(tmp_path: Path) -> None:
    """Keys, settings, help and an entry answer at once; Enter and Esc on other screens are not taken."""
    async with first_start(build(tmp_path, LAMP)) as (app, pilot):
        await pilot.press("k")
        await until(pilot, lambda: app.standing is not None and app.standing.condition.key == "ignition")
        await pilot.press("s")
        assert isinstance(app.screen, SettingsScreen)
        assert step_on(app) == ""
        await pilot.press("escape")
        assert isinstance(app.screen, LoadsScreen)
        await pilot.press("question_mark", "escape", "enter")
        await told(app, pilot)
        await pilot.press("b")
        await until(pilot, lambda: isinstance(app.focused, Input))
        await pilot.press("1", "2", "full_stop", "1", "enter")
        await until(pilot, lambda: app.standing is not None and app.standing.posts is not None)
        await told(app, pilot)
        await pilot.press("w")
        assert "Written to" in screen_text(app)
        assert app.step == 1
        await pilot.press("enter")
        assert step_on(app) == step_words(3, Place.WALK)


@pytest.mark.parametrize("kept", ["recent", "first-steps", "settings.toml"])
def test_the_first_start_is_the_first_only(kept: str) -> None:
    """Whatever is remembered, it is no first start any more."""
    assert remembered.is_first_start()
    directory = config_directory() if kept == "settings.toml" else state_directory()
    directory.mkdir(parents=True)
    (directory / kept).touch()
    assert not remembered.is_first_start()


async def test_nowhere_to_remember_is_no_trouble(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the state cannot be kept they are shown, and shown again the next time."""
    (tmp_path / "blocked").touch()
    for variable in ("XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(variable, str(tmp_path / "blocked"))
    async with first_start(build(tmp_path, LAMP)) as (app, _):
        assert step_on(app) == step_words(1, Place.LOADS)
    assert remembered.is_first_start()


@pytest.mark.slow
async def test_they_can_be_had_again(tmp_path: Path) -> None:
    """Under f in the help, and by a word in the search, they begin anew; elsewhere it is said where they begin."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        assert step_on(app) == ""
        await pilot.press("question_mark", "f")
        assert not isinstance(app.screen, HelpScreen)
        assert step_on(app) == step_words(1, Place.LOADS)
        await pilot.press("escape", "s", "question_mark", "f")
        assert "The first steps begin in the list of loads." in screen_text(app)
        await pilot.press("escape")
        assert step_on(app) == step_words(1, Place.LOADS)
        await pilot.press("escape")
        assert step_on(app) == ""
        await pilot.press("slash")
        await until(pilot, lambda: isinstance(app.focused, Input))
        await pilot.press(*"first", "enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        assert step_on(app) == step_words(1, Place.LOADS)


def test_the_command_line_asks_for_them_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A start from the command line has them where nothing is remembered; one that traces at once has none."""
    begun: list[bool] = []

    def looked_at(app: FusewalkApp, **_: object) -> None:
        begun.append(app.begins_with_steps)

    monkeypatch.setattr(FusewalkApp, "run", looked_at)
    monkeypatch.setattr("tui.terminal.why_no_screen", lambda *_: "")
    path = build(tmp_path, LAMP)
    assert main([str(path)]) == 0
    assert run(path, Options()) == 0
    remembered.remember_first_steps()
    assert main([str(path)]) == 0
    assert begun == [True, False, False]


async def test_they_are_not_told_over_a_trace(tmp_path: Path) -> None:
    """Who starts with a complaint has come to trace: nothing is told then, nor later."""
    app = FusewalkApp(build(tmp_path, LAMP))
    app.begins_with_steps = True
    app.complaint = Complaint(("E1:load",))
    async with app.run_test() as pilot:
        await until(pilot, lambda: app.standing is not None)
        await pilot.pause()
        assert app.step == 0
    assert not remembered.is_first_start()
