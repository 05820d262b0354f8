"""Which metal a wire lies beside, the nearest first: that of its plugs, then of its trunks, then of its places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from model.circuit.faults import FaultKind
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.metal import same_metal, wire_points, wires_at
from model.harness.places import WIRE_ENDS, end_place
from model.harness.points import all_points, points_of
from model.harness.records import Busbar, Connector, GroundPoint, Splice, Wire
from model.tracing.fault_scene import Scene, one_fault
from model.tracing.fault_weights import wear_of_wire
from model.tracing.load_ways import ground_points
from model.tracing.shorts import points_behind_fuses, short_factor, wires_at_risk
from model.tracing.suspects import Hypothesis

NETS_AT_MOST = 20
_NETS_OF_WIRES_FED_TOGETHER = 4
_NEXT_CAVITY = 1.0
_SAME_PLUG = 0.5
_SAME_TRUNK = 0.3
_SAME_PLACE = 0.1


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Metal that a wire lies beside.

    Attributes
    ----------
    partner
        A wire of it, or a point where the neighbour is one on which no wire ends.
    net
        The point that stands for the metal.
    nearness
        How likely the two are to touch, against other neighbours of the wire.
    """

    partner: str
    net: str
    nearness: float


@dataclass(frozen=True, slots=True)
class _Company:
    """Wires by trunk and by place, and the place of each wire in the file."""

    by_trunk: Mapping[str, tuple[Wire, ...]]
    by_place: Mapping[str, tuple[Wire, ...]]
    rank: Mapping[str, int]


@once_per_harness
def _company(harness: Harness) -> _Company:
    by_trunk: dict[str, list[Wire]] = {}
    by_place: dict[str, list[Wire]] = {}
    for wire in harness.wires:
        for name in dict.fromkeys(wire.via):
            by_trunk.setdefault(name, []).append(wire)
        for name in _place_names(harness, wire):
            by_place.setdefault(name, []).append(wire)
    return _Company(
        MappingProxyType({name: tuple(wires) for name, wires in by_trunk.items()}),
        MappingProxyType({name: tuple(wires) for name, wires in by_place.items()}),
        MappingProxyType({wire.id: rank for rank, wire in enumerate(harness.wires)}),
    )


def _place_names(harness: Harness, wire: Wire) -> tuple[str, ...]:
    names = (end_place(harness, wire, end).name for end in WIRE_ENDS)
    return tuple(dict.fromkeys(name for name in names if name))


@once_per_harness
def _known_neighbours(harness: Harness) -> dict[str, tuple[Neighbour, ...]]:
    return {}


def neighbours_of(harness: Harness, wire: Wire) -> tuple[Neighbour, ...]:
    """List the metal beside a wire, each once, the nearest first; no more than 20."""
    known = _known_neighbours(harness)
    if wire.id not in known:
        known[wire.id] = tuple(_nearest(harness, wire))
    return known[wire.id]


def _nearest(harness: Harness, wire: Wire) -> Iterator[Neighbour]:
    seen = {same_metal(harness, wire_points(harness, wire)[0])}
    for partner, point, nearness in _beside(harness, wire):
        net = same_metal(harness, point)
        if net not in seen:
            seen.add(net)
            yield Neighbour(partner, net, nearness)
            if len(seen) > NETS_AT_MOST:
                return


def _beside(harness: Harness, wire: Wire) -> Iterator[tuple[str, str, float]]:
    """Give what lies beside a wire, with a point of its metal and how near it is."""
    company = _company(harness)
    points = [(point, nearness) for end in wire_points(harness, wire) for point, nearness in _in_plug(harness, end)]
    for point, nearness in sorted(points, key=lambda pair: -pair[1]):
        wires = [other for other in wires_at(harness).get(point, ()) if other is not wire]
        if wires:
            yield wires[0].id, point, nearness
        elif not isinstance(harness.parts.get(point.partition(".")[0]), Connector):
            yield point, point, nearness
    own = company.rank[wire.id]

    def closeness(other: Wire) -> int:
        return abs(company.rank[other.id] - own)

    for names, groups, nearness in (
        (wire.via, company.by_trunk, _SAME_TRUNK),
        (_place_names(harness, wire), company.by_place, _SAME_PLACE),
    ):
        mates = {other.id: other for name in names for other in groups.get(name, ())}
        for other in sorted(mates.values(), key=closeness):
            if other is not wire:
                yield other.id, wire_points(harness, other)[0], nearness


