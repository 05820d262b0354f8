"""Harness and condition to branches: metal, wires, sources and switches."""

from __future__ import annotations

import math
from collections.abc import Collection
from functools import cached_property

from model.circuit.bodies import body_beside
from model.circuit.condition import (
    APART,
    ASLEEP,
    OFF,
    OUT,
    Condition,
    charger_is_on,
    is_out,
    switch_position,
)
from model.circuit.faults import Fault, FaultKind, part_of_site, swapped_cavities
from model.circuit.frame import Metal, frame_of, ground_ohms, wire_ohms
from model.circuit.netlist import LEAST_OHMS, FuseLink, Netlist, empty_netlist
from model.errors import CircuitError
from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.metal import body_of_ground
from model.harness.parts import Battery, Charger, Fuse, FuseStyle, Switch
from model.harness.points import contacts, switch_contacts
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.units import fuse_cold_ohms

EMF_SHARE = 1.058
CHARGED_EMF_SHARE = 1.15
RESTING_OHMS = 1e6
FLAT_EMF_SHARE = 0.85
FLAT_OHMS_FACTOR = 10.0
TOUCH_OHMS = 0.01
FUSE_RATING_SHARE_TOO_SMALL = 0.5


class Builder:
    """Builds the netlist of a harness under a condition, its faults applied.

    Attributes
    ----------
    net
        The netlist as far as it is built.
    touched
        Points, and ids of wires, that a wire touches.
    split
        Wires, terminals and battery posts that get a node inside though they have no fault.
    """

    def __init__(self, harness: Harness, condition: Condition, split: frozenset[str] = frozenset()) -> None:
        self.harness = harness
        self.frame = frame_of(harness)
        self.condition = condition
        self.net: Netlist = empty_netlist(harness)
        self.faults: dict[str, list[Fault]] = {}
        for fault in condition.faults:
            self.faults.setdefault(fault.site, []).append(fault)
        self.split = split
        self.touched = {fault.partner for fault in condition.faults if fault.kind is FaultKind.TOUCHES}
        self.touched |= {site for site in split if isinstance(harness.parts.get(site), Wire)}
        for name, value in condition.settings:
            if value == OFF and isinstance(harness.parts.get(name.partition(".")[0]), Wire):
                self.net.add_point(name)

    @cached_property
    def concerned(self) -> frozenset[str]:
        """The parts that a setting, a fault or a split names, those touched, and those on such a battery post."""
        return frozenset(name.partition(".")[0] for name in self.condition.by_name) | self.bad

    @cached_property
    def bad(self) -> frozenset[str]:
        """Those of them that are not as the file has them, whatever is set."""
        named = {*self.faults, *self.split}
        found = self.touched | {part_of_site(cavity) for site in named for cavity in site.split("/")}
        posts = {site for site in named if isinstance(self.harness.parts.get(site.partition(".")[0]), Battery)}
        if posts:
            rows: tuple[Joint | Wire, ...] = (*self.harness.joints, *self.harness.wires)
            found.update(row.id for row in rows if row.from_point in posts or row.to_point in posts)
        return frozenset(found)

    def fault(self, site: str, *kinds: FaultKind) -> Fault | None:
        """Give the fault of these kinds at a site, where it has one."""
        if site not in self.faults:
            return None
        return next((fault for fault in self.faults[site] if fault.kind in kinds), None)

    def resistance(self, site: str, ohms: float) -> float:
        """Give the ohms of a site with its fault ``open`` or ``high``; infinite where open."""
        if site not in self.faults:
            return ohms
        if self.fault(site, FaultKind.OPEN):
            return math.inf
        high = self.fault(site, FaultKind.HIGH)
        if high is None:
            return ohms
        return high.ohms if high.ohms is not None else ohms + high.added_ohms

    def join(self, one: int, other: int, ohms: float, site: str) -> int | None:
        """Add a resistance with the fault of its site; nothing where that is open."""
        ohms = self.resistance(site, ohms)
        return None if math.isinf(ohms) else self.net.add(one, other, ohms, site)

    def pin(self, part_id: str, terminal: str) -> int:
        """Give the node of a part's own terminal, behind its plug where that is not seated or split."""
        name = f"{part_id}.{terminal}"
        node = self.net.index[name]
        if name not in self.faults and name not in self.split:
            return node
        inner = f"{name} inside"
        if inner not in self.net.index:
            self.join(node, self.net.node(inner), 0.0, name)
        return self.net.node(inner)

    def end(self, point: str) -> int:
        """Give the node that a wire or joint reaches at a point: behind the clamp of a battery post that is bad."""
        node = self.net.index[point]
        if (point not in self.faults and point not in self.split) or not isinstance(
            self.harness.parts.get(point.partition(".")[0]), Battery
        ):
            return node
        clamp = f"{point} clamp"
        if clamp not in self.net.index:
            self.join(node, self.net.node(clamp), 0.0, point)
        return self.net.node(clamp)

    def middle(self, wire_id: str) -> int:
        """Give the node in the middle of a wire that touches something or is touched."""
        return self.net.node(f"{wire_id} middle")


