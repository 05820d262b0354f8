"""Draws the pictures of the screens: ``python -m tui.pictures`` writes them to ``demo_builds/pictures``.

``python -m tui.pictures --sheet DIRECTORY`` draws every screen in every size and look, and a page that shows them all.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tui.picture_tour import letters, settled
from tui.places import demo_builds
from tui.terminal import Look

_DIRECTORY = Path(__file__).parent.parent / "demo_builds" / "pictures"


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture: its name, the size of the window in cells, the look, and the keys that lead to it."""

    name: str
    size: tuple[int, int]
    keys: tuple[str, ...]
    look: Look = Look.DARK


_PUMP = ("slash", *letters("fuel pump"), "enter")
_TRACED = (*_PUMP, "t", "enter")
SHOTS = (
    Shot("loads_80x24", (80, 24), ()),
    Shot("loads_light_80x24", (80, 24), (), Look.LIGHT),
    Shot("walk_80x24", (80, 24), (*_PUMP, *["down"] * 6)),
    Shot("walk_60x20", (60, 20), (*_PUMP, "home", *["down"] * 6)),
    Shot("walk_120x40", (120, 40), (*_PUMP, *["down"] * 6)),
    Shot("key_states_80x24", (80, 24), (*_PUMP, "m")),
    Shot("search_80x24", (80, 24), ("slash", *letters("green white 1.5"))),
    Shot("card_80x24", (80, 24), ("slash", *letters("X3"), "enter")),
    Shot("settings_80x24", (80, 24), ("s",)),
    Shot("before_a_trace_80x24", (80, 24), (*_PUMP, "t")),
    Shot("trace_80x24", (80, 24), (*_TRACED, *letters("12.6"), "enter")),
    Shot("trace_60x20", (60, 20), (*_TRACED, *letters("12.6"), "enter", *letters("12.5"))),
    Shot("trace_big_80x24", (80, 24), (*_TRACED, "g")),
    Shot("trace_why_80x24", (80, 24), (*_TRACED, *letters("12.6"), "enter", "y")),
)


async def draw(shot: Shot, harness: Path) -> str:
    """Run the program without a terminal up to a picture, and give it as SVG."""
    from tui.app import FusewalkApp

    app = FusewalkApp(harness, shot.look)
    async with app.run_test(size=shot.size) as pilot:
        await settled(pilot)
        for key in shot.keys:
            await pilot.press(key)
            await settled(pilot)
        return app.export_screenshot(title="Fusewalk")


def draw_glance(harness_path: Path) -> Path:
    """Draw the power distribution of a build, and give where the picture is."""
    from model.harness.toml_file import read_harness
    from model.review.glance_build import glance
    from model.sheets.glance_svg import glance_svg

    harness = read_harness(harness_path)
    target = _DIRECTORY / f"glance_{harness_path.stem}.svg"
    target.write_text(glance_svg(harness, glance(harness)) + "\n", encoding="utf-8")
    return target


def main() -> int:
    """Draw every picture of the handbook anew, or every screen there is."""
    parser = argparse.ArgumentParser(prog="python -m tui.pictures", description="Draw pictures of the screens.")
    parser.add_argument("--sheet", type=Path, metavar="DIRECTORY", help="every screen, on one page in this directory")
    sheet: Path | None = parser.parse_args().sheet
    if sheet is not None:
        from tui.picture_sheet import draw_sheet

        sys.stdout.write(f"{draw_sheet(sheet)}\n")
        return 0
    _DIRECTORY.mkdir(exist_ok=True)
    for build in demo_builds():
        sys.stdout.write(f"{draw_glance(build)}\n")
    buggy = next(path for path in demo_builds() if path.stem == "trail_buggy")
    for shot in SHOTS:
        with TemporaryDirectory() as state:
            os.environ["XDG_STATE_HOME"] = os.environ["XDG_CONFIG_HOME"] = state
            # a trace keeps a record beside its harness, and goes on with what stands there
            copied = Path(shutil.copy(buggy, state))
            target = _DIRECTORY / f"{shot.name}.svg"
            target.write_text(asyncio.run(draw(shot, copied)), encoding="utf-8")
            sys.stdout.write(f"{target}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
