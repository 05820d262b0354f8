"""What each way into the program imports, package by package, in milliseconds of importing and numbers of modules.

Every way is taken in a process of its own, without compiled files being written; the times are those that Python itself
takes of each module (``-X importtime``), each counted to the top package of the module. Median of some runs.

    python -m tests.benchmarks.import_tree [RUNS]
"""

from __future__ import annotations

import re
import statistics
import subprocess
import sys
from collections import Counter
from pathlib import Path

TOP = Path(__file__).parents[2]
BUGGY = "demo_builds/trail_buggy.toml"
RUNS = 5
SHOWN = ("textual", "rich", "pydantic", "pydantic_core", "numpy", "networkx", "scipy", "tomli_w", "model", "tui")

_SCREEN = """
import asyncio
from pathlib import Path
from tui.app import FusewalkApp

async def shown():
    app = FusewalkApp({arguments})
    async with app.run_test() as pilot:
        await pilot.pause()

asyncio.run(shown())
"""

WAYS: dict[str, list[str]] = {
    "a label": ["-c", "import textual.app, textual.widgets"],
    "help": ["-m", "tui", "--help"],
    "check": ["-m", "tui", "check", BUGGY],
    "wirelist": ["-m", "tui", "wirelist", BUGGY],
    "volts": ["-m", "tui", "volts", BUGGY],
    "first screen": ["-c", _SCREEN.format(arguments="")],
    "loads": ["-c", _SCREEN.format(arguments=f'Path("{BUGGY}")')],
    "walk": ["-m", "tui", "walk", BUGGY, "M1"],
    "trace": ["-m", "tui", "trace", BUGGY, "M1", "--sheet"],
}
"""A way into the program → what Python is given."""

_LINE = re.compile(r"import time:\s+(\d+) \|\s+\d+ \|\s+(\S+)")


def main() -> None:
    """Print a line for each way: milliseconds and modules of each package."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else RUNS
    heads = (*SHOWN, "others", "all")
    sys.stdout.write(f"{'ms (modules)':<14}{''.join(f'{head:>15}' for head in heads)}\n")
    for name, given in WAYS.items():
        taken = [imported(given) for _ in range(runs)]
        cells = [_cell([one.get(head, (0.0, 0)) for one in taken]) for head in heads]
        sys.stdout.write(f"{name:<14}{''.join(f'{cell:>15}' for cell in cells)}\n")
        sys.stdout.flush()


def _cell(runs: list[tuple[float, int]]) -> str:
    milliseconds = statistics.median(one for one, _ in runs)
    modules = runs[0][1]
    return f"{milliseconds:.0f} ({modules})" if modules else ""


def imported(given: list[str]) -> dict[str, tuple[float, int]]:
    """Give milliseconds and number of modules of each package that a way imports, of the others and of all.

    Raises
    ------
    subprocess.CalledProcessError
        Where it fails.
    """
    run = subprocess.run(
        [sys.executable, "-X", "importtime", *given], cwd=TOP, capture_output=True, text=True, check=True
    )
    milliseconds: Counter[str] = Counter()
    modules: Counter[str] = Counter()
    for microseconds, module in _LINE.findall(run.stderr):
        top = module.partition(".")[0]
        for name in (top if top in SHOWN else "others", "all"):
            milliseconds[name] += int(microseconds)
            modules[name] += 1
    return {name: (milliseconds[name] / 1000.0, modules[name]) for name in modules}


if __name__ == "__main__":
    main()
