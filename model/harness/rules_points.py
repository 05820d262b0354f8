"""Rules of a harness file about points: every point that is named exists, and nothing joins a point to itself."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.draft import Complaint, Draft, Row, shown
from model.harness.fields import Part
from model.harness.harness import CHASSIS
from model.harness.parts import Charger, Fuse, Load, Module, Relay, ResistorPack, Switch
from model.harness.points import terminals_of
from model.harness.records import Body, Busbar, Connector, GroundPoint, Joint, Splice, Wire
from model.harness.rules_words import did_you_mean, listed, nearest_of, no_such_id

_TERMINAL_KEYS: dict[type[Part], tuple[str, ...]] = {
    Charger: ("exciter",),
    Fuse: ("bus",),
    Switch: ("terminals",),
    Relay: ("contacts", "coils"),
    Load: ("elements",),
    Module: ("feeds", "drivers", "outputs", "ground"),
    ResistorPack: ("elements",),
    Connector: ("cavities", "halves"),
    Wire: ("from", "to"),
}
"""The keys that decide which points a part has."""


def ends_exist(draft: Draft) -> Iterator[Complaint]:
    """Find points that a wire or a joint names and that do not exist."""
    for row, key, point in _ends(draft):
        right = _why_missing(draft, point)
        if right:
            yield row.complain((key,), right)


def reference_exists(draft: Draft) -> Iterator[Complaint]:
    """Find out whether the point that is 0 V exists."""
    reference = draft.build.record.reference
    if reference is not None:
        right = _why_missing(draft, reference)
        if right:
            yield draft.build.complain(("reference",), right)


def ends_differ(draft: Draft) -> Iterator[Complaint]:
    """Find wires and joints that join a point to itself; a free end is a point of its own."""
    for wire in draft.of(Wire):
        ends = (wire.record.from_point or f"{wire.id}.a", wire.record.to_point or f"{wire.id}.b")
        if wire.sound("from") and wire.sound("to") and _same(draft, *ends):
            yield wire.complain(
                ("to",), "a wire joins two different points", f"from {shown(ends[0])} to {shown(ends[1])}"
            )
    for joint in draft.of(Joint):
        same = _same(draft, joint.record.from_point, joint.record.to_point)
        if same and joint.sound("from") and joint.sound("to"):
            yield joint.complain(("to",), "a joint is between two different points")


def _ends(draft: Draft) -> Iterator[tuple[Row[Joint] | Row[Wire], str, str]]:
    rows: tuple[Row[Joint] | Row[Wire], ...] = (*draft.of(Joint), *draft.of(Wire))
    for row in rows:
        for key, point in (("from", row.record.from_point), ("to", row.record.to_point)):
            if point is not None and row.sound(key):
                yield row, key, point


def _same(draft: Draft, one: str, other: str) -> bool:
    return one == other or _resolved(draft, one) == _resolved(draft, other)


def _resolved(draft: Draft, point: str) -> str:
    """Give the busbar for the ``in`` of a fuse on it."""
    if not point.endswith(".in"):
        return point
    row = draft.parts.get(point[:-3])
    bus = row.record.bus if row and isinstance(row.record, Fuse) else None
    return bus or point


def _why_missing(draft: Draft, point: str) -> str:
    """Say why there is no such point and which was meant; empty where it exists, or may, in a row that is wrong."""
    if point == CHASSIS:
        has_chassis = draft.build.record.chassis or not draft.build.sound("chassis")
        return "" if has_chassis else "the build has chassis = false: there is no CHASSIS"
    part_id, dot, rest = point.partition(".")
    row = draft.parts.get(part_id)
    if row is None:
        return "" if draft.unread else _unknown_part(draft, part_id, rest)
    if dot and draft.has_terminal(part_id, rest):
        return ""
    if not row.sound() and not all(row.sound(key) for key in _TERMINAL_KEYS.get(type(row.record), ())):
        return ""
    return _unknown_terminal(draft, row, rest, bool(dot))


def _unknown_part(draft: Draft, part_id: str, rest: str) -> str:
    if part_id.casefold() == CHASSIS.casefold():
        return "there is no part with this id; did you mean CHASSIS?"
    meant = nearest_of(part_id, draft.probed)
    if meant is None or not rest or _why_missing(draft, f"{meant}.{rest}"):
        return no_such_id(part_id, draft.probed)
    return f"there is no part with this id; did you mean {meant}.{rest}?"


def _unknown_terminal(draft: Draft, row: Row[Part], rest: str, has_dot: bool) -> str:
    """Say why a part that exists has no such point; empty where it has."""
    part = row.record
    match part:
        case Busbar() | Splice() | GroundPoint() | Body():
            return f"{row.id} is one point: write {row.id}" if has_dot else ""
        case Joint():
            return f"{row.id} is a joint and has no point of its own: name one of the two that it joins"
        case Wire():
            return _unknown_wire_end(row.id, part, rest)
        case Connector():
            return _unknown_cavity(row.id, part, rest)
        case Fuse(bus=str()) if rest == "in":
            return ""
    names = terminals_of(part)
    near = did_you_mean(f"{row.id}.{rest}", [f"{row.id}.{name}" for name in names]) if rest else ""
    return f"no such point; {row.id} has {listed(names)}{near}" if names else f"{row.id} has no such point"


def _unknown_wire_end(wire_id: str, wire: Wire, rest: str) -> str:
    ends = [f"{wire_id}.{end}" for end, at in (("a", wire.from_point), ("b", wire.to_point)) if at is None]
    if f"{wire_id}.{rest}" in ends:
        return ""
    if ends:
        return f"there is no point along a wire; its free ends are {listed(ends)}"
    return "there is no point along a wire: name the point on which it ends"


def _unknown_cavity(connector_id: str, connector: Connector, rest: str) -> str:
    half, _, cavity = rest.rpartition(".")
    is_number = cavity.isascii() and cavity.isdigit() and str(int(cavity[:6])) == cavity
    if half in connector.halves and is_number and 1 <= int(cavity) <= connector.cavities:
        return ""
    first, second = connector.halves
    if half in connector.halves:
        return f"no such cavity; the cavities of {connector_id} are 1 to {connector.cavities}"
    number = cavity if is_number and 1 <= int(cavity) <= connector.cavities else "1"
    meant = did_you_mean(half, connector.halves) if half else ""
    return (
        f"no such point; a cavity is named {connector_id}.{first}.{number} or {connector_id}.{second}.{number}{meant}"
    )


RULES = (ends_exist, reference_exists, ends_differ)
