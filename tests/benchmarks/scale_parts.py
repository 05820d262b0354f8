"""The parts whose growth is measured, each run on one loom by a process of its own.

    python -m tests.benchmarks.scale_parts PART FILE [--ngspice]

prints one line of JSON: seconds of processor time, megabytes beyond what stood before, how many things were worked out,
and the seconds that as many circuits take settled one by one and by ngspice, both by a sample.
"""

from __future__ import annotations

import json
import random
import resource
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.condition import Condition
from model.circuit.faults import Fault
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import LoadKind
from model.harness.toml_file import read_harness
from tests.benchmarks.looms import loom_text

if TYPE_CHECKING:
    from model.tracing.inquiry import Inquiry

SAMPLE, SAMPLE_BY_NGSPICE = 12, 3
SEED = 1_000
SMALL_WIRES = 100
MOTOR_START_AMPS = 25

Timed = Callable[[], int]
"""What is measured; it gives how many things it worked out."""


@dataclass(frozen=True)
class Part:
    """Something worked out of a loom.

    Attributes
    ----------
    says
        What it is.
    prepare
        Makes what is measured from a harness: all that it stands on is made here, outside the measure.
    circuits
        Lists the circuits that it solves, as condition and fault, of which a sample is settled one by one.
    """

    says: str
    prepare: Callable[[Harness, Path], Timed]
    circuits: Callable[[Harness], Sequence[tuple[Condition, Fault | None]]] | None = None


def motor_of(harness: Harness) -> Element:
    """Give the first motor behind a relay: the same kind of load in a loom of any size."""
    motors = {load.id for load in harness.loads if load.kind is LoadKind.MOTOR and load.start_amps == MOTOR_START_AMPS}
    return next(one for one in all_elements(harness) if one.name.partition(":")[0] in motors)


def _loading(_: Harness, path: Path) -> Timed:
    return lambda: len(read_harness(path).wires)


def _solving(harness: Harness, _: Path) -> Timed:
    from model.circuit.settle import settle

    return lambda: sum(len(settle(harness, Condition(key)).volts) for key in harness.key_names)


def _walking(harness: Harness, _: Path) -> Timed:
    from model.tracing.rows import tell_walk
    from model.tracing.walk import Walker

    def work() -> int:
        bench = Bench(harness)
        walk = Walker(bench).walk(motor_of(harness))
        return len(tell_walk(bench, walk, walk.working.condition).sections)

    return work


def _one_load(harness: Harness, _: Path) -> Timed:
    from model.circuit.many_faults import FaultBench

    inquiry = _inquiry_into_motor(harness)
    variants, points, bench = (Variant(), *inquiry.field.variants), inquiry.field.points, Bench(harness)

    def work() -> int:
        FaultBench(bench, variants, points).cases(inquiry.condition)
        return len(variants)

    return work


def _circuits_of_one_load(harness: Harness) -> list[tuple[Condition, Fault | None]]:
    inquiry = _inquiry_into_motor(harness)
    return [(inquiry.condition, next(iter(one.faults), None)) for one in (Variant(), *inquiry.field.variants)]


def _inquiry_into_motor(harness: Harness) -> Inquiry:
    """Open the inquiry of a trace: its field has what may be wrong, and the points that its checks may read."""
    from model.tracing.complaint import Complaint
    from model.tracing.inquiry import open_inquiry

    return open_inquiry(Bench(harness), Complaint((motor_of(harness).name,)))


def _whole_loom(harness: Harness, _: Path) -> Timed:
    from model.circuit.loom_faults import LoomFaults

    def work() -> int:
        table = LoomFaults(Bench(harness))
        return sum(len(table.cases(Condition(key)).variant) for key in harness.key_names)

    return work


def _circuits_of_the_loom(harness: Harness) -> list[tuple[Condition, Fault | None]]:
    from model.circuit.fault_sites import every_fault

    faults = (None, *every_fault(harness))
    return [(Condition(key), fault) for key in harness.key_names for fault in faults]


