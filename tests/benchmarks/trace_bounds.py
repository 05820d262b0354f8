"""How well traces end: simulated vehicles with hidden faults, traced by the program and by walking back.

    python -m tests.benchmarks.trace_bounds [TRACES] [--ngspice] [--even] [--seed N]

Vehicles stand off the file (wires 25 %, loads 12 %, contacts 50 %), their meter errs and 2 % of the answers are slips.
Faults are drawn by their weights, with --even evenly over their kinds; with --ngspice the vehicles are solved by it in
place of our own solver. Prints what the bounds are about.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

import numpy as np

from model.circuit.bench import Bench
from model.circuit.faults import Fault, FaultKind
from model.errors import CircuitError
from model.harness.harness import Harness, all_elements
from model.harness.toml_file import read_harness, read_harness_text
from model.tracing.asking import Finding, Question, Read
from model.tracing.checks import MEASURED, Check, Word
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.finding import Stopped
from model.tracing.foresee import Known
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.suspects import Hypothesis
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle
from model.tracing.working import working_condition
from tests.benchmarks.looms import loom_text
from tests.benchmarks.walk_back import walk_back_minutes

DEMOS = Path(__file__).parents[2] / "demo_builds"
LOOMS = 10
LOADS_A_BUILD = 8
STEPS_AT_MOST = 60
SHORTS = frozenset({"to body", "touches", "elsewhere", "swapped", "short", "stuck", "reversed", "too small"})
LOST_BELOW = 1e-4
SIGMAS = 3.0

Maker = Callable[..., Vehicle]
"""Makes a vehicle from harness, faults, complained loads, condition and seed, as `Vehicle` does."""


@dataclass
class Traced:
    """One trace as it went.

    Attributes
    ----------
    held
        Whether the final group holds the true fault.
    least, last
        The least share that the true fault had on the way, and its share at the end.
    parts
        Distinct parts of the final group; 0 without a finding.
    finding
        How it ended; None after too many steps.
    """

    build: str
    load: str
    hypothesis: Hypothesis
    held: bool
    least: float
    last: float
    parts: int
    steps: int
    minutes: float
    back_minutes: float
    back_steps: int
    stopped: str
    finding: Finding | None
    seconds: list[float] = field(default_factory=list)


@dataclass
class Subject:
    """A load of a build with its inquiry, opened once for all its traces."""

    name: str
    bench: Bench
    inquiry: Inquiry
    opened_seconds: float
    ways: list[int]


def builds() -> Iterator[tuple[str, Harness]]:
    """Give the three demo builds, one of them without any ``works_in``, and ten generated looms."""
    for path in sorted(DEMOS.glob("*.toml")):
        harness = read_harness(path)
        if path.stem == "field_tractor":
            loads = tuple(
                load.model_copy(
                    update={
                        "works_in": None,
                        "elements": tuple(one.model_copy(update={"works_in": None}) for one in load.elements),
                    }
                )
                for load in harness.loads
            )
            harness = replace(harness, loads=loads)
        yield path.stem, harness
    for number in range(LOOMS):
        count = 60 + 20 * number
        yield f"loom {count}", read_harness_text(loom_text(count, seed=100 + number), f"loom {count}")


def subjects(chance: random.Random, loads_a_build: int = LOADS_A_BUILD) -> Iterator[Subject]:
    """Give loads of all builds, each with its inquiry."""
    for name, harness in builds():
        bench = Bench(harness)
        elements = list(all_elements(harness))
        chosen = chance.sample(elements, min(loads_a_build, len(elements)))
        for element in sorted(chosen, key=lambda one: one.name):
            if not working_condition(bench, element).reached:
                continue
            age = chance.choice(list(LoomAge))
            symptom = chance.choice((Symptom.DEAD, Symptom.DEAD, Symptom.WEAK))
            complaint = Complaint((element.name,), symptom, age)
            began = time.perf_counter()
            inquiry = open_inquiry(bench, complaint)
            seconds = time.perf_counter() - began
            yield Subject(name, bench, inquiry, seconds, detectable(inquiry))


def detectable(inquiry: Inquiry) -> list[int]:
    """List the rows whose fault changes some reading of the complaint's own circuit by three sigma."""
    solved = inquiry.field.solved
    most = np.zeros(solved)
    for place in inquiry.circuits[0]:
        check = inquiry.checks[place]
        if check.kind in MEASURED:
            numbers, rows = inquiry.foresight.numbers(check, Known({}))
            most = np.maximum(most, rows.least_of_variants(numbers.residual_to_sound())[1:])
    return [row for row in range(solved) if most[row] > SIGMAS]


