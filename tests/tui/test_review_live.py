"""What is live, on the screen: it follows key and settings, lists by feed or by place, and compares."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from textual.pilot import Pilot

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.toml_file import read_harness
from model.review.live_compared import compared
from model.review.live_points import LiveKind, live_points
from tests.tui.builds import BUGGY, LAMP, build, opened, standing_of
from tests.tui.on_screen import at_rest, screen_text, until
from tui.app import FusewalkApp
from tui.review_rows import Laid
from tui.screens.dialog import MessageDialog
from tui.screens.live import LiveScreen
from tui.screens.reviews import ReviewsScreen
from tui.screens.settings import SettingsScreen
from tui.widgets.bars import BottomBar
from tui.widgets.sheet_rows import SheetRows

NEVER_PROBED = LAMP.replace('kind = "lamp"', 'kind = "lamp", hazard = "restraint"')


async def look(app: FusewalkApp, pilot: Pilot[Any], *keys: str) -> LiveScreen:
    """Open what is live from the loads, once keys have been pressed there."""
    await pilot.press(*keys, "o")
    await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
    await pilot.press("home", "enter")
    await until(pilot, lambda: isinstance(app.screen, LiveScreen) and bool(app.screen.laid.rows))
    await at_rest(pilot)
    screen = app.screen
    assert isinstance(screen, LiveScreen)
    return screen


def parts_of(screen: LiveScreen) -> list[str]:
    """Return the points that the rows lead to."""
    return [told.part for told in screen.laid.told.values()]


def text_of(screen: LiveScreen) -> str:
    """Return what all rows say, in one line."""
    return " ".join(" ".join(row.content.plain for row in screen.query_one(SheetRows).rows).split())


async def test_it_opens_with_the_key_off_and_all_at_rest(tmp_path: Path) -> None:
    """With the key turned and a fuse pulled before, it is as the list of reviews counts; then all is as it was."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        await until(pilot, lambda: app.standing is not None)
        app.standing = standing_of(app).with_setting("F1", "out")
        before = standing_of(app).turned(1).condition
        screen = await look(app, pilot, "k")
        assert screen.facts.key_state == "off"
        assert standing_of(app).condition == Condition("off")
        assert "F1.out" in parts_of(screen)
        await pilot.press("k", "k", "escape")
        await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
        assert standing_of(app).condition == before


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_live_points_stand_on_the_first_page(size: tuple[int, int]) -> None:
    """The cautions take one row before them, a shows them whole before the marked row; the mark is in sight."""
    async with opened(BUGGY, size) as (app, pilot):
        screen = await look(app, pilot)
        told = screen_text(app)
        assert told.index("Caution: No fuse stands before this metal") < told.index("› G1.+")
        assert " a: all 4" in told
        assert screen.query_one(SheetRows).marked_row in screen.query_one(SheetRows).in_window()
        await pilot.press("a")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        dialog = app.screen
        assert isinstance(dialog, MessageDialog)
        cautions = [words for words in dialog.sentences if words.startswith("Caution: ")]
        assert len(cautions) == 4
        assert dialog.sentences[4] == "Point: G1.+ (Battery)"


@pytest.mark.slow
async def test_cautions_are_whole_where_half_of_the_rows_is_left() -> None:
    """At 120 x 40 all four stand in sentences over the points, and more than half of the rows is below them."""
    async with opened(BUGGY, (120, 40)) as (app, pilot):
        screen = await look(app, pilot)
        rows = screen.query_one(SheetRows)
        texts = [row.content.plain for row in rows.rows]
        assert sum(words.startswith("Caution: ") for words in texts) == 4
        assert not any("a: all" in words for words in texts)
        assert 2 * texts.index("Without a fuse") < rows.size.height
        assert rows.marked_row in rows.in_window()


async def test_it_follows_the_key(tmp_path: Path) -> None:
    """Turned on, the lamp comes alive; turned back, it is gone; the line counts what the model gives."""
    path = build(tmp_path, LAMP)
    bench = Bench(read_harness(path))
    async with opened(path) as (app, pilot):
        screen = await look(app, pilot)
        assert "E1.+" not in text_of(screen)
        for key, name in (("k", "ignition"), ("K", "off")):
            await pilot.press(key)
            await until(pilot, lambda aim=name: screen.facts.key_state == aim)  # type: ignore[misc]
            await at_rest(pilot)
            points = live_points(bench.survey(Condition(name))).points
            count = sum(one.kind is not LiveKind.GROUND for one in points)
            assert f"{count} points live with the key {name}" in screen_text(app)
            assert ("E1.+" in text_of(screen)) == (name == "ignition")


