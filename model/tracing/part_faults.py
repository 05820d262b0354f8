"""What can be wrong with the parts on the ways: their terminals, coils, elements, and the supply."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.condition import charger_is_on
from model.circuit.faults import FaultKind, fault_kinds
from model.harness.fields import Part
from model.harness.harness import Element
from model.harness.parts import Battery, Charger, Fuse, LoadKind, Module, Relay
from model.harness.records import Connector, Wire
from model.tracing.bolted import is_bolted
from model.tracing.fault_scene import Scene, high_resistance, one_fault, repair_of_part
from model.tracing.fault_weights import wear_of_part
from model.tracing.graph import METAL_KINDS, LinkKind
from model.tracing.suspects import Hypothesis


def faults_of_parts(scene: Scene) -> Iterator[Hypothesis]:
    """Give what can be wrong with parts on the ways beside what joins their terminals."""
    for element in scene.ways.elements:
        yield from faults_of_element(scene, element)
    for point in terminals_on_ways(scene):
        yield from _terminal(scene, point)
    relays = dict.fromkeys(link.part_id for link in scene.ways.links if link.kind is LinkKind.RELAY)
    for relay_id in relays:
        if isinstance(scene.harness.parts[relay_id], Relay):
            yield one_fault(
                f"{relay_id}:coil", FaultKind.OPEN, scene.weight("relay coil", FaultKind.OPEN), f"relay {relay_id}"
            )
    yield from _supply(scene)


def faults_of_element(scene: Scene, element: Element, *, only_short: bool = False) -> Iterator[Hypothesis]:
    """Give what can be wrong with an element of a load, or with the feed of a module inside it."""
    part = scene.harness.parts[element.part_id]
    if isinstance(part, Module):
        if not only_short:
            weight = scene.weight("module feed", FaultKind.OPEN)
            yield one_fault(element.name, FaultKind.OPEN, weight, repair_of_part(part))
        return
    site_kind = "lamp" if element.kind is LoadKind.LAMP else "other load"
    kinds = (FaultKind.SHORT,) if only_short else (FaultKind.OPEN, FaultKind.SHORT, FaultKind.LOW_DRAW)
    for kind in kinds:
        yield one_fault(element.name, kind, scene.weight(site_kind, kind), repair_of_part(part))


def terminals_on_ways(scene: Scene) -> tuple[str, ...]:
    """Name the terminals of parts on the ways through which something goes as things are switched.

    Batteries, cavities, free ends and what is one point have sites of their own; a fuse on a busbar has its ``in``.
    """
    found: dict[str, None] = {}
    for point in scene.ways.ends:
        found[point] = None
    for link in scene.ways.links:
        if link.kind in METAL_KINDS or not scene.is_closed(link):
            continue
        part = scene.harness.parts[link.part_id]
        inner = f"{part.id}.in" if isinstance(part, Fuse) else link.one
        found.update({inner: None, link.other: None})
    return tuple(point for point in found if _has_plug(scene.harness.parts.get(point.partition(".")[0]), point))


def _has_plug(part: Part | None, point: str) -> bool:
    return "." in point and part is not None and not isinstance(part, Battery | Connector | Wire)


def _terminal(scene: Scene, point: str) -> Iterator[Hypothesis]:
    if not fault_kinds(scene.harness, point):
        return
    part = scene.harness.parts[point.partition(".")[0]]
    bolted = is_bolted(scene.harness, point)
    site_kind = "bolted terminal" if bolted else "terminal in a plug"
    wear, repair = wear_of_part(scene.harness, part.id), f"terminal {point}"
    yield one_fault(point, FaultKind.OPEN, wear * scene.weight(site_kind, FaultKind.OPEN), repair)
    weight = wear * scene.weight(site_kind, FaultKind.HIGH)
    yield high_resistance(point, weight, repair, fine=bolted and (scene.is_heavy or isinstance(part, Charger)))


def _supply(scene: Scene) -> Iterator[Hypothesis]:
    points = frozenset(scene.ways.points)
    for battery in scene.harness.batteries:
        posts = [post for post in (f"{battery.id}.+", f"{battery.id}.-") if post in points]
        wear = wear_of_part(scene.harness, battery.id)
        for post in posts:
            repair = f"battery post {post}"
            yield one_fault(post, FaultKind.OPEN, wear * scene.weight("battery post", FaultKind.OPEN), repair)
            weight = wear * scene.weight("battery post", FaultKind.HIGH)
            yield high_resistance(post, weight, repair, fine=True)
        if posts or battery.id in scene.complaint.loads:
            weight = scene.weight("battery", FaultKind.FLAT)
            yield one_fault(battery.id, FaultKind.FLAT, weight, f"battery {battery.id}")
    for charger in scene.harness.chargers:
        is_in_play = charger.id in scene.ways.part_ids or charger.id in scene.complaint.loads
        if is_in_play and charger_is_on(scene.harness, scene.settled.condition, charger):
            weight = scene.weight("charger", FaultKind.NO_OUTPUT)
            yield one_fault(charger.id, FaultKind.NO_OUTPUT, weight, f"charger {charger.id}")