def _first_check(harness: Harness, _: Path) -> Timed:
    from model.tracing.complaint import Complaint
    from model.tracing.trace import Trace

    complaint = Complaint((motor_of(harness).name,))

    def work() -> int:
        trace = Trace(Bench(harness), complaint)
        trace.next()
        return len(trace.suspects(10_000))

    return work


def _next_check(harness: Harness, _: Path) -> Timed:
    from model.circuit.faults import FaultKind
    from model.tracing.asking import Question, Read
    from model.tracing.complaint import Complaint
    from model.tracing.trace import Trace
    from model.tracing.vehicle import Vehicle

    element = motor_of(harness)
    trace = Trace(Bench(harness), Complaint((element.name,)))
    feed = next(wire for wire in harness.wires if wire.to_point == element.from_point)
    vehicle = Vehicle(harness, (Fault(feed.id, FaultKind.OPEN),), (element.name,), trace.condition, slips=0.0)
    asked = trace.next()
    assert isinstance(asked, Question)
    read = Read(vehicle.answer(asked.check))
    trace.prepare()

    def work() -> int:
        trace.reply(read)
        trace.next()
        return 1

    return work


def _of_bench(work: Callable[[Bench], Sequence[object]]) -> Callable[[Harness, Path], Timed]:
    return lambda harness, _: lambda: len(work(Bench(harness)))


def _continuity(state_name: str) -> Callable[[Harness, Path], Timed]:
    def prepare(harness: Harness, _: Path) -> Timed:
        from model.plans.every_plan import make_plan
        from model.plans.plan import LoomState, PlanKind

        return lambda: len(make_plan(harness, PlanKind.CONTINUITY, LoomState[state_name]).rows)

    return prepare


def _plan(kind_name: str) -> Callable[[Harness, Path], Timed]:
    def prepare(harness: Harness, _: Path) -> Timed:
        from model.plans.every_plan import make_plan
        from model.plans.plan import PlanKind

        return lambda: len(make_plan(harness, PlanKind(kind_name)).rows)

    return prepare


def _live(bench: Bench) -> Sequence[object]:
    from model.review.live_review import live_review

    return live_review(bench, Condition(bench.harness.key_names[0])).live.points


def _draw(bench: Bench) -> Sequence[object]:
    from model.review.draw import draw_review

    return (draw_review(bench),)


def _findings(bench: Bench) -> Sequence[object]:
    from model.review.findings import find_all

    return find_all(bench)


def _fuses(bench: Bench) -> Sequence[object]:
    from model.review.fuse_use import fuse_review

    fuse_review(bench)
    return bench.harness.fuses


def _feeds(bench: Bench) -> Sequence[object]:
    from model.review.key_feeds import key_feeds

    key_feeds(bench)
    return tuple(all_elements(bench.harness))


def _all_states(harness: Harness) -> list[tuple[Condition, Fault | None]]:
    return [(Condition(key), None) for key in harness.key_names]


PARTS: dict[str, Part] = {
    "loading": Part("a harness file read; wires", _loading),
    "solving": Part("all key states solved; nodes in all of them", _solving, _all_states),
    "walk": Part("the walk of a motor behind a relay, from a bench that has solved nothing; sections", _walking),
    "one load": Part(
        "all that may be wrong with one dead motor, where a trace of it reads; variants",
        _one_load,
        _circuits_of_one_load,
    ),
    "whole loom": Part(
        "every single fault of the whole loom, simulated in all key states; cases",
        _whole_loom,
        _circuits_of_the_loom,
    ),
    "first check": Part("the first check of a trace of that motor; suspects", _first_check),
    "next check": Part("the check after the first answer", _next_check),
    "continuity bench": Part("the continuity plan of a loom on the bench; rows", _continuity("BENCH")),
    "continuity apart": Part("the continuity plan, all plugs apart; rows", _continuity("APART")),
    "continuity mated": Part("the continuity plan, everything fitted; rows", _continuity("MATED")),
    "insulation": Part("the insulation plan; rows", _plan("insulation")),
    "grounds": Part("the plan of the grounds; rows", _plan("grounds")),
    "first power": Part("the plan of the first power; rows", _plan("first power")),
    "loads": Part("the plan of the loads; rows", _plan("loads")),
    "live": Part("live points with the key off; points", _of_bench(_live)),
    "draw": Part("the draw with the key off", _of_bench(_draw)),
    "findings": Part("the findings; findings", _of_bench(_findings)),
    "fuses": Part("what each fuse feeds and carries; fuses", _of_bench(_fuses)),
    "feeds": Part("each load's feed by key state; elements", _of_bench(_feeds)),
}


