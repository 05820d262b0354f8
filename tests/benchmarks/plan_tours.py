"""What the plans cost in places gone to and plugs opened, beside the least that they could cost.

Counted are the rows of each plan in their order, over the demo builds and ten generated looms: each time that the next
row is read in another place, and each time that a plug, load or control unit is found apart that was together for the
row before. The least is each place once while the engine is off, once while it is cranked and once while it runs, and
each plug once; at first power each place once for each battery. Where a row has its other probe in another place,
somebody holds it there or a long lead goes there: how often that end moves is printed beside, against the pairs of
places.

    python -m tests.benchmarks.plan_tours
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from model.circuit.condition import APART, OUT
from model.harness.harness import Harness
from model.harness.parts import Fuse, Relay
from model.harness.toml_file import read_harness, read_harness_text
from model.plans.every_plan import make_plan
from model.plans.plan import LoomState, Measure, Plan, PlanKind, PlanRow
from model.plans.stages import stage_of
from tests.benchmarks.looms import loom_text

MOST_TIMES_THE_LEAST = 1.2
GENERATED = 10
WIRES = 120
BUILDS = Path(__file__).parents[2] / "demo_builds"


@dataclass(frozen=True, slots=True)
class Cost:
    """What an order of rows costs, and the least."""

    stops: int
    places: int
    openings: int
    plugs: int
    far_moves: int
    pairs: int


def looms() -> Iterator[tuple[str, Harness]]:
    """Give the demo builds, then the generated looms."""
    for path in sorted(BUILDS.glob("*.toml")):
        yield path.stem, read_harness(path)
    for seed in range(1, GENERATED + 1):
        yield f"generated {seed}", read_harness_text(loom_text(WIRES, seed=seed), f"generated {seed}")


def plans_of(harness: Harness) -> Iterator[Plan]:
    """Make every plan of a harness, that of continuity in each state."""
    for kind in PlanKind:
        if kind is PlanKind.CONTINUITY:
            yield from (make_plan(harness, kind, state) for state in LoomState)
        else:
            yield make_plan(harness, kind)


def cost_of(harness: Harness, plan: Plan) -> Cost:
    """Count what the rows of a plan cost in their order."""
    stops = openings = far_moves = 0
    here = far = ""
    apart: set[str] = set()
    ever: set[str] = set()
    for number, row in enumerate(plan.rows):
        stops += bool(row.place) and row.place != here
        far_moves += number == 0 or (row.place, row.far_place) != (here, far)
        now = {name for name, value in row.condition.settings if value in (OUT, APART) and _is_plug(harness, name)}
        openings += len(now - apart) if number else 0
        ever |= now - apart if number else set()
        here, far, apart = row.place or here, row.far_place, now
    pairs = {(row.place, row.far_place) for row in plan.rows}
    places = {(_turn(harness, plan, row), row.place) for row in plan.rows if row.place}
    return Cost(stops, max(len(places), 1), openings, len(ever), far_moves, len(pairs))


def _turn(harness: Harness, plan: Plan, row: PlanRow) -> str:
    """Name what is gone through anew: how the engine stands, and at first power the battery that the lamp is at."""
    return (
        row.red
        if plan.kind is PlanKind.FIRST_POWER and row.measure is Measure.LAMP
        else stage_of(harness, row.condition)
    )


def _is_plug(harness: Harness, name: str) -> bool:
    part = harness.parts.get(name)
    return part is not None and not isinstance(part, Fuse | Relay)


def main() -> None:
    """Print a line a plan and loom, and the worst of each."""
    worst_stops = worst_openings = 0.0
    for name, harness in looms():
        for plan in plans_of(harness):
            if not plan.rows:
                continue
            cost = cost_of(harness, plan)
            stops, openings = cost.stops / cost.places, cost.openings / cost.plugs if cost.plugs else 1.0
            worst_stops, worst_openings = max(worst_stops, stops), max(worst_openings, openings)
            state = f", {plan.state}" if plan.state else ""
            over = " OVER" if max(stops, openings) > MOST_TIMES_THE_LEAST else ""
            sys.stdout.write(
                f"{name:16} {plan.kind + state:32} {len(plan.rows):5} rows  stops {cost.stops}/{cost.places}"
                f" = {stops:.2f}  openings {cost.openings}/{cost.plugs} = {openings:.2f}"
                f"  far end {cost.far_moves}/{cost.pairs}{over}\n"
            )
    sys.stdout.write(f"worst: stops {worst_stops:.2f}, openings {worst_openings:.2f}; wanted {MOST_TIMES_THE_LEAST}\n")


if __name__ == "__main__":
    started = time.perf_counter()
    main()
    sys.stdout.write(f"{time.perf_counter() - started:.1f} s\n")
