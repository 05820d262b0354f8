"""How likely a faulty circuit shows what is complained of."""

from __future__ import annotations

import numpy as np

from model.circuit.arrays import FloatArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases
from model.circuit.survey import ASKED_SHARE
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Battery, Charger
from model.tracing.checks import Word
from model.tracing.complaint import Complaint, Symptom
from model.tracing.load_ways import BACKFEED
from model.tracing.states import share_of, state_shares, supply_ratio, supply_shares

INTERMITTENT_DUTY = 0.7
"""Of a fault that comes and goes: how much of the time it is there, in the middle of 0.5 to 0.9; judgement."""


@once_per_harness
def elements_by_name(harness: Harness) -> dict[str, Element]:
    """Index every element of every load, and every feed, by its name."""
    return {element.name: element for element in all_elements(harness)}


def symptom_likelihood(bench: Bench, complaint: Complaint, cases: Cases) -> FloatArray:
    """Give how likely each case shows the complaint in the condition that the cases are solved in.

    Returns
    -------
    FloatArray
        Shape (cases,), 0 to 1; of several loads all must show it.
    """
    match complaint.symptom:
        case Symptom.BLOWS_FUSE:
            return np.array([float(complaint.fuse in blown) for blown in cases.blown])
        case Symptom.STAYS_ON | Symptom.WORKS_WITH_ANOTHER:
            return _present(bench.harness, complaint, cases)
        case Symptom.DEAD | Symptom.WEAK | Symptom.COMES_AND_GOES:
            return _missing(bench.harness, complaint, cases)


def _present(harness: Harness, complaint: Complaint, cases: Cases) -> FloatArray:
    """Give how likely loads are on that should be off; what should be on there shows nothing by it."""
    likely = np.ones(len(cases.share))
    for name in complaint.loads:
        is_on = share_of(load_states(harness, cases, name), Word.WORKS, Word.GLOWS)
        likely *= 0.0 if _is_asked(harness, cases, name) else is_on
    return likely


def _missing(harness: Harness, complaint: Complaint, cases: Cases) -> FloatArray:
    """Give how likely loads lack what they should have; those that should be off there say nothing.

    Where all should be off, nothing shows it. A battery is told as weak and as dead alike.
    """
    asked = [name for name in complaint.loads if _is_asked(harness, cases, name)]
    likely = np.full(len(cases.share), float(bool(asked)))
    for name in asked:
        is_either = complaint.symptom is Symptom.COMES_AND_GOES or isinstance(harness.parts.get(name), Battery)
        word = Word.WEAK if complaint.symptom is Symptom.WEAK else Word.DEAD
        likely *= share_of(load_states(harness, cases, name), *((Word.DEAD, Word.WEAK) if is_either else (word,)))
    if complaint.symptom is Symptom.COMES_AND_GOES:
        resets = {fuse.id for fuse in harness.fuses if fuse.resets}
        likely *= np.array([float(blown <= resets) for blown in cases.blown])
    return likely


def _is_asked(harness: Harness, cases: Cases, name: str) -> bool:
    """Tell whether the sound circuit feeds a load; a battery or charger always counts."""
    element = elements_by_name(harness).get(name)
    if element is None:
        return True
    volts, _ = cases.element(name)
    return float(volts[np.flatnonzero(cases.variant == 0)[0]]) >= ASKED_SHARE * element.at_volts


def cured_likelihood(harness: Harness, complaint: Complaint, cases: Cases) -> FloatArray:
    """Give how likely each case looks cured, shape (cases,): all loads work, or are off where they should be."""
    word = Word.DEAD if complaint.symptom in BACKFEED else Word.WORKS
    likely = np.ones(len(cases.share))
    for name in complaint.loads:
        likely *= share_of(load_states(harness, cases, name), word)
    return likely


def load_states(harness: Harness, cases: Cases, name: str) -> FloatArray:
    """Give how likely a load, battery or charger looks as each state in each case, shape (4, cases).

    The sound circuit is the case of variant 0.
    """
    sound = int(np.flatnonzero(cases.variant == 0)[0])
    part = harness.parts.get(name)
    if isinstance(part, Battery | Charger):
        return _supply_states(cases, part, sound)
    volts, amps = cases.element(name)
    element = elements_by_name(harness)[name]
    return state_shares(element, (volts, amps), (float(volts[sound]), float(amps[sound])))


def _supply_states(cases: Cases, part: Battery | Charger, sound: int) -> FloatArray:
    """Give the states of a battery by its volts, of a charger by how far it lifts the posts above the battery's."""
    volts = np.abs(cases.volts(f"{part.id}.+", f"{part.id}.-"))
    if isinstance(part, Charger):
        volts = np.abs(cases.posts_volts)
    return supply_shares(supply_ratio(volts, float(volts[sound])))
