"""What the quick commands and the first screen may import: nothing that they do not need."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.tui.builds import BUGGY

HEAVY = {"numpy", "scipy", "networkx", "pandas", "tomli_w"}
SOLVES = ("model.circuit", "model.tracing", "model.plans", "model.review", "model.record", "model.amending")

COMMAND = """
import contextlib, io, sys
from tui.__main__ import main

with contextlib.redirect_stdout(io.StringIO()):
    try:
        main(sys.argv[1:])
    except SystemExit as ended:
        assert ended.code in (0, None)
print(*sorted(sys.modules))
"""

FIRST_SCREEN = """
import asyncio, sys
from tui.app import FusewalkApp

async def shown():
    app = FusewalkApp()
    async with app.run_test() as pilot:
        await pilot.pause()

asyncio.run(shown())
print(*sorted(sys.modules))
"""


def modules_of(*given: str) -> set[str]:
    """Give the names of the modules that a script has imported when it ends."""
    told = subprocess.run([sys.executable, "-c", *given], capture_output=True, text=True, check=True)
    return set(told.stdout.split())


def _tops(modules: set[str]) -> set[str]:
    return {module.partition(".")[0] for module in modules}


@pytest.mark.parametrize("command", ["check", "wirelist"])
def test_a_command_that_only_reads_imports_nothing_that_solves(command: str) -> None:
    """Neither numbers nor graphs nor a screen: the file and its rules alone."""
    modules = modules_of(COMMAND, command, str(BUGGY))
    assert "model.harness.toml_file" in modules
    assert not _tops(modules) & (HEAVY | {"textual", "rich"})
    assert not [module for module in modules if module.startswith(SOLVES)]


def test_volts_imports_neither_graphs_nor_a_screen() -> None:
    """It solves circuits, so numpy comes; the walk's networkx, the trace's scipy and textual do not."""
    modules = modules_of(COMMAND, "volts", str(BUGGY))
    assert "model.circuit.settle" in modules
    assert not _tops(modules) & (HEAVY - {"numpy"} | {"textual", "rich"})
    assert not [module for module in modules if module.startswith(("model.plans", "model.review", "model.record"))]


def test_the_first_screen_imports_nothing_that_reads_or_solves() -> None:
    """The choice of a file stands before any file is read: no pydantic either."""
    modules = modules_of(FIRST_SCREEN)
    assert "textual.app" in modules
    assert not _tops(modules) & (HEAVY | {"pydantic"})
    assert not [module for module in modules if module.startswith((*SOLVES, "model.harness.harness"))]
