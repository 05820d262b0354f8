"""The ways that the current takes, and the other ways beside them."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from model.tracing.graph import Link, LinkKind
from model.tracing.ways import Beside, Way, WayTree, rings_of


def link(site: str, one: str, other: str, ohms: float = 0.01, kind: LinkKind = LinkKind.WIRE) -> Link:
    """Give a link whose part has the name of its site."""
    return Link(kind, site, site, one, other, ohms)


def graph_of(*links: Link) -> nx.MultiGraph:
    """Give the graph of some links."""
    graph = nx.MultiGraph()
    graph.add_edges_from((one.one, one.other, one.site, {"link": one}) for one in links)
    return graph


def anything(_link: Link, _here: str) -> bool:
    """Let a way go through every link."""
    return True


def with_current(one: Link, here: str) -> bool:
    """Let a way go through a diode from its anode only."""
    return one.kind is not LinkKind.DIODE or one.one == here


def way_of(*links: Link, to: str, posts: tuple[str, ...] = ("post",)) -> Way:
    """Give the way from the posts to a point through everything that is closed."""
    graph = graph_of(*links)
    way = WayTree(graph, posts, with_current, rings=rings_of(graph)).way_to(to)
    assert way is not None
    return way


def sites(way: Way) -> list[str]:
    """Name the links of a way."""
    return [step.link.site for step in way.steps if step.link is not None]


def beside(way: Way) -> list[tuple[int, int, list[str]]]:
    """Name the other ways beside a way."""
    return [(one.first, one.last, [link.site for link in one.links]) for one in way.beside]


def test_the_way_of_least_resistance_is_taken() -> None:
    """0.3 + 0.3 Ω goes before 1 Ω, though it is two wires instead of one."""
    way = way_of(
        link("W1", "post", "load", 1.0), link("W2", "post", "J1", 0.3), link("W3", "J1", "load", 0.3), to="load"
    )
    assert [step.point for step in way.steps] == ["post", "J1", "load"]
    assert sites(way) == ["W2", "W3"]


def test_of_two_parallel_wires_the_thicker_is_walked_and_the_other_told() -> None:
    """W2 at 0.02 Ω is the way; W1 at 0.05 Ω lies beside it from post to load."""
    way = way_of(link("W1", "post", "load", 0.05), link("W2", "post", "load", 0.02), to="load")
    assert sites(way) == ["W2"]
    assert beside(way) == [(0, 1, ["W1"])]


def test_a_loop_is_told_from_where_it_leaves_to_where_it_comes_back() -> None:
    """A chain post, A, B, C, load with another wire pair from A to C: steps 1 to 3."""
    chain = [link("W1", "post", "A"), link("W2", "A", "B"), link("W3", "B", "C"), link("W4", "C", "load")]
    way = way_of(*chain, link("W5", "A", "D"), link("W6", "D", "C", 1.0), to="load")
    assert sites(way) == ["W1", "W2", "W3", "W4"]
    assert beside(way) == [(1, 3, ["W5", "W6"])]


def test_loops_that_cross_are_both_told() -> None:
    """Post, A, B, load with another wire from post to B and one from A to load: both, and they overlap."""
    links = [link(f"W{n}", f"P{one}", f"P{other}", ohms) for n, (one, other, ohms) in enumerate(CROSSING, 1)]
    assert beside(way_of(*links, to="P3", posts=("P0",))) == [(0, 2, ["W4"]), (1, 3, ["W5"])]


def test_a_dead_branch_beside_a_way_is_no_other_way() -> None:
    """Wires that leave and do not come back, though they form a ring of their own, are not told."""
    ring = [link("W3", "A", "B"), link("W4", "B", "C"), link("W5", "C", "A")]
    way = way_of(link("W1", "post", "A"), link("W2", "A", "load"), *ring, to="load")
    assert beside(way) == []


def test_two_loops_one_after_the_other_are_both_told() -> None:
    """Doubled wires on both halves of a way: two stretches, none across both."""
    doubled = [
        link(f"W{n}", one, other, n / 100) for n, (one, other) in enumerate([("post", "A"), ("A", "load")] * 2, 1)
    ]
    assert beside(way_of(*doubled, to="load")) == [(0, 1, ["W3"]), (1, 2, ["W4"])]


def test_a_diode_is_passed_one_way_only() -> None:
    """From its anode it is a way; from its cathode there is none, even beside a longer way."""
    forward = link("V1", "post", "load", kind=LinkKind.DIODE)
    backward = link("V1", "load", "post", kind=LinkKind.DIODE)
    assert sites(way_of(forward, to="load")) == ["V1"]
    assert WayTree(graph_of(backward), ("post",), with_current).way_to("load") is None
    round_about = [link("W1", "post", "A", 5.0), link("W2", "A", "load", 5.0)]
    way = way_of(backward, *round_about, to="load")
    assert sites(way) == ["W1", "W2"]
    assert beside(way) == []


def test_a_diode_across_a_resistance_is_not_taken_for_the_way_backwards() -> None:
    """The link told between two points is one that the way may go through, not merely the one of least ohms."""
    way = way_of(
        link("V1", "load", "post", 0.1, LinkKind.DIODE), link("R1", "post", "load", 10.0, LinkKind.RESISTOR), to="load"
    )
    assert sites(way) == ["R1"]


def test_the_nearest_of_several_posts_is_where_the_way_begins() -> None:
    """0.1 Ω from the second battery, 0.5 Ω from the first."""
    way = way_of(link("W1", "G1.+", "BB1", 0.5), link("W2", "G2.+", "BB1", 0.1), to="BB1", posts=("G1.+", "G2.+"))
    assert way.steps[0].point == "G2.+"


def test_nothing_leads_to_a_point_of_its_own() -> None:
    """A point that no link names, and posts that no link names, give no way."""
    graph = graph_of(link("W1", "post", "A"))
    assert WayTree(graph, ("post",), anything).way_to("load") is None
    assert WayTree(graph, ("G9.+",), anything).way_to("A") is None


def test_an_open_contact_is_passed_only_where_there_is_no_other_way() -> None:
    """An open contact of 0.01 Ω gives way to 100 Ω of closed wire; without that wire it is passed."""
    contact, wire = link("S1:1-2", "post", "load"), link("W1", "post", "load", 100.0)
    for links, taken in (((contact, wire), "W1"), ((contact,), "S1:1-2")):
        way = WayTree(graph_of(*links), ("post",), anything, avoided=lambda one: one is contact).way_to("load")
        assert way is not None
        assert sites(way) == [taken]


def test_a_way_turned_round_runs_from_its_end() -> None:
    """Steps, links and what lies beside change places; turned twice it is the same way."""
    way = way_of(
        link("W1", "post", "A"), link("W2", "A", "load"), link("W3", "A", "B"), link("W4", "B", "load", 9.0), to="load"
    )
    turned = way.turned()
    assert [step.point for step in turned.steps] == ["load", "A", "post"]
    assert sites(turned) == ["W2", "W1"]
    assert beside(turned) == [(0, 1, ["W4", "W3"])]
    assert turned.turned() == way


def test_the_rest_of_a_way_keeps_what_lies_beside_it() -> None:
    """Cut at its second step, the loops before it go and those behind move up."""
    doubled = [
        link(f"W{n}", one, other, n / 100) for n, (one, other) in enumerate([("post", "A"), ("A", "load")] * 2, 1)
    ]
    rest = way_of(*doubled, to="load").beyond(1)
    assert [step.point for step in rest.steps] == ["A", "load"]
    assert rest.steps[0].link is None
    assert beside(rest) == [(0, 1, ["W4"])]


looms = st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7), st.floats(0.001, 10)), min_size=1, max_size=16)


CROSSING = [(0, 1, 0.1), (1, 2, 0.1), (2, 3, 0.1), (0, 2, 5.0), (1, 3, 5.0)]


@given(looms)
@example(CROSSING)
def test_no_single_break_opens_a_stretch_that_has_another_way_beside_it(ends: list[tuple[int, int, float]]) -> None:
    """In any graph: taking out any one link of a stretch told as doubled leaves its ends joined; any other opens it."""
    links = [link(f"W{n}", f"P{one}", f"P{other}", ohms) for n, (one, other, ohms) in enumerate(ends) if one != other]
    graph = graph_of(*links)
    tree = WayTree(graph, ("P0",), anything, rings=rings_of(graph))
    for point in sorted(graph):
        way = tree.way_to(point)
        if way is None:
            continue
        doubled = {place for one in way.beside for place in range(one.first + 1, one.last + 1)}
        for place, step in enumerate(way.steps[1:], 1):
            assert step.link is not None
            broken = graph.copy()
            broken.remove_edge(step.link.one, step.link.other, step.link.site)
            assert nx.has_path(broken, way.steps[place - 1].point, step.point) is (place in doubled)


@given(looms)
def test_consecutive_steps_are_joined_by_the_link_told(ends: list[tuple[int, int, float]]) -> None:
    """In any graph, on the way and beside it; and no other way is cheaper."""
    links = [link(f"W{n}", f"P{one}", f"P{other}", ohms) for n, (one, other, ohms) in enumerate(ends) if one != other]
    graph = graph_of(*links)
    tree = WayTree(graph, ("P0",), anything, rings=rings_of(graph))
    for point in sorted(graph):
        way = tree.way_to(point)
        if way is None:
            continue
        for before, step in zip(way.steps, way.steps[1:], strict=False):
            assert step.link is not None
            assert {before.point, step.point} == {step.link.one, step.link.other}
        for other in way.beside:
            assert_runs(other, way)
        spent_ohms = sum(step.link.ohms + 1e-4 for step in way.steps if step.link is not None)
        least_ohms = nx.dijkstra_path_length(
            graph, "P0", point, weight=lambda _a, _b, edges: min(one["link"].ohms + 1e-4 for one in edges.values())
        )
        assert spent_ohms == pytest.approx(least_ohms)


def assert_runs(other: Beside, way: Way) -> None:
    """Check that the links of another way lead from its first point to its last without one of the way's own."""
    at = way.steps[other.first].point
    for one in other.links:
        assert at in (one.one, one.other)
        at = one.other if at == one.one else one.one
    assert at == way.steps[other.last].point
    assert not set(other.links) & {step.link for step in way.steps}
