"""Harness and condition to branches: relays, loads, modules, diodes and resistors; the whole netlist."""

from __future__ import annotations

import math
from collections.abc import Iterator

from model.circuit.build import (
    Builder,
    add_battery,
    add_charger,
    add_every_contact,
    add_fuse,
    add_metal,
    add_switch,
    is_asleep,
    turn_switch,
)
from model.circuit.condition import OFF, ON, Condition, is_out
from model.circuit.faults import LOW_DRAW_SHARE, SHORT_OHMS, Fault, FaultKind
from model.circuit.frame import contact_ohms
from model.circuit.netlist import ElementBranch, Mover, MoverKind, Netlist, Sense
from model.circuit.plain_parts import Counts, PlainParts, counts_of, exchange, put_in, take_out
from model.harness.derived import once_per_harness
from model.harness.fields import Part
from model.harness.harness import Element, Harness
from model.harness.parts import (
    Battery,
    Charger,
    Diode,
    Driver,
    Fuse,
    Load,
    LoadKind,
    Module,
    Output,
    Rated,
    Relay,
    ResistorElement,
    ResistorPack,
    Switch,
)
from model.harness.points import contacts, relay_coils, relay_groups

DIODE_VOLTS = 0.7
DIODE_OHMS = 0.01
HALF_SUPPLY = 0.5


def build_netlist(harness: Harness, condition: Condition, *, split: frozenset[str] = frozenset()) -> Netlist:
    """Build the circuit of a harness under a condition.

    Parameters
    ----------
    harness
        The harness as read.
    condition
        Key state, settings and faults; the volts read at the posts are not applied here.
    split
        Wires that get a node in their middle, terminals ``K1.87`` that get one inside and battery posts that get one
        at their clamp, so that a fault there is a change of one branch. Nothing else changes by it.
    """
    build = Builder(harness, condition, split)
    known = _known_plain(harness)
    if condition.key not in known:
        known[condition.key] = _plain_parts(harness, condition.key)
    plain = known[condition.key]
    put_in(build.net, plain)
    _build_anew(build, plain)
    _note_sources(build)
    add_metal(build)
    return build.net


def _parts_in_order(harness: Harness) -> Iterator[Part]:
    """Give every part that is not metal in the order in which they are built."""
    yield from (*harness.batteries, *harness.chargers, *harness.fuses, *harness.switches, *harness.relays)
    yield from (*harness.loads, *harness.modules, *harness.diodes, *harness.resistors)


@once_per_harness
def _known_plain(_harness: Harness) -> dict[str, PlainParts]:
    return {}


def _plain_parts(harness: Harness, key: str) -> PlainParts:
    build = Builder(harness, Condition(key))
    spans: dict[str, tuple[Counts, Counts]] = {}
    for part in _parts_in_order(harness):
        before = counts_of(build.net)
        if isinstance(part, Switch):
            add_every_contact(build, part)
        else:
            _add_part(build, part)
        spans[part.id] = before, counts_of(build.net)
    return PlainParts(build.net, spans)


def _build_anew(build: Builder, plain: PlainParts) -> None:
    """Put what the condition concerns in the place of the parts as they are at rest."""
    moved = [part_id for part_id in plain.spans if part_id in build.concerned]
    anew = [part_id for part_id in moved if not _moved_in_place(build, plain, part_id)]
    if anew:
        take_out(build.net, plain, anew)
        counts = [counts_of(build.net)]
        for part_id in anew:
            _add_part(build, build.harness.parts[part_id])
            counts.append(counts_of(build.net))
        exchange(build.net, plain, anew, counts)
    pulled = {part_id for part_id in moved if is_out(build.condition, part_id)}
    if pulled:
        build.net.fuses = [link for link in build.net.fuses if link.part_id not in pulled]


def _moved_in_place(build: Builder, plain: PlainParts, part_id: str) -> bool:
    """Turn a switch, or pull a fuse, that is not bad; false of any other part."""
    part, net = build.harness.parts[part_id], build.net
    if part_id in build.bad or not isinstance(part, Switch | Fuse):
        return False
    first = plain.spans[part_id][0].branches
    if isinstance(part, Switch):
        turn_switch(build, part, first)
    elif is_out(build.condition, part_id):
        net.ohms[first], net.sites[first] = math.inf, ""
    return True


def _note_sources(build: Builder) -> None:
    """Note where the first battery and the chargers are: the lines of batteries come first of all."""
    net, harness = build.net, build.harness
    first = harness.batteries[0].id
    net.posts = net.node(f"{first}.+"), net.node(f"{first}.-")
    net.first_battery_line = None if is_out(build.condition, first) else 0
    chargers = {charger.id for charger in harness.chargers}
    net.charger_lines = [place for place, line in enumerate(net.lines) if net.sites[line.branch] in chargers]


