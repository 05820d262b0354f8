"""Volts of many nodes for many currents at once: columns of the inverse of a network.

A column is made by star-mesh elimination, in which no difference of near figures is taken: what little of a current
between the ends of a microohm goes another way is exact to some twelve digits. This module knows conductances and
nothing of harnesses.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_matrix

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.elimination import FEW_NEIGHBOURS, Elimination, Level
from model.circuit.solver import Core


class KeptNetwork:
    """Where the branches of a network lie, and which of its nodes are kept.

    Parameters
    ----------
    node_count
        Number of nodes.
    ends
        Two arrays of shape (branches,): from node and to node of each branch.
    keep
        Shape (nodes,), true of those into which currents go or whose volts are wanted.
    falling
        Shape (branches,), true of those whose conductance may be negative.
    reference
        The node that is 0 V.

    Attributes
    ----------
    nodes
        Shape (kept nodes,), their numbers, rising; all that are to be kept and a few more.
    place
        Shape (nodes,), the row of each node that is kept.
    """

    def __init__(
        self, node_count: int, ends: tuple[IntArray, IntArray], keep: BoolArray, falling: BoolArray, reference: int
    ) -> None:
        hard = np.zeros(node_count, dtype=bool)
        hard[reference] = True
        hard[ends[0][falling]] = True
        hard[ends[1][falling]] = True
        self._outer = Elimination(node_count, ends[0], ends[1], keep | hard, at_most=FEW_NEIGHBOURS)
        self.nodes = self._outer.core
        self.place = np.searchsorted(self.nodes, np.arange(node_count))
        self._inner = Elimination(len(self.nodes), self._outer.core_one, self._outer.core_other, hard[self.nodes])
        self._handings = [Handing(level) for level in self._inner.levels]
        core = self._inner.core
        reference_place = int(np.searchsorted(core, self.place[reference]))
        self._core = Core(len(core), self._inner.core_one, self._inner.core_other, reference_place)

    def columns(self, siemens: FloatArray, amps: FloatArray) -> FloatArray:
        """Give the volts of the kept nodes for some currents.

        Parameters
        ----------
        siemens
            Shape (branches,), conductance of each branch; 0 where it is open.
        amps
            Shape (kept nodes, columns), currents in amperes into the nodes, out of the reference again or out of the
            one node of each other island that is held at 0 V; changed in place.

        Returns
        -------
        FloatArray
            Shape (kept nodes, columns).
        """
        factor = self._inner.factor(self._outer.factor(siemens).core_siemens)
        matrix, held = self._core.matrix(factor.core_siemens)
        levels = list(zip(self._handings, factor.levels, factor.shares, factor.ohms, strict=True))
        for handing, _, share, _ in levels:
            handing.inward(share, amps)
        right = amps[self._inner.core]
        right[held] = 0.0
        volts = np.zeros_like(amps)
        volts[self._inner.core] = np.linalg.solve(matrix, right) if len(matrix) > 1 else 0.0
        for handing, level, share, ohms in reversed(levels):
            volts[level.nodes] = handing.outward(share, volts) + amps[level.nodes] * ohms[:, None]
        return volts


class Handing:
    """How the nodes of one level hand currents to their neighbours and take volts from them.

    Where the shares stand in the matrix from the nodes to their neighbours and in its transpose is found once; the
    shares themselves are put in at each use.
    """

    def __init__(self, level: Level) -> None:
        self._nodes = level.nodes
        self._neighbours, row = np.unique(level.neighbours, return_inverse=True)
        self._order = np.argsort(row, kind="stable")
        count, around = len(level.nodes), len(self._neighbours)
        self._handed = _rows_of(row[self._order], level.centre[self._order], (around, count))
        self._taken = _rows_of(level.centre, row, (count, around))

    def inward(self, share: FloatArray, amps: FloatArray) -> None:
        """Hand the currents of the nodes to their neighbours."""
        self._handed.data = share[self._order]
        amps[self._neighbours] += self._handed @ amps[self._nodes]

    def outward(self, share: FloatArray, volts: FloatArray) -> FloatArray:
        """Give the nodes what they have of the volts of their neighbours."""
        self._taken.data = share
        return np.asarray(self._taken @ volts[self._neighbours], dtype=np.float64)


def _rows_of(row: IntArray, column: IntArray, shape: tuple[int, int]) -> csr_matrix:
    """Lay a matrix out in compressed rows, its figures still to come; ``row`` rises."""
    begins = np.searchsorted(row, np.arange(shape[0] + 1))
    return csr_matrix((np.zeros(len(row)), column.astype(np.int32), begins.astype(np.int32)), shape=shape)