def add_metal(build: Builder) -> None:
    """Add ground points, joints, connectors and wires: those that the condition concerns one by one."""
    plain = build.frame.metal or _plain_metal(build)
    build.frame.metal = plain
    concerned = sorted(build.concerned & plain.spans.keys(), key=lambda part_id: plain.spans[part_id])
    begin = 0
    for part_id in concerned:
        end, following = plain.spans[part_id]
        _add_plain(build.net, plain, begin, end)
        begin = following
    _add_plain(build.net, plain, begin, len(plain.one))
    swaps = _swapped_contacts(build)
    for part_id in concerned:
        _add_metal_part(build, build.harness.parts[part_id], swaps)


def _plain_metal(build: Builder) -> Metal:
    rest = Builder(build.harness, Condition(build.condition.key))
    spans: dict[str, tuple[int, int]] = {}
    harness, net = build.harness, rest.net
    for part in (*harness.grounds, *harness.joints, *harness.connectors):
        first = len(net.one)
        _add_metal_part(rest, part, {})
        spans[part.id] = first, len(net.one)
    for wire in harness.wires:
        one = net.index[wire.from_point or f"{wire.id}.a"]
        branch = net.add(one, net.index[wire.to_point or f"{wire.id}.b"], wire_ohms(harness, wire), wire.id)
        spans[wire.id] = branch, branch + 1
    return Metal(net.one, net.other, net.ohms, net.sites, spans)


def _add_plain(net: Netlist, metal: Metal, begin: int, end: int) -> None:
    net.one += metal.one[begin:end]
    net.other += metal.other[begin:end]
    net.ohms += metal.ohms[begin:end]
    net.sites += metal.sites[begin:end]
    net.emf_volts += [0.0] * (end - begin)


def _add_metal_part(build: Builder, part: Part, swaps: dict[tuple[str, int], tuple[str, int]]) -> None:
    match part:
        case GroundPoint():
            add_ground(build, part)
        case Joint():
            ohms = part.ohms or build.harness.defaults.joint
            build.join(build.end(part.from_point), build.end(part.to_point), ohms, part.id)
        case Connector():
            add_connector(build, part, swaps)
        case Wire():
            add_wire(build, part)


def add_ground(build: Builder, ground: GroundPoint) -> None:
    """Add the resistance from a ground point to its body, where it is bonded."""
    body = body_of_ground(build.harness, ground)
    if body is not None:
        build.join(build.net.index[ground.id], build.net.node(body), ground_ohms(build.harness, ground), ground.id)


