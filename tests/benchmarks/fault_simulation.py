"""How long it takes to simulate every fault that one load may have, beside solving each anew and beside ngspice.

    python -m tests.benchmarks.fault_simulation

The variants are those that a trace of a dead load weighs, each size of a high resistance one of them. All three answer
the same question, the circuit settled with the fault in it: relays, lamps and fuses at rest.
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.condition import Condition
from model.circuit.faults import Fault
from model.circuit.many_faults import FaultBench
from model.circuit.settle import settle
from model.harness.harness import all_elements
from model.harness.points import all_points
from model.harness.toml_file import read_harness
from model.tracing.complaint import Complaint
from model.tracing.hypotheses import hypotheses
from model.tracing.working import working_condition
from tests.against_ngspice.compare import Asked
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_settle import load
from tests.benchmarks.looms import loom_text

DEMO_BUILDS = Path(__file__).parents[2] / "demo_builds"
REPEATS = 5
ANEW, BY_NGSPICE = 40, 10
SEED = 8820
READ_POINTS = 20


def main() -> None:
    """Print one line for each harness."""
    sys.stdout.write(
        f"{'harness':>16} {'load':>10} {'variants':>8} {'ms':>7} {'µs each':>8} {'anew ms each':>12} {'ratio':>6} "
        f"{'ngspice ms each':>15} {'ratio':>7} {'µs a reading':>12}\n"
    )
    with tempfile.TemporaryDirectory() as directory:
        loom = Path(directory) / "loom_1000.toml"
        loom.write_text(loom_text(1_000), encoding="utf-8")
        for path, name in ((DEMO_BUILDS / "trail_buggy.toml", "E1:dip"), (loom, "M1:load")):
            _one_line(path, name)


def _one_line(path: Path, name: str) -> None:
    harness = read_harness(path)
    bench = Bench(harness)
    condition = _condition(bench, name)
    variants = variants_of(bench, name, condition)
    points = tuple(all_points(harness))
    ours_ms = median_ms(lambda: FaultBench(bench, variants, points).cases(condition))
    faults = random.Random(SEED).sample([v.faults[0] for v in variants if v.faults], ANEW)
    anew_ms = statistics.mean(_ms(partial(settle, harness, _faulty(condition, fault))) for fault in faults)
    ngspice = Ngspice()
    spice = load(path, ngspice)
    spice_ms = statistics.mean(
        _ms(partial(_asked(condition, fault).of_ngspice, spice)) for fault in faults[:BY_NGSPICE]
    )
    ngspice.close()
    cases = FaultBench(bench, variants, points).cases(condition)
    reference = f"{harness.batteries[0].id}.-"
    cases.volts(points[0], reference)
    read_ms = _ms(lambda: [cases.volts(point, reference) for point in points[1 : 1 + READ_POINTS]]) / READ_POINTS
    each_ms = ours_ms / len(variants)
    sys.stdout.write(
        f"{path.stem:>16} {name:>10} {len(variants):>8} {ours_ms:>7.1f} {1000 * each_ms:>8.1f} {anew_ms:>12.2f} "
        f"{anew_ms / each_ms:>6.0f} {spice_ms:>15.1f} {spice_ms / each_ms:>7.0f} {1000 * read_ms:>12.0f}\n"
    )


def _condition(bench: Bench, name: str) -> Condition:
    element = next(one for one in all_elements(bench.harness) if one.name == name)
    return working_condition(bench, element).condition


def variants_of(bench: Bench, name: str, condition: Condition) -> tuple[Variant, ...]:
    """List the sound circuit and every way of every hypothesis of a dead load."""
    found = hypotheses(bench, Complaint((name,)), condition)
    return (Variant(), *(Variant((fault,)) for one in found for fault in one.ways))


def _faulty(condition: Condition, fault: Fault) -> Condition:
    return Condition(condition.key, condition.settings, (fault,))


def _asked(condition: Condition, fault: Fault) -> Asked:
    site, _, spelled = fault.spelled().partition("=")
    word: str | float = spelled if fault.ohms is None else fault.ohms
    return Asked(condition.key, dict(condition.settings), {site: word})


def median_ms(run: Callable[[], object]) -> float:
    """Give the median time in milliseconds of some runs, after one that is not counted."""
    run()
    return statistics.median(_ms(run) for _ in range(REPEATS))


def _ms(run: Callable[[], object]) -> float:
    start = time.perf_counter()
    run()
    return 1000 * (time.perf_counter() - start)


if __name__ == "__main__":
    main()
