"""A plan whose last row has been answered says how it ended, and which rows come first now."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.plans.judging import Standing
from tests.model.plan_rows import ROWS
from tests.tui.on_screen import screen_text
from tests.tui.planned import made_by_hand, plan_of, planning, ready, written
from tui.plan_verdict import ended_words


@pytest.fixture(autouse=True)
def _plan(monkeypatch: pytest.MonkeyPatch) -> None:
    made_by_hand(monkeypatch)


async def test_the_last_answer_says_how_the_plan_ended(tmp_path: Path) -> None:
    """Not before; each standing is counted, and what to go to comes first; it stands there when one comes back too."""
    async with planning(tmp_path) as (app, pilot, _):
        for word in ("b", "s", "b", "b", "b"):
            await pilot.press(word, "enter")
            assert "All rows answered" not in screen_text(app)
        await pilot.press("b", "enter")
        await written(app, pilot)
        told = "All rows answered: 5 bad, 1 skipped. First the bad ones: f shows them."
        assert told in " ".join(screen_text(app).split())
        await pilot.press("escape", "enter")
        await ready(app, pilot)
        assert told in " ".join(screen_text(app).split())


@pytest.mark.slow
async def test_only_what_is_left_shows_what_is_unproven_once_nothing_is_open(tmp_path: Path) -> None:
    """W5 could not have failed: while a row is open it is not to be done again, at the end it is what is left."""
    blind = [row.key for row in ROWS if not row.tells]
    assert blind
    assert ROWS[-1].tells
    async with planning(tmp_path) as (app, pilot, _):
        await pilot.press("f")
        for count, row in enumerate(ROWS, start=1):
            plan_of(app).go_to(row.key)
            await pilot.press("g", "enter")
            await written(app, pilot)
            left = [one.key for one in ROWS[count:]] or blind
            assert [one.key for one in plan_of(app).shown().rows] == left
        await pilot.press("f", "f")
        assert "Only what is bad, skipped or unproven is shown." in screen_text(app)


def test_a_plan_that_has_ended_counts_what_is_unproven_too() -> None:
    """With nothing bad, what was skipped is next, then that; with none of them, nothing; nothing while one is open."""
    counted = dict.fromkeys(Standing, 0)
    assert ended_words(counted) == ""
    counted |= {Standing.GOOD: 15, Standing.UNPROVEN: 3}
    told = "All rows answered: 15 good, 3 unproven. First the unproven ones: f shows them."
    assert ended_words(counted) == told
    assert ended_words(counted | {Standing.UNPROVEN: 0}) == "All rows answered: 15 good."
    assert ended_words(counted | {Standing.SKIPPED: 2}).endswith(
        "2 skipped, 3 unproven. First the skipped ones: f shows them."
    )
    assert ended_words(counted | {Standing.OPEN: 1}) == ""
