"""What could blow a fuse on the ways: insulation worn through, and loads, diodes and resistances shorted behind it."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.bodies import body_beside
from model.circuit.faults import FaultKind
from model.harness.harness import CHASSIS, all_elements
from model.harness.metal import same_metal, wire_points
from model.harness.records import Wire
from model.tracing.complaint import Symptom
from model.tracing.fault_scene import Scene, one_fault, repair_of_part
from model.tracing.fault_weights import wear_of_wire
from model.tracing.graph import LinkKind, links_of
from model.tracing.load_ways import downstream, ground_points, unfused_points
from model.tracing.part_faults import faults_of_element
from model.tracing.suspects import Hypothesis

_FUSE_LEFT_OPEN = frozenset({Symptom.DEAD, Symptom.WEAK, Symptom.COMES_AND_GOES})

_CONTACT_KINDS = {LinkKind.SWITCH: "switch contact", LinkKind.RELAY: "relay contact"}


def shorts(scene: Scene) -> Iterator[Hypothesis]:
    """Give what could blow a fuse on the ways, and wires on the ways that touch a body."""
    behind = points_behind_fuses(scene)
    for wire in wires_at_risk(scene, behind):
        body = _body_touched(scene, wire)
        if body is not None:
            weight = wear_of_wire(scene.harness, wire) * scene.weight("wire", FaultKind.TO_BODY)
            yield one_fault(wire.id, FaultKind.TO_BODY, weight * short_factor(scene, wire), f"insulation {wire.id}")
    for element in all_elements(scene.harness):
        if element not in scene.ways.elements and {element.from_point, element.to_point} & behind:
            yield from faults_of_element(scene, element, only_short=True)
    yield from _bridges(scene, behind)


def points_behind_fuses(scene: Scene) -> frozenset[str]:
    """Name the points behind the fuses on the ways, through closed and switchable contacts, up to the next fuses."""
    bodies, ahead = ground_points(scene.harness), unfused_points(scene.harness)
    fuses = dict.fromkeys(link.part_id for link in scene.ways.links if link.kind is LinkKind.FUSE)
    if scene.complaint.fuse:
        fuses[scene.complaint.fuse] = None
    found: set[str] = set()
    for fuse_id in fuses:
        start = f"{fuse_id}.out"
        if start not in found:
            found.update(downstream(scene.harness, start, lambda point: not (point in bodies or point in ahead)))
    return frozenset(found)


def wires_at_risk(scene: Scene, behind: frozenset[str]) -> Iterator[Wire]:
    """Give the wires on the ways, behind the fuses and ahead of them all, in the order of the file; no ground wires."""
    bodies, on_ways = ground_points(scene.harness), frozenset(wire.id for wire in scene.way_wires)
    reached = behind | unfused_points(scene.harness) | scene.fed_together
    for wire in scene.harness.wires:
        one, other = wire_points(scene.harness, wire)
        if one not in bodies and (wire.id in on_ways or one in reached or other in reached):
            yield wire


def short_factor(scene: Scene, wire: Wire) -> float:
    """Give the factor for a wire shorted to ground: it would have burnt ahead of every fuse."""
    factor = 1.0
    if wire_points(scene.harness, wire)[0] in unfused_points(scene.harness):
        factor *= scene.weight("short ahead of every fuse", "any")
    if scene.complaint.symptom in _FUSE_LEFT_OPEN:
        factor *= scene.weight("short where the load is not said to blow a fuse", "any")
    return factor


def _body_touched(scene: Scene, wire: Wire) -> str | None:
    """Name a body that the wire could touch, other than its own metal."""
    if scene.harness.build.chassis and not scene.harness.bodies:
        body: str | None = CHASSIS
    else:
        body = body_beside(scene.harness, wire)
    own = same_metal(scene.harness, wire_points(scene.harness, wire)[0])
    return None if body is None or same_metal(scene.harness, body) == own else body


def _bridges(scene: Scene, behind: frozenset[str]) -> Iterator[Hypothesis]:
    """Give what hangs behind a fuse and is on no way: diodes and resistances shorted, open contacts stuck."""
    on_ways = frozenset(link.site for link in scene.ways.links)
    for link in links_of(scene.harness):
        if link.site in on_ways or not {link.one, link.other} & behind:
            continue
        if link.kind is LinkKind.DIODE:
            for kind in (FaultKind.SHORT, FaultKind.REVERSED):
                yield one_fault(link.site, kind, scene.weight("diode", kind), f"diode {link.part_id}")
        elif link.kind in _CONTACT_KINDS and not scene.is_closed(link):
            site_kind, repair = _CONTACT_KINDS[link.kind], repair_of_part(scene.harness.parts[link.part_id])
            yield one_fault(link.site, FaultKind.STUCK, scene.weight(site_kind, FaultKind.STUCK), repair)
        elif link.kind is LinkKind.RESISTOR:
            weight = scene.weight("resistor", FaultKind.SHORT)
            yield one_fault(link.site, FaultKind.SHORT, weight, f"resistor {link.part_id}")
