"""A row of a plan as a check that a trace can weigh: the same points in a circuit that shows the same."""

from __future__ import annotations

import math
from collections.abc import Iterator

from model.circuit.bench import Bench
from model.circuit.condition import APART, OUT, Condition
from model.circuit.meter import read_ohms
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Fuse
from model.harness.points import terminals_of
from model.harness.records import Connector
from model.plans.judging import Taken
from model.plans.plan import Measure, PlanRow
from model.plans.row_faults import broken_faults
from model.tracing.checks import Check, CheckKind
from model.tracing.never_offered import never_offered

_NO_CHECK = "What was read is no one check of a trace."
_OTHER_CIRCUIT = "With everything else plugged in these points read otherwise."
_SAME_SHARE, _SAME_OHMS = 0.1, 0.05


def check_of_row(bench: Bench, row: PlanRow, *, is_open: bool) -> Check | str:
    """Give a row as the check that was made in it, or say why a trace cannot weigh it.

    Parameters
    ----------
    is_open
        Whether the row was read with everything apart: a trace takes apart as little as it can, so that the check is
        put into the circuit in which the least is out and the points read the same, sound and broken.

    Raises
    ------
    CircuitError
        Where the loom cannot be solved as it is.

    Notes
    -----
    Millivolts at a current of the row's own, the volts of a lamp in series, and what is held against several points
    are no check that a trace knows.
    """
    match row.measure:
        case Measure.VOLTS if row.red and row.black:
            return _offered(bench, Check(CheckKind.VOLTS, row.condition, red=row.red, black=row.black))
        case Measure.OHMS if row.red and row.black and is_open:
            return _in_place(bench, row, row.red, row.black)
        case Measure.APART if len(row.others) == 1 and row.black:
            return _in_place(bench, row, row.others[0], row.black)
        case Measure.OHMS if row.red and row.black:
            return _offered(bench, Check(CheckKind.OHMS, row.condition, red=row.red, black=row.black))
        case Measure.AMPS if row.covers and isinstance(bench.harness.parts.get(row.covers[0]), Fuse):
            return _offered(bench, Check(CheckKind.AMPS, row.condition, part=row.covers[0]))
    return _NO_CHECK


def _offered(bench: Bench, check: Check) -> Check | str:
    refusal = never_offered(bench, check)
    return check if refusal is None else refusal


def _in_place(bench: Bench, row: PlanRow, red: str, black: str) -> Check | str:
    """Find the circuit in which the least is out and the points read as in the row."""
    why = _OTHER_CIRCUIT
    for condition in _conditions(bench.harness, row, red, black):
        found = _offered(bench, Check(CheckKind.OHMS, condition, red=red, black=black))
        if isinstance(found, str):
            why = found
        elif _reads_alike(bench.harness, row, found):
            return found
    return why


def _conditions(harness: Harness, row: PlanRow, red: str, black: str) -> Iterator[Condition]:
    """Give circuits with nothing out, one of the parts at the ends out, then both, each with what the row opens."""
    ends = [
        name for name in dict.fromkeys(point.partition(".")[0] for point in (red, black)) if _comes_out(harness, name)
    ]
    opened = [name for name in row.opens if _comes_out(harness, name)]
    for out in ((), *((name,) for name in ends), *((tuple(ends),) if len(ends) > 1 else ())):
        condition = row.condition
        for name in (*out, *opened):
            condition = condition.with_setting(name, APART if isinstance(harness.parts[name], Connector) else OUT)
        yield condition


def _comes_out(harness: Harness, name: str) -> bool:
    part = harness.parts.get(name)
    if part is None or isinstance(part, Battery | Charger):
        return False
    return isinstance(part, Connector) or bool(terminals_of(part))


def _reads_alike(harness: Harness, row: PlanRow, check: Check) -> bool:
    """Tell whether a circuit shows what the row expects, and open where what the row proves is broken."""
    whole = read_ohms(harness, check.condition, check.red, check.black)
    if row.measure is Measure.APART:
        return whole is None
    if whole is None or row.expect is None or abs(whole - row.expect) > _SAME_OHMS + _SAME_SHARE * row.expect:
        return False
    for fault in broken_faults(harness, row, Taken(math.inf)):
        condition = Condition(check.condition.key, check.condition.settings, (fault,))
        if read_ohms(harness, condition, check.red, check.black) is not None:
            return False
    return True
