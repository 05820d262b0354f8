"""Complaints played out: a fault drawn by its weight, hidden in a vehicle, and traced to its end."""

from __future__ import annotations

import random
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.faults import Fault
from model.errors import CircuitError
from model.harness.parts import Battery
from model.tracing.asking import Finding, Question, Read
from model.tracing.checks import Check, CheckKind, Word
from model.tracing.complaint import Complaint, Symptom
from model.tracing.finding import Stopped
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.never_offered import never_offered
from model.tracing.suspects import Hypothesis
from model.tracing.symptoms import INTERMITTENT_DUTY
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle

CHECKS_AT_MOST = 40
_DRAWN_AT_MOST = 12
_SHOWS = {
    Symptom.DEAD: {Word.DEAD},
    Symptom.WEAK: {Word.WEAK},
    Symptom.STAYS_ON: {Word.WORKS, Word.GLOWS},
    Symptom.WORKS_WITH_ANOTHER: {Word.WORKS, Word.GLOWS},
    Symptom.COMES_AND_GOES: {Word.DEAD, Word.WEAK},
}


@dataclass(frozen=True)
class Played:
    """A complaint with its hidden fault, as it was traced.

    Attributes
    ----------
    asked
        Every check that was asked, in order.
    held
        Whether the finding's group has the hidden fault.
    """

    trace: Trace
    hypothesis: Hypothesis
    asked: tuple[Check, ...]
    finding: Finding
    held: bool


def draw(inquiry: Inquiry, chance: random.Random, *, swings: bool = False) -> tuple[Hypothesis, Vehicle] | None:
    """Draw a fault by its weight that the vehicle shows; None where none of some does."""
    solved = inquiry.field.solved
    for _ in range(_DRAWN_AT_MOST if solved else 0):
        row = chance.choices(range(solved), inquiry.field.weights[:solved].tolist())[0]
        hypothesis = inquiry.field.hypotheses[int(inquiry.field.owner[row])]
        try:
            vehicle = vehicle_of(
                inquiry, inquiry.field.variants[row].faults, seed=chance.randrange(9999), swings=swings
            )
            if shows(inquiry, vehicle):
                return hypothesis, vehicle
        except CircuitError:
            continue
    return None


def vehicle_of(inquiry: Inquiry, faults: tuple[Fault, ...], *, seed: int = 1, swings: bool = False) -> Vehicle:
    """Give a vehicle with faults, whose driver never slips."""
    symptom = inquiry.complaint.symptom
    return Vehicle(
        inquiry.harness,
        faults,
        inquiry.complaint.loads,
        inquiry.condition,
        symptom=symptom,
        duty=INTERMITTENT_DUTY if symptom is Symptom.COMES_AND_GOES else 1.0,
        swings=swings,
        seed=seed,
        slips=0.0,
    )


def shows(inquiry: Inquiry, vehicle: Vehicle) -> bool:
    """Tell whether a vehicle, whose parts are off their ratings, shows the complaint."""
    complaint = inquiry.complaint
    if complaint.symptom is Symptom.BLOWS_FUSE:
        return complaint.fuse in vehicle.blown
    first = complaint.loads[0]
    shown = _SHOWS[complaint.symptom]
    if isinstance(inquiry.harness.parts.get(first), Battery):
        shown = {Word.DEAD, Word.WEAK}
    return vehicle.state_of(first) in shown


def play(bench: Bench, complaint: Complaint, seed: int, *, swings: bool = False) -> Played | None:
    """Trace a fault that is drawn by its weight; None where the vehicle does not show the complaint."""
    inquiry = open_inquiry(bench, complaint)
    drawn = draw(inquiry, random.Random(seed), swings=swings)
    if drawn is None:
        return None
    hypothesis, vehicle = drawn
    trace = Trace(bench, complaint, opened=inquiry)
    asked, finding = answer_all(trace, vehicle)
    flat = hypothesis.fault == "flat" and finding.stopped == Stopped.CHARGE_FIRST
    held = flat or any((one.part, one.fault, one.partner) == hypothesis.name for one in finding.group)
    return Played(trace, hypothesis, asked, finding, held)


def answer_all(trace: Trace, vehicle: Vehicle) -> tuple[tuple[Check, ...], Finding]:
    """Answer what is asked until the trace ends, and hold every question to what a question must be."""
    asked: list[Check] = []
    for _ in range(CHECKS_AT_MOST):
        question = trace.next()
        if isinstance(question, Finding):
            return tuple(asked), question
        hold(trace, question, asked)
        asked.append(question.check)
        trace.reply(Read(vehicle.answer(question.check)))
    raise AssertionError(f"the trace does not end: {asked[-3:]}")


def hold(trace: Trace, question: Question, before: list[Check]) -> None:
    """Assert that a question may be asked: it is not refused, tells something, and does not come for ever."""
    check = question.check
    assert never_offered(Bench(trace.harness), check) is None, check
    assert question.why
    assert question.outlooks
    assert before.count(check) < (1 if check.kind in (CheckKind.BRIDGE, CheckKind.SWAP) else 3), check