def run_part(name: str, path: Path, *, with_ngspice: bool) -> dict[str, float | int | None]:
    """Run a part and give its figures."""
    part = PARTS[name]
    _warm_up(part)
    harness = read_harness(path)
    work = part.prepare(harness, path)
    before_kilobytes = _peak_kilobytes()
    begun = time.process_time()
    count = work()
    seconds = time.process_time() - begun
    megabytes = (_peak_kilobytes() - before_kilobytes) / 1024
    anew, ngspice = _beside(part, harness, path if with_ngspice else None)
    return {"seconds": seconds, "megabytes": megabytes, "count": count, "anew": anew, "ngspice": ngspice}


def _warm_up(part: Part) -> None:
    """Run the part on a small loom: what is imported and read once does not count as growth."""
    with tempfile.TemporaryDirectory() as directory:
        small = Path(directory) / "small.toml"
        small.write_text(loom_text(SMALL_WIRES), encoding="utf-8")
        part.prepare(read_harness(small), small)()


def _peak_kilobytes() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def _beside(part: Part, harness: Harness, path: Path | None) -> tuple[float | None, float | None]:
    """Give the seconds that the circuits of a part take settled one by one, and by ngspice, by a sample."""
    from model.circuit.settle import settle

    if part.circuits is None:
        return None, None
    circuits = part.circuits(harness)
    chosen = random.Random(SEED).sample(circuits, min(SAMPLE, len(circuits)))
    anew = _mean_seconds([partial(settle, harness, _faulty(*one)) for one in chosen]) * len(circuits)
    return anew, None if path is None else _ngspice_seconds(path, chosen) * len(circuits)


def _faulty(condition: Condition, fault: Fault | None) -> Condition:
    return condition if fault is None else Condition(condition.key, condition.settings, (fault,))


def _ngspice_seconds(path: Path, chosen: Sequence[tuple[Condition, Fault | None]]) -> float:
    """Give the mean seconds of a settled run of ngspice, in a process of its own that is waited for."""
    from tests.against_ngspice.compare import Asked
    from tests.against_ngspice.ngspice_run import Ngspice
    from tests.against_ngspice.spice_settle import load

    with closing(Ngspice()) as ngspice:
        bench = load(path, ngspice)
        runs: list[Callable[[], object]] = []
        for condition, fault in chosen[:SAMPLE_BY_NGSPICE]:
            faults: dict[str, str | float] = {}
            if fault is not None:
                site, _, spelled = fault.spelled().partition("=")
                faults[site] = spelled if fault.ohms is None else fault.ohms
            runs.append(partial(Asked(condition.key, dict(condition.settings), faults).of_ngspice, bench))
        return _mean_seconds(runs, clock=time.perf_counter)


def _mean_seconds(runs: Sequence[Callable[[], object]], clock: Callable[[], float] = time.process_time) -> float:
    begun = clock()
    for run in runs:
        run()
    return (clock() - begun) / len(runs)


if __name__ == "__main__":
    sys.stdout.write(json.dumps(run_part(sys.argv[1], Path(sys.argv[2]), with_ngspice="--ngspice" in sys.argv)))
