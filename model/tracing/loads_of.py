"""The loads that hang on a part: those that it feeds or grounds, and those of the relays that it pulls in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from model.harness.fields import Part
from model.harness.harness import CHASSIS, Harness, all_elements
from model.harness.metal import body_of_ground, wires_at
from model.harness.parts import Diode, Fuse, Relay, Switch
from model.harness.points import points_of, relay_groups, resolve_point
from model.harness.records import GroundPoint, Wire
from model.tracing.behind import Behind, Side, behind, behind_ends


@dataclass(frozen=True, slots=True)
class LoadsOf:
    """Some of the loads that hang on a part.

    Attributes
    ----------
    relay
        The relay that the part pulls in, which switches them; empty where they hang on the part itself.
    names
        Elements (``E1:dip``), feeds of modules (``A1:15``) and chargers, in the order of the file.
    """

    side: Side
    relay: str
    names: tuple[str, ...]


def loads_of(harness: Harness, part_id: str) -> tuple[LoadsOf, ...]:
    """Give the loads that hang on a part, each once: its own first, then relay by relay.

    Notes
    -----
    By the wires alone, whatever is switched. Of what is neither fuse, contact, diode nor bonded ground point all that
    hangs on its wires is meant.
    """
    found: list[LoadsOf] = []
    named: set[str] = set()
    pulled = [part_id]
    for place, one in enumerate(pulled):  # grows as coils are found
        for side, names in _sides(harness, one):
            own = tuple(name for name in _traceable(harness, names) if name not in named)
            named.update(own)
            if own:
                found.append(LoadsOf(side, one if place else "", own))
            pulled += [relay for relay in _relays(harness, names) if relay not in pulled]
    return tuple(found)


def _sides(harness: Harness, part_id: str) -> Iterator[tuple[Side, tuple[str, ...]]]:
    """Give what hangs on a part, the names of each side together."""
    by_side: dict[Side, dict[str, None]] = {}
    for one in _behind(harness, part_id):
        by_side.setdefault(one.side, {}).update(dict.fromkeys(one.names))
    for side in Side:
        if side in by_side:
            yield side, tuple(by_side[side])


def _behind(harness: Harness, part_id: str) -> Iterator[Behind]:
    part = harness.parts.get(part_id)
    if isinstance(part, Wire):
        yield behind(harness, part)
        return
    ends = () if part is None else _ends(harness, part)
    if ends:
        yield behind_ends(harness, part_id, ends)
        return
    if part is None:
        bolted = [ground for ground in harness.grounds if body_of_ground(harness, ground) == CHASSIS]
        yield from (behind_ends(harness, ground.id, (ground.id, CHASSIS)) for ground in bolted)
    points = [CHASSIS] if part is None else [resolve_point(harness, point.name) for point in points_of(part)]
    wires = {wire.id: wire for point in points for wire in wires_at(harness).get(point, ())}
    yield from (behind(harness, wire) for wire in wires.values())


def _ends(harness: Harness, part: Part) -> tuple[str, ...]:
    """Name the points that current passes a part by; none of a part that only holds wires together."""
    match part:
        case Fuse():
            return part.bus or f"{part.id}.in", f"{part.id}.out"
        case Diode():
            return f"{part.id}.anode", f"{part.id}.cathode"
        case Switch():
            return _terminals(part.id, (group for groups in part.positions.values() for group in groups))
        case Relay():
            return _terminals(part.id, (group for groups in relay_groups(part) for group in groups))
        case GroundPoint():
            body = body_of_ground(harness, part)
            return () if body is None else (part.id, body)
    return ()


def _terminals(part_id: str, groups: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f"{part_id}.{terminal}" for group in groups for terminal in group))


def _traceable(harness: Harness, names: tuple[str, ...]) -> tuple[str, ...]:
    known = {element.name for element in all_elements(harness)} | {charger.id for charger in harness.chargers}
    return tuple(name for name in names if name in known)


def _relays(harness: Harness, names: tuple[str, ...]) -> tuple[str, ...]:
    """Name the relays whose coils are among what hangs somewhere."""
    return tuple(relay.id for relay in harness.relays if f"{relay.id}:coil" in names)
