"""What stands on the screens of the trail buggy, line by line, at three sizes.

``UPDATE_GOLDEN=1 pytest tests/tui/test_golden.py`` writes them anew; what changed is then read in the difference.
"""

import os
from pathlib import Path

import pytest

from tests.tui.builds import BUGGY, loads_of, opened, walking
from tests.tui.on_screen import screen_text, until
from tui.app import FusewalkApp

GOLDEN = Path(__file__).parent.parent / "golden"
SIZES = [(60, 20), (80, 24), (120, 40)]


def check(app: FusewalkApp, name: str) -> None:
    """Compare the screen with what it should be, or write that anew where it is asked for."""
    shown = "\n".join(line.rstrip() for line in screen_text(app).splitlines()) + "\n"
    path = GOLDEN / f"{name}_{app.size.width}x{app.size.height}.txt"
    if os.environ.get("UPDATE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(shown, encoding="utf-8")
    assert shown == path.read_text(encoding="utf-8")


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", SIZES)
async def test_the_loads(size: tuple[int, int]) -> None:
    """The list with the key off, everything filled in."""
    async with opened(BUGGY, size) as (app, pilot):
        screen = loads_of(app)
        await until(pilot, lambda: len(screen.shown.needs) == len(screen.shown.lines) and bool(screen.findings))
        await pilot.press("pagedown")
        await pilot.pause()
        check(app, "loads")


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", SIZES)
async def test_the_walk_of_the_pump(size: tuple[int, int]) -> None:
    """The walk with the mark on the relay's pin 30."""
    async with walking(BUGGY, "M2:load", size) as (app, pilot):
        await pilot.press("home")
        for _ in range(7):
            await pilot.press("down")
        await pilot.pause()
        await pilot.pause()
        check(app, "walk")
