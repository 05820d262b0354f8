"""Nodal analysis of plain branches: figures by hand, extremes, and what cannot be solved."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from model.circuit.solver import Branch, islands, nodal_solver, solve
from model.errors import CircuitError


def test_a_divider_shares_its_volts() -> None:
    """12 V over 1 Ω and 2 Ω: 4 A, 8 V above the 2 Ω."""
    found = solve(3, [Branch(0, 1, 0, 12), Branch(1, 2, 1), Branch(2, 0, 2)])
    assert found.volts == pytest.approx([0, 12, 8])
    assert found.amps == pytest.approx([4, 4, 4])
    assert not found.floating.any()


def test_a_source_may_stand_anywhere_and_any_node_be_the_reference() -> None:
    """The same divider told against its middle: -8 V, 4 V and 0 V."""
    found = solve(3, [Branch(0, 1, 0, 12), Branch(1, 2, 1), Branch(2, 0, 2)], reference=2)
    assert found.volts == pytest.approx([-8, 4, 0])


def test_sources_with_and_without_resistance_share_a_load() -> None:
    """12 V ideal, 10 V behind 1 Ω beside it, 6 Ω of load: the load takes 2 A, the other source -2 A: 4 A in all."""
    found = solve(2, [Branch(0, 1, 0, 12), Branch(0, 1, 1, 10), Branch(1, 0, 6)])
    assert found.amps == pytest.approx([4, -2, 2])


def test_ties_in_a_row_carry_what_leaves_behind_them() -> None:
    """Two ideal sources in series and a dead short, on 3 Ω between the ends and 6 Ω at the middle.

    9 V + 3 V = 12 V over 3 Ω: 4 A through both; 9 V over 6 Ω: 1.5 A more through the first and the short.
    """
    branches = [Branch(0, 1, 0, 9), Branch(1, 2, 0, 0), Branch(2, 3, 0, 3), Branch(3, 0, 3), Branch(2, 0, 6)]
    found = solve(4, branches)
    assert found.volts == pytest.approx([0, 9, 9, 12])
    assert found.amps == pytest.approx([5.5, 5.5, 4, 4, 1.5])


def test_a_tie_the_other_way_round_carries_the_other_way() -> None:
    """From its plus to its minus the current of the same source counts negative."""
    found = solve(2, [Branch(1, 0, 0, -12), Branch(1, 0, 4)])
    assert found.amps == pytest.approx([-3, 3])


CONTRADICTIONS = {
    "two sources side by side": ([Branch(0, 1, 0, 12), Branch(0, 1, 0, 13)], "13 V without resistance"),
    "a short across a source": ([Branch(0, 1, 0, 12), Branch(1, 0, 0)], "dead short lies across 12 V"),
    "a source on itself": ([Branch(0, 0, 0, 12)], "12 V without resistance"),
    "a ring of three": (
        [Branch(0, 1, 0, 5), Branch(1, 2, 0, 5), Branch(0, 2, 0, 11)],
        "others hold 6 V",
    ),
}


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_sources_that_contradict_each_other_are_told_in_words(name: str) -> None:
    """What cannot be is refused as a circuit, with what to do about it."""
    branches, words = CONTRADICTIONS[name]
    with pytest.raises(CircuitError, match=words) as refused:
        solve(3, branches)
    assert "its resistance" in refused.value.do


def test_ties_that_agree_are_solved_and_the_last_carries_nothing() -> None:
    """Two shorts side by side, and a source of 12 V beside one of 12 V: the first has the current."""
    shorts = solve(2, [Branch(0, 1, 0), Branch(0, 1, 0), Branch(0, 1, 2, 12)])
    assert shorts.amps == pytest.approx([-6, 0, 6])
    sources = solve(2, [Branch(0, 1, 0, 12), Branch(0, 1, 0, 12), Branch(1, 0, 6)])
    assert sources.amps == pytest.approx([2, 0, 2])


@pytest.mark.parametrize("ohms", [5e-324, 1e-262, 1e-9])
def test_next_to_no_resistance_beside_one_ohm_costs_nothing(ohms: float) -> None:
    """In a row with 1 Ω it drops nothing; across the source it takes what a billionth of an ohm takes."""
    found = solve(3, [Branch(0, 1, 0, 12), Branch(1, 2, ohms), Branch(2, 0, 1)])
    assert found.volts == pytest.approx([0, 12, 12])
    assert found.amps == pytest.approx([12, 12, 12])
    across = solve(2, [Branch(0, 1, 0, 12), Branch(1, 0, ohms), Branch(1, 0, 1)])
    assert across.amps == pytest.approx([1.2e10, 1.2e10, 12])


@pytest.mark.parametrize("ohms", [1.1e10, 1e300, 1.7e308, math.inf])
def test_a_resistance_beyond_ten_gigohms_is_open(ohms: float) -> None:
    """It carries nothing, and what lies behind it floats."""
    found = solve(3, [Branch(0, 1, 0, 12), Branch(1, 2, ohms)])
    assert found.amps.tolist() == [0, 0]
    assert found.floating.tolist() == [False, False, True]


def test_a_microohm_between_gigohms_keeps_its_accuracy() -> None:
    """10 GΩ, 1 nΩ, 10 GΩ on 12 V: 6 V in the middle and 0.6 nA, to nine places."""
    found = solve(4, [Branch(0, 1, 0, 12), Branch(1, 2, 1e10), Branch(2, 3, 1e-9), Branch(3, 0, 1e10)])
    assert found.volts == pytest.approx([0, 12, 6, 6], rel=1e-9)
    assert found.amps[[0, 1, 3]] == pytest.approx([6e-10] * 3, rel=1e-9)


def test_what_has_no_way_to_the_reference_floats_at_nothing() -> None:
    """A second battery with its load but no wire across: 0 V and floating, and its current flows all the same."""
    found = solve(4, [Branch(0, 1, 1, 12), Branch(2, 3, 1, 12), Branch(3, 2, 5)])
    assert found.volts.tolist() == [0, 12, 0, 0]
    assert found.floating.tolist() == [False, False, True, True]
    assert found.amps == pytest.approx([0, 2, 2])


def test_a_single_node_and_no_branches_are_a_network() -> None:
    """Nothing to solve is solved."""
    assert solve(1, []).volts.tolist() == [0]
    assert solve(3, []).floating.tolist() == [False, True, True]
    assert solve(2, [Branch(1, 1, 5, 10)]).amps == pytest.approx([2]), "a ring of its own"


def full_matrix_volts(node_count: int, branches: list[Branch]) -> np.ndarray:
    """Solve a network on node 0 by the full matrix, least squares where it floats."""
    matrix, right = np.zeros((node_count, node_count)), np.zeros(node_count)
    for one, other, ohms, volts in branches:
        if one != other:
            matrix[[one, other], [one, other]] += 1 / ohms
            matrix[[one, other], [other, one]] -= 1 / ohms
            right[one] -= volts / ohms
            right[other] += volts / ohms
    found = np.linalg.lstsq(matrix, right, rcond=1e-13)[0]
    return np.asarray(found - found[0])


@pytest.mark.parametrize("seed", range(20))
def test_a_random_network_agrees_with_the_full_matrix(seed: int) -> None:
    """Two to 120 nodes, meshed and in pieces, millohms to kilohms: a microvolt at every node that does not float."""
    chance = random.Random(seed)
    node_count = chance.randint(2, 120)
    branches = [
        Branch(
            chance.randrange(node_count),
            chance.randrange(node_count),
            10 ** chance.uniform(-3, 3),
            chance.choice((0.0, 0.0, 12.0)),
        )
        for _ in range(chance.randint(1, 3 * node_count))
    ]
    found = solve(node_count, branches)
    full = np.where(found.floating, 0, full_matrix_volts(node_count, branches))
    assert found.volts == pytest.approx(full, abs=1e-6)


def test_a_factored_network_serves_any_currents() -> None:
    """1 A into node 1 of 1 Ω to ground, 2 A into node 2 behind 2 Ω more: 3 V and 7 V together, 2 V and 6 V without."""
    ends = np.array([0, 1]), np.array([1, 2])
    volts_for = nodal_solver(3, ends, np.array([1.0, 0.5]), 0)
    assert volts_for(np.array([0.0, 1.0, 2.0])) == pytest.approx([0, 3, 7])
    assert volts_for(np.array([0.0, 0.0, 2.0])) == pytest.approx([0, 2, 6])


def test_a_falling_branch_is_factored_like_any_other() -> None:
    """-0.5 S beside 1 S: 1 A into the node gives 2 V."""
    ends = np.array([0, 1]), np.array([1, 0])
    assert nodal_solver(2, ends, np.array([1.0, -0.5]), 0)(np.array([0.0, 1.0])) == pytest.approx([0, 2])


@pytest.mark.parametrize("node_count", [10, 99, 101, 1000])
def test_nodes_that_edges_join_are_one_island(node_count: int) -> None:
    """Every third node in a chain, whatever the order of the edges: three islands, few nodes or many."""
    one = np.arange(node_count - 3)
    order = np.random.default_rng(1).permutation(len(one))
    island = islands(node_count, one[order], one[order] + 3)
    assert all(island[node] == island[node % 3] for node in range(node_count))
    assert len(set(island.tolist())) == 3
