"""The reviews of harnesses that nobody meant to be kind: nasty names everywhere, next to nothing in the file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from model.words import clean
from tests.tui.builds import LAMP, build
from tests.tui.hostile_build import LABELS, hostile_build
from tests.tui.on_bench import every_kind
from tests.tui.on_screen import at_rest, until
from tests.tui.reviewed import looking_over, open_review, sheet_of
from tests.tui.test_hostile_build import BUZZER, NEVER_PROBED, NO_GROUND, ONE_WIRE, assert_harmless
from tui.app import FusewalkApp
from tui.review_making import ReviewKind
from tui.screens.reviews import ReviewsScreen
from tui.text import CUT
from tui.widgets.sheet_rows import SheetRows

NO_LOADS = LAMP[: LAMP.index("loads = [")] + 'wires = [ { id = "W1", from = "G1.+", to = "F1.in" } ]\n'
OPENING = {"enter", "a", "question_mark", "slash"}
FOLDED = " a: all "
"""Behind cautions that are folded to a row."""

KEYS = (
    *("down", "a", "enter", "c", "w", "question_mark", "L", "L", "pagedown", "end", "down", "up", "home", "enter"),
    *("slash", "n", "v", "k", "K", "v", "n", "X"),
)


async def press_all(app: FusewalkApp, pilot: Pilot[Any]) -> None:
    """Press every key of a review; what opens above it is left again."""
    screen = sheet_of(app)
    for key in KEYS:
        await pilot.press(key)
        assert_harmless(app)
        for _ in range(4 if key in OPENING else 0):
            await pilot.pause()
            if app.screen is not screen:
                await pilot.press("escape")
        assert app.screen is screen
    await at_rest(pilot)


async def each_review(path: Path, size: tuple[int, int]) -> dict[ReviewKind, str]:
    """Open each review of a build and press every key in it; give what all its rows say."""
    shown: dict[ReviewKind, str] = {}
    async with looking_over(path, size) as (app, pilot):
        assert_harmless(app)
        for kind in ReviewKind:
            await open_review(app, pilot, kind)
            rows = sheet_of(app).query_one(SheetRows)
            shown[kind] = " ".join(row.content.plain for row in rows.rows)
            assert all(row.content.cell_length <= rows.room for row in rows.rows)
            assert not any(CUT in row.content.plain and FOLDED not in row.content.plain for row in rows.rows)
            await press_all(app, pilot)
            await pilot.press("escape")
            await until(pilot, lambda: isinstance(app.screen, ReviewsScreen))
    return shown


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), pytest.param((40, 30), marks=pytest.mark.thorough)])
async def test_nasty_names_break_no_review(tmp_path: Path, size: tuple[int, int]) -> None:
    """No key breaks a review of nasty names, nothing is obeyed, and every label stands in the tree."""
    shown = await each_review(build(tmp_path, hostile_build()), size)
    tree = "".join(shown[ReviewKind.GLANCE].split())
    for label in LABELS:
        assert "".join(clean(label).split())[:12] in tree


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "size"),
    [
        (ONE_WIRE, (80, 24)),
        (NO_LOADS, (60, 20)),
        pytest.param(NO_GROUND, (60, 20), marks=pytest.mark.thorough),
        pytest.param(BUZZER, (60, 20), marks=pytest.mark.thorough),
        pytest.param(NEVER_PROBED, (80, 24), marks=pytest.mark.thorough),
    ],
)
async def test_next_to_nothing_breaks_no_review(tmp_path: Path, text: str, size: tuple[int, int]) -> None:
    """Whatever is missing from a harness, each review has something to say, and every key can be pressed in it."""
    shown = await each_review(build(tmp_path, text), size)
    assert all(words.strip() for words in shown.values())


@pytest.mark.thorough
async def test_every_kind_of_part_stands_a_review(tmp_path: Path) -> None:
    """A harness with a part of every kind, a plug of ten thousand cavities among them, is looked over."""
    await each_review(every_kind(tmp_path), (80, 24))
