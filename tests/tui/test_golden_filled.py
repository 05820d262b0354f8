"""What stands on the screens that fill a file in, line by line, at three sizes.

``UPDATE_GOLDEN=1`` writes the files anew; what has changed is then read in the difference.
"""

from pathlib import Path

import pytest

from tests.tui.builds import build, opened
from tests.tui.filled_in import CART, asked, mark, marked, press, typed
from tests.tui.on_screen import until
from tests.tui.test_amend_screen import amending
from tests.tui.test_golden import SIZES, check


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", SIZES)
async def test_the_questions(tmp_path: Path, size: tuple[int, int]) -> None:
    """A rating to choose, with what the answer before did; then positions to tick."""
    async with opened(build(tmp_path, CART), size) as (app, pilot):
        await asked(app, pilot)
        await press(app, pilot, "space")
        check(app, "needs")
        await press(app, pilot, "tab", "down", "right", "right", "space")
        check(app, "needs_ticked")


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_a_new_circuit(tmp_path: Path, size: tuple[int, int]) -> None:
    """The patterns; what one asks; a proposal with its reason."""
    async with opened(build(tmp_path, CART), size) as (app, pilot):
        await press(app, pilot, "a")
        check(app, "patterns")
        await mark(app, pilot, "permanent")
        await press(app, pilot, "enter")
        await until(pilot, lambda: marked(app) == "watts")
        await press(app, pilot, *typed("5"), "enter")
        check(app, "circuit")
        await mark(app, pilot, "at")
        await press(app, pilot, "right")
        rows = [row.key for row in app.screen.query_one("#fields").rows]  # type: ignore[attr-defined]
        await mark(app, pilot, next(key for key in rows if key.endswith("_colour")))
        check(app, "circuit_proposed")


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_an_amendment(tmp_path: Path, size: tuple[int, int]) -> None:
    """The row of a fuse with one figure changed; what it comes to on the last row."""
    async with opened(build(tmp_path, CART), size) as (app, pilot):
        await amending(app, pilot, "F1", "found different")
        await mark(app, pilot, "amps")
        await press(app, pilot, *typed("15"), "enter", "up")
        check(app, "amend")
        await press(app, pilot, "tab")
        check(app, "amend_last")
