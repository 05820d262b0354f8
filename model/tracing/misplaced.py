"""What could sit in the wrong place: a wire's end on another terminal, and two cavities exchanged."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from model.circuit.faults import FaultKind
from model.harness.derived import once_per_harness
from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.metal import same_metal, wire_points, wires_at
from model.harness.parts import Battery, Fuse, Load, Module, Relay, Switch
from model.harness.places import WIRE_ENDS, place_of
from model.harness.points import all_points, points_of
from model.harness.records import Busbar, Connector, GroundPoint, Splice, Wire
from model.tracing.complaint import LoomAge
from model.tracing.fault_scene import Scene, one_fault
from model.tracing.graph import LinkKind
from model.tracing.load_ways import ground_points
from model.tracing.neighbours import neighbour_cavities
from model.tracing.suspects import Hypothesis

_ENDS_AT_MOST_NEW = 8
_ENDS_AT_MOST = 4
_ENDS_BESIDE_AT_MOST = 3


def misplaced_ends(scene: Scene) -> Iterator[Hypothesis]:
    """Give the places at which an end of a wire on the ways could really be: eight of a new loom, else four.

    Where current may come back from another load, three of wires that are live with the load and of that load's, and
    the ends of others that could sit on these.
    """
    on_ways = frozenset(wire.id for wire in scene.way_wires)
    beside = frozenset(link.part_id for link in scene.ways.beside)
    for wire in scene.way_wires:
        is_fresh = scene.age is LoomAge.NEW or wire.id in scene.disturbed
        own_at_most = _ENDS_AT_MOST_NEW if is_fresh else _ENDS_AT_MOST
        for letter in WIRE_ENDS:
            at_most = _ENDS_BESIDE_AT_MOST if wire.id in beside else own_at_most
            yield from _places_of_end(scene, wire, letter, at_most)
    fed = scene.fed_together
    if not fed:
        return
    for wire in scene.harness.wires:
        if wire.id in on_ways:
            continue
        is_fed = not fed.isdisjoint(wire_points(scene.harness, wire))
        for letter in WIRE_ENDS:
            for one in _places_of_end(scene, wire, letter, _ENDS_BESIDE_AT_MOST):
                if is_fed or one.partner in fed:
                    yield one


def _places_of_end(scene: Scene, wire: Wire, letter: str, at_most: int) -> Iterator[Hypothesis]:
    bodies, ends = ground_points(scene.harness), wire_points(scene.harness, wire)
    is_to_end = letter == WIRE_ENDS[1]
    point = ends[is_to_end]
    is_grounded = not bodies.isdisjoint(ends)
    places = (
        place
        for place in likely_places(scene.harness, point)
        if place not in ends and not (is_grounded and place in bodies)
    )
    chosen = tuple(islice(places, at_most))
    weight = scene.weight(_end_kind(scene.harness, point), FaultKind.ELSEWHERE)
    for place in chosen:
        site = wire.id if is_to_end else f"{wire.id}.a"
        yield one_fault(site, FaultKind.ELSEWHERE, weight / len(chosen), f"end of {wire.id}", place)


@once_per_harness
def _known_places(harness: Harness) -> dict[str, tuple[str, ...]]:
    return {}


def likely_places(harness: Harness, point: str) -> tuple[str, ...]:
    """Name where a wire's end could be in place of a point, the likeliest first."""
    known = _known_places(harness)
    if point not in known:
        known[point] = _likely_places(harness, point)
    return known[point]


