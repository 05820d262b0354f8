"""Nodal analysis of a plain list of branches: nodes, branches, volts.

This module knows resistances and sources and nothing of harnesses.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray, sum_at
from model.circuit.elimination import Elimination
from model.errors import CircuitError

LEAST_OHMS = 1e-9
"""What is less and yet not nothing counts as this much: far under anything that can be measured."""

OPEN_OHMS = 1e10
"""What is more counts as open."""

CORE_NODES_AT_MOST = 40
"""This many nodes and fewer are solved as one full matrix."""

_AGREE_SHARE = 1e-9
_FEW_NODES = 100


class Branch(NamedTuple):
    """A resistance with a source in series, between two nodes.

    Attributes
    ----------
    from_node, to_node
        Node numbers, counted from 0.
    ohms
        Resistance in ohms; 0 is an ideal source or a dead short, ``math.inf`` an open.
    volts
        Source in volts that drives current from ``from_node`` through the branch to ``to_node``: a battery with its
        positive post at ``p`` is ``Branch(n, p, ohms, emf)``.
    """

    from_node: int
    to_node: int
    ohms: float
    volts: float = 0.0


@dataclass(frozen=True, slots=True)
class Solution:
    """Volts and currents of a solved network.

    Attributes
    ----------
    volts
        Shape (nodes,), volts against the reference node; 0 where floating.
    amps
        Shape (branches,), amperes through each branch from its ``from_node`` to its ``to_node``.
    floating
        Shape (nodes,), true where no closed branch leads to the reference.
    """

    volts: FloatArray
    amps: FloatArray
    floating: BoolArray


@dataclass(frozen=True, slots=True)
class Ideal:
    """The nodes that branches without resistance tie together.

    Attributes
    ----------
    group
        Shape (nodes,), number of the nodes that each node is tied to.
    lift_volts
        Shape (nodes,), volts of each node above the first of its group.
    ties
        Each tie as the node nearer the first of the group, the node farther from it, and the branch; outward.
    """

    group: IntArray
    lift_volts: FloatArray
    ties: tuple[tuple[int, int, int], ...]


def solve(node_count: int, branches: Sequence[Branch], reference: int = 0) -> Solution:
    """Solve a network of resistances and sources by nodal analysis.

    Parameters
    ----------
    node_count
        Number of nodes.
    branches
        The branches; an open one carries nothing. A resistance under 1e-9 Ω that is not 0 counts as 1e-9 Ω, one over
        1e10 Ω as open.
    reference
        The node that is 0 V.

    Raises
    ------
    CircuitError
        Where branches without resistance contradict each other, as a dead short across an ideal source does.

    Notes
    -----
    Nodes that branches without resistance tie together are solved as one. Of several such branches that close a loop
    without a contradiction the last carries no current.
    """
    ties = [k for k, b in enumerate(branches) if b.ohms == 0.0]
    ideal = _tie(node_count, branches, ties)
    closed = np.array([k for k, b in enumerate(branches) if 0.0 < b.ohms <= OPEN_OHMS], dtype=np.int64)
    one = np.array([b.from_node for b in branches], dtype=np.int64)
    other = np.array([b.to_node for b in branches], dtype=np.int64)
    siemens = np.array([1.0 / max(branches[k].ohms, LEAST_OHMS) for k in closed.tolist()])
    source_volts = np.array([b.volts for b in branches]) + ideal.lift_volts[one] - ideal.lift_volts[other]
    ends = ideal.group[one[closed]], ideal.group[other[closed]]
    push_amps = source_volts[closed] * siemens
    group_count = int(ideal.group.max()) + 1
    right = sum_at(ends[1], push_amps, group_count) - sum_at(ends[0], push_amps, group_count)
    volts_for = nodal_solver(group_count, ends, siemens, int(ideal.group[reference]), core_at_most=1)
    group_volts = volts_for(right)
    amps = np.zeros(len(branches))
    amps[closed] = (group_volts[ends[0]] - group_volts[ends[1]]) * siemens + push_amps
    _add_tie_amps(node_count, branches, ideal, amps)
    volts = group_volts[ideal.group] + ideal.lift_volts
    used = np.concatenate((closed, np.array(ties, dtype=np.int64)))
    island = islands(node_count, one[used], other[used])
    floating = island != island[reference]
    return Solution(np.where(floating, 0.0, volts - volts[reference]), amps, floating)


def _tie(node_count: int, branches: Sequence[Branch], ties: list[int]) -> Ideal:
    """Find which nodes the branches without resistance tie together."""
    at_node: dict[int, list[int]] = {}
    for k in ties:
        at_node.setdefault(branches[k].from_node, []).append(k)
        at_node.setdefault(branches[k].to_node, []).append(k)
    group, lift_volts = [-1] * node_count, [0.0] * node_count
    found: list[tuple[int, int, int]] = []
    groups = 0
    for first in range(node_count):
        if group[first] >= 0:
            continue
        group[first] = groups
        reached = [first]
        for node in reached:
            for k in at_node.get(node, ()):
                b = branches[k]
                far, volts = (b.to_node, b.volts) if b.from_node == node else (b.from_node, -b.volts)
                if group[far] < 0:
                    group[far], lift_volts[far] = groups, lift_volts[node] + volts
                    found.append((node, far, k))
                    reached.append(far)
        groups += 1
    for k in ties:
        _check_tie(branches[k], lift_volts)
    return Ideal(np.array(group, dtype=np.int64), np.array(lift_volts), tuple(found))


def _check_tie(branch: Branch, lift_volts: list[float]) -> None:
    held_volts = lift_volts[branch.to_node] - lift_volts[branch.from_node]
    if abs(held_volts - branch.volts) > _AGREE_SHARE * max(1.0, abs(branch.volts)):
        raise CircuitError(
            f"A source of {branch.volts:g} V without resistance stands where others hold {held_volts:g} V."
            if branch.volts
            else f"A dead short lies across {abs(held_volts):g} V of sources without resistance.",
            do="Give the source or the short its resistance.",
        )


def _add_tie_amps(node_count: int, branches: Sequence[Branch], ideal: Ideal, amps: FloatArray) -> None:
    """Fill in the currents through the ties: what leaves the nodes behind each through resistances."""
    leaving = [0.0] * node_count
    for branch, through_amps in zip(branches, amps.tolist(), strict=True):
        leaving[branch.from_node] += through_amps
        leaving[branch.to_node] -= through_amps
    for near, far, k in reversed(ideal.ties):
        amps[k] = leaving[far] if branches[k].to_node == far else -leaving[far]
        leaving[near] += leaving[far]


class Core:
    """A network of few nodes, solved as one full matrix.

    Parameters
    ----------
    node_count
        Number of nodes.
    one, other
        Shape (branches,), the nodes that each branch joins.
    reference
        The node that is 0 V.
    """

    def __init__(self, node_count: int, one: IntArray, other: IntArray, reference: int) -> None:
        self._node_count = node_count
        self._ends = one, other
        self._reference = reference
        own, across = (
            (one * node_count + one, other * node_count + other),
            (
                one * node_count + other,
                other * node_count + one,
            ),
        )
        self._cells = np.concatenate((*own, *across))
        self._carries: BoolArray | None = None
        self._held = np.array([reference], dtype=np.int64)

    def matrix(self, siemens: FloatArray) -> tuple[FloatArray, IntArray]:
        """Give the conductances as a matrix, and the nodes that are held at 0 V: the reference, one of each island.

        Parameters
        ----------
        siemens
            Shape (branches,).
        """
        count = self._node_count
        cells = sum_at(self._cells, np.concatenate((siemens, siemens, -siemens, -siemens)), count * count)
        matrix = cells.reshape(count, count)
        carries = siemens != 0.0
        if self._carries is None or not np.array_equal(carries, self._carries):
            island = islands(count, self._ends[0][carries], self._ends[1][carries])
            self._carries = carries
            self._held = np.array(_anchors(island, self._reference), dtype=np.int64)
        matrix[self._held] = 0.0
        matrix[:, self._held] = 0.0
        matrix[self._held, self._held] = 1.0
        return matrix, self._held

    def volts(self, siemens: FloatArray, push_amps: FloatArray) -> FloatArray:
        """Solve for currents in amperes into each node, shape (nodes,)."""
        if self._node_count == 1:
            return np.zeros(1)
        matrix, held = self.matrix(siemens)
        right = push_amps.copy()
        right[held] = 0.0
        return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)


def nodal_solver(
    node_count: int,
    ends: tuple[IntArray, IntArray],
    siemens: FloatArray,
    reference: int,
    *,
    core_at_most: int = CORE_NODES_AT_MOST,
) -> Callable[[FloatArray], FloatArray]:
    """Factor a network in which every branch has a resistance, to solve it for any currents into its nodes.

    Parameters
    ----------
    node_count
        Number of nodes.
    ends
        Two arrays of shape (branches,): from node and to node of each branch.
    siemens
        Shape (branches,), conductance of each branch, 0 where it is open; negative where more volts give less current.
    reference
        The node that is 0 V.
    core_at_most
        Most nodes that are solved as a full matrix: quicker, but a microohm beside gigaohms costs accuracy there.

    Returns
    -------
    Callable
        From currents in amperes into each node, shape (nodes,), to the volts of each node, shape (nodes,). Each island
        without the reference has one of its nodes at 0 V.
    """
    one, other = ends
    keep = np.zeros(node_count, dtype=bool)
    keep[reference] = True
    falling = siemens < 0.0
    keep[one[falling]] = True
    keep[other[falling]] = True
    elimination = Elimination(node_count, one, other, keep, core_at_most=core_at_most)
    factor = elimination.factor(siemens)
    core = Core(
        len(elimination.core),
        elimination.core_one,
        elimination.core_other,
        int(np.searchsorted(elimination.core, reference)),
    )
    matrix, held = core.matrix(factor.core_siemens)
    inverse = np.linalg.inv(matrix)

    def volts_for(push_amps: FloatArray) -> FloatArray:
        amps = factor.inward(push_amps)
        right = amps[elimination.core]
        right[held] = 0.0
        volts = np.zeros(node_count)
        volts[elimination.core] = inverse @ right
        return factor.outward(volts, amps)

    return volts_for


def islands(node_count: int, one: IntArray, other: IntArray) -> IntArray:
    """Give every node the number of the island that the edges join it to.

    Returns
    -------
    IntArray
        Shape (nodes,), the same number for the nodes of one island.
    """
    if node_count <= _FEW_NODES:
        return _islands_of_few(node_count, one.tolist(), other.tolist())
    island = np.arange(node_count)
    while True:
        here, there = island[one], island[other]
        apart = here != there
        if not apart.any():
            return island
        lower = np.minimum(here, there)[apart]
        np.minimum.at(island, here[apart], lower)
        np.minimum.at(island, there[apart], lower)
        island = _settle_roots(island)


def _settle_roots(island: IntArray) -> IntArray:
    """Follow each node's island to the island that it has joined."""
    while True:
        further = island[island]
        if np.array_equal(further, island):
            return island
        island = further


def _islands_of_few(node_count: int, one: list[int], other: list[int]) -> IntArray:
    parent = list(range(node_count))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for a, b in zip(one, other, strict=True):
        parent[root(a)] = root(b)
    return np.array([root(node) for node in range(node_count)], dtype=np.int64)


def _anchors(island: IntArray, reference: int) -> list[int]:
    """Pick the node of each island that is held at 0 V: the reference, elsewhere the first of the island."""
    first: dict[int, int] = {int(island[reference]): reference}
    for node, number in enumerate(island.tolist()):
        first.setdefault(number, node)
    return list(first.values())
