"""What can be wrong with that which joins points on the ways: wires, joints, cavities, fuses, contacts, drivers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from model.circuit.faults import FaultKind
from model.harness.parts import Fuse, FuseStyle
from model.harness.records import Wire
from model.tracing.fault_scene import Scene, high_resistance, one_fault
from model.tracing.fault_weights import wear_of_part, wear_of_wire
from model.tracing.graph import Link, LinkKind
from model.tracing.suspects import Hypothesis


def faults_of_links(scene: Scene) -> Iterator[Hypothesis]:
    """Give what can be wrong with each link on the ways; shorts and wrong places aside."""
    for link in scene.ways.links:
        yield from _faults_of(scene, link)


def _faults_of(scene: Scene, link: Link) -> Iterator[Hypothesis]:
    site, part_id = link.site, link.part_id
    match link.kind:
        case LinkKind.WIRE:
            wear = wear_of_wire(scene.harness, scene.harness.part_of(part_id, Wire))
            yield from _worn(scene, link, ("wire", f"wire {part_id}"), wear)
        case LinkKind.JOINT:
            yield from _worn(scene, link, ("joint", f"joint {part_id}"))
        case LinkKind.GROUND:
            yield from _worn(scene, link, ("ground", f"ground {part_id}"))
        case LinkKind.CAVITY:
            if scene.is_closed(link):
                yield from _worn(scene, link, ("contact of a cavity", f"contact {site}"))
        case LinkKind.FUSE:
            yield from _fuse(scene, link)
        case LinkKind.SWITCH:
            yield from _contact(scene, link, ("switch contact", f"switch {part_id}"))
        case LinkKind.RELAY:
            yield from _contact(scene, link, ("relay contact", f"relay {part_id}"))
        case LinkKind.DRIVER | LinkKind.OUTPUT:
            kind = FaultKind.OPEN if scene.is_closed(link) else FaultKind.STUCK
            yield one_fault(site, kind, scene.weight("module terminal", kind), f"module {part_id}")
        case LinkKind.DIODE:
            for kind in (FaultKind.OPEN, FaultKind.SHORT, FaultKind.REVERSED):
                yield one_fault(site, kind, scene.weight("diode", kind), f"diode {part_id}")
        case LinkKind.RESISTOR:
            for kind in (FaultKind.OPEN, FaultKind.SHORT):
                yield one_fault(site, kind, scene.weight("resistor", kind), f"resistor {part_id}")
        case LinkKind.EXCITER:
            return
        case _:
            assert_never(link.kind)


def _worn(scene: Scene, link: Link, words: tuple[str, str], wear: float | None = None) -> Iterator[Hypothesis]:
    """Give open and high of a piece of metal; `words` are its kind in the table and its repair."""
    site_kind, repair = words
    factor = wear_of_part(scene.harness, link.part_id) if wear is None else wear
    yield one_fault(link.site, FaultKind.OPEN, factor * scene.weight(site_kind, FaultKind.OPEN), repair)
    weight = factor * scene.weight(site_kind, FaultKind.HIGH)
    yield high_resistance(link.site, weight, repair, fine=scene.is_fine(link))


def _contact(scene: Scene, link: Link, words: tuple[str, str]) -> Iterator[Hypothesis]:
    """Give open and high of a contact that is closed, stuck of one that is not."""
    if scene.is_closed(link):
        yield from _worn(scene, link, words)
    else:
        yield one_fault(link.site, FaultKind.STUCK, scene.weight(words[0], FaultKind.STUCK), words[1])


def _fuse(scene: Scene, link: Link) -> Iterator[Hypothesis]:
    fuse, repair = scene.harness.part_of(link.part_id, Fuse), f"fuse {link.part_id}"
    kinds = [FaultKind.BLOWN, FaultKind.MISSING]
    if fuse.amps is not None and fuse.style is not FuseStyle.THERMAL:
        kinds.append(FaultKind.TOO_SMALL)
    for kind in kinds:
        yield one_fault(fuse.id, kind, scene.weight("fuse", kind), repair)
    weight = wear_of_part(scene.harness, fuse.id) * scene.weight("fuse", FaultKind.HIGH)
    yield high_resistance(fuse.id, weight, repair, fine=scene.is_fine(link))