def _add_part(build: Builder, part: Part) -> None:
    match part:
        case Battery():
            add_battery(build, part)
        case Charger():
            add_charger(build, part)
        case Fuse():
            add_fuse(build, part)
        case Switch():
            add_switch(build, part)
        case Relay():
            add_relay(build, part)
        case Load():
            for element in build.frame.elements[part.id]:
                add_element(build, part, element)
        case Module():
            add_module(build, part)
        case Diode():
            add_diode(build, part)
        case ResistorPack():
            add_resistors(build, part)


def add_relay(build: Builder, relay: Relay) -> None:
    """Add a relay: its coils, the diode across the first, and the contacts of both its states."""
    if is_out(build.condition, relay.id):
        return
    nominal_volts = build.harness.build.nominal_volts
    senses: list[Sense] = []
    for place, (one_name, other_name, ohms) in enumerate(relay_coils(relay, nominal_volts)):
        one, other = build.pin(relay.id, one_name), build.pin(relay.id, other_name)
        actual = build.resistance(f"{relay.id}:coil", ohms) if place == 0 else ohms
        if not math.isinf(actual):
            build.net.add(one, other, actual, f"{relay.id}:coil")
            senses.append(Sense(one, other, ohms / actual))
        if place == 0 and relay.coil_diode is not None:
            ends = (other, one) if relay.coil_diode == one_name else (one, other)
            build.net.add_line(ends, DIODE_VOLTS, DIODE_OHMS, "")
    ohms = contact_ohms(build.harness, relay)
    branches: list[tuple[int, ...]] = []
    for groups in relay_groups(relay):
        added = [_relay_contact(build, relay, pair, ohms) for pair in contacts(groups)]
        branches.append(tuple(branch for branch in added if branch is not None))
    build.net.movers.append(
        Mover(
            relay.id,
            MoverKind.RELAY,
            tuple(senses),
            relay.pull_in * nominal_volts,
            relay.drop_out * nominal_volts,
            closes=branches[1],
            opens=branches[0],
        )
    )


def _relay_contact(build: Builder, relay: Relay, pair: tuple[str, str], ohms: float) -> int | None:
    """Add a contact of a relay; one that is stuck is closed for good and moves with nothing."""
    site = f"{relay.id}:{pair[0]}-{pair[1]}"
    branch = build.join(build.pin(relay.id, pair[0]), build.pin(relay.id, pair[1]), ohms, site)
    return None if build.fault(site, FaultKind.STUCK) else branch


def add_element(build: Builder, load: Load, element: Element) -> None:
    """Add an element of a load by its kind and fault; nothing where it is out or open."""
    terminals = element.from_point.partition(".")[2], element.to_point.partition(".")[2]
    points = build.net.node(element.from_point), build.net.node(element.to_point)
    fault = build.fault(element.name, FaultKind.OPEN, FaultKind.SHORT, FaultKind.LOW_DRAW, FaultKind.HIGH)
    present = not is_out(build.condition, load.id) and not (fault and fault.kind is FaultKind.OPEN)
    if element.kind is LoadKind.SOCKET and (fault is None or fault.kind is FaultKind.LOW_DRAW):
        present = present and build.condition.by_name.get(load.id) == ON
    branches: tuple[int, ...] = ()
    if present:
        one, other = (build.pin(load.id, terminal) for terminal in terminals)
        branches = (_element_branch(build, element, (one, other), fault),)
    build.net.elements.append(ElementBranch(element, *points, branches))


def _element_branch(build: Builder, element: Element, ends: tuple[int, int], fault: Fault | None) -> int:
    net = build.net
    if fault is not None and fault.kind is FaultKind.SHORT:
        return net.add(*ends, SHORT_OHMS, element.name)
    if fault is not None and fault.kind is FaultKind.HIGH:
        return net.add(*ends, fault.ohms or 0.0, element.name)
    amps = element.rated_amps * (LOW_DRAW_SHARE if fault is not None else 1.0)
    rated_ohms = element.at_volts / amps
    match element.kind:
        case LoadKind.LAMP:
            return net.add_lamp(ends, rated_ohms, element.at_volts, element.name)
        case LoadKind.LED | LoadKind.ELECTRONICS:
            slope_ohms = (element.at_volts - element.starts_at_volts) / amps
            return net.add_line(ends, element.starts_at_volts, slope_ohms, element.name)
        case LoadKind.INVERTER:
            return _add_inverter(build, element, ends, amps)
        case LoadKind.MOTOR | LoadKind.HEATER | LoadKind.HORN | LoadKind.SOLENOID | LoadKind.SOCKET:
            return net.add(*ends, rated_ohms, element.name)