def _swapped_contacts(build: Builder) -> dict[tuple[str, int], tuple[str, int]]:
    swaps: dict[tuple[str, int], tuple[str, int]] = {}
    for site in build.faults:
        pair = swapped_cavities(build.harness, site) if "/" in site else None
        if pair is not None:
            swaps[pair[0]], swaps[pair[1]] = pair[1], pair[0]
    return swaps


def add_connector(build: Builder, connector: Connector, swaps: dict[tuple[str, int], tuple[str, int]]) -> None:
    """Add the contacts of a connector; none where its halves are apart."""
    state = build.condition.by_name.get(connector.id, connector.rest)
    if state in (APART, OUT):
        return
    ohms = connector.ohms or build.harness.defaults.contact
    for cavity in range(1, connector.cavities + 1):
        other_id, other_cavity = swaps.get((connector.id, cavity), (connector.id, cavity))
        other_half = build.harness.part_of(other_id, Connector).halves[1]
        one = build.net.node(f"{connector.id}.{connector.halves[0]}.{cavity}")
        other = build.net.node(f"{other_id}.{other_half}.{other_cavity}")
        build.join(one, other, ohms, f"{connector.id}.{cavity}")


def add_wire(build: Builder, wire: Wire) -> None:
    """Add a wire with its crimps; in two halves where its middle touches something or is touched."""
    ends = [wire.from_point or f"{wire.id}.a", wire.to_point or f"{wire.id}.b"]
    for place, (letter, site) in enumerate((("a", f"{wire.id}.a"), ("b", wire.id))):
        elsewhere = build.fault(site, FaultKind.ELSEWHERE)
        if elsewhere is not None:
            ends[place] = elsewhere.partner
        if build.condition.by_name.get(f"{wire.id}.{letter}") == OFF:
            ends[place] = f"{wire.id}.{letter}"
    one, other = (build.end(point) for point in ends)
    ohms = wire_ohms(build.harness, wire)
    touch = build.fault(wire.id, FaultKind.TO_BODY, FaultKind.TOUCHES)
    if touch is None and wire.id not in build.touched:
        build.join(one, other, ohms, wire.id)
        return
    ohms, middle = build.resistance(wire.id, ohms), build.middle(wire.id)
    build.net.add(one, middle, ohms / 2, wire.id)
    build.net.add(middle, other, ohms / 2, wire.id)
    if touch is not None:
        build.net.add(middle, _touched_node(build, wire, touch), TOUCH_OHMS)


def _touched_node(build: Builder, wire: Wire, touch: Fault) -> int:
    partner = touch.partner if touch.kind is FaultKind.TOUCHES else body_beside(build.harness, wire)
    if partner is None:
        raise CircuitError(
            f"There is no body beside {wire.id} that it could touch.",
            do=f'Give the wire a place in the file, or say what it touches: {wire.id}="touches W1".',
        )
    if isinstance(build.harness.parts.get(partner), Wire):
        return build.middle(partner)
    return build.net.index[partner]


def add_battery(build: Builder, battery: Battery) -> None:
    """Add a battery: it gives below one emf and takes above another, each behind its resistance.

    A battery that does neither is tied to its emf by a megohm, so that two in series share evenly what a charger
    holds over both.
    """
    volts = build.frame.battery_volts[battery.id]
    flat = build.fault(battery.id, FaultKind.FLAT) is not None
    emf = FLAT_EMF_SHARE * volts if flat else battery.emf or EMF_SHARE * volts
    charged_emf = max(battery.charged_emf or CHARGED_EMF_SHARE * volts, emf)
    ohms = battery.ohms * (FLAT_OHMS_FACTOR if flat else 1.0)
    if is_out(build.condition, battery.id):
        return
    plus, minus = build.net.node(f"{battery.id}.+"), build.net.node(f"{battery.id}.-")
    tie = build.net.add(minus, plus, RESTING_OHMS, battery.id, emf_volts=emf)
    if battery.id == build.harness.batteries[0].id:
        build.net.first_battery_tie = tie
    build.net.add_line((minus, plus), -emf, ohms, battery.id, always_joins=True)
    build.net.add_line((plus, minus), charged_emf, ohms, battery.id, always_joins=True)


