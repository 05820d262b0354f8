"""The fault that is hidden for practice: drawn by its weight, shown by the very vehicle that has it."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from model.circuit.bench import Bench
from model.circuit.faults import Fault
from model.errors import ArgumentError, CircuitError
from model.harness.harness import Element, Harness, all_elements
from model.harness.hazards import NEVER_PROBED, hazards_of_part
from model.tracing.checks import CheckKind, Word
from model.tracing.complaint import Complaint, LoomAge, Symptom
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
            return hidden
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
