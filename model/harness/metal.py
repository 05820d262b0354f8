"""What hangs together as bare metal: points that no fuse, contact of a switch or load parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from model.harness.derived import once_per_harness
from model.harness.harness import CHASSIS, Harness
from model.harness.joined import stand_ins
from model.harness.points import resolve_point
from model.harness.records import GroundPoint, Wire


def wire_points(harness: Harness, wire: Wire) -> tuple[str, str]:
    """Name the two points of a wire, a free end by its own name; a fuse's ``in`` on a busbar is the busbar."""
    ends = (wire.from_point or f"{wire.id}.a", wire.to_point or f"{wire.id}.b")
    return resolve_point(harness, ends[0]), resolve_point(harness, ends[1])


@once_per_harness
def wires_at(harness: Harness) -> Mapping[str, tuple[Wire, ...]]:
    """Index the wires by the points they end on, in the order of the file."""
    found: dict[str, list[Wire]] = {}
    for wire in harness.wires:
        for point in dict.fromkeys(wire_points(harness, wire)):
            found.setdefault(point, []).append(wire)
    return MappingProxyType({point: tuple(wires) for point, wires in found.items()})


@once_per_harness
def metal_of(harness: Harness) -> Mapping[str, str]:
    """Map each point that something is joined to onto one point that stands for all metal joined to it.

    Wires, joints, mated cavities (also of a connector that rests apart) and bonded ground points join.
    """
    return MappingProxyType(stand_ins((one, other) for _, one, other in metal_joins(harness)))


def same_metal(harness: Harness, point: str) -> str:
    """Give the point that stands for all metal joined to a point; itself where nothing is joined to it."""
    resolved = resolve_point(harness, point)
    return metal_of(harness).get(resolved, resolved)


def metal_joins(harness: Harness) -> Iterator[tuple[str, str, str]]:
    """Give each piece of metal that joins two points: its name (``W9``, ``X1.4``, ``GND1``) and the points."""
    for wire in harness.wires:
        yield (wire.id, *wire_points(harness, wire))
    for joint in harness.joints:
        yield joint.id, resolve_point(harness, joint.from_point), resolve_point(harness, joint.to_point)
    for connector in harness.connectors:
        first, second = connector.halves
        for cavity in range(1, connector.cavities + 1):
            yield f"{connector.id}.{cavity}", f"{connector.id}.{first}.{cavity}", f"{connector.id}.{second}.{cavity}"
    for ground in harness.grounds:
        body = body_of_ground(harness, ground)
        if body is not None:
            yield ground.id, ground.id, body


def body_of_ground(harness: Harness, ground: GroundPoint) -> str | None:
    """Name the body that a ground point is bonded to; None of a bar that only wires reach."""
    has_body = harness.build.chassis or ground.body is not None
    is_bonded = has_body if ground.bonded is None else ground.bonded
    return (ground.body or CHASSIS) if is_bonded else None
