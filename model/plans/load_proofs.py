"""What a row of volts at a load really proves: what makes it bad when it is broken, each break solved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from model.circuit.arrays import IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases, Variant
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, fault_kinds
from model.circuit.many_faults import FaultBench
from model.errors import CircuitError
from model.harness.harness import Harness
from model.plans.judging import fits
from model.plans.plan import Measure, PlanRow
from model.words import clean

_NAMED_AT_MOST = 4


def with_proofs(bench: Bench, rows: Iterable[PlanRow]) -> list[PlanRow]:
    """Leave of what each row of volts covers what makes it bad when it is open, and name the rest in `blind`.

    Notes
    -----
    Where current has another way, or a load behind feeds back, an open wire leaves the reading good.
    """
    rows = list(rows)
    asked: dict[Condition, list[PlanRow]] = {}
    for row in rows:
        if _is_asked(row):
            asked.setdefault(row.condition, []).append(row)
    shown: dict[str, set[str]] = {}
    for condition, together in asked.items():
        for row, site in _shown_in(bench, condition, together):
            shown.setdefault(row.key, set()).add(site)
    return [_told(bench.harness, row, shown.get(row.key, set())) if _is_asked(row) else row for row in rows]


def _is_asked(row: PlanRow) -> bool:
    return row.measure is Measure.VOLTS and bool(row.covers)


def open_fault(harness: Harness, site: str) -> Fault | None:
    """Give the fault by which a site is open; None where it can have none."""
    kinds = fault_kinds(harness, site)
    return next((Fault(site, kind) for kind in (FaultKind.OPEN, FaultKind.BLOWN) if kind in kinds), None)


def _shown_in(bench: Bench, condition: Condition, rows: Sequence[PlanRow]) -> Iterator[tuple[PlanRow, str]]:
    """Give each row of a condition with each site that makes it bad when open."""
    sites = dict.fromkeys(site for row in rows for site in row.covers)
    faults = [fault for site in sites if (fault := open_fault(bench.harness, site)) is not None]
    points = [point for row in rows for point in row.points]
    for some, cases in _settled(bench, condition, faults, points):
        number_of = {fault.site: number for number, fault in enumerate(some)}
        for row in rows:
            good = _good_variants(row, cases)
            yield from ((row, site) for site in row.covers if site in number_of and number_of[site] not in good)


def _settled(
    bench: Bench, condition: Condition, faults: Sequence[Fault], points: Sequence[str]
) -> Iterator[tuple[Sequence[Fault], Cases]]:
    """Settle a condition with each fault; one with which the circuit finds no rest is left out."""
    if not faults:
        return
    try:
        yield faults, FaultBench(bench, [Variant((fault,)) for fault in faults], points).cases(condition)
    except CircuitError:
        if len(faults) > 1:
            half = len(faults) // 2
            yield from _settled(bench, condition, faults[:half], points)
            yield from _settled(bench, condition, faults[half:], points)


def _good_variants(row: PlanRow, cases: Cases) -> frozenset[int]:
    """Give the variants that a row may take for good: the reading is within its limit in some case, or never rests."""
    read = cases.volts(row.red, row.black)
    good = np.array([fits(row, float(volts)) for volts in read], dtype=np.bool_)
    found: IntArray = cases.variant[good | cases.unsettled(row.red, row.black) | np.isnan(read)]
    return frozenset(found.tolist())


def _told(harness: Harness, row: PlanRow, shown: set[str]) -> PlanRow:
    passed = [site for site in row.covers if site not in shown and open_fault(harness, site) is not None]
    more = f" and {len(passed) - _NAMED_AT_MOST} more" if len(passed) > _NAMED_AT_MOST else ""
    named = ", ".join(clean(site) for site in passed[:_NAMED_AT_MOST])
    words = f"{named}{more} may be open all the same." if passed else ""
    blind = " ".join(one for one in (row.blind, words) if one)
    return replace(row, covers=tuple(site for site in row.covers if site in shown), blind=blind)
