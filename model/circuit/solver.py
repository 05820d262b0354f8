"""Nodal analysis of a plain list of branches: nodes, branches, volts.

This module knows resistances and sources and nothing of harnesses. A small network is solved densely, a large one with
scipy's sparse LU, which is imported only then.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

DENSE_NODES_AT_MOST = 400


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
    floating: NDArray[np.bool_]


def solve(node_count: int, branches: Sequence[Branch], reference: int = 0) -> Solution:
    """Solve a network of resistances and sources by modified nodal analysis.

    Parameters
    ----------
    node_count
        Number of nodes.
    branches
        The branches; an open one carries nothing.
    reference
        The node that is 0 V.

    Raises
    ------
    numpy.linalg.LinAlgError
        Where branches without resistance close a loop.

    Notes
    -----
    C.-W. Ho, A. Ruehli and P. Brennan, "The modified nodal approach to network analysis", IEEE Transactions on Circuits
    and Systems 22 (1975) 504-509: a branch without resistance adds its current as an unknown.
    """
    closed = [k for k, b in enumerate(branches) if not math.isinf(b.ohms)]
    ends = np.array([(branches[k].from_node, branches[k].to_node) for k in closed], dtype=np.int64).reshape(-1, 2)
    island = islands(node_count, ends[:, 0], ends[:, 1])
    floating = island != island[reference]
    ideal = [k for k in closed if branches[k].ohms == 0.0]
    row_of_ideal = {k: node_count + place for place, k in enumerate(ideal)}
    size = node_count + len(ideal)
    stamps: list[tuple[int, int, float]] = [(node, node, 1.0) for node in anchors(island, reference)]
    right = np.zeros(size)
    for k in closed:
        one, other, ohms, volts = branches[k]
        if k in row_of_ideal:
            row = row_of_ideal[k]
            stamps += [(one, row, 1.0), (other, row, -1.0), (row, one, 1.0), (row, other, -1.0)]
            right[row] = -volts
        else:
            stamps += [(one, one, 1 / ohms), (other, other, 1 / ohms), (one, other, -1 / ohms), (other, one, -1 / ohms)]
            right[one] -= volts / ohms
            right[other] += volts / ohms
    unknowns = _solve_stamped(size, stamps, right)
    volts_of_node = unknowns[:node_count] - unknowns[reference]
    volts_of_node[floating] = 0.0
    amps = np.zeros(len(branches))
    for k in closed:
        one, other, ohms, volts = branches[k]
        if k in row_of_ideal:
            amps[k] = unknowns[row_of_ideal[k]]
        else:
            amps[k] = (unknowns[one] - unknowns[other] + volts) / ohms
    return Solution(volts_of_node, amps, floating)


def nodal_volts(
    island: IntArray, ends: tuple[IntArray, IntArray], siemens: FloatArray, push_amps: FloatArray, reference: int
) -> FloatArray:
    """Solve a network in which every branch has a resistance.

    Parameters
    ----------
    island
        Shape (nodes,), the number of the island that each node belongs to, as :func:`islands` gives it.
    ends
        Two arrays of shape (branches,): from node and to node of each branch.
    siemens
        Shape (branches,), conductance of each branch.
    push_amps
        Shape (branches,), current in amperes that a source in the branch drives from its from node to its to node.
    reference
        The node that is 0 V.

    Returns
    -------
    FloatArray
        Shape (nodes,), volts. Each island without the reference has its first node at 0 V.
    """
    one, other = ends
    right = np.zeros(len(island))
    np.subtract.at(right, one, push_amps)
    np.add.at(right, other, push_amps)
    return nodal_solver(island, ends, siemens, reference)(right)


def nodal_solver(
    island: IntArray, ends: tuple[IntArray, IntArray], siemens: FloatArray, reference: int
) -> Callable[[FloatArray], FloatArray]:
    """Factor a network in which every branch has a resistance, to solve it for any currents into its nodes.

    Parameters are those of :func:`nodal_volts`.

    Returns
    -------
    Callable
        From currents in amperes into each node, shape (nodes,), to the volts of each node, shape (nodes,).
    """
    size = len(island)
    one, other = ends
    held = np.array(anchors(island, reference), dtype=np.int64)
    if size <= DENSE_NODES_AT_MOST:
        matrix = np.zeros((size, size))
        np.add.at(matrix, (one, one), siemens)
        np.add.at(matrix, (other, other), siemens)
        np.subtract.at(matrix, (one, other), siemens)
        np.subtract.at(matrix, (other, one), siemens)
        matrix[held, held] += 1.0
        solve_once: Callable[[FloatArray], FloatArray] = partial(np.linalg.solve, matrix)
    else:
        rows = np.concatenate((one, other, one, other, held))
        columns = np.concatenate((one, other, other, one, held))
        values = np.concatenate((siemens, siemens, -siemens, -siemens, np.ones(len(held))))
        solve_once = _sparse_factor(size, rows, columns, values, definite=True)

    def volts_for(right: FloatArray) -> FloatArray:
        volts = solve_once(right)
        return np.asarray(volts - volts[reference], dtype=np.float64)

    return volts_for


def islands(node_count: int, one: IntArray, other: IntArray) -> IntArray:
    """Give every node the number of the island that the edges join it to.

    Returns
    -------
    IntArray
        Shape (nodes,), the same number for the nodes of one island.
    """
    if node_count > DENSE_NODES_AT_MOST:
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import connected_components

        graph = coo_array((np.ones(len(one), dtype=np.int8), (one, other)), shape=(node_count, node_count))
        return np.asarray(connected_components(graph, directed=False)[1], dtype=np.int64)
    parent = list(range(node_count))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for a, b in zip(one.tolist(), other.tolist(), strict=True):
        parent[root(a)] = root(b)
    return np.array([root(node) for node in range(node_count)], dtype=np.int64)


def anchors(island: IntArray, reference: int) -> list[int]:
    """Pick the node of each island that is held at 0 V: the reference, elsewhere the first of the island."""
    first: dict[int, int] = {int(island[reference]): reference}
    for node, number in enumerate(island.tolist()):
        first.setdefault(number, node)
    return list(first.values())


def _solve_stamped(size: int, stamps: list[tuple[int, int, float]], right: FloatArray) -> FloatArray:
    rows, columns, values = (np.array(column) for column in zip(*stamps, strict=True))
    if size <= DENSE_NODES_AT_MOST:
        matrix = np.zeros((size, size))
        np.add.at(matrix, (rows, columns), values)
        return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    return _sparse_factor(size, rows, columns, values, definite=False)(right)


def _sparse_factor(
    size: int, rows: IntArray, columns: IntArray, values: FloatArray, *, definite: bool
) -> Callable[[FloatArray], FloatArray]:
    from scipy.sparse import csc_array
    from scipy.sparse.linalg import splu

    matrix = csc_array((values, (rows, columns)), shape=(size, size))
    if definite:
        factor = splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    else:
        factor = splu(matrix)
    return cast("Callable[[FloatArray], FloatArray]", factor.solve)
