"""How long a whole command takes, from the start of its process to its end.

Runs ``volts`` and ``check`` on the three demo builds and on a loom of 10,000 wires, and prints the median of five runs
beside the time that each may take. The exit code is 1 where one takes longer.

    python -m tests.benchmarks.whole_command
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.looms import loom_text

ROOT = Path(__file__).parents[2]
REPEATS = 5
LARGE_WIRES = 10_000
BUDGET_SECONDS = {"volts": 0.6, "check": 0.35}
LARGE_BUDGET_SECONDS = {"volts": 2.5, "check": 2.5}


def main() -> int:
    """Print one line for each command and file, and give the exit code."""
    late = False
    sys.stdout.write(f"{'command':<8} {'file':<22} {'seconds':>8} {'budget':>7}\n")
    with tempfile.TemporaryDirectory() as directory:
        large = Path(directory) / f"loom_of_{LARGE_WIRES}.toml"
        large.write_text(loom_text(LARGE_WIRES), encoding="utf-8")
        for file in (*sorted((ROOT / "demo_builds").glob("*.toml")), large):
            budgets = LARGE_BUDGET_SECONDS if file == large else BUDGET_SECONDS
            for command, budget_seconds in budgets.items():
                taken_seconds = median_seconds(command, file)
                late |= taken_seconds > budget_seconds
                sys.stdout.write(f"{command:<8} {file.stem:<22} {taken_seconds:>8.2f} {budget_seconds:>7.2f}\n")
    return int(late)


def median_seconds(command: str, file: Path) -> float:
    """Give the median time in seconds that a command takes on a file.

    Raises
    ------
    subprocess.CalledProcessError
        Where the command refuses the file.
    """
    taken: list[float] = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "tui", command, str(file)], cwd=ROOT, capture_output=True, check=True)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


if __name__ == "__main__":
    sys.exit(main())
