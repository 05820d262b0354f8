"""How long it takes to look a loom over, by the number of its wires: live points, draw, findings, and all of it.

Beside it stands one ngspice run for each condition that the review solves, on the circuit as it came to rest there.
Each part is taken on a bench of its own, from the records of the harness; the sum is that of one bench for all.

    python -m tests.benchmarks.review_speed [WIRES …]
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.review.draw import draw_review
from model.review.findings import find_all
from model.review.fuse_use import fuse_review
from model.review.key_feeds import key_feeds
from model.review.live_review import live_review
from model.review.sweep import sweep
from tests.benchmarks.looms import loom_text
from tests.benchmarks.solve_condition import median_ms, run_ngspice, spice_deck

WIRE_COUNTS = (100, 300, 1_000, 3_000)
WANTED_SECONDS, WANTED_AT = 2.0, 1_000

Part = Callable[[Bench], object]


def at_rest(bench: Bench) -> Condition:
    """Give the first key state with everything at rest."""
    return Condition(bench.harness.key_names[0])


PARTS: dict[str, Part] = {
    "live": lambda bench: live_review(bench, at_rest(bench)),
    "draw": draw_review,
    "findings": find_all,
    "fuses": fuse_review,
    "feeds": key_feeds,
}
TOGETHER = ("live", "draw", "findings")


def main() -> int:
    """Print one line for each size of loom; the exit code is 1 where 1,000 wires take longer than wanted."""
    counts = [int(word) for word in sys.argv[1:]] or list(WIRE_COUNTS)
    heads = (*PARTS, "together")
    sys.stdout.write(
        f"{'wires':>6} {''.join(f'{head:>9}' for head in heads)} {'conditions':>11} {'ngspice':>9} {'ratio':>6}\n"
    )
    is_late = False
    for count in counts:
        harness = read_harness_text(loom_text(count), f"loom of {count}")
        taken = [seconds(harness, (name,)) for name in PARTS]
        together = seconds(harness, TOGETHER)
        conditions, spice = ngspice_seconds(harness)
        figures = "".join(f"{one:>9.2f}" for one in (*taken, together))
        sys.stdout.write(f"{count:>6} {figures} {conditions:>11} {spice:>9.2f} {together / spice:>6.2f}\n")
        is_late |= count == WANTED_AT and together > WANTED_SECONDS
    return int(is_late)


def seconds(harness: Harness, names: tuple[str, ...]) -> float:
    """Give the time of some parts on one bench that has solved nothing yet."""
    # what is worked out once a harness is kept with it: the records anew
    fresh = Harness(**{name: getattr(harness, name) for name in harness.__dataclass_fields__})
    bench = Bench(fresh)
    begun = time.perf_counter()
    for name in names:
        PARTS[name](bench)
    return time.perf_counter() - begun


def ngspice_seconds(harness: Harness) -> tuple[int, float]:
    """Give how many conditions a sweep solves, and the time of one ngspice run for each."""
    found = sweep(Bench(harness))
    surveys = (*found.at_rest.values(), *found.all_on)
    milliseconds = 0.0
    with tempfile.TemporaryDirectory() as directory:
        deck = Path(directory) / "loom.cir"
        for survey in surveys:
            deck.write_text(spice_deck(survey.settled, "op"), encoding="utf-8")
            milliseconds += median_ms(lambda: run_ngspice(deck))
    return len(surveys), milliseconds / 1000


if __name__ == "__main__":
    sys.exit(main())
