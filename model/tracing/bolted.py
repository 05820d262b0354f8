"""Terminals that are studs, and cables with lugs: what is bolted cannot be loose in a plug."""

from __future__ import annotations

from model.harness.harness import Harness
from model.harness.metal import wires_at
from model.harness.parts import Charger, Fuse, FuseStyle
from model.harness.points import resolve_point
from model.harness.records import Wire
from model.harness.supply import wire_size
from model.units import parse_size

THICK_MM2 = 10.0


def is_thick(harness: Harness, wire: Wire) -> bool:
    """Tell whether a wire is a strap or battery cable, with lugs under bolts."""
    return parse_size(wire_size(harness, wire)).area_mm2 >= THICK_MM2


def is_bolted(harness: Harness, point: str) -> bool:
    """Tell whether a terminal is bolted: of a charger, a link or breaker, or with a thick cable or metal on it."""
    part = harness.parts.get(point.partition(".")[0])
    if part is None:
        return False
    if isinstance(part, Charger):
        return True
    if isinstance(part, Fuse) and part.style in (FuseStyle.LINK, FuseStyle.BREAKER, FuseStyle.THERMAL):
        return True
    if part.pins:
        return False
    here = resolve_point(harness, point)
    joined = (resolve_point(harness, end) for joint in harness.joints for end in (joint.from_point, joint.to_point))
    return here in joined or any(is_thick(harness, wire) for wire in wires_at(harness).get(here, ()))
