"""Hazards of parts, and how far they reach: to every wire and connector cavity that ends on the part."""

from __future__ import annotations

from dataclasses import dataclass, field

from model.harness.derived import once_per_harness
from model.harness.fields import Hazard, Part
from model.harness.harness import CHASSIS, Harness
from model.harness.metal import wire_points, wires_at
from model.harness.points import points_of, resolve_point
from model.harness.records import Body, Connector, Joint, Splice, Wire
from model.words import clean

GRAVEST_FIRST = (Hazard.RESTRAINT, Hazard.HIGH_VOLTAGE, Hazard.IGNITION, Hazard.FUEL)
NEVER_PROBED = frozenset({Hazard.RESTRAINT, Hazard.HIGH_VOLTAGE})

_WHY_NEVER = {
    Hazard.RESTRAINT: (
        "airbags and belt tensioners can go off from the current of a meter or a test lamp. "
        "Leave this wiring to somebody licensed for it, by its maker's procedure."
    ),
    Hazard.HIGH_VOLTAGE: (
        "high voltage can kill, and may stand there with everything switched off. "
        "Leave this wiring to somebody trained and licensed for it."
    ),
}

_Origins = dict[Hazard, str]


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a point is never a probe point.

    Attributes
    ----------
    point
        The point asked for.
    hazard
        What makes it one.
    origin
        Id of the part that the hazard comes from.
    reason
        In full sentences, for a person.
    """

    point: str
    hazard: Hazard
    origin: str
    reason: str


@dataclass
class _Reach:
    """Hazards by part (wires and joints among them) and by point, each with the part it comes from."""

    parts: dict[str, _Origins] = field(default_factory=dict)
    points: dict[str, _Origins] = field(default_factory=dict)


def hazards_of_part(harness: Harness, part_id: str) -> tuple[Hazard, ...]:
    """Give the hazards of a part, the gravest first: its own, its housing's, for a wire or joint those it ends on."""
    return _ranked(_reach(harness).parts.get(part_id, {}))


def hazards_of_point(harness: Harness, point: str) -> tuple[Hazard, ...]:
    """Give the hazards of a point, the gravest first.

    Notes
    -----
    A terminal on which nothing ends but wires of a restraint or of high voltage has that hazard too: a probe there
    touches the same copper.
    """
    return _ranked(_origins(harness, point))


def may_be_probed(harness: Harness, point: str) -> Refusal | None:
    """Give the refusal of a point that must never be a probe point; None where it may be one.

    Restraint and high voltage are never probed; the other hazards ask for a caution first.
    """
    origins = _origins(harness, point)
    worst = next((hazard for hazard in _ranked(origins) if hazard in NEVER_PROBED), None)
    if worst is None:
        return None
    origin = origins[worst]
    label = clean(harness.parts[origin].label, 60)
    named = f"{label} ({origin})" if label else origin
    own = point.partition(".")[0] == origin
    where = f"{point} belongs to {named}" if own else f"{point} is wired to {named}"
    return Refusal(point, worst, origin, f"{where}, marked {worst}: no probe goes there, for {_WHY_NEVER[worst]}")


def _ranked(origins: _Origins) -> tuple[Hazard, ...]:
    return tuple(hazard for hazard in GRAVEST_FIRST if hazard in origins)


def _origins(harness: Harness, point: str) -> _Origins:
    reach = _reach(harness)
    part_id = point.partition(".")[0]
    resolved = resolve_point(harness, point)
    found = dict(reach.points.get(resolved, {}))
    # A wire's end set off its terminal, and the in of a fuse on a busbar, are points that no list names.
    if resolved != point or isinstance(harness.parts.get(part_id), Wire):
        found = {**reach.parts.get(part_id, {}), **found}
    return found


@once_per_harness
def _reach(harness: Harness) -> _Reach:
    reach = _Reach()
    for part in harness.each_part():
        origins = _own_hazards(harness, part)
        if origins:
            reach.parts[part.id] = origins
            reach.points.update((point.name, dict(origins)) for point in points_of(part))
    _follow_wires(harness, reach)
    for joint in harness.joints:
        for point in (joint.from_point, joint.to_point):
            _add(reach.parts, joint.id, reach.points.get(resolve_point(harness, point), {}))
    _take_lone_terminals(harness, reach)
    return reach


def _own_hazards(harness: Harness, part: Part) -> _Origins:
    """Give the hazards of a part and of the housings that it sits in, with the part that each comes from."""
    origins: _Origins = {}
    seen: set[str] = set()
    at: Part | None = part
    while at is not None and at.id not in seen:
        seen.add(at.id)
        if at.hazard is not None:
            origins.setdefault(at.hazard, at.id)
        at = harness.parts.get(at.inside) if at.inside else None
    return origins


def _follow_wires(harness: Harness, reach: _Reach) -> None:
    """Carry hazards along wires, through cavities and in-line splices, to the next part."""
    waiting = list(reach.points)
    for wire in harness.wires:
        if wire.id in reach.parts:
            waiting += _carry(harness, reach, wire, reach.parts[wire.id], wire_points(harness, wire))
    while waiting:
        point = waiting.pop()
        for wire in wires_at(harness).get(point, ()):
            origins = reach.points[point]
            ends = tuple(end for end in wire_points(harness, wire) if end != point)
            if _add(reach.parts, wire.id, origins):
                waiting += _carry(harness, reach, wire, origins, ends)


def _carry(harness: Harness, reach: _Reach, wire: Wire, origins: _Origins, ends: tuple[str, ...]) -> list[str]:
    """Put the hazards of a wire on the points at its ends that take them, and name those that are new."""
    taking = [point for end in ends for point in _taking(harness, end, wire)]
    return [point for point in taking if _add(reach.points, point, origins)]


def _taking(harness: Harness, point: str, wire: Wire) -> tuple[str, ...]:
    """Name the points that take the hazard of a wire that ends on a point: cavity, free end, in-line splice."""
    part_id, _, rest = point.partition(".")
    match harness.parts.get(part_id):
        case Connector() as part:
            cavity = rest.rpartition(".")[2]
            return tuple(f"{part.id}.{half}.{cavity}" for half in part.halves)
        case Wire():
            return (point,) if part_id == wire.id else ()
        case Splice():
            return (point,) if len(wires_at(harness).get(point, ())) == 2 else ()
    return ()


def _add(table: dict[str, _Origins], name: str, origins: _Origins) -> bool:
    """Add hazards under a name; tell whether any was new."""
    known = table.setdefault(name, {})
    new = {hazard: origin for hazard, origin in origins.items() if hazard not in known}
    known.update(new)
    return bool(new)


def _take_lone_terminals(harness: Harness, reach: _Reach) -> None:
    """Give a terminal the restraint or high voltage of its wires where nothing else ends on it."""
    joined: dict[str, list[Joint]] = {}
    for joint in harness.joints:
        for point in (joint.from_point, joint.to_point):
            joined.setdefault(resolve_point(harness, point), []).append(joint)
    for point, wires in wires_at(harness).items():
        if point == CHASSIS or isinstance(harness.parts.get(point), Body):
            continue
        carried = [reach.parts.get(part.id, {}) for part in (*wires, *joined.get(point, ()))]
        if all(NEVER_PROBED & set(origins) for origins in carried):
            for origins in carried:
                grave = {hazard: origin for hazard, origin in origins.items() if hazard in NEVER_PROBED}
                _add(reach.points, point, grave)