def _in_plug(harness: Harness, end: str) -> Iterator[tuple[str, float]]:
    """Give the other points of the plug that a wire's end sits in, the neighbouring cavities as the nearest."""
    point = all_points(harness).get(end)
    part = harness.parts.get(point.part_id) if point is not None else None
    if point is None or part is None or isinstance(part, Busbar | Splice | GroundPoint | Wire):
        return
    if isinstance(part, Connector):
        beside = frozenset(neighbour_cavities(part, point.cavity))
        for cavity in sorted(range(1, part.cavities + 1), key=lambda number: abs(number - point.cavity)):
            if cavity != point.cavity:
                yield f"{part.id}.{point.half}.{cavity}", _NEXT_CAVITY if cavity in beside else _SAME_PLUG
        return
    for other in points_of(part):
        if other.name != end:
            yield other.name, _SAME_PLUG


def _beside_on_face(face: tuple[tuple[int, ...], ...]) -> dict[int, tuple[int, ...]]:
    found: dict[int, list[int]] = {}
    for row, cavities in enumerate(face):
        for column, cavity in enumerate(cavities):
            below = face[row + 1][column] if row + 1 < len(face) and column < len(face[row + 1]) else 0
            right = cavities[column + 1] if column + 1 < len(cavities) else 0
            for other in (right, below):
                if cavity and other:
                    found.setdefault(cavity, []).append(other)
                    found.setdefault(other, []).append(cavity)
    return {cavity: tuple(others) for cavity, others in found.items()}


def neighbour_cavities(connector: Connector, cavity: int) -> tuple[int, ...]:
    """Name the cavities beside one, by number and by the rows of the face."""
    by_number = [number for number in (cavity - 1, cavity + 1) if 1 <= number <= connector.cavities]
    on_face = [number for number in _beside_on_face(connector.face).get(cavity, ()) if number <= connector.cavities]
    return tuple(dict.fromkeys((*by_number, *on_face)))


def touching(scene: Scene) -> Iterator[Hypothesis]:
    """Give wires that touch other metal: those on the ways any, those behind a fuse on them the ground's.

    Where current may come back from another load, wires that are live with the load touch the nearest metal too.
    Two wires touch once: the one on the ways is named first, of two the first in the file.
    """
    bodies, on_ways = ground_points(scene.harness), frozenset(wire.id for wire in scene.way_wires)
    beside_ways = frozenset(link.part_id for link in scene.ways.beside)
    wires = list(wires_at_risk(scene, points_behind_fuses(scene)))
    named: set[frozenset[str]] = set()
    for wire in sorted(wires, key=lambda one: one.id not in on_ways):
        beside = neighbours_of(scene.harness, wire)
        if wire.id not in on_ways or wire.id in beside_ways:
            is_fed = not scene.fed_together.isdisjoint(wire_points(scene.harness, wire))
            near = beside[:_NETS_OF_WIRES_FED_TOGETHER] if is_fed or wire.id in beside_ways else ()
            beside = tuple(one for one in beside if one.net in bodies or one in near)
        whole = sum(one.nearness for one in neighbours_of(scene.harness, wire))
        weight = wear_of_wire(scene.harness, wire) * scene.weight("wire", FaultKind.TOUCHES)
        for one in beside:
            pair = frozenset((wire.id, one.partner))
            if pair in named:
                continue
            named.add(pair)
            factor = short_factor(scene, wire) if one.net in bodies else 1.0
            share = weight * factor * one.nearness / whole
            yield one_fault(wire.id, FaultKind.TOUCHES, share, f"touching {wire.id}/{one.partner}", one.partner)
