"""A network asked for few nodes at a time, against the pseudo-inverse of its Laplacian."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.circuit.few_nodes import Driven, FewNodes, NodeOrder


@st.composite
def networks(draw: st.DrawFn) -> tuple[int, np.ndarray, np.ndarray, np.ndarray]:
    """Give a connected network: a tree with some branches more, conductances over six decades."""
    count = draw(st.integers(2, 14))
    tree = [(node, draw(st.integers(0, node - 1))) for node in range(1, count)]
    more = draw(st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)), max_size=10))
    ends = np.array([*tree, *(pair for pair in more if pair[0] != pair[1])])
    powers = draw(st.lists(st.floats(-3.0, 3.0), min_size=len(ends), max_size=len(ends)))
    return count, ends[:, 0], ends[:, 1], 10.0 ** np.array(powers)


@settings(deadline=None, max_examples=60)
@given(networks(), st.data())
def test_any_two_nodes_have_the_volts_of_the_laplacian(
    network: tuple[int, np.ndarray, np.ndarray, np.ndarray], data: st.DataObject
) -> None:
    """One ampere from one node to another: volts between any two as numpy's pseudo-inverse gives them."""
    count, one, other, siemens = network
    laplacian = np.zeros((count, count))
    for near, far, value in zip(one, other, siemens, strict=True):
        laplacian[[near, far], [near, far]] += value
        laplacian[near, far] -= value
        laplacian[far, near] -= value
    node = st.integers(0, count - 1)
    into, out, red, black = (data.draw(node) for _ in range(4))
    push = np.zeros(count)
    push[into] += 1.0
    push[out] -= 1.0
    volts = np.linalg.pinv(laplacian, rcond=1e-14) @ push
    solved = FewNodes(NodeOrder(count, one, other), siemens)
    found, every = Driven(solved, into, out), solved.all_volts(into, out)
    most = float(np.abs(volts).max())
    assert every[red] - every[black] == pytest.approx(found.between(red, black), rel=1e-9, abs=1e-9 * most)
    assert found.between(red, black) == pytest.approx(volts[red] - volts[black], rel=1e-6, abs=1e-6 * most)


def test_what_lies_far_from_a_branch_is_never_visited() -> None:
    """A chain of ten thousand ohms: one of them, asked in the middle, is 1 Ω and touches a few dozen nodes."""
    count = 10_001
    nodes = np.arange(count)
    network = FewNodes(NodeOrder(count, nodes[:-1], nodes[1:]), np.ones(count - 1))
    driven = Driven(network, 5_000, 5_001)
    assert driven.between(5_000, 5_001) == pytest.approx(1.0)
    assert len(driven.visited) < 60
