"""What each faulty circuit shows of a check that is answered with a word."""

from __future__ import annotations

from collections.abc import Container, Iterable

import numpy as np

from model.circuit.arrays import FloatArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases
from model.circuit.faults import Fault, FaultKind, part_of_site
from model.circuit.meter import DIM_SHARE, LIT_SHARE
from model.harness.harness import Harness
from model.harness.parts import Fuse, Load, LoadKind
from model.harness.records import Wire
from model.tracing.checks import WORDS_OF, Check, CheckKind, Word
from model.tracing.complaint import Complaint
from model.tracing.field import Field
from model.tracing.likelihood import one_of, soft_steps
from model.tracing.symptoms import cured_likelihood, load_states

_LAMP_SOFT_SHARE = 0.04
_SEEN_BAD: dict[str, float] = {
    FaultKind.BLOWN: 0.97,
    FaultKind.MISSING: 1.0,
    FaultKind.OPEN: 0.6,
    FaultKind.HIGH: 0.35,
    FaultKind.SWAPPED: 0.5,
    FaultKind.SHORT: 0.6,
    FaultKind.LOW_DRAW: 0.2,
}
"""How often a fault of a part is seen when the part is looked at closely; judgement."""

_WIRE_SEEN_BAD: dict[str, float] = {
    FaultKind.TO_BODY: 0.75,
    FaultKind.TOUCHES: 0.7,
    FaultKind.ELSEWHERE: 0.8,
    FaultKind.OPEN: 0.3,
    FaultKind.HIGH: 0.2,
}
"""How often a fault of a wire is seen by somebody who looks along it and at both ends; judgement."""

_SEATED_ANEW = 0.3
"""How often a poor pin of a socket carries again once a relay has been pulled and pushed home; judgement."""

_LAMP_SEEN_BAD = 0.85
_NOTHING_SEEN_BAD = 0.02
_OTHER_LOAD_SEEN_BAD = 0.3


def words_of_cases(
    bench: Bench, complaint: Complaint, check: Check, cases: Cases, *, roughly: bool = False
) -> FloatArray:
    """Give what each case shows as shares of the words of the check, shape (words, cases).

    Roughly, a lamp is reckoned from the circuit as it is without it: good enough to choose by.
    """
    match check.kind:
        case CheckKind.OBSERVE:
            return load_states(bench.harness, cases, check.load)
        case CheckKind.LISTEN:
            pulled = cases.relay(check.part)
            return one_of(3, np.where(pulled < 0, 2, np.where(pulled > 0, 0, 1)))
        case CheckKind.LAMP:
            return _lamp(bench.harness, check, cases, roughly=roughly)
        case CheckKind.BRIDGE:
            cured = cured_likelihood(bench.harness, complaint, cases)
            return np.array([cured, 1.0 - cured])
        case CheckKind.NEW_FUSE:
            blows = np.array([float(check.part in blown) for blown in cases.blown])
            return np.array([1.0 - blows, blows])
    raise AssertionError(check.kind)


def _lamp(harness: Harness, check: Check, cases: Cases, *, roughly: bool) -> FloatArray:
    if check.part:
        volts = np.abs(cases.volts(check.red, check.black, roughly=roughly))
    else:
        volts = np.abs(cases.lamp_volts(check.red, check.black, check.watts, roughly=roughly))
    nominal_volts = harness.build.nominal_volts
    dark, dim, lit = soft_steps(volts / nominal_volts, (DIM_SHARE, LIT_SHARE), _LAMP_SOFT_SHARE)
    shares = np.array([lit, dim, dark, np.zeros(len(volts))])
    buzzes = cases.unsettled(check.red, check.black)
    return np.where(buzzes, np.array([[0.0], [0.0], [0.0], [1.0]]), shares)


def words_of_rows(harness: Harness, check: Check, field: Field) -> FloatArray | None:
    """Give what each solved row shows where that hangs on the fault itself, shape (words, rows); None elsewhere."""
    match check.kind:
        case CheckKind.LOOK:
            bad = np.array([seen_bad(harness, check.part, one.faults, one.blown) for one in field.variants])
            shares = {Word.BAD: bad, Word.GOOD: 1.0 - bad}
        case CheckKind.SWAP:
            cured = np.array([0.0 if one.blown else _swap_cures(check.part, one.faults) for one in field.variants])
            shares = {Word.CURED: cured, Word.NOT_CURED: 1.0 - cured}
        case _:
            return None
    return np.array([shares[word] for word in WORDS_OF[check.kind]]).reshape(len(shares), -1)


def _swap_cures(relay_id: str, faults: Iterable[Fault]) -> float:
    """Give how likely another relay in a socket cures some faults: those inside it, and at times a poor pin of it."""
    cures = 1.0
    for fault in faults:
        if fault.site.startswith(f"{relay_id}."):
            cures *= _SEATED_ANEW
        elif not fault.site.startswith(f"{relay_id}:"):
            return 0.0
    return cures


def seen_bad(harness: Harness, part_id: str, faults: Iterable[Fault], blown: Container[str]) -> float:
    """Give how likely a part looks bad to somebody who pulls it or looks closely; judgement.

    Parameters
    ----------
    blown
        Fuses that have blown.
    """
    part = harness.parts[part_id]
    if isinstance(part, Fuse) and part_id in blown:
        return _SEEN_BAD[FaultKind.BLOWN]
    seen = _NOTHING_SEEN_BAD
    for fault in faults:
        if part_of_site(fault.site) != part_id:
            continue
        table = _WIRE_SEEN_BAD if isinstance(part, Wire) else _SEEN_BAD
        likely = table.get(fault.kind, _NOTHING_SEEN_BAD)
        if isinstance(part, Load) and ":" in fault.site and fault.kind is FaultKind.OPEN:
            likely = _LAMP_SEEN_BAD if part.kind is LoadKind.LAMP else _OTHER_LOAD_SEEN_BAD
        seen = max(seen, likely)
    return seen
