"""Time from a key press that turns the key until the new key state's figures have been drawn, on every screen.

The program runs in this process without a terminal; the time ends once a frame has been drawn that names the key
state and holds its volts. Usage: ``python -m tests.benchmarks.key_change [FILE LOAD]``; exit code 1 where the median
of a screen is over 100 ms.
"""

import asyncio
import statistics
import sys
import time
from pathlib import Path

from textual.events import Key

from model.words import volts_text
from tests.tui.builds import BUGGY, told, walking
from tests.tui.on_screen import screen_text, until
from tui.app import FusewalkApp

MOST_SECONDS = 0.1
ROUNDS = 20
SCREENS = {"walk": (), "all keys": ("m",), "settings": ("s",), "loads": ("escape",)}


def is_drawn(app: FusewalkApp, key: str) -> bool:
    """Return whether the frame names the key state and the volts of its posts."""
    standing = app.standing
    if standing is None or standing.condition.key != key:
        return False
    solved = standing.solved()
    if solved is None or solved.survey is None:
        return False
    top = screen_text(app).splitlines()[0]
    return key.upper() in top and f"{volts_text(solved.survey.settled.posts_volts)} V" in top


async def seconds_each(path: Path, element: str, keys: tuple[str, ...]) -> list[float]:
    """Return the seconds of each turn of the key on one screen."""
    taken: list[float] = []
    async with walking(path, element) as (app, pilot):
        for key in keys:
            await pilot.press(key)
        await pilot.pause()
        assert app.standing is not None
        await until(pilot, lambda: app.standing is not None and is_drawn(app, app.standing.condition.key), tries=2000)
        for _ in range(ROUNDS):
            aim = app.standing.turned(1).condition.key
            begun = time.perf_counter()
            app.post_message(Key("k", "k"))
            while not is_drawn(app, aim):
                await asyncio.sleep(0)
            taken.append(time.perf_counter() - begun)
            if not keys:
                await told(app, pilot)
    return taken


def main(path: Path, element: str) -> int:
    """Measure each screen and print its median and its worst turn."""
    slowest = 0.0
    for name, keys in SCREENS.items():
        taken = asyncio.run(seconds_each(path, element, keys))
        slowest = max(slowest, statistics.median(taken))
        sys.stdout.write(f"{name:<9} {statistics.median(taken) * 1000:6.1f} ms  (at most {max(taken) * 1000:.1f})\n")
    sys.stdout.write(f"slowest   {slowest * 1000:6.1f} ms  (at most {MOST_SECONDS * 1000:.0f})\n")
    return 0 if slowest <= MOST_SECONDS else 1


if __name__ == "__main__":
    file, load = sys.argv[1:3] if len(sys.argv) > 2 else (str(BUGGY), "M2:load")
    sys.exit(main(Path(file), load))