def run(subject: Subject, row: int, seed: int, make: Maker = Vehicle) -> Traced | None:
    """Trace one hidden fault; None where the vehicle does not show the complaint."""
    inquiry = subject.inquiry
    complaint = inquiry.complaint
    owner = int(inquiry.field.owner[row])
    hypothesis = inquiry.field.hypotheses[owner]
    faults = inquiry.field.variants[row].faults
    try:
        vehicle = make(inquiry.harness, faults, complaint.loads, inquiry.condition, seed=seed)
        state = vehicle.state_of(complaint.loads[0])
    except CircuitError:
        return None
    if state is not {Symptom.DEAD: Word.DEAD, Symptom.WEAK: Word.WEAK}[complaint.symptom]:
        return None
    trace = Trace(subject.bench, complaint, opened=inquiry)
    seconds: list[float] = []
    least = 1.0
    last_check: Check | None = None
    asked = _timed(trace.next, seconds)
    while isinstance(asked, Question) and len(trace.replies) < STEPS_AT_MOST:
        try:
            outcome = vehicle.answer(asked.check)
        except CircuitError:
            return None
        last_check = asked.check
        trace.prepare()
        trace.reply(Read(outcome))
        asked = _timed(trace.next, seconds)
        least = min(least, trace.share_of(hypothesis))
    found = asked if isinstance(asked, Finding) else None
    is_flat = hypothesis.fault == FaultKind.FLAT and found is not None and found.stopped == Stopped.CHARGE_FIRST
    held = is_flat or (
        found is not None and any((one.part, one.fault, one.partner) == hypothesis.name for one in found.group)
    )
    last = trace.share_of(hypothesis)
    back, back_steps = _walk_back(subject, faults, seed, make, last_check)
    parts = {part for one in (found.group if found else ()) for part in parts_of(one.part)}
    return Traced(
        subject.name,
        complaint.loads[0],
        hypothesis,
        held,
        least,
        last,
        len(parts),
        found.steps if found else STEPS_AT_MOST,
        trace.minutes,
        back,
        back_steps,
        found.stopped if found else "too many steps",
        found,
        seconds,
    )


def _walk_back(
    subject: Subject, faults: tuple[Fault, ...], seed: int, make: Maker, last: Check | None
) -> tuple[float, int]:
    inquiry = subject.inquiry
    vehicle = make(inquiry.harness, faults, inquiry.complaint.loads, inquiry.condition, seed=seed)
    walk = inquiry.walks[0]
    return walk_back_minutes(subject.bench, walk, inquiry.condition, vehicle, last)


def parts_of(site: str) -> set[str]:
    """Name the parts of a site; the two cavities of a swap are one plug or two."""
    return {one.partition(":")[0].partition(".")[0] for one in site.split("/") if not one.isdigit()}


def _timed(work: Callable[[], Question | Finding], seconds: list[float]) -> Question | Finding:
    began = time.perf_counter()
    found = work()
    seconds.append(time.perf_counter() - began)
    return found


def draw(chance: random.Random, subject: Subject, *, even: bool) -> int:
    """Draw a row by its weight, or evenly over the kinds of faults."""
    rows = subject.ways
    if not even:
        return chance.choices(rows, [float(subject.inquiry.field.weights[row]) for row in rows])[0]
    by_kind: dict[str, list[int]] = {}
    for row in rows:
        kind = subject.inquiry.field.hypotheses[int(subject.inquiry.field.owner[row])].fault
        by_kind.setdefault(str(kind), []).append(row)
    return chance.choice(by_kind[chance.choice(sorted(by_kind))])


