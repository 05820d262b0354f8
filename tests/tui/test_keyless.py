"""A build without a key: the word does not stand on its screens."""

import re
from pathlib import Path

from tests.tui.builds import build, opened
from tests.tui.filled_in import CART, press, shown
from tests.tui.on_screen import until
from tui.screens.walk import WalkScreen

KEYLESS = CART.replace('{ name = "off" }, { name = "ignition" }', '{ name = "at rest" }')


async def test_a_build_without_a_key_speaks_of_none(tmp_path: Path) -> None:
    """Neither the list of loads nor the walk names a key state; with a key both do."""
    for text, has_key in ((KEYLESS, False), (CART, True)):
        async with opened(build(tmp_path, text)) as (app, pilot):
            assert bool(re.search(r"\bkey (OFF|AT REST)\b", shown(app))) is has_key
            await press(app, pilot, "enter")
            await until(pilot, lambda: isinstance(app.screen, WalkScreen) and "posts" in shown(app))
            assert bool(re.search(r"\bkey (OFF|AT REST)\b", shown(app))) is has_key
