"""How time and memory grow with the number of wires, for everything that the program works out of a loom.

Each part runs in a process of its own on a loom of its own, so that none finds what another has worked out, and ends
where it takes too long. Seconds are processor time, memory is what the part took beyond what stood there before it.
The exponent is the slope of a straight line through the logarithms of sizes and seconds: 1 grows as the loom does.

    python -m tests.benchmarks.scale [WIRES …] [--parts NAME,NAME…] [--limit SECONDS] [--no-ngspice]
"""

from __future__ import annotations

import argparse
import json
import math
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.benchmarks.looms import loom_text
from tests.benchmarks.scale_parts import PARTS

WIRE_COUNTS = (100, 300, 1_000, 3_000, 10_000, 20_000)
WANTED_EXPONENT = 1.2
LIMIT_SECONDS = 120.0
LEAST_SECONDS = 0.02
"""What takes less is mostly what any call costs: it tells nothing of growth."""

_TOP = Path(__file__).parents[2]


@dataclass(frozen=True)
class Measured:
    """One part at one size.

    Attributes
    ----------
    seconds
        None where it took longer than it may.
    megabytes
        Peak memory beyond what stood there before.
    count
        Of what it worked out: rows, variants, points.
    anew, ngspice
        Seconds that as many circuits take settled one by one, and settled by ngspice, both by a sample; None where
        there is nothing to compare.
    """

    wires: int
    seconds: float | None
    megabytes: float = 0.0
    count: int = 0
    anew: float | None = None
    ngspice: float | None = None


def main() -> int:
    """Print a table for each part."""
    asked = _arguments()
    with tempfile.TemporaryDirectory() as directory:
        looms = {count: Path(directory) / f"loom_{count}.toml" for count in asked.wires}
        for count, path in looms.items():
            path.write_text(loom_text(count), encoding="utf-8")
            _check(path)
        for name in asked.parts:
            found: list[Measured] = []
            sys.stdout.write(f"\n{name}: {PARTS[name].says}\n{_HEAD}\n")
            for count, path in looms.items():
                found.append(measured(name, count, path, asked.limit, with_ngspice=not asked.no_ngspice))
                sys.stdout.write(f"{_line(found)}\n")
                sys.stdout.flush()
                if found[-1].seconds is None:
                    break
    return 0


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("wires", nargs="*", type=int, default=list(WIRE_COUNTS))
    parser.add_argument("--parts", type=lambda typed: typed.split(","), default=list(PARTS))
    parser.add_argument("--limit", type=float, default=LIMIT_SECONDS)
    parser.add_argument("--no-ngspice", action="store_true")
    return parser.parse_args()


def _check(path: Path) -> None:
    """See that a loom breaks no rule of the format.

    Raises
    ------
    subprocess.CalledProcessError
        Where it does.
    """
    subprocess.run([sys.executable, "-m", "tui", "check", str(path)], cwd=_TOP, check=True, capture_output=True)


def measured(name: str, wires: int, path: Path, limit_seconds: float, *, with_ngspice: bool) -> Measured:
    """Measure a part in a process of its own.

    Raises
    ------
    RuntimeError
        Where the part fails.
    """
    command = [sys.executable, "-m", "tests.benchmarks.scale_parts", name, str(path)]
    command += ["--ngspice"] if with_ngspice else []
    # one thread: what several take together is no measure of the work
    environment = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    with subprocess.Popen(
        command, cwd=_TOP, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as child:
        try:
            # what is compared on a sample has a limit of its own
            printed, said = child.communicate(timeout=2.0 * limit_seconds)
        except subprocess.TimeoutExpired:
            child.kill()
            return Measured(wires, None)
    if child.returncode:
        raise RuntimeError(said)
    return Measured(wires, **json.loads(printed))


def exponent(sizes: Sequence[float], seconds: Sequence[float]) -> float:
    """Give the slope of the straight line through the logarithms, by least squares; not a number of one size alone."""
    across, up = [math.log(size) for size in sizes], [math.log(second) for second in seconds]
    if len(across) < 2:
        return math.nan
    middle, height = sum(across) / len(across), sum(up) / len(up)
    rise = sum((x - middle) * (y - height) for x, y in zip(across, up, strict=True))
    return rise / sum((x - middle) ** 2 for x in across)


_HEAD = (
    f"{'wires':>7} {'seconds':>8} {'MB':>7} {'count':>8} {'µs each':>8} {'exponent':>9} {'of all':>7} "
    f"{'anew/ours':>10} {'ngspice/ours':>13}"
)


def _line(found: Sequence[Measured]) -> str:
    """Write the last size: the exponent from the size before, and that over all sizes so far."""
    now = found[-1]
    if now.seconds is None:
        return f"{now.wires:>7} too long"
    telling = [(one.wires, one.seconds) for one in found if one.seconds is not None and one.seconds > LEAST_SECONDS]
    step, over_all = (
        exponent(*zip(*some, strict=True)) if len(some) > 1 else math.nan for some in (telling[-2:], telling)
    )
    each = 1e6 * now.seconds / max(now.count, 1)
    cells = [f"{now.wires:>7} {now.seconds:>8.3f} {now.megabytes:>7.0f} {now.count:>8} {each:>8.0f}"]
    cells += _figures((step, 9), (over_all, 7))
    cells += _figures(*((_ratio(one, now.seconds), width) for one, width in ((now.anew, 10), (now.ngspice, 13))))
    return " ".join(cells)


def _figures(*cells: tuple[float, int]) -> Iterator[str]:
    for figure, width in cells:
        yield f"{'' if math.isnan(figure) else f'{figure:.2f}':>{width}}"


def _ratio(other: float | None, ours: float) -> float:
    return math.nan if other is None else other / ours


if __name__ == "__main__":
    sys.exit(main())
