"""Nodes eliminated many at a time, and networks of which a few branches move."""

from __future__ import annotations

import numpy as np
import pytest

from model.circuit.arrays import FloatArray, IntArray, sum_at
from model.circuit.elimination import FEW_NEIGHBOURS, Elimination
from model.circuit.moving import MovingNetwork


def test_values_are_summed_at_their_places() -> None:
    """Two at place 0, none at 1, one at 2."""
    assert sum_at(np.array([0, 2, 0]), np.array([1.5, 4.0, 2.0]), 3).tolist() == [3.5, 0, 4]


def test_a_star_becomes_a_mesh() -> None:
    """Three branches of 1, 2 and 3 S at node 3 give 1·2/6, 1·3/6 and 2·3/6 S between their far ends (Rosen 1924)."""
    keep = np.array([True, True, True, False])
    elimination = Elimination(4, np.array([3, 3, 3]), np.array([0, 1, 2]), keep)
    assert elimination.core.tolist() == [0, 1, 2]
    factor = elimination.factor(np.array([1.0, 2.0, 3.0]))
    found = dict(zip(zip(elimination.core_one, elimination.core_other, strict=True), factor.core_siemens, strict=True))
    assert found == {(0, 1): pytest.approx(1 / 3), (0, 2): pytest.approx(1 / 2), (1, 2): pytest.approx(1)}


def test_current_into_a_node_that_goes_is_shared_out_and_its_volts_come_back() -> None:
    """1.2 A into the middle of 1 S and 2 S: 0.4 A and 0.8 A to the ends; at 3 V and 6 V of ends it has 5.4 V.

    (1 S × 3 V + 2 S × 6 V + 1.2 A) / 3 S.
    """
    elimination = Elimination(3, np.array([0, 1]), np.array([2, 2]), np.array([True, True, False]))
    factor = elimination.factor(np.array([1.0, 2.0]))
    amps = factor.inward(np.array([0.0, 0.0, 1.2]))
    assert amps[:2] == pytest.approx([0.4, 0.8])
    assert factor.outward(np.array([3.0, 6.0, 0.0]), amps) == pytest.approx([3, 6, 5.4])


def test_branches_side_by_side_are_one_and_a_ring_of_its_own_is_none() -> None:
    """1 S and 2 S between the same nodes count 3 S, whichever way round; a branch from a node to itself nothing."""
    elimination = Elimination(2, np.array([0, 1, 1]), np.array([1, 0, 1]), np.array([True, True]))
    assert elimination.factor(np.array([1.0, 2.0, 7.0])).core_siemens.tolist() == [3]


def test_an_open_branch_leaves_its_node_at_nothing() -> None:
    """The node behind 0 S has no volts of its own, and takes no current along."""
    elimination = Elimination(2, np.array([0]), np.array([1]), np.array([True, False]))
    factor = elimination.factor(np.array([0.0]))
    assert factor.outward(np.array([5.0, 0.0]), factor.inward(np.zeros(2))).tolist() == [5, 0]


def ladder(rungs: int) -> tuple[IntArray, IntArray]:
    """Give the branches of a ladder: two rails of nodes with a rung at each pair."""
    left = np.arange(rungs)
    rails = left[:-1]
    return np.concatenate((rails, rails + rungs, left)), np.concatenate((rails + 1, rails + 1 + rungs, left + rungs))


def test_nodes_with_few_neighbours_go_and_hubs_stay() -> None:
    """A hub with ten spokes stays where at most three neighbours are allowed, until its spokes have gone."""
    spokes = np.arange(1, 11)
    keep = np.zeros(11, dtype=bool)
    keep[spokes] = True
    kept = Elimination(11, np.zeros(10, dtype=np.int64), spokes, keep, at_most=FEW_NEIGHBOURS)
    assert kept.core.tolist() == list(range(11))
    free = Elimination(11, np.zeros(10, dtype=np.int64), spokes, keep[::-1] & False, at_most=FEW_NEIGHBOURS)
    assert free.core.tolist() == []


def test_a_core_is_left_where_one_is_wanted() -> None:
    """Of a ladder of 100 nodes no more go when 20 or fewer are left."""
    elimination = Elimination(100, *ladder(50), np.zeros(100, dtype=bool), core_at_most=20)
    assert 0 < len(elimination.core) <= 20


def full_volts(node_count: int, ends: tuple[IntArray, IntArray], siemens: FloatArray, amps: FloatArray) -> FloatArray:
    """Solve on node 0 by the full matrix."""
    one, other = ends
    matrix = np.zeros((node_count, node_count))
    np.add.at(matrix, (one, one), siemens)
    np.add.at(matrix, (other, other), siemens)
    np.subtract.at(matrix, (one, other), siemens)
    np.subtract.at(matrix, (other, one), siemens)
    volts = np.zeros(node_count)
    volts[1:] = np.linalg.solve(matrix[1:, 1:], amps[1:])
    return volts


@pytest.mark.parametrize("rungs", [4, 60])
def test_a_network_with_moving_branches_agrees_with_the_full_matrix(rungs: int) -> None:
    """A ladder whose rungs move, one of them falling: the same volts for three sets of figures, fixed once."""
    chance = np.random.default_rng(rungs)
    ends = ladder(rungs)
    count, branches = 2 * rungs, len(ends[0])
    moves = np.arange(branches) >= branches - rungs
    falling = np.arange(branches) == branches - 1
    network = MovingNetwork(count, ends, moves, falling, 0)
    siemens = chance.uniform(1, 10, branches)
    push = chance.uniform(-1, 1, branches)
    fixed = network.fix(siemens, push)
    for _ in range(3):
        siemens[moves] = chance.uniform(0.1, 1, rungs)
        siemens[falling] = -0.05
        push[moves] = chance.uniform(-1, 1, rungs)
        across = fixed.across_moving(siemens[network.moving], push[network.moving])
        full = full_volts(count, ends, siemens, sum_at(ends[1], push, count) - sum_at(ends[0], push, count))
        assert fixed.volts() == pytest.approx(full, abs=1e-9)
        assert across == pytest.approx(full[ends[0][moves]] - full[ends[1][moves]], abs=1e-9)


def test_an_island_without_the_reference_is_solved_beside_it() -> None:
    """Two loops that nothing joins: 36 A into 3 S fixed and 3 S moving of the one that floats are 6 V across both."""
    ends = np.array([0, 0, 2, 2]), np.array([1, 1, 3, 3])
    moves = np.array([False, True, False, True])
    network = MovingNetwork(4, ends, moves, np.zeros(4, dtype=bool), 0)
    fixed = network.fix(np.array([1.0, 0, 3.0, 0]), np.array([0.0, 0, 36.0, 0]))
    assert fixed.across_moving(np.array([1.0, 3.0]), np.zeros(2)) == pytest.approx([0, -6])
