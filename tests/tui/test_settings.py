"""The settings: everything that a hand can set, with what that does at once."""

from pathlib import Path

import pytest

from model.circuit.condition import Condition, settable_names, setting_choices
from model.harness.toml_file import read_harness
from tests.tui.builds import BUGGY, LAMP, build, opened, standing_of
from tests.tui.on_screen import screen_text, until
from tui.app import FusewalkApp
from tui.screens.loads import LoadsScreen
from tui.screens.settings import SettingsScreen
from tui.setting_rows import FOLLOWS_KEY, GROUPS, only, setting_rows, settings_of
from tui.standing import stand
from tui.widgets.rows import RowList


def settings_screen(app: FusewalkApp) -> SettingsScreen:
    """Return the settings, which are on top."""
    assert isinstance(app.screen, SettingsScreen)
    return app.screen


def test_everything_that_can_be_set_is_listed() -> None:
    """Each name that has a state is there once, with every position that a hand can give it; the key switch is not."""
    harness = read_harness(BUGGY)
    found = {one.name: one for one in settings_of(harness, Condition("off"))}
    assert set(found) == set(settable_names(harness)) - {"S1"}
    for name, one in found.items():
        assert set(one.choices) - {FOLLOWS_KEY} | {"in"} == set(setting_choices(harness, name)) | {"in"}, name
        assert one.now in one.choices
        assert not one.is_set
        assert one.group in GROUPS


def test_what_follows_the_key_says_so() -> None:
    """The oil switch, the alternator and the pump's driver tell what they do of themselves in the key state."""
    harness = read_harness(BUGGY)
    for key, told in (("off", ("closed", "off", "off")), ("running", ("open", "on", "on"))):
        found = {one.name: one for one in settings_of(harness, Condition(key))}
        assert tuple(found[name].follows for name in ("S22", "G2", "A1.pump")) == told
    set_by_hand = {one.name: one for one in settings_of(harness, Condition("running", (("S22", "closed"),)))}
    assert set_by_hand["S22"].now == "closed"
    assert set_by_hand["S22"].is_set


def test_each_position_can_be_set_and_put_back() -> None:
    """Going through the positions of everything once comes back to where it began."""
    standing = stand(BUGGY, read_harness(BUGGY))
    for name in ("S5", "S22", "G2", "A1.pump", "X3", "F23", "K7", "R1", "E11", "A1", "M2"):
        one = next(each for each in settings_of(standing.harness, standing.condition) if each.name == name)
        for choice in one.choices[1:]:
            turned = standing.with_setting(name, choice)
            again = next(each for each in settings_of(turned.harness, turned.condition) if each.name == name)
            assert again.now == choice, name
            assert again.is_set
            assert turned.without_setting(name) == standing


@pytest.mark.parametrize("cells", [30, 55, 75, 115])
def test_rows_fit_and_show_where_each_stands(cells: int) -> None:
    """No row is wider than its room, and each shows in brackets the position that it is in."""
    harness = read_harness(BUGGY)
    settings = settings_of(harness, Condition("off", (("S2", "head"),)))
    rows = {row.key: row.content.plain for row in setting_rows(settings, cells) if row.can_be_marked}
    if cells >= 55:
        assert all(len(row) <= cells + 2 for row in rows.values())
        assert all("[" in row for row in rows.values())
        assert "moved" in rows["S2"]
        assert "[head" in rows["S2"]


def test_the_filter_wants_every_word() -> None:
    """Words may stand in name, label, group or position."""
    settings = settings_of(read_harness(BUGGY), Condition("off"))
    assert [one.name for one in only(settings, "pump FUSES")] == ["F23", "F40"]
    assert [one.name for one in only(settings, "s19")] == ["S19"]
    assert only(settings, "zz") == []
    assert only(settings, " ") == settings


@pytest.mark.slow
async def test_a_setting_is_solved_at_once() -> None:
    """Space moves the marked switch on; the line on top counts the loads that work, the list behind follows."""
    async with opened(BUGGY) as (app, pilot):
        await pilot.press("s")
        await until(pilot, lambda: bool(settings_screen(app).settings))
        rows = settings_screen(app).query_one(RowList)
        assert rows.marked_row is not None
        assert rows.marked_row.key == "S2"
        await pilot.press("space", "right")
        await until(pilot, lambda: standing_of(app).condition.by_name == {"S2": "head"})
        loads = standing_of(app).survey().loads
        count = sum(load.state.value == "works" for load in loads.values())
        assert count > 2
        await until(pilot, lambda: f"switches and plugs, {count} of {len(loads)} circuits on" in screen_text(app))
        await pilot.press("left")
        assert standing_of(app).condition.by_name == {"S2": "side"}
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen) and app.screen.shown.now["E1:side"] == "works")


async def test_all_at_rest_in_one_key() -> None:
    """R puts everything back; the key stays where it is."""
    async with opened(BUGGY) as (app, pilot):
        app.standing = standing_of(app).turned(1).with_setting("F15", "out").with_setting("S2", "head")
        await pilot.press("s")
        await until(pilot, lambda: "Moved: " in screen_text(app))
        assert "Lighting switch head" in screen_text(app)
        await pilot.press("r")
        await until(pilot, lambda: "Everything is at rest." in screen_text(app))
        assert standing_of(app).condition == Condition("accessory")


@pytest.mark.slow
async def test_the_filter_on_the_screen() -> None:
    """What is typed after / narrows the list, letters are no commands there, Enter keeps it and Esc takes it away."""
    async with opened(BUGGY) as (app, pilot):
        await pilot.press("s")
        await until(pilot, lambda: bool(settings_screen(app).settings))
        rows = settings_screen(app).query_one(RowList)
        every = len(rows.rows)
        await pilot.press("slash", "k", "7")
        assert [row.key for row in rows.rows if row.can_be_marked] == ["K7"]
        assert standing_of(app).condition.key == "off"
        await pilot.press("enter", "space")
        assert standing_of(app).condition.by_name == {"K7": "out"}
        await pilot.press("slash", "q", "q")
        await pilot.pause()
        assert "Nothing that can be set has these letters." in screen_text(app)
        await pilot.press("escape")
        assert len(rows.rows) == every
        await pilot.press("space", "escape")
        assert isinstance(app.screen, LoadsScreen)


async def test_a_page_of_settings(tmp_path: Path) -> None:
    """What is sent is every setting with what it is in."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        await pilot.press("s")
        await until(pilot, lambda: bool(settings_screen(app).settings))
        await pilot.press("space", "c")
        assert "F1    [out]  moved" in app.clipboard
