"""Every place of a harness where something can be wrong, and every fault that can be there without a partner."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.bodies import body_beside
from model.circuit.faults import Fault, FaultKind, contact_names, fault_kinds
from model.harness.fields import Part
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Load, Module, Relay, ResistorPack, Switch
from model.harness.points import terminals_of
from model.harness.records import Connector, Wire

HIGH_OHMS_SIZES = (0.3, 5.0, 1000.0)
"""What a high resistance adds: one that only a strong load notices, one that dims a lamp, one next to an open."""

_WITH_A_PARTNER = (FaultKind.TOUCHES, FaultKind.ELSEWHERE)


def fault_sites(harness: Harness) -> Iterator[str]:
    """Give the name of every place that a fault may be at, and of some at which none may be."""
    for part in harness.each_part():
        yield part.id
        yield from _sites_within(part)


def _sites_within(part: Part) -> Iterator[str]:
    match part:
        case Connector():
            yield from (f"{part.id}.{cavity}" for cavity in range(1, part.cavities + 1))
            yield from (f"{part.id}.{cavity}/{cavity + 1}" for cavity in range(1, part.cavities))
            return
        case Wire():
            return
        case Relay() | Switch():
            yield from (f"{part.id}:{name}" for name in (*contact_names(part), "coil"))
        case Load() | ResistorPack():
            names = [element.name for element in part.elements] or [SINGLE_ELEMENT]
            yield from (f"{part.id}:{name}" for name in names)
        case Module():
            yield from (f"{part.id}:{name}" for name in terminals_of(part))
    yield from (f"{part.id}.{terminal}" for terminal in terminals_of(part))


def every_fault(harness: Harness) -> tuple[Fault, ...]:
    """List every single fault that names no partner: open, high, to body, short, stuck, swapped and the like.

    A high resistance stands once for each of `HIGH_OHMS_SIZES`. What a wire touches, and where its end may lie instead,
    are too many to be listed.
    """
    found: list[Fault] = []
    for site in fault_sites(harness):
        for kind in fault_kinds(harness, site):
            if kind is FaultKind.HIGH:
                found += [Fault(site, kind, added_ohms=ohms) for ohms in HIGH_OHMS_SIZES]
            elif kind is FaultKind.TO_BODY:
                found += [Fault(site, kind)] if body_beside(harness, harness.part_of(site, Wire)) is not None else []
            elif kind not in _WITH_A_PARTNER:
                found.append(Fault(site, kind))
    return tuple(found)
