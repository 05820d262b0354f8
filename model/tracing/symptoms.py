"""How likely a faulty circuit shows what is complained of."""

from __future__ import annotations

import numpy as np

from model.circuit.arrays import FloatArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Battery, Charger
from model.tracing.checks import Word
from model.tracing.complaint import Complaint, Symptom
from model.tracing.states import share_of, state_shares, supply_shares

INTERMITTENT_DUTY = 0.7
"""Of a fault that comes and goes: how much of the time it is there, in the middle of 0.5 to 0.9; judgement."""

_BATTERY_DEAD_BELOW = 0.90


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
    if complaint.symptom is Symptom.BLOWS_FUSE:
        return np.array([float(complaint.fuse in blown) for blown in cases.blown])
    likely = np.ones(len(cases.share))
    for name in complaint.loads:
        likely *= _one_load(complaint.symptom, load_states(bench.harness, cases, name))
    return likely


def _one_load(symptom: Symptom, states: FloatArray) -> FloatArray:
    match symptom:
        case Symptom.DEAD:
            return share_of(states, Word.DEAD)
        case Symptom.WEAK:
            return share_of(states, Word.WEAK)
        case Symptom.STAYS_ON | Symptom.WORKS_WITH_ANOTHER:
            return share_of(states, Word.WORKS, Word.GLOWS)
        case Symptom.COMES_AND_GOES:
            return share_of(states, Word.DEAD, Word.WEAK)
        case Symptom.BLOWS_FUSE:
            raise AssertionError(symptom)


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
    share = volts / max(float(volts[sound]), 1e-9)
    return supply_shares(np.clip((share - _BATTERY_DEAD_BELOW) / (1.0 - _BATTERY_DEAD_BELOW), 0.0, 1.0))
