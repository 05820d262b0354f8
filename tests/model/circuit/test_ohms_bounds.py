"""Whether ohms lie high, told from what lies around two nodes, against the network solved."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.circuit.ohms_bounds import least_ohms, most_ohms, surely_high
from model.circuit.ohms_net import OhmsNet

NODES = 8
branches = st.lists(
    st.tuples(st.integers(0, NODES - 1), st.integers(0, NODES - 1), st.floats(1e-3, 1e4)).filter(
        lambda one: one[0] != one[1]
    ),
    min_size=1,
    max_size=16,
)
nodes = st.integers(0, NODES - 1)
limits = st.floats(1e-3, 1e4)


def net_of(rows: list[tuple[int, int, float]]) -> OhmsNet:
    """Give a network whose branches are sites and parts of their own."""
    names = tuple(f"S{place}" for place in range(len(rows)))
    one, other, ohms = (np.array(column) for column in zip(*rows, strict=True))
    return OhmsNet({str(node): node for node in range(NODES)}, NODES, one, other, 1.0 / ohms, names, names)


def beside_of(rows: list[tuple[int, int, float]]) -> Callable[[int], list[tuple[int, int]]]:
    """Give what gives the branches at a node, looked for among all."""
    return lambda node: [
        (place, row[1] if row[0] == node else row[0]) for place, row in enumerate(rows) if node in row[:2]
    ]


@given(rows=branches, one=nodes, other=nodes, limit=limits)
def test_bounds_lie_on_either_side(rows: list[tuple[int, int, float]], one: int, other: int, limit: float) -> None:
    """What leaves a set of nodes gives no more, and a way no less, than the solved network has between its ends."""
    if one == other:
        return
    net, beside = net_of(rows), beside_of(rows)

    def above(found: float) -> bool:
        return found > limit

    ohms = net.ohms_between(one, other)
    for is_high in (above, math.isnan):
        assert least_ohms(beside, net.siemens, (one, other), is_high) <= ohms * (1.0 + 1e-9)
        assert most_ohms(beside, net.siemens, (one, other), is_high) >= ohms * (1.0 - 1e-9)


@given(rows=branches, one=nodes, other=nodes, limit=limits)
def test_what_is_sure_is_so(rows: list[tuple[int, int, float]], one: int, other: int, limit: float) -> None:
    """Where the bounds tell, the solved network says the same."""
    net = net_of(rows)
    sure = surely_high(beside_of(rows), net.siemens, (one, other), lambda ohms: ohms > limit)
    assert sure is None or sure == (net.ohms_between(one, other) > limit)


def test_load_between_tells_without_what_lies_behind_it() -> None:
    """A lamp of 5 Ω at the end of 0.1 Ω parts the two: they have more than 4 Ω, and nothing behind the lamp is seen."""
    rows = [(0, 1, 0.1), (1, 2, 5.0), *((2, 3, 0.001), (3, 4, 0.001), (4, 5, 7.0))]
    seen: set[int] = set()

    def beside(node: int) -> list[tuple[int, int]]:
        seen.add(node)
        return beside_of(rows)(node)

    assert surely_high(beside, net_of(rows).siemens, (0, 3), lambda ohms: ohms > 4.0)
    assert 5 not in seen


def test_nothing_between_is_high_and_one_way_is_low() -> None:
    """What nothing joins is open; 2 Ω beside any number of other ways is no more than 2 Ω."""
    rows = [(0, 1, 2.0), (0, 2, 1.0), (2, 1, 9.0), (4, 5, 1.0)]
    beside, siemens = beside_of(rows), net_of(rows).siemens
    assert surely_high(beside, siemens, (0, 4), lambda ohms: ohms > 1e6) is True
    assert surely_high(beside, siemens, (0, 1), lambda ohms: ohms > 2.5) is False
    assert surely_high(beside, siemens, (0, 1), lambda ohms: ohms > 1.7) is None


@given(rows=branches, gone=st.sets(st.integers(0, 15), max_size=4), ends=st.tuples(nodes, nodes), limit=limits)
def test_high_with_branches_gone(
    rows: list[tuple[int, int, float]], gone: set[int], ends: tuple[int, int], limit: float
) -> None:
    """Bounds or not, ohms with branches gone lie high where a network without them has more."""
    net, taken = net_of(rows), tuple(place for place in sorted(gone) if place < len(rows))
    left = [row for place, row in enumerate(rows) if place not in gone]
    expected = net_of(left).ohms_between(*ends) if left else (0.0 if ends[0] == ends[1] else math.inf)
    if expected != pytest.approx(limit, rel=1e-6):
        found = net.is_high(str(ends[0]), str(ends[1]), taken, lambda ohms: ohms > limit)
        assert found == (expected > limit)


@given(
    rows=branches,
    moves=st.lists(st.tuples(st.integers(0, 15), st.booleans(), nodes), max_size=3, unique_by=lambda one: one[0]),
    ends=st.tuples(nodes, nodes),
    limit=limits,
)
def test_moved_ends_are_seen_by_the_bounds(
    rows: list[tuple[int, int, float]], moves: list[tuple[int, bool, int]], ends: tuple[int, int], limit: float
) -> None:
    """A network with ends moved tells the same as one that is made with them there from the start."""
    net, anew, told = net_of(rows), list(rows), []
    for place, at_first, node in moves:
        if place < len(rows) and rows[place][1 - int(not at_first)] != node:
            told.append((f"S{place}", str(rows[place][int(not at_first)]), str(node)))
            one, other, ohms = rows[place]
            anew[place] = (node, other, ohms) if at_first else (one, node, ohms)
    net.is_high("0", "1", (), lambda ohms: ohms > limit)
    expected = net_of(anew).ohms_between(*ends)
    if expected != pytest.approx(limit, rel=1e-6):
        found = net.with_ends_moved(told).is_high(str(ends[0]), str(ends[1]), (), lambda ohms: ohms > limit)
        assert found == (expected > limit)
