"""The harness as a graph: what joins which points, possibly or in a settled condition."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import networkx as nx

from model.circuit.build import contacts, wire_ohms
from model.circuit.condition import APART, OFF, OUT, charger_is_on, is_out, switch_position
from model.circuit.settle import Settled
from model.harness.harness import CHASSIS, Harness
from model.harness.parts import Charger, Fuse, Relay, Switch
from model.harness.points import relay_groups, resolve_point
from model.harness.records import Connector, Wire
from model.harness.supply import series_links
from model.units import fuse_cold_ohms


class LinkKind(StrEnum):
    """What joins two points."""

    WIRE = "wire"
    JOINT = "joint"
    CAVITY = "cavity"
    GROUND = "ground"
    FUSE = "fuse"
    SWITCH = "switch"
    RELAY = "relay"
    DRIVER = "driver"
    OUTPUT = "output"
    DIODE = "diode"
    RESISTOR = "resistor"
    EXCITER = "exciter"
    BATTERY = "battery"


@dataclass(frozen=True, slots=True)
class Link:
    """Something that joins two points.

    Attributes
    ----------
    site
        Fault site as the format names it: ``W9``, ``X1.4``, ``K1:30-87``, ``A1:pump``.
    ohms
        About how much it resists, to tell the way that the current takes.
    pulled
        Of a relay contact: closed while the relay is pulled in, else while it is at rest.
    """

    kind: LinkKind
    site: str
    part_id: str
    one: str
    other: str
    ohms: float
    pulled: bool = True


def each_link(harness: Harness) -> Iterator[Link]:
    """Give everything of a harness that can join two points: all metal, contacts, fuses, resistances and diodes.

    Loads, coils and the supply do not count: they are where a walk begins, turns off and ends.
    """
    defaults = harness.defaults
    yield from _metal_links(harness)
    for fuse in harness.fuses:
        ohms = fuse.ohms or fuse_cold_ohms(fuse.amps, fuse.style)
        yield Link(LinkKind.FUSE, fuse.id, fuse.id, _fuse_in(fuse), f"{fuse.id}.out", ohms)
    for switch in harness.switches:
        ohms = switch.ohms or defaults.switch
        pairs = dict.fromkeys(pair for groups in switch.positions.values() for pair in contacts(groups))
        for common, other in pairs:
            site = f"{switch.id}:{common}-{other}"
            yield Link(LinkKind.SWITCH, site, switch.id, f"{switch.id}.{common}", f"{switch.id}.{other}", ohms)
    for relay in harness.relays:
        yield from _relay_links(relay, relay.ohms or defaults.relay)
    for module in harness.modules:
        for driver in module.drivers:
            supply = f"{module.id}.{driver.from_terminal or module.feeds[0].terminal}"
            target = supply if driver.pulls == "feed" else f"{module.id}.{module.ground}"
            site, terminal = f"{module.id}:{driver.terminal}", f"{module.id}.{driver.terminal}"
            yield Link(LinkKind.DRIVER, site, module.id, target, terminal, driver.ohms)
        for output in module.outputs:
            supply = f"{module.id}.{output.from_terminal or module.feeds[0].terminal}"
            site, terminal = f"{module.id}:{output.terminal}", f"{module.id}.{output.terminal}"
            yield Link(LinkKind.OUTPUT, site, module.id, supply, terminal, output.ohms)
    for charger in harness.chargers:
        if charger.exciter is not None:
            terminal = f"{charger.id}.{charger.exciter.terminal}"
            for sign, running in (("-", False), ("+", True)):
                post, ohms = f"{charger.id}.{sign}", charger.exciter.ohms
                yield Link(LinkKind.EXCITER, charger.id, charger.id, terminal, post, ohms, running)
    for diode in harness.diodes:
        yield Link(LinkKind.DIODE, diode.id, diode.id, f"{diode.id}.anode", f"{diode.id}.cathode", 1.0)
    for pack in harness.resistors:
        for element in pack.elements:
            ohms = element.ohms if isinstance(element.ohms, float | int) else 10.0
            ends = f"{pack.id}.{element.from_terminal}", f"{pack.id}.{element.to_terminal}"
            yield Link(LinkKind.RESISTOR, f"{pack.id}:{element.name}", pack.id, *ends, ohms)


def _metal_links(harness: Harness) -> Iterator[Link]:
    defaults = harness.defaults
    for wire in harness.wires:
        one, other = (resolve_point(harness, point) for point in wire_ends(wire))
        yield Link(LinkKind.WIRE, wire.id, wire.id, one, other, wire_ohms(harness, wire))
    for joint in harness.joints:
        ends = resolve_point(harness, joint.from_point), resolve_point(harness, joint.to_point)
        yield Link(LinkKind.JOINT, joint.id, joint.id, *ends, joint.ohms or defaults.joint)
    for connector in harness.connectors:
        front, rear = connector.halves
        for cavity in range(1, connector.cavities + 1):
            ends = f"{connector.id}.{front}.{cavity}", f"{connector.id}.{rear}.{cavity}"
            ohms = connector.ohms or defaults.contact
            yield Link(LinkKind.CAVITY, f"{connector.id}.{cavity}", connector.id, *ends, ohms)
    for ground in harness.grounds:
        bonded = harness.build.chassis or ground.body is not None if ground.bonded is None else ground.bonded
        if bonded:
            ohms = (ground.ohms or defaults.ground) + defaults.chassis
            yield Link(LinkKind.GROUND, ground.id, ground.id, ground.id, ground.body or CHASSIS, ohms)


def wire_ends(wire: Wire) -> tuple[str, str]:
    """Name the two points of a wire, its free ends by its own id."""
    return wire.from_point or f"{wire.id}.a", wire.to_point or f"{wire.id}.b"


def _fuse_in(fuse: Fuse) -> str:
    return fuse.bus or f"{fuse.id}.in"


def _relay_links(relay: Relay, ohms: float) -> Iterator[Link]:
    for groups, pulled in zip(relay_groups(relay), (False, True), strict=True):
        for common, other in contacts(groups):
            site = f"{relay.id}:{common}-{other}"
            ends = f"{relay.id}.{common}", f"{relay.id}.{other}"
            yield Link(LinkKind.RELAY, site, relay.id, *ends, ohms, pulled)


def is_closed(link: Link, harness: Harness, settled: Settled) -> bool:
    """Tell whether a link joins its points in a settled condition."""
    condition = settled.condition
    if is_out(condition, link.part_id) and link.kind is not LinkKind.SWITCH:
        return False
    match link.kind:
        case LinkKind.WIRE:
            return OFF not in (condition.by_name.get(f"{link.part_id}.{end}") for end in "ab")
        case LinkKind.CAVITY:
            rest = harness.part_of(link.part_id, Connector).rest
            return condition.by_name.get(link.part_id, rest) not in (APART, OUT)
        case LinkKind.FUSE:
            return link.part_id not in settled.blown
        case LinkKind.SWITCH:
            switch = harness.part_of(link.part_id, Switch)
            if condition.by_name.get(switch.id) == OUT and OUT not in switch.positions:
                return False
            joined = contacts(switch.positions[switch_position(harness, switch, condition)])
            return link.site.partition(":")[2] in {f"{common}-{other}" for common, other in joined}
        case LinkKind.RELAY:
            return settled.relays[link.part_id] is link.pulled
        case LinkKind.DRIVER | LinkKind.OUTPUT:
            return settled.is_on(link.site.replace(":", "."))
        case LinkKind.EXCITER:
            charger = harness.part_of(link.part_id, Charger)
            return charger_is_on(harness, condition, charger) is link.pulled
    return True


def possible_graph(harness: Harness) -> nx.MultiGraph:
    """Give the graph of all links, whatever is switched."""
    return _graph(each_link(harness))


def closed_graph(harness: Harness, settled: Settled) -> nx.MultiGraph:
    """Give the graph of the links that are closed in a settled condition."""
    return _graph(link for link in each_link(harness) if is_closed(link, harness, settled))


def _graph(links: Iterator[Link]) -> nx.MultiGraph:
    graph: nx.MultiGraph = nx.MultiGraph()
    for link in links:
        graph.add_edge(link.one, link.other, key=(link.site, link.pulled), link=link)
    return graph


def hot_posts(harness: Harness) -> tuple[str, ...]:
    """Name the battery posts that feed: all but those on the grounded side of their chain; then the chargers'."""
    grounded = set(grounded_posts(harness))
    batteries = [f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-"]
    hot = "-" if harness.build.ground_side == "positive" else "+"
    inner = series_links(harness)
    if inner:
        return tuple(post for post in batteries if post not in grounded)
    return tuple(f"{battery.id}.{hot}" for battery in harness.batteries)


def grounded_posts(harness: Harness) -> tuple[str, ...]:
    """Name the grounded posts of the batteries; the black probe stands on the first."""
    links = series_links(harness)
    positive = harness.build.ground_side == "positive"
    following = {high: low for low, high in links.items()} if positive else links
    sign = "+" if positive else "-"
    ends: dict[str, None] = {}
    for battery in harness.batteries:
        last = battery.id
        for _ in range(len(harness.batteries)):
            last = following.get(last, last)
        ends[f"{last}.{sign}"] = None
    return tuple(ends)


def charger_posts(harness: Harness, *, hot: bool) -> tuple[str, ...]:
    """Name the posts of the chargers on the hot or on the grounded side."""
    plus_is_hot = harness.build.ground_side != "positive"
    sign = "+" if hot is plus_is_hot else "-"
    return tuple(f"{charger.id}.{sign}" for charger in harness.chargers)
