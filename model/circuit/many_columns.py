"""Volts of many nodes for many currents at once: columns of the inverse of a network.

A column is made by star-mesh elimination, in which no difference of near figures is taken: what little of a current
between the ends of a microohm goes another way is exact to some twelve digits. This module knows conductances and
nothing of harnesses.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_matrix

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.elimination import FEW_NEIGHBOURS, Elimination, Factor
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
        _inward(factor, amps)
        right = amps[self._inner.core]
        right[held] = 0.0
        volts = np.zeros_like(amps)
        volts[self._inner.core] = np.linalg.solve(matrix, right) if len(matrix) > 1 else 0.0
        _outward(factor, volts, amps)
        return volts


def _inward(factor: Factor, amps: FloatArray) -> None:
    for level, share in zip(factor.levels, factor.shares, strict=True):
        targets, row = np.unique(level.neighbours, return_inverse=True)
        handed = csr_matrix((share, (row, level.centre)), shape=(len(targets), len(level.nodes)))
        amps[targets] += np.asarray(handed @ amps[level.nodes])


def _outward(factor: Factor, volts: FloatArray, amps: FloatArray) -> None:
    for level, share, ohms in zip(reversed(factor.levels), reversed(factor.shares), reversed(factor.ohms), strict=True):
        sources, column = np.unique(level.neighbours, return_inverse=True)
        taken = csr_matrix((share, (level.centre, column)), shape=(len(level.nodes), len(sources)))
        volts[level.nodes] = taken @ volts[sources] + amps[level.nodes] * ohms[:, None]
