"""Which single fault would make an insulation row read what was read, each solved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.bands import WIRE_TOLERANCE
from model.circuit.bodies import body_beside
from model.circuit.faults import SHORT_OHMS, FaultKind
from model.harness.harness import Harness
from model.harness.places import place_words, point_place
from model.harness.records import Wire
from model.plans.cold_circuit import ColdLoom
from model.plans.insulation_groups import Ground
from model.plans.insulation_reading import Reading
from model.plans.limits import meter_error_ohms
from model.plans.plan import PlanRow
from model.tracing.names import id_and_label, part_name, point_name
from model.words import ohms_text


@dataclass(frozen=True, slots=True)
class Suspect:
    """A single fault that fits a reading.

    Attributes
    ----------
    site
        As in ``W9``, ``E1:dip``.
    partner
        What the site touches, of ``touches``.
    words
        The fault and what it would read, in a sentence.
    ohms
        What the row would read with it.
    """

    site: str
    kind: FaultKind
    partner: str
    words: str
    ohms: float


def suspects_of(harness: Harness, row: PlanRow, ohms: float) -> tuple[Suspect, ...]:
    """Name the single faults whose ohms agree with a reading of an insulation row, the nearest first.

    Each wire that hangs on the metal through to the body, each load shorted and the metal touching that behind another
    fuse are solved. A fault agrees where it is off the reading by no more than the meter may be (0.2 Ω and 0.8 %) and a
    quarter of itself, the tolerance of wires.

    Parameters
    ----------
    ohms
        As read, infinite where open.

    Returns
    -------
    tuple of Suspect
        Empty where the reading is good, and where no single fault agrees with it: then damp, dirt or several faults.
    """
    ground = Ground(ColdLoom(harness))
    point = row.black if row.red == ground.point else row.red
    reading = Reading(ground, point, row.condition)
    if ohms >= reading.least_ohms:
        return ()
    found = [suspect for suspect in _single_faults(reading) if suspect.ohms < reading.least_ohms]
    fitting = [suspect for suspect in found if _agrees(suspect.ohms, ohms)]
    return tuple(sorted(fitting, key=lambda suspect: abs(suspect.ohms - ohms)))


def _agrees(computed_ohms: float, read_ohms: float) -> bool:
    return abs(computed_ohms - read_ohms) <= meter_error_ohms(read_ohms) + WIRE_TOLERANCE * computed_ohms


def _single_faults(reading: Reading) -> Iterator[Suspect]:
    yield from _worn_wires(reading)
    yield from _shorted_loads(reading)
    yield from _touching(reading)


def _worn_wires(reading: Reading) -> Iterator[Suspect]:
    harness = reading.ground.harness
    for wire_id, ohms in reading.shorts.items():
        body = body_beside(harness, harness.part_of(wire_id, Wire))
        kind, partner = (FaultKind.TO_BODY, "") if body is not None else (FaultKind.TOUCHES, reading.ground.point)
        where = "the body" if body is not None else point_name(harness, partner)
        words = f"{_capital(part_name(harness, wire_id))}, through to {where}: {ohms_text(ohms)}."
        yield Suspect(wire_id, kind, partner, words, ohms)


def _shorted_loads(reading: Reading) -> Iterator[Suspect]:
    ground = reading.ground
    for branch in ground.loom.net.elements:
        name = branch.element.name
        reached = {branch.from_node, branch.to_node} & (reading.reached - ground.nodes)
        if not reached or name not in ground.loom.net.sites:
            continue
        carries = any(reading.circuit.carries[place] for place in ground.loom.branches_of[branch.element.part_id])
        if carries:
            ohms = reading.circuit.ohms_with(*reading.ends, (branch.from_node, branch.to_node), SHORT_OHMS)
            words = f"{id_and_label(ground.harness, branch.element.part_id)}, shorted inside: {ohms_text(ohms)}."
            yield Suspect(name, FaultKind.SHORT, "", words, ohms)


def _touching(reading: Reading) -> Iterator[Suspect]:
    ground = reading.ground
    site = next((wire for wire in reading.shorts if ground.loom.middle(wire) in reading.metal), "")
    if not site:
        return
    for group in ground.groups:
        node = ground.loom.node(group.point)
        if node in reading.metal:
            continue
        ohms = reading.with_touch(ground.loom.middle(site), node)
        place = place_words(point_place(ground.harness, group.point))
        words = f"This metal touching {point_name(ground.harness, group.point)}, {place}: {ohms_text(ohms)}."
        yield Suspect(site, FaultKind.TOUCHES, group.point, words, ohms)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
