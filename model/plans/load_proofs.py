"""What a row of volts at a load really proves: what makes it bad when it is broken, each break solved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from model.circuit.arrays import IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases, Variant
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind, fault_kinds
from model.circuit.many_faults import FaultBench
from model.circuit.many_settings import are_switches, ends_for_certain
from model.errors import CircuitError
from model.harness.harness import Harness
from model.plans.judging import fits
from model.plans.load_scene import LoadScene
from model.plans.plan import Measure, PlanRow
from model.words import clean

_NAMED_AT_MOST = 4
_ROWS_TOGETHER_AT_MOST = 100
"""Of conditions that are settled together: each of them is read in every broken circuit of them all."""


@dataclass(frozen=True, slots=True)
class _Broken:
    """A site that is open in a condition."""

    condition: Condition
    fault: Fault


def with_proofs(scene: LoadScene, rows: Iterable[PlanRow]) -> list[PlanRow]:
    """Leave of what each row of volts covers what makes it bad when it is open, and name the rest in `blind`.

    Notes
    -----
    Where current has another way, or a load behind feeds back, an open wire leaves the reading good. The conditions of
    a key state that differ by switches alone are settled together, as variants of that key state.
    """
    rows = list(rows)
    asked: dict[Condition, list[PlanRow]] = {}
    for row in rows:
        if _is_asked(row):
            asked.setdefault(row.condition, []).append(row)
    shown: dict[str, set[str]] = {}
    for together in _settled_together(scene, asked):
        for row, site in _shown_in(scene.bench, {one: asked[one] for one in together}):
            shown.setdefault(row.key, set()).add(site)
    return [_told(scene.harness, row, shown.get(row.key, set())) if _is_asked(row) else row for row in rows]


def _is_asked(row: PlanRow) -> bool:
    return row.measure is Measure.VOLTS and bool(row.covers)


def open_fault(harness: Harness, site: str) -> Fault | None:
    """Give the fault by which a site is open; None where it can have none."""
    kinds = fault_kinds(harness, site)
    return next((Fault(site, kind) for kind in (FaultKind.OPEN, FaultKind.BLOWN) if kind in kinds), None)


def _settled_together(scene: LoadScene, asked: dict[Condition, list[PlanRow]]) -> Iterator[list[Condition]]:
    """Give conditions in groups of one key state each; one that is more than switches, or may end twice, alone."""
    by_key: dict[str, list[Condition]] = {}
    for condition, rows in asked.items():
        together = by_key.setdefault(condition.key, [])
        if len(rows) > _ROWS_TOGETHER_AT_MOST or not _is_of_key_state(scene, condition):
            yield [condition]
            continue
        together.append(condition)
        if sum(len(asked[one]) for one in together) > _ROWS_TOGETHER_AT_MOST:
            yield together
            by_key[condition.key] = []
    yield from filter(None, by_key.values())


def _is_of_key_state(scene: LoadScene, condition: Condition) -> bool:
    """Tell whether a condition is its key state with switches moved, neither of them with an end that is uncertain."""
    if not are_switches(scene.harness, condition.settings):
        return False
    surveys = scene.survey(condition), scene.survey(Condition(condition.key))
    return all(survey is not None and ends_for_certain(survey.settled) for survey in surveys)


def _shown_in(bench: Bench, asked: dict[Condition, list[PlanRow]]) -> Iterator[tuple[PlanRow, str]]:
    """Give each row of some conditions with each site that makes it bad when open."""
    broken = [
        _Broken(condition, fault)
        for condition, rows in asked.items()
        for site in dict.fromkeys(site for row in rows for site in row.covers)
        if (fault := open_fault(bench.harness, site)) is not None
    ]
    points = [point for rows in asked.values() for row in rows for point in row.points]
    for some, cases in _settled(bench, broken, points):
        for condition, rows in asked.items():
            number_of = {one.fault.site: number for number, one in enumerate(some) if one.condition == condition}
            own = np.flatnonzero(np.isin(cases.variant, list(number_of.values())))
            for row in rows:
                good = _good_variants(row, cases, own)
                yield from ((row, site) for site in row.covers if site in number_of and number_of[site] not in good)


def _settled(
    bench: Bench, broken: Sequence[_Broken], points: Sequence[str]
) -> Iterator[tuple[Sequence[_Broken], Cases]]:
    """Settle each broken circuit; one that finds no rest is left out."""
    if not broken:
        return
    first = broken[0].condition
    is_one = all(one.condition == first for one in broken)
    condition = first if is_one else Condition(first.key)
    variants = [Variant((one.fault,), settings=() if is_one else one.condition.settings) for one in broken]
    try:
        yield broken, FaultBench(bench, variants, points).cases(condition)
    except CircuitError:
        if len(broken) > 1:
            half = len(broken) // 2
            yield from _settled(bench, broken[:half], points)
            yield from _settled(bench, broken[half:], points)


def _good_variants(row: PlanRow, cases: Cases, own: IntArray) -> frozenset[int]:
    """Give the variants that a row may take for good: the reading is within its limit in some case, or never rests.

    Parameters
    ----------
    own
        The cases of the row's condition.
    """
    read = cases.volts(row.red, row.black)[own]
    good = np.array([fits(row, float(volts)) for volts in read], dtype=np.bool_)
    found: IntArray = cases.variant[own][good | cases.unsettled(row.red, row.black)[own] | np.isnan(read)]
    return frozenset(found.tolist())


def _told(harness: Harness, row: PlanRow, shown: set[str]) -> PlanRow:
    passed = [site for site in row.covers if site not in shown and open_fault(harness, site) is not None]
    more = f" and {len(passed) - _NAMED_AT_MOST} more" if len(passed) > _NAMED_AT_MOST else ""
    named = ", ".join(clean(site) for site in passed[:_NAMED_AT_MOST])
    words = f"{named}{more} may be open all the same." if passed else ""
    blind = " ".join(one for one in (row.blind, words) if one)
    return replace(row, covers=tuple(site for site in row.covers if site in shown), blind=blind)
