"""All key states side by side."""

import pytest

from model.circuit.condition import Condition
from model.circuit.survey import survey
from model.harness.toml_file import read_harness
from model.words import volts_text
from tests.tui.builds import BUGGY, standing_of, told, walking
from tests.tui.on_screen import screen_text, until
from tui.key_columns import keys_in_window
from tui.screens.card import CardScreen
from tui.screens.key_table import KeyTableScreen
from tui.screens.walk import WalkScreen
from tui.widgets.rows import RowList

KEYS = ("off", "accessory", "ignition", "crank", "running")


@pytest.mark.parametrize(
    ("key", "cells", "window"),
    [
        ("ignition", 75, (0, 5)),
        ("ignition", 45, (1, 4)),
        ("off", 45, (0, 3)),
        ("running", 45, (2, 5)),
        ("crank", 10, (3, 4)),
    ],
)
def test_the_key_is_always_among_the_columns(key: str, cells: int, window: tuple[int, int]) -> None:
    """Where not all fit, the key as it stands and its neighbours are shown."""
    assert keys_in_window(KEYS, key, cells, 15) == window


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)])
async def test_every_figure_is_that_of_its_key_state(size: tuple[int, int]) -> None:
    """Each cell holds the volts that the circuit has there in the key state over it; the key turns on from here."""
    harness = read_harness(BUGGY)
    settled = {key: survey(harness, Condition(key, (("S16", "set"),))).settled for key in KEYS}
    async with walking(BUGGY, "M2:load", size) as (app, pilot):
        await pilot.press("m")
        await until(pilot, lambda: isinstance(app.screen, KeyTableScreen))
        await told(app, pilot)
        for _ in KEYS:
            heads = screen_text(app).splitlines()[3].split()[1:]
            key = standing_of(app).condition.key
            assert key.upper() in heads
            for row in app.screen.query_one(RowList).rows:
                if not row.can_be_marked:
                    continue
                point, *figures = row.content.plain.split()
                for head, shown in zip(heads, figures, strict=True):
                    at = settled[head.lower()]
                    volts, ground = at.volts_at(point), at.volts_at("G1.-")
                    assert volts is not None
                    assert ground is not None
                    assert shown == volts_text(volts - ground)
            await pilot.press("right")
            await pilot.pause()


@pytest.mark.slow
async def test_from_the_table_to_the_part_and_back() -> None:
    """Enter shows the part of the marked point, Esc leads back to table and walk; the page has all states."""
    async with walking(BUGGY, "M2:load", (60, 20)) as (app, pilot):
        await pilot.press("m")
        await until(pilot, lambda: isinstance(app.screen, KeyTableScreen))
        await told(app, pilot)
        assert "Key states 1 to 4 of 5; k goes on. Volts, load plugged in." in screen_text(app)
        await pilot.press("c")
        assert all(key in app.clipboard.casefold() for key in KEYS)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, CardScreen))
        await pilot.press("escape", "escape")
        await until(pilot, lambda: isinstance(app.screen, WalkScreen))
        assert standing_of(app).condition.key == "ignition"


@pytest.mark.slow
async def test_cranking_is_marked_as_an_estimate() -> None:
    """Where the posts were not read while cranking, the column says so, on the screen and on the page."""
    async with walking(BUGGY, "M2:load") as (app, pilot):
        await pilot.press("m")
        await told(app, pilot)
        heads, marks = screen_text(app).splitlines()[3:5]
        assert marks.split() == ["estimate"]
        assert marks.rstrip().endswith("estimate")
        assert len(marks.rstrip()) == heads.index("crank") + len("crank")
        await pilot.press("c")
        assert "estimate" in app.clipboard.splitlines()[2]