def run_many(
    count: int, *, seed: int, even: bool = False, make: Maker = Vehicle, every: Sequence[Subject] = ()
) -> tuple[list[Traced], Sequence[Subject]]:
    """Run traces spread evenly over the loads of all builds, or over the subjects given."""
    chance = random.Random(seed)
    loads = max(1, min(LOADS_A_BUILD, count // 25))
    every = every or [subject for subject in subjects(chance, loads) if subject.ways]
    found: list[Traced] = []
    number = 0
    while len(found) < count and number < 4 * count:
        subject = every[number % len(every)]
        traced = run(subject, draw(chance, subject, even=even), seed=seed * 100_000 + number, make=make)
        number += 1
        if traced is not None:
            found.append(traced)
    return found, every


@dataclass(frozen=True)
class Figures:
    """What the bounds are about: shares of the traces, parts of a group, minutes beside those of walking back."""

    held: float
    unfinished: float
    lost_at_end: float
    lost_on_the_way: float
    plain_parts: float
    short_parts: float
    ratio_of_means: float
    mean_of_ratios: float
    few_checks_longer: float
    few_minutes_longer: float


def figures_of(found: Sequence[Traced]) -> Figures:
    """Work out the figures of traces."""
    back_minutes = sum(one.back_minutes for one in found)
    return Figures(
        held=_mean([one.held for one in found]),
        unfinished=_mean([not one.parts for one in found]),
        lost_at_end=_mean([one.last < LOST_BELOW for one in found]),
        lost_on_the_way=_mean([one.least < LOST_BELOW for one in found]),
        plain_parts=_mean([one.parts for one in found if one.parts and one.hypothesis.fault not in SHORTS]),
        short_parts=_mean([one.parts for one in found if one.parts and one.hypothesis.fault in SHORTS]),
        ratio_of_means=sum(one.minutes for one in found) / back_minutes,
        mean_of_ratios=_mean([one.minutes / max(one.back_minutes, 0.3) for one in found]),
        few_checks_longer=_mean([one.steps - one.back_steps <= 3 for one in found]),
        few_minutes_longer=_mean([one.minutes - one.back_minutes <= 5.0 for one in found]),
    )


def report(found: Sequence[Traced], every: Sequence[Subject]) -> list[str]:
    """Say what the bounds are about."""
    figures = figures_of(found)
    first = [one.opened_seconds for one in every]
    later = [second for one in found for second in one.seconds[1:]]
    hypotheses = sum(len(one.inquiry.hypotheses) for one in every)
    conditions = len({check.condition for one in every for check in one.inquiry.checks})
    ways = sum(one.inquiry.field.solved for one in every)
    unseen = ways - sum(len(one.ways) for one in every)
    back = _mean([one.back_minutes for one in found])
    return [
        f"{len(found)} traces over {len(every)} loads of {len({one.name for one in every})} builds; "
        f"{hypotheses} hypotheses, {ways} ways that show their complaint, {conditions} conditions; "
        f"{unseen} ways change no reading by 3 sigma",
        f"final group holds the true fault: {figures.held:.3f} (0.98; evenly 0.97)",
        f"ended without a finding: {figures.unfinished:.3f} "
        f"{dict(Counter(one.stopped for one in found if one.stopped))}",
        f"true fault under 1e-4 at the end: {figures.lost_at_end:.4f} (0.005)",
        f"true fault under 1e-4 on the way: {figures.lost_on_the_way:.4f} (0.01)",
        f"mean parts of the group: opens and high {figures.plain_parts:.2f} (1.3), "
        f"shorts and misplaced {figures.short_parts:.2f} (2.5)",
        f"checks: mean {_mean([one.steps for one in found]):.2f}; "
        f"minutes: mean {_mean([one.minutes for one in found]):.1f} against {back:.1f} walking back",
        f"minutes, ratio of means {figures.ratio_of_means:.3f} (0.6), "
        f"mean of ratios {figures.mean_of_ratios:.3f} (0.85)",
        f"at most 3 checks longer: {figures.few_checks_longer:.3f} (0.90); "
        f"at most 5 minutes longer: {figures.few_minutes_longer:.3f} (0.95)",
        f"opening: mean {_mean(first):.2f} s, worst {max(first):.2f} s; "
        f"next check: median {statistics.median(later) * 1e3:.0f} ms, worst {max(later) * 1e3:.0f} ms",
    ]


def _mean(values: Sequence[float]) -> float:
    return float(np.mean(values)) if values else float("nan")


@contextmanager
def _maker(*, by_ngspice: bool) -> Iterator[Maker]:
    """Give what makes the vehicles: of those that ngspice answers for, with one ngspice that runs meanwhile."""
    if not by_ngspice:
        yield Vehicle
        return
    from tests.against_ngspice.ngspice_run import Ngspice
    from tests.against_ngspice.ngspice_vehicle import NgspiceVehicle

    with closing(Ngspice()) as running:
        yield partial(NgspiceVehicle, ngspice=running)


def main() -> int:
    """Print the bounds."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("traces", nargs="?", type=int, default=400)
    parser.add_argument("--even", action="store_true")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--ngspice", action="store_true")
    given = parser.parse_args()
    with _maker(by_ngspice=given.ngspice) as make:
        found, every = run_many(given.traces, seed=given.seed, even=given.even, make=make)
    sys.stdout.write("\n".join(report(found, every)) + "\n")
    if given.list:
        for one in found:
            if not one.held or one.least < LOST_BELOW:
                sys.stdout.write(
                    f"{one.build} {one.load} {one.hypothesis.name} held {one.held} least {one.least:.1e} "
                    f"last {one.last:.1e} parts {one.parts} steps {one.steps} {one.stopped}\n"
                )
    return 0


if __name__ == "__main__":
    sys.exit(main())
