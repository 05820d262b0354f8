"""The loads that share something with one that is complained of: whether they work tells much and costs nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import networkx as nx

from model.harness.harness import CHASSIS, Element, Harness, all_elements, element_label
from model.harness.parts import Fuse, Relay, Switch
from model.harness.records import Connector, GroundPoint, Splice
from model.tracing.graph import possible_graph
from model.tracing.walk import Walk

COMPANIONS_MOST = 12
CONSIDERED_MOST = 40
"""Of a large loom only the nearest loads are walked: a walk costs some ten milliseconds."""


@dataclass(frozen=True, slots=True)
class Companion:
    """A load that shares something with what is complained of.

    Attributes
    ----------
    element
        Its circuit by name: ``E1:dip``, ``A2:75``.
    label
        What it is called; its name where it has no label.
    shares
        What it shares, the parts nearest to the load complained of first: ``fuse F23``, ``ground GND8``, ``key feed``.
    shared_sites
        How many wires, contacts and parts of the walks they have in common.
    needs
        The condition in which it should work, in words.
    """

    element: str
    label: str
    shares: tuple[str, ...]
    shared_sites: int
    needs: str


def companions(
    harness: Harness,
    walk_of: Callable[[Element], Walk],
    needs_of: Callable[[Walk], str],
    complained: Iterable[str],
    most: int = COMPANIONS_MOST,
) -> tuple[Companion, ...]:
    """Give the loads that share fuse, ground, splice, plug, relay, switch or key feed, those that share most first.

    Parameters
    ----------
    walk_of
        Makes or remembers a walk.
    needs_of
        Says in words what the load of a walk needs; empty where it never works: such a load is left out.
    complained
        Elements by name; what is no element (a battery) has no companions.
    most
        How many at most.
    """
    elements = {element.name: element for element in all_elements(harness)}
    own = [walk_of(elements[name]) for name in dict.fromkeys(complained) if name in elements]
    if not own:
        return ()
    sites = {site: None for walk in own for site in _sites(walk)}
    names = {name: None for walk in own for name in _shared_names(harness, walk)}
    left_out = {walk.element.name for walk in own}
    found = []
    for element in _nearest(harness, own, [one for one in elements.values() if one.name not in left_out]):
        walk = walk_of(element)
        theirs = set(_shared_names(harness, walk))
        shares = tuple(name for name in names if name in theirs)
        needs = needs_of(walk) if shares else ""
        if needs:
            label = element_label(harness, element).strip() or element.name
            shared_sites = len(sites.keys() & set(_sites(walk)))
            found.append(Companion(element.name, label, shares, shared_sites, needs))
    # sorted keeps the nearer one first where two share as much
    return tuple(sorted(found, key=lambda one: -one.shared_sites)[:most])


def _sites(walk: Walk) -> Iterator[str]:
    for stretch in walk.stretches():
        yield from (step.link.site for step in stretch.steps if step.link is not None)


def _shared_names(harness: Harness, walk: Walk) -> list[str]:
    """Name what on a walk others may hang on too, from the load outwards, feed before ground before control."""
    names: dict[str, None] = {}
    for stretch in walk.stretches():
        steps = stretch.steps if stretch.side.value == "ground" else stretch.steps[::-1]
        for step in steps:
            for part_id in (step.point.partition(".")[0], step.link.part_id if step.link is not None else ""):
                name = _name(harness, part_id)
                if name:
                    names.setdefault(name)
    return list(names)


def _name(harness: Harness, part_id: str) -> str:
    part = harness.parts.get(part_id)
    match part:
        case Fuse():
            return f"fuse {part_id}"
        case GroundPoint():
            return f"ground {part_id}"
        case Splice():
            return f"splice {part_id}"
        case Connector():
            return f"plug {part_id}"
        case Relay():
            return f"relay {part_id}"
        case Switch() if part.key:
            return "key feed"
        case Switch():
            return f"switch {part_id}"
    return ""


def _nearest(harness: Harness, own: Iterable[Walk], candidates: list[Element]) -> list[Element]:
    """Give the elements that hang nearest to the walks, counted in links; the body joins nothing here."""
    graph = nx.Graph(possible_graph(harness))
    graph.remove_nodes_from([CHASSIS, *(body.id for body in harness.bodies)])
    sources = {point for walk in own for point in walk.points() if point in graph}
    away: dict[str, float] = nx.multi_source_dijkstra_path_length(graph, sources, weight=None) if sources else {}
    far = float("inf")

    def links_away(element: Element) -> float:
        return min(away.get(element.from_point, far), away.get(element.to_point, far))

    return sorted(candidates, key=links_away)[:CONSIDERED_MOST]
