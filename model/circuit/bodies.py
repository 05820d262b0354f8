"""Which body a wire would touch where its insulation is worn through."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from model.harness.derived import once_per_harness
from model.harness.harness import CHASSIS, Harness
from model.harness.metal import metal_joins, wire_points
from model.harness.points import points_of
from model.harness.records import Connector, Wire


def body_beside(harness: Harness, wire: Wire) -> str | None:
    """Name the body that a wire would touch: that of its ``to`` end's ground side, else the chassis.

    The ground side is looked for from the part at the ``to`` end over wires, joints, cavities and ground points, the
    fewest of them first. None where that finds no body and the harness has no chassis.
    """
    bodies = {CHASSIS, *(body.id for body in harness.bodies)}
    point = wire_points(harness, wire)[1]
    part = harness.parts.get(point.partition(".")[0])
    beside = () if part is None or isinstance(part, Connector | Wire) else points_of(part)
    layer = list(dict.fromkeys((point, *(one.name for one in beside))))
    seen = set(layer)
    neighbours = _neighbours(harness)
    while layer:
        found = next((one for one in layer if one in bodies), None)
        if found is not None:
            return found
        layer = [other for one in layer for other in neighbours.get(one, ()) if other not in seen]
        seen.update(layer)
    return CHASSIS if harness.build.chassis else None


@once_per_harness
def _neighbours(harness: Harness) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for _, one, other in metal_joins(harness):
        found.setdefault(one, []).append(other)
        found.setdefault(other, []).append(one)
    return MappingProxyType({point: tuple(others) for point, others in found.items()})
