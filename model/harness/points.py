"""The points of a harness: every place where a probe can be put."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.harness.derived import once_per_harness
from model.harness.fields import Groups, Part
from model.harness.harness import CHASSIS, Harness
from model.harness.parts import (
    Battery,
    Charger,
    ContactGroups,
    Diode,
    Fuse,
    Load,
    Module,
    Relay,
    ResistorPack,
    Switch,
)
from model.harness.records import Body, Busbar, Connector, GroundPoint, Splice, Wire

RELAY_GROUPS: dict[str, tuple[Groups, Groups]] = {
    "make": ((), (("30", "87"),)),
    "break": ((("30", "87a"),), ()),
    "changeover": ((("30", "87a"),), (("30", "87"),)),
}


@dataclass(frozen=True, slots=True)
class Point:
    """One point: its name, the part that it belongs to, and the terminal, cavity or end there.

    Attributes
    ----------
    half, cavity
        Of a connector: the half's name and the cavity number; empty and 0 elsewhere.
    """

    name: str
    part_id: str
    terminal: str = ""
    half: str = ""
    cavity: int = 0


def relay_groups(relay: Relay) -> tuple[Groups, Groups]:
    """Give the groups of terminals that a relay joins at rest and pulled in."""
    if isinstance(relay.contacts, ContactGroups):
        return relay.contacts.rest, relay.contacts.pulled
    return RELAY_GROUPS[relay.contacts]


def contacts(groups: Iterable[tuple[str, ...]]) -> tuple[tuple[str, str], ...]:
    """List the contacts of groups of terminals once: one from the first of a group to each of the others."""
    return tuple(dict.fromkeys((group[0], other) for group in groups for other in group[1:]))


def switch_contacts(switch: Switch) -> tuple[tuple[str, str], ...]:
    """List every contact of a switch over all its positions."""
    return contacts(group for groups in switch.positions.values() for group in groups)


def relay_coils(relay: Relay, nominal_volts: float) -> tuple[tuple[str, str, float], ...]:
    """Give each coil of a relay as its two terminals and its ohms.

    Notes
    -----
    A coil without figures has 85 Ω at 12 V, else by the square of the voltage: within the 70 to 100 Ω that makers'
    data sheets give for 12 V mini relays (common practice).
    """
    if relay.coils is not None:
        return tuple((coil.from_terminal, coil.to_terminal, coil.ohms) for coil in relay.coils)
    return (("86", "85", relay.coil_ohms or 85.0 * (nominal_volts / 12.0) ** 2),)


def terminals_of(part: Part) -> tuple[str, ...]:
    """Name the terminals of a part in the order in which its record names them; none for parts that are one point."""
    match part:
        case Battery():
            return ("+", "-")
        case Charger():
            return ("+", "-", part.exciter.terminal) if part.exciter else ("+", "-")
        case Fuse():
            return ("out",) if part.bus else ("in", "out")
        case Switch():
            return part.terminals
        case Relay():
            return _relay_terminals(part)
        case Load():
            pairs = [(one.from_terminal, one.to_terminal) for one in part.elements] or [("+", "-")]
            return _once(name for pair in pairs for name in pair)
        case Module():
            feeds, drivers, outputs = part.feeds, part.drivers, part.outputs
            names = [
                [row.terminal for row in feeds],
                [row.terminal for row in drivers],
                [row.terminal for row in outputs],
            ]
            return _once([*(name for group in names for name in group), part.ground])
        case Diode():
            return ("anode", "cathode")
        case ResistorPack():
            return _once(name for one in part.elements for name in (one.from_terminal, one.to_terminal))
    return ()


def _relay_terminals(relay: Relay) -> tuple[str, ...]:
    rest, pulled = relay_groups(relay)
    ends = relay_coils(relay, 12.0)
    return _once([*(name for group in (*rest, *pulled) for name in group), *(n for coil in ends for n in coil[:2])])


def _once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def points_of(part: Part) -> tuple[Point, ...]:
    """List the points of one part; a fuse on a busbar has no ``in`` of its own."""
    match part:
        case Busbar() | Splice() | GroundPoint() | Body():
            return (Point(part.id, part.id),)
        case Connector():
            return tuple(
                Point(f"{part.id}.{half}.{cavity}", part.id, half=half, cavity=cavity)
                for half in part.halves
                for cavity in range(1, part.cavities + 1)
            )
        case Wire():
            ends = (("a", part.from_point), ("b", part.to_point))
            return tuple(Point(f"{part.id}.{end}", part.id, end) for end, at in ends if at is None)
    return tuple(Point(f"{part.id}.{name}", part.id, name) for name in terminals_of(part))


@once_per_harness
def all_points(harness: Harness) -> dict[str, Point]:
    """Index every point of a harness by its name, the chassis first where there is one."""
    points = {CHASSIS: Point(CHASSIS, CHASSIS)} if harness.build.chassis else {}
    for part in harness.each_part():
        points.update((point.name, point) for point in points_of(part))
    return points


def resolve_point(harness: Harness, name: str) -> str:
    """Give the point that a name stands for: ``F2.in`` of a fuse on a busbar is the busbar."""
    if name.endswith(".in"):
        part = harness.parts.get(name[:-3])
        if isinstance(part, Fuse) and part.bus:
            return part.bus
    return name