def _add_inverter(build: Builder, element: Element, ends: tuple[int, int], amps: float) -> int:
    branch = build.net.add(*ends, 1.0, element.name)
    nominal_volts = build.harness.build.nominal_volts
    rated = element.record
    cut_in, cut_out = (rated.cut_in, rated.cut_out) if isinstance(rated, Rated) else (0.95, 0.85)
    build.net.movers.append(
        Mover(
            element.name,
            MoverKind.INVERTER,
            (Sense(*ends),),
            cut_in * nominal_volts,
            cut_out * nominal_volts,
            closes=(branch,),
            starts_on=True,
            watts=amps * element.at_volts,
        )
    )
    return branch


def add_module(build: Builder, module: Module) -> None:
    """Add a module: its feeds to its ground, and what it drives while its feed has half of nominal."""
    out, asleep = is_out(build.condition, module.id), is_asleep(build, module.id)
    nominal_volts = build.harness.build.nominal_volts
    for element, feed in zip(build.frame.elements[module.id], module.feeds, strict=True):
        amps = feed.amps if not asleep or feed.asleep_amps is None else feed.asleep_amps
        branches: tuple[int, ...] = ()
        if not out and amps > 0:
            ends = build.pin(module.id, feed.terminal), build.pin(module.id, module.ground)
            branch = build.join(*ends, nominal_volts / amps, element.name)
            branches = () if branch is None else (branch,)
        points = build.net.node(element.from_point), build.net.node(element.to_point)
        build.net.elements.append(ElementBranch(element, *points, branches))
    if out:
        return
    for driver in module.drivers:
        _add_driven(build, module, driver, asleep=asleep)
    for output in module.outputs:
        _add_driven(build, module, output, asleep=asleep)


def _add_driven(build: Builder, module: Module, row: Driver | Output, *, asleep: bool) -> None:
    name = f"{module.id}:{row.terminal}"
    if build.fault(name, FaultKind.OPEN):
        return
    ground = build.pin(module.id, module.ground)
    supply = build.pin(module.id, row.from_terminal or module.feeds[0].terminal)
    terminal = build.pin(module.id, row.terminal)
    if isinstance(row, Output):
        branch = build.net.add(ground, terminal, build.resistance(name, row.ohms), name, emf_volts=row.volts)
        kind = MoverKind.OUTPUT
    else:
        ends = (terminal, ground) if row.pulls == "ground" else (supply, terminal)
        branch = build.net.add(*ends, build.resistance(name, row.ohms), name)
        kind = MoverKind.DRIVER
    if build.fault(name, FaultKind.STUCK):
        return
    half_volts = HALF_SUPPLY * build.harness.build.nominal_volts
    is_positive = build.harness.build.ground_side == "positive"
    sense = (Sense(ground, supply) if is_positive else Sense(supply, ground),)
    allowed = is_wanted(build.condition, module.id, row) and not asleep
    label = f"{module.id}.{row.terminal}"
    build.net.movers.append(Mover(label, kind, sense, half_volts, half_volts, (branch,), allowed=allowed))


def is_wanted(condition: Condition, module_id: str, row: Driver | Output) -> bool:
    """Tell whether a driver or output is to work in this condition, fed or not."""
    value = condition.by_name.get(f"{module_id}.{row.terminal}")
    if value in (ON, OFF):
        return value == ON
    return row.when is None or condition.key in row.when


def add_diode(build: Builder, diode: Diode) -> None:
    """Add a diode with its fault."""
    if is_out(build.condition, diode.id) or build.fault(diode.id, FaultKind.OPEN):
        return
    anode, cathode = build.pin(diode.id, "anode"), build.pin(diode.id, "cathode")
    high = build.fault(diode.id, FaultKind.HIGH)
    if build.fault(diode.id, FaultKind.SHORT):
        build.net.add(anode, cathode, SHORT_OHMS, diode.id)
    elif high is not None:
        build.net.add(anode, cathode, high.ohms or 0.0, diode.id)
    elif build.fault(diode.id, FaultKind.REVERSED):
        build.net.add_line((cathode, anode), diode.volts, diode.ohms, diode.id)
    else:
        build.net.add_line((anode, cathode), diode.volts, diode.ohms, diode.id)


def add_resistors(build: Builder, pack: ResistorPack) -> None:
    """Add the resistances of a pack, each at the position that it is set to."""
    if is_out(build.condition, pack.id):
        return
    position = build.condition.by_name.get(pack.id, "")
    for element in pack.elements:
        site = f"{pack.id}:{element.name}"
        ohms = SHORT_OHMS if build.fault(site, FaultKind.SHORT) else resistor_ohms(element, position)
        ends = build.pin(pack.id, element.from_terminal), build.pin(pack.id, element.to_terminal)
        build.join(*ends, ohms, site)


def resistor_ohms(element: ResistorElement, position: str) -> float:
    """Give the ohms of a resistance in a position; at rest where it has no such position."""
    if not isinstance(element.ohms, dict):
        return element.ohms
    value = element.ohms.get(position) if position != "rest" else None
    if value is None:
        value = element.ohms[str(element.ohms["rest"])]
    return float(value)