def add_charger(build: Builder, charger: Charger) -> None:
    """Add a charger, and the resistance of its exciter to the post that it leans on."""
    if is_out(build.condition, charger.id):
        return
    running = charger_is_on(build.harness, build.condition, charger) and not build.fault(
        charger.id, FaultKind.NO_OUTPUT
    )
    plus, minus = build.pin(charger.id, "+"), build.pin(charger.id, "-")
    if running:
        build.net.add_line((minus, plus), -charger.volts, charger.ohms, charger.id)
    if charger.exciter is not None:
        exciter = build.pin(charger.id, charger.exciter.terminal)
        build.net.add(exciter, plus if running else minus, charger.exciter.ohms, charger.id)


def add_fuse(build: Builder, fuse: Fuse) -> None:
    """Add a fuse with its cold resistance."""
    gone = build.fault(fuse.id, FaultKind.BLOWN, FaultKind.MISSING, FaultKind.OPEN)
    if gone or is_out(build.condition, fuse.id):
        return
    amps = fuse.amps
    if amps is not None and build.fault(fuse.id, FaultKind.TOO_SMALL):
        amps *= FUSE_RATING_SHARE_TOO_SMALL
    ohms = fuse.ohms or fuse_cold_ohms(amps, fuse.style)
    branch = build.join(build.pin(fuse.id, "in"), build.pin(fuse.id, "out"), ohms, fuse.id)
    if branch is not None:
        rating = None if fuse.style is FuseStyle.THERMAL else amps
        build.net.fuses.append(FuseLink(fuse.id, branch, rating, fuse.resets))


def add_switch(build: Builder, switch: Switch) -> None:
    """Add the contacts that a switch closes in its position, and those that are stuck."""
    closed = _closed_contacts(build, switch)
    if closed is None:
        return
    ohms = switch.ohms or build.harness.defaults.switch
    for common, other in switch_contacts(switch):
        site = f"{switch.id}:{common}-{other}"
        if (common, other) in closed or build.fault(site, FaultKind.STUCK):
            build.join(build.pin(switch.id, common), build.pin(switch.id, other), ohms, site)


def _closed_contacts(build: Builder, switch: Switch) -> Collection[tuple[str, str]] | None:
    """Give the contacts that a switch closes in its position; None where it is out."""
    if build.condition.by_name.get(switch.id) == OUT and OUT not in switch.positions:
        return None
    return contacts(switch.positions[switch_position(build.harness, switch, build.condition)])


def add_every_contact(build: Builder, switch: Switch) -> None:
    """Add all contacts of a switch, those that it does not close open: :func:`turn_switch` closes others."""
    for common, other in switch_contacts(switch):
        build.net.add(build.pin(switch.id, common), build.pin(switch.id, other), math.inf)
    turn_switch(build, switch, len(build.net.one) - len(switch_contacts(switch)))


def turn_switch(build: Builder, switch: Switch, first: int) -> None:
    """Open and close the contacts of a switch as its position wants; an open one has no site.

    Parameters
    ----------
    first
        The branch of the first contact.
    """
    closed = _closed_contacts(build, switch) or ()
    ohms = max(switch.ohms or build.harness.defaults.switch, LEAST_OHMS)
    for branch, pair in enumerate(switch_contacts(switch), first):
        is_closed = pair in closed
        build.net.ohms[branch] = ohms if is_closed else math.inf
        build.net.sites[branch] = f"{switch.id}:{pair[0]}-{pair[1]}" if is_closed else ""


def is_asleep(build: Builder, module_id: str) -> bool:
    """Tell whether a module is asleep in this condition."""
    return build.condition.by_name.get(module_id) == ASLEEP
