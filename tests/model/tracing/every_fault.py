"""Every fault that a harness can have, as suspects."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.bodies import body_beside
from model.circuit.faults import FaultKind, contact_names, fault_kinds
from model.harness.fields import Part
from model.harness.harness import SINGLE_ELEMENT, Harness
from model.harness.parts import Load, Module, Relay, ResistorPack, Switch
from model.harness.points import terminals_of
from model.harness.records import Connector, Wire
from model.tracing.suspects import Suspect


def sites_of(part: Part) -> Iterator[str]:
    """Name every site of a part at which a fault can be."""
    yield part.id
    yield from (f"{part.id}.{name}" for name in terminals_of(part))
    inner: list[str] = []
    match part:
        case Connector():
            yield from (f"{part.id}.{cavity}" for cavity in range(1, part.cavities + 1))
            yield from (f"{part.id}.{cavity}/{cavity + 1}" for cavity in range(1, part.cavities))
        case Wire():
            yield f"{part.id}.a"
        case Relay() | Switch():
            inner = [*contact_names(part), "coil"]
        case Load():
            inner = [one.name for one in part.elements] or [SINGLE_ELEMENT]
        case ResistorPack():
            inner = [one.name for one in part.elements]
        case Module():
            inner = [feed.terminal for feed in part.feeds] + [driver.terminal for driver in part.drivers]
            inner += [output.terminal for output in part.outputs]
    yield from (f"{part.id}:{name}" for name in inner)


def every_fault(harness: Harness) -> Iterator[Suspect]:
    """Give every fault of every part once; a wire touches, and ends on, the first battery's live post."""
    live = f"{harness.batteries[0].id}.+"
    for part in harness.each_part():
        for site in sites_of(part):
            for kind in fault_kinds(harness, site):
                if kind is FaultKind.TO_BODY and isinstance(part, Wire) and body_beside(harness, part) is None:
                    continue
                partner = live if kind in (FaultKind.TOUCHES, FaultKind.ELSEWHERE) else ""
                yield Suspect(site, str(kind), partner, 0.9)