async def test_it_follows_a_setting(tmp_path: Path) -> None:
    """A fuse pulled in the settings leaves nothing live behind it, and it is named as set."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        screen = await look(app, pilot)
        assert "F1.out" in parts_of(screen)
        await pilot.press("s")
        await until(pilot, lambda: isinstance(app.screen, SettingsScreen))
        app.standing = standing_of(app).with_setting("F1", "out")
        await at_rest(pilot)
        await pilot.press("escape")
        await until(pilot, lambda: app.screen is screen)
        await at_rest(pilot)
        assert "F1.out" not in parts_of(screen)
        assert "F1 out" in text_of(screen)


@pytest.mark.slow
async def test_by_place_and_by_feed_have_the_same_points() -> None:
    """N lists by place and back by feed; no point is lost on the way, and each is under the place it is in."""
    async with opened(BUGGY) as (app, pilot):
        screen = await look(app, pilot)
        by_feed = text_of(screen)
        assert "Fuse by fuse" in by_feed
        points = set(parts_of(screen))
        await pilot.press("n")
        await until(pilot, lambda: "by place" in screen.facts.doing)
        await at_rest(pilot)
        assert "Fuse by fuse" not in text_of(screen)
        assert "Fuse panel, under the dash, two turn catches" in text_of(screen)
        assert set(parts_of(screen)) == points
        await pilot.press("n")
        await at_rest(pilot)
        assert text_of(screen) == by_feed


@pytest.mark.slow
async def test_comparing_shows_only_what_the_next_key_state_changes() -> None:
    """V counts and lists what comes alive, dies and changes, volts in both key states; V again shows all."""
    bench = Bench(read_harness(BUGGY))
    before, after = (bench.survey(Condition(key)) for key in ("off", "accessory"))
    found = compared(before, after)
    assert found.alive
    async with opened(BUGGY) as (app, pilot):
        screen = await look(app, pilot)
        whole = text_of(screen)
        await pilot.press("v")
        await until(pilot, lambda: "next key" in screen.facts.doing)
        await at_rest(pilot)
        assert f"off to accessory: {len(found.alive)} come alive, none die" in screen_text(app)
        changed = {one.point for one in (*found.alive, *found.dead, *found.changed)}
        assert parts_of(screen)
        assert set(parts_of(screen)) <= changed
        assert all(point in text_of(screen) for point in changed)
        await pilot.press("v")
        await at_rest(pilot)
        assert text_of(screen) == whole


async def test_the_mark_stays_on_its_point_when_the_key_turns(tmp_path: Path) -> None:
    """What was looked at is looked at still, with its new volts."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        screen = await look(app, pilot)
        screen.query_one(SheetRows).mark_key("F1.out")
        await pilot.press("k")
        await until(pilot, lambda: screen.facts.key_state == "ignition")
        await at_rest(pilot)
        told = screen.marked()
        assert told is not None
        assert told.part == "F1.out"


async def test_one_key_state_has_nothing_to_compare_with(tmp_path: Path) -> None:
    """V says so and shows on."""
    text = LAMP.replace('{ name = "off" }, ', "").replace("off = [], ", "")
    async with opened(build(tmp_path, text)) as (app, pilot):
        screen = await look(app, pilot)
        await pilot.press("v")
        assert app.screen.query_one(BottomBar).said == "There is only one key state."
        assert not screen.is_compared


async def test_no_figure_stands_where_no_probe_goes(tmp_path: Path) -> None:
    """A restraint's live point says so in place of its volts, and the caution stands on top."""
    async with opened(build(tmp_path, NEVER_PROBED)) as (app, pilot):
        screen = await look(app, pilot)
        await pilot.press("k")
        await until(pilot, lambda: screen.facts.key_state == "ignition")
        await at_rest(pilot)
        rows = [row.content.plain for row in screen.query_one(SheetRows).rows]
        lamp = next(row for row in rows if "E1.+" in row and "no probe" in row)
        assert "12." not in lamp
        assert rows[0].startswith("Caution: ")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(40, 12), (60, 20), (200, 60)])
async def test_resizing_fits_the_rows(size: tuple[int, int]) -> None:
    """No row is wider than the window after a change of size, only cautions are cut, and the marked row is in it."""
    async with opened(BUGGY) as (app, pilot):
        screen = await look(app, pilot)
        await pilot.press("end")
        await pilot.resize_terminal(*size)
        await at_rest(pilot)
        rows = screen.query_one(SheetRows)
        assert all(row.content.cell_length <= rows.room for row in rows.rows)
        assert "…" not in text_of(screen).replace("… a: all", "")
        assert rows.marked_row in rows.in_window()


async def test_what_is_written_bears_the_name_of_the_file_and_of_the_key(tmp_path: Path) -> None:
    """Sheets of two key states, and of two looms in one directory, are told apart by their names."""
    path = build(tmp_path, LAMP)
    async with opened(path) as (app, pilot):
        screen = await look(app, pilot)
        key = standing_of(app).condition.key
        page = screen.page()
    assert page is not None
    assert page.name == f"{path.stem} live points {key}"


async def test_rows_of_the_key_state_before_come_no_more(tmp_path: Path) -> None:
    """What is laid out still as the key turns is of another condition: nothing stands below the word of waiting."""
    is_laying, may_come = Event(), Event()
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        screen = await look(app, pilot)
        reviewed = screen.reviewed
        assert reviewed is not None

        def slowly(cells: int, height: int) -> Laid:
            is_laying.set()
            assert may_come.wait(20)
            return reviewed.lay(cells, height)

        screen.show_reviewed(replace(reviewed, lay=slowly))
        await until(pilot, is_laying.is_set)
        screen.show_nothing("It is being worked out.")
        may_come.set()
        await at_rest(pilot)
        assert screen.query_one(SheetRows).rows == ()
