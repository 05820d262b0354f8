"""The harness as a graph: what joins which points, possibly or in a settled condition."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

import networkx as nx

from model.circuit.build_parts import resistor_ohms
from model.circuit.condition import APART, OFF, OUT, charger_is_on, is_out, switch_position
from model.circuit.frame import contact_ohms, ground_ohms, wire_ohms
from model.circuit.settle import Settled
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.metal import body_of_ground, wire_points
from model.harness.parts import Charger, Driver, Fuse, Module, Output, Switch
from model.harness.points import contacts, relay_groups, resolve_point, switch_contacts
from model.harness.records import Connector
from model.harness.supply import grounded_posts, series_links
from model.units import fuse_cold_ohms

_DIODE_OHMS = 1.0


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


METAL_KINDS = frozenset({LinkKind.WIRE, LinkKind.JOINT, LinkKind.CAVITY, LinkKind.GROUND})
"""Links that are bare metal."""


@dataclass(frozen=True, slots=True)
class Link:
    """Something that joins two points.

    Attributes
    ----------
    site
        Fault site as the format names it: ``W9``, ``X1.4``, ``K1:30-87``, ``A1:pump``.
    one, other
        The points; of a diode the anode first, of an output the feed that powers it.
    ohms
        About how much it resists, to tell the way that the current takes.
    pulled
        Of a relay contact: closed while the relay is pulled in, else while it is at rest. Of an exciter: joined while
        the charger is on, else while it is off.
    """

    kind: LinkKind
    site: str
    part_id: str
    one: str
    other: str
    ohms: float
    pulled: bool = True


@once_per_harness
def links_of(harness: Harness) -> tuple[Link, ...]:
    """List everything of a harness that can join two points: all metal, contacts, fuses, resistances and diodes.

    Loads, coils and the supply do not count: they are where a walk begins, turns off and ends.
    """
    return (*_metal_links(harness), *_contact_links(harness), *_module_links(harness), *_resistance_links(harness))


def _metal_links(harness: Harness) -> Iterator[Link]:
    defaults = harness.defaults
    for wire in harness.wires:
        yield Link(LinkKind.WIRE, wire.id, wire.id, *wire_points(harness, wire), wire_ohms(harness, wire))
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
        body = body_of_ground(harness, ground)
        if body is not None:
            yield Link(LinkKind.GROUND, ground.id, ground.id, ground.id, body, ground_ohms(harness, ground))


def _contact_links(harness: Harness) -> Iterator[Link]:
    for fuse in harness.fuses:
        ohms = fuse.ohms or fuse_cold_ohms(fuse.amps, fuse.style)
        yield Link(LinkKind.FUSE, fuse.id, fuse.id, _fuse_in(fuse), f"{fuse.id}.out", ohms)
    for switch in harness.switches:
        ohms = switch.ohms or harness.defaults.switch
        for pair in switch_contacts(switch):
            yield _contact(LinkKind.SWITCH, switch.id, pair, ohms)
    for relay in harness.relays:
        ohms = contact_ohms(harness, relay)
        for groups, pulled in zip(relay_groups(relay), (False, True), strict=True):
            for pair in contacts(groups):
                yield _contact(LinkKind.RELAY, relay.id, pair, ohms, pulled=pulled)


def _contact(kind: LinkKind, part_id: str, pair: tuple[str, str], ohms: float, *, pulled: bool = True) -> Link:
    common, other = pair
    return Link(kind, f"{part_id}:{common}-{other}", part_id, f"{part_id}.{common}", f"{part_id}.{other}", ohms, pulled)


def _fuse_in(fuse: Fuse) -> str:
    return fuse.bus or f"{fuse.id}.in"


def _module_links(harness: Harness) -> Iterator[Link]:
    for module in harness.modules:
        for driver in module.drivers:
            feed = powering_feed(module, driver.terminal)
            held = feed if driver.pulls == "feed" else f"{module.id}.{module.ground}"
            site, terminal = f"{module.id}:{driver.terminal}", f"{module.id}.{driver.terminal}"
            yield Link(LinkKind.DRIVER, site, module.id, held, terminal, driver.ohms)
        for output in module.outputs:
            feed = powering_feed(module, output.terminal)
            site, terminal = f"{module.id}:{output.terminal}", f"{module.id}.{output.terminal}"
            yield Link(LinkKind.OUTPUT, site, module.id, feed, terminal, output.ohms)


def powering_feed(module: Module, terminal: str) -> str:
    """Name the point from which a driver's or output's terminal has its power: the first feed where none is named."""
    rows: tuple[Driver | Output, ...] = (*module.drivers, *module.outputs)
    named = next((row.from_terminal for row in rows if row.terminal == terminal), None)
    return f"{module.id}.{named or module.feeds[0].terminal}"


def _resistance_links(harness: Harness) -> Iterator[Link]:
    for charger in harness.chargers:
        if charger.exciter is not None:
            terminal, ohms = f"{charger.id}.{charger.exciter.terminal}", charger.exciter.ohms
            for sign, running in (("-", False), ("+", True)):
                yield Link(LinkKind.EXCITER, charger.id, charger.id, terminal, f"{charger.id}.{sign}", ohms, running)
    for diode in harness.diodes:
        yield Link(LinkKind.DIODE, diode.id, diode.id, f"{diode.id}.anode", f"{diode.id}.cathode", _DIODE_OHMS)
    for pack in harness.resistors:
        for element in pack.elements:
            ends = f"{pack.id}.{element.from_terminal}", f"{pack.id}.{element.to_terminal}"
            ohms = resistor_ohms(element, "")
            yield Link(LinkKind.RESISTOR, f"{pack.id}:{element.name}", pack.id, *ends, ohms)


def closed_links(harness: Harness, settled: Settled) -> tuple[Link, ...]:
    """List the links that join their points in a settled condition, were they sound."""
    return tuple(filter(closed_test(harness, settled), links_of(harness)))


def closed_test(harness: Harness, settled: Settled) -> Callable[[Link], bool]:
    """Give a test whether a link joins its points in a settled condition, were it sound."""
    working = frozenset(mover.name for mover, on in zip(settled.net.movers, settled.states, strict=True) if on)
    return lambda link: _is_closed(link, harness, settled, working)


def _is_closed(link: Link, harness: Harness, settled: Settled, working: frozenset[str]) -> bool:
    condition = settled.condition
    if is_out(condition, link.part_id) and link.kind is not LinkKind.SWITCH:
        return False
    match link.kind:
        case LinkKind.WIRE:
            return OFF not in (condition.by_name.get(f"{link.part_id}.a"), condition.by_name.get(f"{link.part_id}.b"))
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
            return (link.part_id in working) is link.pulled
        case LinkKind.DRIVER | LinkKind.OUTPUT:
            return link.site.replace(":", ".") in working
        case LinkKind.EXCITER:
            charger = harness.part_of(link.part_id, Charger)
            return charger_is_on(harness, condition, charger) is link.pulled
        case LinkKind.JOINT | LinkKind.GROUND | LinkKind.DIODE | LinkKind.RESISTOR:
            return True


@once_per_harness
def possible_graph(harness: Harness) -> nx.MultiGraph:
    """Give the graph of all links, whatever is switched; it must not be changed."""
    return _graph(links_of(harness))


def closed_graph(harness: Harness, settled: Settled) -> nx.MultiGraph:
    """Give the graph of the links that are closed in a settled condition."""
    return _graph(closed_links(harness, settled))


def _graph(links: Iterable[Link]) -> nx.MultiGraph:
    graph: nx.MultiGraph = nx.MultiGraph()
    graph.add_edges_from((link.one, link.other, (link.site, link.pulled), {"link": link}) for link in links)
    return graph


def links_between(graph: nx.MultiGraph, here: str, there: str) -> tuple[Link, ...]:
    """List the links of a graph between two points."""
    return tuple(edge["link"] for edge in graph[here][there].values())


@once_per_harness
def hot_posts(harness: Harness) -> tuple[str, ...]:
    """Name the battery posts that feed: the other post of each battery, and the taps of a chain in series."""
    grounded = grounded_posts(harness)
    hot = "-" if harness.build.ground_side == "positive" else "+"
    in_chain = {battery_id for pair in series_links(harness).items() for battery_id in pair}
    posts = (f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-")
    return tuple(post for post in posts if post not in grounded and (post[-1] == hot or post[:-2] in in_chain))


def charger_posts(harness: Harness, *, hot: bool) -> tuple[str, ...]:
    """Name the posts of the chargers on the hot or on the grounded side."""
    plus_is_hot = harness.build.ground_side != "positive"
    sign = "+" if hot is plus_is_hot else "-"
    return tuple(f"{charger.id}.{sign}" for charger in harness.chargers)
