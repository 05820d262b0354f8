"""The fault that is hidden for practice: drawn by its weight, shown by the very vehicle that has it."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from model.circuit.arrays import FloatArray
from model.circuit.bench import Bench
from model.circuit.faults import Fault
from model.errors import ArgumentError, CircuitError
from model.harness.harness import Element, Harness, all_elements
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.tracing.checks import CheckKind, Word
from model.tracing.complained import is_asked, usual_condition
from model.tracing.complaint import Complaint, LoomAge, Symptom
from model.tracing.ending import TELLS_APART
from model.tracing.foresee import Known
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.load_rows import load_needs
from model.tracing.suspects import Hypothesis
from model.tracing.vehicle import Vehicle
from model.tracing.walk import Walker
from model.tracing.working import working_condition

TOLD_SHARE = 0.2
"""A fault counts as told by a check whose outcomes differ by this from those of the others (total variation)."""

_SYMPTOMS = {Symptom.DEAD: 5.0, Symptom.WEAK: 2.0, Symptom.STAYS_ON: 1.0, Symptom.BLOWS_FUSE: 1.0}
"""How often each is practised; judgement."""

_SHOWS = {
    Symptom.DEAD: frozenset({Word.DEAD}),
    Symptom.WEAK: frozenset({Word.WEAK}),
    Symptom.STAYS_ON: frozenset({Word.WORKS, Word.GLOWS}),
}
_FAILS = (Word.DEAD, Word.WEAK)
OTHERS_MOST = 4
"""So many other loads are named that are dead too, or weak; judgement."""

_COMPLAINTS_TRIED = 40
_FAULTS_TRIED = 30
_TELLING = frozenset(
    {CheckKind.VOLTS, CheckKind.DROP, CheckKind.OBSERVE, CheckKind.LISTEN, CheckKind.LOOK, CheckKind.AMPS}
)


@dataclass(frozen=True)
class Hidden:
    """A fault, and the vehicle that has it.

    Attributes
    ----------
    faults
        One way of the hypothesis: of a high resistance one size.
    """

    inquiry: Inquiry
    hypothesis: Hypothesis
    faults: tuple[Fault, ...]
    vehicle_seed: int

    def vehicle(self) -> Vehicle:
        """Give the vehicle, fresh: the same each time."""
        inquiry = self.inquiry
        loads = inquiry.complaint.loads
        return Vehicle(inquiry.harness, self.faults, loads, inquiry.condition, seed=self.vehicle_seed)


def hide_fault(bench: Bench, chance: random.Random) -> Hidden:
    """Draw complaints until one has a fault that shows and can be told.

    Raises
    ------
    ArgumentError
        Where no load of the harness has one.
    """
    elements = [one for one in all_elements(bench.harness) if not _is_grave(bench.harness, one)]
    for _ in range(_COMPLAINTS_TRIED if elements else 0):
        element, age = chance.choice(elements), chance.choice(list(LoomAge))
        symptom = chance.choices(list(_SYMPTOMS), list(_SYMPTOMS.values()))[0]
        hidden = _hidden_in(bench, chance, element, symptom, age)
        if hidden is not None:
            return _told_with_others(bench, hidden)
    raise ArgumentError(
        "No load of this harness can be practised on.", do="Its loads work in no condition, or no check tells a fault."
    )


def _is_grave(harness: Harness, element: Element) -> bool:
    return bool(NEVER_PROBED.intersection(hazards_of_part(harness, element.part_id)))


def _hidden_in(bench: Bench, chance: random.Random, element: Element, symptom: Symptom, age: LoomAge) -> Hidden | None:
    """Hide a fault behind a complaint; None where none shows it that some check tells."""
    try:
        if not working_condition(bench, element).reached:
            return None
        fuse = _fuse_of(bench, element) if symptom is Symptom.BLOWS_FUSE else ""
        if symptom is Symptom.BLOWS_FUSE and not fuse:
            return None
        inquiry = open_inquiry(bench, Complaint((element.name,), symptom, age, fuse=fuse))
    except CircuitError:
        return None
    rows = range(inquiry.field.solved)
    for row in _drawn(chance, rows, inquiry.field.weights[: inquiry.field.solved].tolist()):
        hypothesis = inquiry.field.hypotheses[int(inquiry.field.owner[row])]
        hidden = Hidden(inquiry, hypothesis, inquiry.field.variants[row].faults, chance.randrange(1 << 30))
        if _shows(hidden) and is_told(inquiry, row):
            return hidden
    return None


def _told_with_others(bench: Bench, hidden: Hidden) -> Hidden:
    """Tell in the complaint which others do nothing, or work weakly, for the same fault: nobody overlooks these.

    Of those that work nothing is said: to look at them is a check.
    """
    complaint = hidden.inquiry.complaint
    if complaint.symptom not in (Symptom.DEAD, Symptom.WEAK):
        return hidden
    try:
        vehicle = hidden.vehicle()
        seen = {name: vehicle.state_of(name, usual_condition(bench, name)) for name in _beside(hidden, vehicle)}
        dead, weak = (tuple(name for name in seen if seen[name] is word) for word in _FAILS)
        if not dead and not weak:
            return hidden
        inquiry = open_inquiry(bench, replace(complaint, dead=dead, weak=weak))
    except CircuitError:
        return hidden
    here = next((one for one in inquiry.field.hypotheses if one.name == hidden.hypothesis.name), None)
    return hidden if here is None else replace(hidden, inquiry=inquiry, hypothesis=here)


def _beside(hidden: Hidden, vehicle: Vehicle) -> list[str]:
    """Name the others that should be on in the condition of the complaint and are not, a few, as the file has them."""
    bench, condition = hidden.inquiry.bench, hidden.inquiry.condition
    complained = {name.partition(":")[0] for name in hidden.inquiry.complaint.loads}
    others = (one.name for one in all_elements(bench.harness) if one.part_id not in complained)
    asked = (name for name in others if is_asked(bench, name, condition))
    return list(islice((name for name in asked if vehicle.state_of(name) in _FAILS), OTHERS_MOST))


def _fuse_of(bench: Bench, element: Element) -> str:
    walker = Walker(bench)
    return load_needs(walker, walker.walk(element)).fuse_id


def _drawn(chance: random.Random, rows: Sequence[int], weights: Sequence[float]) -> Iterator[int]:
    for _ in range(_FAULTS_TRIED if rows else 0):
        yield chance.choices(rows, weights)[0]


def _shows(hidden: Hidden) -> bool:
    """Tell whether the complaint is seen on this very vehicle, whose parts are off their ratings."""
    complaint = hidden.inquiry.complaint
    try:
        vehicle = hidden.vehicle()
        if complaint.symptom is Symptom.BLOWS_FUSE:
            return complaint.fuse in vehicle.blown
        return all(vehicle.state_of(name) in _SHOWS[complaint.symptom] for name in complaint.loads)
    except CircuitError:
        return False


def is_told(inquiry: Inquiry, row: int) -> bool:
    """Tell whether some check in the condition of the complaint tells a row's fault from the others."""
    solved, known = inquiry.field.solved, Known(inquiry.posts_volts)
    for check in inquiry.checks:
        if check.kind in _TELLING and check.condition == inquiry.condition:
            shares = inquiry.foresight.shares(check, known)[:, :solved]
            if 0.5 * float(np.abs(shares[:, row] - shares.mean(axis=1)).sum()) > TOLD_SHARE:
                return True
    return False


def are_told_apart(inquiry: Inquiry, one: Hypothesis, other: Hypothesis) -> bool:
    """Tell whether any check tells two suspects apart, as far as a trace asks of one: else both are a right name.

    Slow where checks have not been foreseen yet.
    """
    known = Known(inquiry.posts_volts)
    pair = np.column_stack([_row_weights(inquiry, inquiry.field.hypotheses.index(name)) for name in (one, other)])
    pair /= pair.sum(axis=0)
    return any(
        0.5 * float(np.abs(np.diff(inquiry.foresight.shares(check, known) @ pair, axis=1)).sum()) >= TELLS_APART
        for check in sorted(inquiry.checks, key=lambda check: check.condition != inquiry.condition)
    )


def _row_weights(inquiry: Inquiry, place: int) -> FloatArray:
    """Give the weights of the rows that are of a hypothesis, 0 of all others, shape (rows,)."""
    return np.asarray(np.where(inquiry.field.owner == place, inquiry.field.weights, 0.0))
