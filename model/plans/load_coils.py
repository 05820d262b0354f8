"""Ignition coils: nobody sees whether one is on, and with the engine standing it gets hot."""

from __future__ import annotations

from dataclasses import replace

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import engine_turns
from model.circuit.survey import ASKED_SHARE
from model.harness.fields import Hazard
from model.harness.harness import Element, Harness
from model.harness.hazards import hazards_of_part
from model.harness.parts import LoadKind
from model.plans.load_rows import in_order
from model.plans.load_scene import LoadScene
from model.plans.plan import PlanRow

_WINDINGS = frozenset({LoadKind.SOLENOID, LoadKind.HEATER})
"""As what a file has the primary of a coil."""


def is_coil(harness: Harness, element: Element) -> bool:
    """Tell whether an element is the winding of an ignition coil."""
    return element.kind in _WINDINGS and Hazard.IGNITION in hazards_of_part(harness, element.part_id)


def with_coil_caution(scene: LoadScene, row: PlanRow) -> PlanRow:
    """Put the caution before a row in whose condition an ignition coil has current though the engine stands."""
    if engine_turns(scene.harness, row.condition):
        return row
    survey = scene.survey(row.condition)
    coils = [one for one in scene.elements if is_coil(scene.harness, one)]
    if survey is None or not any(survey.loads[one.name].volts >= ASKED_SHARE * one.at_volts for one in coils):
        return row
    return replace(row, cautions=in_order((*row.cautions, CAUTIONS[CautionKind.IGNITION_COIL].text)))
