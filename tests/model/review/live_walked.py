"""The way to a live point walked step by step in the harness itself: whether each step joins what it says it joins."""

from __future__ import annotations

from model.circuit.condition import OFF, ON, OUT, charger_is_on, switch_position
from model.circuit.settle import Settled
from model.harness.harness import Harness, elements_of, feed_elements
from model.harness.metal import body_of_ground, wire_points
from model.harness.parts import (
    Battery,
    Charger,
    Diode,
    Fuse,
    Load,
    LoadKind,
    Module,
    Relay,
    ResistorPack,
    Switch,
)
from model.harness.points import contacts, relay_coils, relay_groups, resolve_point
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.review.live_points import LivePoint, LivePoints, LiveStep

RISE_VOLTS = 2e-6


def broken_ways(live: LivePoints, settled: Settled) -> list[str]:
    """Say of which live points the way is not whole, and why; nothing where each is."""
    return [f"{one.point}: {why}" for one in live.points if (why := why_broken(one, settled))]


def why_broken(one: LivePoint, settled: Settled) -> str:
    """Say what is wrong with the way to a point; empty where it leads from a source to the point and never rises."""
    if not feeds(one.source, settled):
        return f"{one.source} feeds nothing"
    at = one.source
    for step in one.path:
        if step.start != at:
            return f"{step.site} begins at {step.start}, not at {at}"
        if not joins(step, settled):
            return f"{step.site} does not join {step.start} and {step.end}"
        if _size(settled, step.end) > _size(settled, step.start) + RISE_VOLTS:
            return f"{step.site} leads to more volts"
        at = step.end
    return "" if at == one.point else f"it ends at {at}"


def _size(settled: Settled, point: str) -> float:
    volts = settled.volts_at(point)
    assert volts is not None, point
    return abs(volts)


def feeds(source: str, settled: Settled) -> bool:
    """Tell whether a point is a post of a battery that is in, of a charger that is on, or an output that works."""
    harness, condition = settled.net.harness, settled.condition
    part_id, _, terminal = source.partition(".")
    if condition.by_name.get(part_id) == OUT:
        return False
    match harness.parts[part_id]:
        case Battery():
            return terminal in ("+", "-")
        case Charger() as charger:
            return terminal in ("+", "-") and charger_is_on(harness, condition, charger)
        case Module() as module:
            names = [output.terminal for output in module.outputs]
            return (terminal in names and settled.is_on(source)) or (terminal == module.ground and bool(names))
    return False


def joins(step: LiveStep, settled: Settled) -> bool:
    """Tell whether a step joins its points in the settled circuit, by the rows of the harness."""
    harness, condition = settled.net.harness, settled.condition
    owner = step.site.partition(":")[0].partition(".")[0]
    part = harness.parts[owner]
    if condition.by_name.get(owner) == OUT:
        return False
    ends = {step.start, step.end}
    inner = step.site.partition(":")[2]
    match part:
        case Wire():
            off = [condition.by_name.get(f"{owner}.{letter}") == OFF for letter in "ab"]
            points = wire_points(harness, part)
            return ends == {f"{owner}.{c}" if o else p for c, o, p in zip("ab", off, points, strict=True)}
        case Joint():
            return ends == {resolve_point(harness, part.from_point), resolve_point(harness, part.to_point)}
        case Connector():
            cavity = step.site.partition(".")[2]
            state = condition.by_name.get(owner, part.rest)
            return state in ("mated", "in") and ends == {f"{owner}.{half}.{cavity}" for half in part.halves}
        case GroundPoint():
            return ends == {owner, body_of_ground(harness, part)}
        case Fuse():
            return owner not in settled.blown and ends == {resolve_point(harness, f"{owner}.in"), f"{owner}.out"}
        case Switch():
            closed = contacts(part.positions[switch_position(harness, part, condition)])
            return ends in [{f"{owner}.{one}", f"{owner}.{other}"} for one, other in closed]
        case Relay():
            return _relay_joins(part, inner, ends, settled)
        case Diode():
            return [step.start, step.end] in _ways_of_diode(owner, settled)
        case Load() | Module() | ResistorPack() | Charger():
            return _part_joins(harness, part, inner, ends, settled)
    return False


def _relay_joins(relay: Relay, inner: str, ends: set[str], settled: Settled) -> bool:
    if inner == "coil":
        nominal_volts = settled.net.harness.build.nominal_volts
        return ends in [{f"{relay.id}.{a}", f"{relay.id}.{b}"} for a, b, _ in relay_coils(relay, nominal_volts)]
    closed = contacts(relay_groups(relay)[settled.relays[relay.id]])
    return ends in [{f"{relay.id}.{one}", f"{relay.id}.{other}"} for one, other in closed]


def _ways_of_diode(diode_id: str, settled: Settled) -> list[list[str]]:
    """Give the way of volts through a diode while it carries; in a loom with the positive post grounded against it."""
    across = [settled.volts_at(f"{diode_id}.{name}") for name in ("anode", "cathode")]
    if across[0] is None or across[1] is None or across[0] - across[1] < 0.5:
        return []
    points = [f"{diode_id}.anode", f"{diode_id}.cathode"]
    return [points, points[::-1]]


def _part_joins(
    harness: Harness, part: Load | Module | ResistorPack | Charger, inner: str, ends: set[str], settled: Settled
) -> bool:
    match part:
        case Load():
            element = next(one for one in elements_of(harness, part) if one.name == f"{part.id}:{inner}")
            return ends == {element.from_point, element.to_point} and _conducts(element.name, element.kind, settled)
        case ResistorPack():
            return ends in [
                {f"{part.id}.{one.from_terminal}", f"{part.id}.{one.to_terminal}"}
                for one in part.elements
                if one.name == inner
            ]
        case Charger():
            assert part.exciter is not None
            sign = "+" if charger_is_on(harness, settled.condition, part) else "-"
            return ends == {f"{part.id}.{part.exciter.terminal}", f"{part.id}.{sign}"}
        case Module():
            feeds_of = [{one.from_point, one.to_point} for one in feed_elements(harness, part)]
            drivers = {one.terminal: one for one in part.drivers}
            if inner not in drivers:
                return ends in feeds_of
            driver = drivers[inner]
            held = part.ground if driver.pulls == "ground" else driver.from_terminal or part.feeds[0].terminal
            return settled.is_on(f"{part.id}.{inner}") and ends == {f"{part.id}.{inner}", f"{part.id}.{held}"}


def _conducts(name: str, kind: LoadKind, settled: Settled) -> bool:
    """Tell whether an element joins its points: a led, electronics or an inverter only while it carries."""
    branch = next(one for one in settled.net.elements if one.element.name == name)
    if kind is LoadKind.SOCKET and settled.condition.by_name.get(branch.element.part_id) != ON:
        return False
    if kind in (LoadKind.LED, LoadKind.ELECTRONICS, LoadKind.INVERTER):
        return any(abs(float(settled.amps[number])) > 1e-6 for number in branch.branches)
    return bool(branch.branches)
