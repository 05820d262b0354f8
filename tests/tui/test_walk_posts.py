"""The posts typed on a walk: followed, refused, those of the first battery."""

import math
from pathlib import Path
from threading import Event

import pytest

from tests.tui.builds import BUGGY, LAMP, TRACTOR, build, loads_of, opened, standing_of, told, walk_of, walking
from tests.tui.on_screen import screen_text, until
from tui.screens.walk import WalkScreen
from tui.standing import Standing
from tui.widgets.entry import VoltsEntry
from tui.widgets.rows import RowList


@pytest.mark.slow
async def test_volts_typed_at_the_posts_are_followed() -> None:
    """What was read across the posts is echoed in words and counts with Enter; nothing typed takes it back."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        await pilot.press("b")
        entry = app.screen.query_one(VoltsEntry)
        for key in ("1", "2", "comma", "3"):
            await pilot.press(key)
        await pilot.pause()
        assert "12.30 V." in screen_text(app)
        assert standing_of(app).posts is None
        await pilot.press("enter")
        await until(pilot, lambda: standing_of(app).posts is not None)
        await told(app, pilot)
        assert not entry.display
        assert "12.30 V read" in screen_text(app).splitlines()[0]
        row = next(row for row in walk_of(app).query_one(RowList).rows if "G1.+" in row.content.plain)
        assert "12.30" in row.content.plain.split()
        volts = standing_of(app).survey().settled.posts_volts
        assert math.isclose(volts, 12.3, abs_tol=1e-5)
        await pilot.press("k", "k")
        await told(app, pilot)
        assert "V, not read" in screen_text(app).splitlines()[0]
        await pilot.press("b", "enter")
        await until(pilot, lambda: standing_of(app).posts is None)


@pytest.mark.slow
async def test_what_is_no_reading_counts_for_nothing() -> None:
    """Letters, two points and volts that no battery has are said to be none; Esc empties, then leaves."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        await pilot.press("b", "k", "1")
        await pilot.pause()
        assert "That is no reading" in screen_text(app)
        await pilot.press("enter")
        assert standing_of(app).posts is None
        assert standing_of(app).condition.key == "ignition"
        await pilot.press("escape", "9", "9", "enter")
        await until(pilot, lambda: "cannot read 99 V" in screen_text(app))
        await pilot.press("escape", "escape")
        assert not app.screen.query_one(VoltsEntry).display
        assert isinstance(app.screen, WalkScreen)
        await pilot.press("down")
        assert app.screen.query_one(RowList).marked_row is not None
        assert app.screen.focused is app.screen.query_one(RowList)


async def test_the_posts_asked_for_are_those_of_the_first_battery() -> None:
    """The entry names the battery; a minus, as the meter shows it on a positive-ground vehicle, is taken as its amount.

    The tractor's battery has 6 V: its posts cannot read more than 9 V.
    """
    async with opened(TRACTOR) as (app, pilot):
        walk = WalkScreen(loads_of(app).shown.lines[0].name)
        app.push_screen(walk)
        await told(app, pilot)
        await pilot.press("b")
        await pilot.pause()
        assert "posts of G1, the first battery" in screen_text(app)
        await pilot.press("minus", "9", "comma", "5", "enter")
        await until(pilot, lambda: "cannot read 9.5 V" in " ".join(screen_text(app).split()))
        assert standing_of(app).posts is None
        await pilot.press("escape", "minus", "6", "full_stop", "1", "enter")
        await until(pilot, lambda: standing_of(app).posts is not None)
        posts = standing_of(app).posts
        assert posts is not None
        assert math.isclose(posts.volts, 6.1)


async def test_posts_that_come_late_turn_no_key_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """They were read with the key as it stood then; turned while that is worked out, it stays turned."""
    may_come, with_posts = Event(), Standing.with_posts

    def slowly(standing: Standing, volts: float | None) -> Standing:
        assert may_come.wait(20)
        return with_posts(standing, volts)

    monkeypatch.setattr(Standing, "with_posts", slowly)
    async with walking(build(tmp_path, LAMP), "E1:load") as (app, pilot):
        before = standing_of(app).condition
        await pilot.press("b", *"12", "enter")
        app.screen.query_one(RowList).focus()
        await pilot.press("k")
        turned = standing_of(app).condition
        assert turned.key != before.key
        may_come.set()
        await until(pilot, lambda: standing_of(app).posts is not None)
        assert standing_of(app).condition == turned
        posts = standing_of(app).posts
        assert posts is not None
        assert (posts.volts, posts.condition) == (12, before)
