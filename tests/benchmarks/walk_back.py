"""Tracing by walking back from the load: the nearest point first, until the first good reading."""

from __future__ import annotations

import math
from collections.abc import Iterator

from model.circuit.bands import Bands
from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import CircuitError
from model.tracing.checks import Check, CheckKind
from model.tracing.costs import Costs
from model.tracing.never_offered import never_offered
from model.tracing.vehicle import Vehicle
from model.tracing.walk import Side, Stretch, Walk


def walk_back_minutes(
    bench: Bench, walk: Walk, condition: Condition, vehicle: Vehicle, last: Check | None
) -> tuple[float, int]:
    """Give the minutes and the checks that walking back takes on a vehicle, the same last check at its end.

    The feed side is measured point by point from the load towards the battery until a reading is good; were the first
    one good already, the ground side from the load to the post until one is; then the control sides of relays.
    """
    costs = Costs(bench.harness)
    standing = costs.start(condition)
    minutes = 0.0
    made: set[Check] = set()
    for stretch in walk.stretches():
        readings = 0
        for check in _backwards(stretch, walk.black, condition):
            if never_offered(bench, check) is not None or check in made:
                continue
            cost = costs.minutes(check, standing)
            if math.isinf(cost):
                continue
            made.add(check)
            minutes += cost
            standing = costs.after(check, standing)
            readings += 1
            if _is_good(bench, check, vehicle):
                break
        if readings > 1:
            break
    if last is not None and last not in made:
        minutes += costs.minutes(last, standing)
        made.add(last)
    return minutes, len(made)


def _backwards(stretch: Stretch, black: str, condition: Condition) -> Iterator[Check]:
    """Give the readings along a stretch, from what it feeds or grounds to the battery."""
    points = [step.point for step in stretch.steps]
    for point in reversed(points) if stretch.side is Side.FEED else points:
        if point != black:
            yield Check(CheckKind.VOLTS, condition, red=point, black=black)


def _is_good(bench: Bench, check: Check, vehicle: Vehicle) -> bool:
    settled = bench.survey(check.condition).settled
    red, black = (settled.net.index[point] for point in check.points)
    band = Bands(settled).at(red, black)
    try:
        return band.low <= vehicle.answer(check).value <= band.high
    except CircuitError:
        return False
