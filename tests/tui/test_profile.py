"""The volts down a walk on one scale, from the walk and from a trace."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.sheets.volts_profile import Origin
from tests.tui.builds import BUGGY, LAMP, build, standing_of, told, walking
from tests.tui.on_screen import screen_text, until
from tests.tui.test_golden import check
from tests.tui.test_walk_as_built import keep_volts
from tests.tui.traced import press, scripted, tracing
from tui.app import FusewalkApp
from tui.commands import Place, commands_of
from tui.profile_rows import profile_columns
from tui.screens.card import CardScreen
from tui.screens.profile import ProfileScreen, TraceProfileScreen
from tui.screens.walk import WalkScreen
from tui.widgets.rows import RowList

SIZES = [
    (80, 24),
    pytest.param((60, 20), marks=pytest.mark.slow),
    pytest.param((120, 40), marks=pytest.mark.slow),
]


def profile_of(app: FusewalkApp) -> ProfileScreen:
    """Return the profile, which is on top."""
    assert isinstance(app.screen, ProfileScreen)
    return app.screen


def line_of(app: FusewalkApp, point: str) -> str:
    """Return the row of a point as it stands on the screen."""
    return next(line for line in screen_text(app).splitlines() if line[3:].startswith(f"{point} "))


@pytest.mark.parametrize("size", SIZES)
async def test_the_walk_leads_to_its_profile(tmp_path: Path, size: tuple[int, int]) -> None:
    """The row marked on the walk is marked there; what was read as built has its sign; the key moves the volts."""
    path = build(tmp_path, LAMP)
    keep_volts(path, "ignition", "E1.+", 9.8)
    async with walking(path, "E1:load", size) as (app, pilot):
        await pilot.press("home", "down", "down", "v")
        await told(app, pilot)
        await until(pilot, lambda: Origin.AS_BUILT in (profile_of(app).profile or _NONE).origins)
        await pilot.pause()
        check(app, "profile")
        marked = app.screen.query_one(RowList).marked_row
        assert marked is not None
        assert marked.key == "0 2"
        assert max(len(line.rstrip()) for line in screen_text(app).splitlines()) <= size[0]
        row = line_of(app, "E1.+")
        assert row.index("○") < row.index("│")
        await pilot.press("k")
        await until(pilot, lambda: "12.70 V: contact S1:1-2" in screen_text(app))
        assert standing_of(app).condition.key == "off"


class _None:
    origins: tuple[Origin, ...] = ()


_NONE = _None()


async def test_enter_shows_the_part_and_esc_the_walk_again(tmp_path: Path) -> None:
    """The marked point's card, back to the profile, back to the walk; the page is the sheet's own text."""
    async with walking(build(tmp_path, LAMP), "E1:load") as (app, pilot):
        await pilot.press("v")
        await told(app, pilot)
        page = profile_of(app).page()
        assert page is not None
        assert page.text.startswith(
            "Walk of E1:load, Lamp\n\nVolts down the walk, key ignition, 0 to 15 V\nLargest drop"
        )
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))
        await pilot.press("escape", "escape")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))


async def test_the_scale_keeps_its_room() -> None:
    """In a narrow list the drop goes before the computed volts, and the scale never under 22 cells; none is cut."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        await pilot.press("v")
        await told(app, pilot)
        profile = profile_of(app).profile
        assert profile is not None
        heads = {cells: [place for place, _ in profile_columns(profile, cells).shown] for cells in (40, 52, 75)}
        assert heads == {40: [0], 52: [0], 75: [0, 1]}
        assert all(profile_columns(profile, cells).chart >= 22 for cells in (52, 75, 115))


async def test_a_trace_has_what_it_has_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """9.80 V typed at F1.out stand on the scale with their sign and their word; Esc leads back to the check."""
    scripted(monkeypatch)
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "9", ".", "8", "enter")
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, TraceProfileScreen))
        await until(pilot, lambda: "● read" in screen_text(app))
        row = line_of(app, "F1.out")
        assert row.index("●") < row.index("│")
        assert "9.80" in row
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(app.screen, TraceProfileScreen)


def test_one_key_leads_there() -> None:
    """The same on the walk and in a trace, and no other command has it there."""
    for place in (Place.WALK, Place.TRACE):
        assert [command.id for command in commands_of(place) if "v" in command.keys] == ["profile"]
