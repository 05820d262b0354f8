"""What the tests of a practice share: its screen with the fault hidden, keys, what stands under the list."""

from __future__ import annotations

import tomllib
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import tomli_w
from textual.pilot import Pilot
from textual.widgets import Static

from tests.tui.on_bench import app_of, looking_at, put_on_bench
from tests.tui.on_screen import at_rest, until
from tests.tui.test_cli_practice import two_fuses
from tui.screens.practice import PracticeScreen

SEED = 4


def long_names(directory: Path) -> Path:
    """Write the harness of two fuses with labels and places that fill lines."""
    tables = tomllib.loads(two_fuses(directory).read_text(encoding="utf-8"))
    place = "under the left floor plate behind the second bulkhead, twelve screws from below"
    tables["locations"] = [{"name": place}]
    for part in (*tables["fuses"], *tables["loads"]):
        part["label"] = "Forward bilge and wash-down pump of the port side, the larger one"
        part["location"] = place
    path = directory / "long_names.toml"
    path.write_text(tomli_w.dumps(tables), encoding="utf-8")
    return path


@asynccontextmanager
async def practised(path: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[Pilot[int], PracticeScreen]]:
    """Open the screen of a practice, its fault hidden."""
    standing = put_on_bench(path)
    async with looking_at(None, standing, size) as pilot:
        screen = PracticeScreen(standing.harness, SEED)
        await app_of(pilot).push_screen(screen)
        await until(pilot, lambda: screen.practice is not None and not screen.is_busy)
        await at_rest(pilot)
        yield pilot, screen


def said(screen: PracticeScreen) -> str:
    """Give what stands under the list."""
    return str(screen.query_one("#said", Static).content)


async def press(pilot: Pilot[int], *keys: str) -> None:
    """Press keys, each once the work of the one before has ended."""
    for key in keys:
        await pilot.press(key)
        await at_rest(pilot)
