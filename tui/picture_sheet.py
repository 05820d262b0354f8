"""One page with a picture of every screen, in three sizes and both painted looks."""

from __future__ import annotations

import asyncio
import html
import os
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from textual.pilot import Pilot

from tui.picture_stops import TOURS
from tui.picture_tour import SIZES, Stop, place_of, resized, take_tour
from tui.places import demo_builds
from tui.terminal import Look
from tui.theme import THEMES

LOOKS = (Look.DARK, Look.LIGHT)

_PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Every screen of Fusewalk</title><style>
body {{ font-family: sans-serif; background: #fff; color: #111; margin: 1rem; }}
.sizes {{ display: flex; gap: 0.5rem; align-items: flex-start; }}
img {{ display: block; }}
</style></head><body>
<h1>Every screen of Fusewalk</h1>
{parts}
</body></html>
"""


def draw_sheet(directory: Path) -> Path:
    """Draw every screen, and give the page that shows them all.

    Parameters
    ----------
    directory
        Gets the page and a file for every picture.
    """
    directory.mkdir(parents=True, exist_ok=True)
    drawn: list[tuple[Stop, str]] = []
    buggy = next(path for path in demo_builds() if path.stem == "trail_buggy")

    async def visit(stop: Stop, pilot: Pilot[Any]) -> None:
        place = place_of(pilot)
        drawn.append((stop, "" if place is None else place.value))
        await _draw_stop(stop, pilot, directory)

    for tour in TOURS:
        with TemporaryDirectory() as state:
            os.environ["XDG_STATE_HOME"] = os.environ["XDG_CONFIG_HOME"] = state
            # a record is kept beside a harness, and gone on with
            asyncio.run(take_tour(tour, Path(shutil.copy(buggy, state)), visit))
    page = directory / "every_screen.html"
    page.write_text(_PAGE.format(parts="\n".join(_part(stop, words) for stop, words in drawn)), encoding="utf-8")
    return page


async def _draw_stop(stop: Stop, pilot: Pilot[Any], directory: Path) -> None:
    for size in _sizes(stop):
        await resized(pilot, size)
        for look in LOOKS:
            pilot.app.theme = THEMES[look].name
            await pilot.pause()
            picture = pilot.app.export_screenshot(title=f"{stop.name}, {size[0]} × {size[1]}")
            (directory / _file(stop, size, look)).write_text(picture, encoding="utf-8")


def _sizes(stop: Stop) -> tuple[tuple[int, int], ...]:
    return SIZES if stop.size is None else (stop.size,)


def _file(stop: Stop, size: tuple[int, int], look: Look) -> str:
    return f"{stop.name}_{size[0]}x{size[1]}_{look.value}.svg"


def _part(stop: Stop, words: str) -> str:
    rows = [
        "".join(f'<img src="{_file(stop, size, look)}" alt="{stop.name}">' for size in _sizes(stop)) for look in LOOKS
    ]
    told = f"<p>{html.escape(words)}</p>" if words else ""
    return f"<h2>{stop.name}</h2>{told}" + "".join(f'<div class="sizes">{row}</div>' for row in rows)
