"""Ohms between many pairs of points, against networkx and by hand."""

from __future__ import annotations

import math

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.circuit.condition import Condition
from model.circuit.meter import read_ohms
from model.circuit.ohms_net import OhmsNet, ohms_net
from model.harness.toml_file import read_harness_text

LAMPS = """
format = 1
build = { name = "Three tail lamps", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
busbars = [ { id = "BB1" }, { id = "BB2" } ]
loads = [
  { id = "E1", kind = "lamp", watts = 21 },
  { id = "E2", kind = "lamp", watts = 21 },
  { id = "E3", kind = "lamp", watts = 21 },
]
joints = [
  { id = "J1", from = "BB1", to = "E1.+", ohms = 0.000001 },
  { id = "J2", from = "BB1", to = "E2.+", ohms = 0.000001 },
  { id = "J3", from = "BB1", to = "E3.+", ohms = 0.000001 },
  { id = "J4", from = "BB2", to = "E1.-", ohms = 0.000001 },
  { id = "J5", from = "BB2", to = "E2.-", ohms = 0.000001 },
  { id = "J6", from = "BB2", to = "E3.-", ohms = 0.000001 },
]
wires = [ { id = "W1", from = "BB2", to = "G1.-", size = 1.5, length = 1 } ]
"""

branches = st.lists(
    st.tuples(st.integers(0, 7), st.integers(0, 7), st.floats(1e-3, 1e4)).filter(lambda one: one[0] != one[1]),
    min_size=1,
    max_size=16,
)


def net_of(rows: list[tuple[int, int, float]]) -> OhmsNet:
    """Give a network of eight nodes whose branches are sites of their own."""
    return OhmsNet(
        {str(node): node for node in range(8)},
        8,
        np.array([row[0] for row in rows]),
        np.array([row[1] for row in rows]),
        np.array([1.0 / row[2] for row in rows]),
        tuple(f"P{place}" for place in range(len(rows))),
        tuple(f"S{place}" for place in range(len(rows))),
    )


def by_networkx(rows: list[tuple[int, int, float]], one: int, other: int) -> float:
    """Give the resistance distance that networkx finds; parallel branches are added up first."""
    siemens: dict[tuple[int, int], float] = {}
    for start, end, ohms in rows:
        pair = min(start, end), max(start, end)
        siemens[pair] = siemens.get(pair, 0.0) + 1.0 / ohms
    graph = nx.Graph()
    graph.add_nodes_from(range(8))
    graph.add_weighted_edges_from(((*pair, 1.0 / value) for pair, value in siemens.items()), weight="ohms")
    if not nx.has_path(graph, one, other):
        return math.inf
    island = graph.subgraph(nx.node_connected_component(graph, one))
    return float(nx.resistance_distance(island, one, other, weight="ohms", invert_weight=True))


@given(rows=branches, one=st.integers(0, 7), other=st.integers(0, 7))
def test_ohms_are_the_resistance_distance(rows: list[tuple[int, int, float]], one: int, other: int) -> None:
    """Between any two nodes of any network they are what networkx, a library for graphs of all kinds, gives."""
    expected = 0.0 if one == other else by_networkx(rows, one, other)
    assert net_of(rows).ohms_between(one, other) == pytest.approx(expected, rel=1e-6, abs=1e-9)


@given(rows=branches, gone=st.sets(st.integers(0, 15), max_size=4), one=st.integers(0, 7), other=st.integers(0, 7))
def test_ohms_with_branches_gone(rows: list[tuple[int, int, float]], gone: set[int], one: int, other: int) -> None:
    """Branches taken out of a solved network leave what a network without them has."""
    left = [row for place, row in enumerate(rows) if place not in gone]
    taken = tuple(place for place in gone if place < len(rows))
    expected = 0.0 if one == other else (by_networkx(left, one, other) if left else math.inf)
    assert net_of(rows).ohms_without(one, other, taken) == pytest.approx(expected, rel=1e-6, abs=1e-9)


@given(
    rows=branches,
    gone=st.lists(st.sets(st.integers(0, 15), max_size=3), min_size=2, max_size=2),
    one=st.integers(0, 7),
    other=st.integers(0, 7),
)
def test_ohms_with_branches_taken_out(
    rows: list[tuple[int, int, float]], gone: list[set[int]], one: int, other: int
) -> None:
    """Branches taken out twice over, then one more away: what is read is what a network of the rest has."""
    first, then = ([place for place in sorted(places) if place < len(rows)] for places in gone)
    net = net_of(rows)
    net.ohms_between(one, other)
    net = net.taken_out(first).taken_out(then)
    for more in ((), (0,)):
        left = [row for place, row in enumerate(rows) if place not in (*first, *then, *more)]
        expected = 0.0 if one == other else (by_networkx(left, one, other) if left else math.inf)
        assert net.ohms_without(one, other, more) == pytest.approx(expected, rel=1e-6, abs=1e-9)
        assert net.is_high(str(one), str(other), more, math.isinf) == math.isinf(expected)


@given(rows=branches, one=st.integers(0, 7), other=st.integers(0, 7))
def test_way_is_the_shortest(rows: list[tuple[int, int, float]], one: int, other: int) -> None:
    """The way of least ohms is as long as the one that networkx finds, and its branches lead from end to end."""
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(8))
    graph.add_weighted_edges_from(rows, weight="ohms")
    way = net_of(rows).way(one, other)
    if not nx.has_path(graph, one, other):
        assert way.ohms == math.inf
        return
    assert way.ohms == pytest.approx(nx.dijkstra_path_length(graph, one, other, weight="ohms"))
    node = one
    for place in way.branches:
        assert node in rows[place][:2]
        node = rows[place][1] if rows[place][0] == node else rows[place][0]
    assert node == other


def test_three_cold_lamps_look_like_a_short() -> None:
    """Cold, a filament has a twelfth of its hot ohms: 144 V² / 21 W / 12 = 0.571 Ω, three of them 0.19 Ω."""
    net = ohms_net(read_harness_text(LAMPS, "lamps"), Condition("off"))
    assert net.ohms("BB1", "BB2") == pytest.approx(144 / 21 / 12 / 3, rel=1e-4)
    assert net.without(frozenset({"E1", "E2", "E3"})).ohms("BB1", "BB2") == math.inf


def test_meter_of_the_trace_reads_the_same() -> None:
    """The slow reading of one pair gives the same ohms, to a millionth."""
    harness = read_harness_text(LAMPS, "lamps")
    expected = read_ohms(harness, Condition("off"), "BB1", "G1.-")
    assert ohms_net(harness, Condition("off")).ohms("BB1", "G1.-") == pytest.approx(expected, rel=1e-6)


def test_moved_end_and_joint() -> None:
    """An end moved and a resistance added change what is read as by hand: 2 Ω, then 2 Ω beside 2 Ω."""
    net = net_of([(0, 1, 1.0), (2, 3, 2.0)])
    assert net.with_ends_moved([("S1", "2", "0")]).ohms("0", "3") == pytest.approx(2.0)
    assert net.joined(2, 3, 2.0).ohms("2", "3") == pytest.approx(1.0)