def _likely_places(harness: Harness, point: str) -> tuple[str, ...]:
    at = all_points(harness).get(point)
    part = harness.parts.get(at.part_id) if at is not None else None
    if at is None or part is None or isinstance(part, Wire):
        return ()
    match part:
        case Connector():
            near = sorted(range(1, part.cavities + 1), key=lambda number: (abs(number - at.cavity), number))
            return tuple(f"{part.id}.{at.half}.{number}" for number in near if number != at.cavity)
        case Fuse():
            beside = (f"{fuse.id}.{at.terminal}" for fuse in _near(harness, part, harness.fuses))
            known = all_points(harness)
            own = (f"{part.id}.{name}" for name in ("in", "out"))
            found = [*own, part.bus or "", *beside]
            return _once((name for name in found if name in known), point)
        case Busbar():
            return tuple(one.id for one in _near(harness, part, (*harness.busbars, *harness.grounds)))
        case Splice():
            return tuple(one.id for one in _near(harness, part, harness.splices))
        case GroundPoint():
            return tuple(one.id for one in _near(harness, part, (*harness.grounds, *harness.busbars)))
        case Battery():
            return _once((one.name for battery in harness.batteries for one in points_of(battery)), point)
    return _once((one.name for one in points_of(part)), point)


def _once(names: Iterable[str], point: str) -> tuple[str, ...]:
    return tuple(name for name in dict.fromkeys(names) if name != point)


def _near(harness: Harness, part: Part, others: Sequence[Part]) -> list[Part]:
    """List other parts of a kind, those in the same place first, then those near in the file."""
    ids = [one.id for one in others]
    own, place = ids.index(part.id), place_of(harness, part.id).name

    def distance(rank: int) -> tuple[bool, int]:
        is_here = bool(place) and place_of(harness, ids[rank]).name == place
        return not is_here, abs(rank - own)

    return [others[rank] for rank in sorted(range(len(ids)), key=distance) if rank != own]


def _end_kind(harness: Harness, point: str) -> str:
    match harness.parts.get(point.partition(".")[0]):
        case Switch():
            return "wire end on a switch"
        case Relay():
            return "wire end on a relay"
        case Fuse():
            return "wire end on a fuse"
        case Connector():
            return "wire end on a connector"
        case Load() | Module():
            return "wire end on a load or module"
        case Battery():
            return "wire end on a battery"
    return "wire end on metal"


def exchanged_cavities(scene: Scene) -> Iterator[Hypothesis]:
    """Give cavities on the ways exchanged with a used one beside it, or with that of the same number in a plug there.

    Beside is by number and by the rows of the face.
    """
    seen: set[str] = set()
    for link in scene.ways.links:
        if link.kind is not LinkKind.CAVITY:
            continue
        connector = scene.harness.part_of(link.part_id, Connector)
        cavity = int(link.site.rpartition(".")[2])
        for site, repair in _exchanges(scene.harness, connector, cavity):
            if site not in seen:
                seen.add(site)
                yield one_fault(site, FaultKind.SWAPPED, scene.weight("two cavities", FaultKind.SWAPPED), repair)


def _exchanges(harness: Harness, connector: Connector, cavity: int) -> Iterator[tuple[str, str]]:
    for other in neighbour_cavities(connector, cavity):
        first, second = sorted((cavity, other))
        if _differs(harness, (connector, cavity), (connector, other)):
            site = f"{connector.id}.{first}/{second}"
            yield site, f"pins {site}"
    for twin in _twins(harness).get(connector.id, ()):
        if cavity <= twin.cavities and _differs(harness, (connector, cavity), (twin, cavity)):
            ids = [one.id for one in harness.connectors if one in (connector, twin)]
            site = f"{ids[0]}.{cavity}/{ids[1]}.{cavity}"
            yield site, f"pins {site}"


def _differs(harness: Harness, one: tuple[Connector, int], other: tuple[Connector, int]) -> bool:
    """Tell whether the other cavity is used, and by other metal."""
    points = [[f"{part.id}.{half}.{cavity}" for half in part.halves] for part, cavity in (one, other)]
    is_used = any(wires_at(harness).get(point) for point in points[1])
    return is_used and same_metal(harness, points[0][0]) != same_metal(harness, points[1][0])


@once_per_harness
def _twins(harness: Harness) -> dict[str, tuple[Connector, ...]]:
    """Map each connector to the others in the same place."""
    by_place: dict[str, list[Connector]] = {}
    for connector in harness.connectors:
        name = place_of(harness, connector.id).name
        if name:
            by_place.setdefault(name, []).append(connector)
    return {one.id: tuple(two for two in group if two is not one) for group in by_place.values() for one in group}
