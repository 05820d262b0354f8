"""The faults that a bad reading of an unpowered row fits, as they are put into the circuit."""

from __future__ import annotations

import math

from model.circuit.faults import Fault, FaultKind, fault_kinds
from model.harness.harness import Harness
from model.harness.metal import wires_at
from model.harness.points import resolve_point
from model.plans.judging import Taken
from model.plans.plan import Measure, PlanRow

_LEAST_OHMS = 1e-3


def broken_faults(harness: Harness, row: PlanRow, taken: Taken) -> tuple[Fault, ...]:
    """Give the faults by which what a row proves is open or resists as much as was read, in the order of the row.

    Parameters
    ----------
    taken
        Ohms, or millivolts at their amperes; without a value it is taken as open.
    """
    return tuple(
        fault
        for site in row.covers
        for fault in (_broken(harness, site, _added_ohms(row, taken)),)
        if fault is not None
    )


def _added_ohms(row: PlanRow, taken: Taken) -> float:
    """Give the ohms that are too many; infinite where it is open or was only said to be bad."""
    if taken.value is None:
        return math.inf
    expect = row.expect or 0.0
    if row.measure is not Measure.MILLIVOLTS:
        return max(taken.value - expect, _LEAST_OHMS)
    amps = taken.amps or row.amps or 0.0
    if not amps:
        return math.inf
    at_row = row.amps or amps
    return max(taken.value / amps - expect / at_row, 1000 * _LEAST_OHMS) / 1000.0


def _broken(harness: Harness, site: str, added_ohms: float) -> Fault | None:
    kinds = fault_kinds(harness, site)
    if math.isfinite(added_ohms) and FaultKind.HIGH in kinds:
        return Fault(site, FaultKind.HIGH, added_ohms=added_ohms)
    for kind in (FaultKind.OPEN, FaultKind.BLOWN):
        if kind in kinds:
            return Fault(site, kind)
    return None


def grounded_faults(harness: Harness, row: PlanRow) -> tuple[Fault, ...]:
    """Give the faults by which what a row holds apart lies against the body: its wires, those on its points after."""
    ends = [resolve_point(harness, point) for point in (row.black, row.red) if point]
    on_points = [wire.id for point in ends for wire in wires_at(harness).get(point, ())]
    sites = dict.fromkeys((*row.covers, *on_points))
    return tuple(Fault(site, FaultKind.TO_BODY) for site in sites if FaultKind.TO_BODY in fault_kinds(harness, site))
