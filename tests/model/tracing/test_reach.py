"""What can reach a load: compared with every simple way there is, found one by one."""

from __future__ import annotations

import networkx as nx
import pytest

from model.harness.harness import Element, Harness, all_elements
from model.tracing.graph import Link, LinkKind, links_between, possible_graph
from model.tracing.reach import control_points, reach_of
from model.tracing.walk import find_element
from tests.model.tracing.rigs import demo, rig, wires

BRANCHED = rig(
    """
busbars = [ { id = "BB1" } ]
switches = [ { id = "S1" }, { id = "S2" }, { id = "S3" }, { id = "S4" }, { id = "S5" } ]
relays = [ { id = "K1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 } ]
"""
    + wires(
        "G1.+ BB1", "BB1 S1.1", "S1.2 K1.30", "K1.87 E1.+", "E1.- G1.-",
        "BB1 S2.1", "S2.2 K1.86", "K1.85 S3.1", "S3.2 G1.-",
        "BB1 S4.1", "S4.2 E2.+", "E2.- G1.-", "K1.87 S5.1",
    )
)  # fmt: skip
"""A lamp behind S1 and K1; the coil fed by S2 and grounded by S3; a lamp of its own on S4; S5 leads nowhere."""


def switches(harness: Harness, load: str) -> set[str]:
    """Name the switches that can reach a load."""
    links = reach_of(harness).links_that_matter(find_element(harness, load))
    return {link.part_id for link in links if link.kind is LinkKind.SWITCH}


def test_only_switches_on_a_way_to_a_battery_can_reach_a_load() -> None:
    """Feed S1, coil feed S2, coil ground S3; not S4 of another lamp, nor S5, whose far side is loose."""
    assert switches(BRANCHED, "E1") == {"S1", "S2", "S3"}
    assert switches(BRANCHED, "E2") == {"S4"}


def simple_way_links(harness: Harness, element: Element) -> set[Link]:
    """Find by hand the links of every simple way from the ends of an element, and from what drives those ways."""
    graph = possible_graph(harness).copy()
    for battery in harness.batteries:
        graph.add_edges_from((f"{battery.id}.{sign}", "supply") for sign in "+-")
    found: set[Link] = set()
    seen: set[str] = set()
    waiting = [element.from_point, element.to_point]
    while waiting:
        point = waiting.pop()
        if point in seen or point not in graph:
            continue
        seen.add(point)
        pairs = {
            pair for way in nx.all_simple_paths(nx.Graph(graph), point, "supply") for pair in nx.utils.pairwise(way)
        }
        links = {link for pair in pairs if "supply" not in pair for link in links_between(graph, *pair)}
        found |= links
        waiting += [one for link in links for one in control_points(harness, link)]
    return found


@pytest.mark.parametrize("load", ["E1", "E2"])
def test_the_blocks_find_what_all_simple_ways_find(load: str) -> None:
    """The rig above, every simple way enumerated."""
    element = find_element(BRANCHED, load)
    by_ways = {link for link in simple_way_links(BRANCHED, element) if link.kind in (LinkKind.SWITCH, LinkKind.RELAY)}
    assert set(reach_of(BRANCHED).links_that_matter(element)) == by_ways


def test_the_blocks_find_what_all_simple_ways_find_in_the_tractor() -> None:
    """Every load of the field tractor, every simple way enumerated."""
    harness = demo("field_tractor")
    moved = {LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER, LinkKind.OUTPUT, LinkKind.CAVITY, LinkKind.RESISTOR}
    for element in all_elements(harness):
        by_ways = {link for link in simple_way_links(harness, element) if link.kind in moved}
        assert set(reach_of(harness).links_that_matter(element)) == by_ways, element.name
