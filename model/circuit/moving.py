"""A network of which a few branches change from step to step: all others are eliminated once.

This module knows conductances and currents and nothing of harnesses.
"""

from __future__ import annotations

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray, sum_at
from model.circuit.elimination import FEW_NEIGHBOURS, Elimination
from model.circuit.solver import CORE_NODES_AT_MOST, Core


class MovingNetwork:
    """Where the branches of a network lie, and which of them move.

    Parameters
    ----------
    node_count
        Number of nodes.
    ends
        Two arrays of shape (branches,): from node and to node of each branch.
    moves
        Shape (branches,), true of those whose conductance changes from step to step.
    falling
        Shape (branches,), true of those of them whose conductance may be negative.
    reference
        The node that is 0 V.
    """

    def __init__(
        self, node_count: int, ends: tuple[IntArray, IntArray], moves: BoolArray, falling: BoolArray, reference: int
    ) -> None:
        self.node_count = node_count
        self.ends = ends
        self.reference = reference
        self.falling = falling
        self.moving = np.flatnonzero(moves)
        self.fixed = np.flatnonzero(~moves)
        self.outer = Elimination(
            node_count,
            ends[0][self.fixed],
            ends[1][self.fixed],
            _touched(node_count, ends, self.moving, reference),
            at_most=FEW_NEIGHBOURS,
        )
        hub_count = len(self.outer.core)
        hub_reference = int(np.searchsorted(self.outer.core, reference))
        self.moving_one = np.searchsorted(self.outer.core, ends[0][self.moving])
        self.moving_other = np.searchsorted(self.outer.core, ends[1][self.moving])
        one = np.concatenate((self.outer.core_one, self.moving_one))
        other = np.concatenate((self.outer.core_other, self.moving_other))
        awkward = np.flatnonzero(falling[self.moving]) + len(self.outer.core_one)
        self.inner = Elimination(
            hub_count,
            one,
            other,
            _touched(hub_count, (one, other), awkward, hub_reference),
            core_at_most=CORE_NODES_AT_MOST,
        )
        core = self.inner.core
        core_reference = int(np.searchsorted(core, hub_reference))
        self.core = Core(len(core), self.inner.core_one, self.inner.core_other, core_reference)

    def lies_as(
        self, node_count: int, ends: tuple[IntArray, IntArray], moves: BoolArray, falling: BoolArray, reference: int
    ) -> bool:
        """Tell whether it is that of other branches too: whether they lie and move as its own do."""
        return (
            (node_count, reference) == (self.node_count, self.reference)
            and np.array_equal(ends[0], self.ends[0])
            and np.array_equal(ends[1], self.ends[1])
            and np.array_equal(np.flatnonzero(moves), self.moving)
            and np.array_equal(falling, self.falling)
        )

    def fix(self, siemens: FloatArray, push_amps: FloatArray) -> FixedNetwork:
        """Eliminate the branches that do not move.

        Parameters
        ----------
        siemens
            Shape (branches,), conductance of each branch, 0 where it is open; of one that moves not looked at.
        push_amps
            Shape (branches,), current in amperes that a source in the branch drives from its from node to its to node;
            of one that moves not looked at.
        """
        return FixedNetwork(self, siemens, push_amps)


class FixedNetwork:
    """A network of which the branches that do not move have their figures."""

    def __init__(self, network: MovingNetwork, siemens: FloatArray, push_amps: FloatArray) -> None:
        self._network = network
        fixed, count = network.fixed, network.node_count
        self._factor = network.outer.factor(siemens[fixed])
        pushed = _into_nodes(network.ends[0][fixed], network.ends[1][fixed], push_amps[fixed], count)
        self._amps = self._factor.inward(pushed)
        self._hub_volts: FloatArray = np.zeros(len(network.outer.core))

    def across_moving(self, siemens: FloatArray, push_amps: FloatArray) -> FloatArray:
        """Solve with figures of the branches that move, and give the volts across these.

        Parameters
        ----------
        siemens, push_amps
            Shape (moving branches,), as for :meth:`MovingNetwork.fix`.

        Raises
        ------
        numpy.linalg.LinAlgError
            Where falling branches leave it without a solution.
        """
        network = self._network
        one, other = network.moving_one, network.moving_other
        pushed = _into_nodes(one, other, push_amps, len(self._hub_volts))
        factor = network.inner.factor(np.concatenate((self._factor.core_siemens, siemens)))
        amps = factor.inward(self._amps[network.outer.core] + pushed)
        volts = np.zeros(len(self._hub_volts))
        volts[network.inner.core] = network.core.volts(factor.core_siemens, amps[network.inner.core])
        self._hub_volts = factor.outward(volts, amps)
        return np.asarray(self._hub_volts[one] - self._hub_volts[other], dtype=np.float64)

    def volts(self) -> FloatArray:
        """Give the volts of all nodes as solved last, shape (nodes,)."""
        volts = np.zeros(self._network.node_count)
        volts[self._network.outer.core] = self._hub_volts
        return self._factor.outward(volts, self._amps)


def _touched(node_count: int, ends: tuple[IntArray, IntArray], branches: IntArray, reference: int) -> BoolArray:
    touched = np.zeros(node_count, dtype=bool)
    touched[ends[0][branches]] = True
    touched[ends[1][branches]] = True
    touched[reference] = True
    return touched


def _into_nodes(one: IntArray, other: IntArray, push_amps: FloatArray, node_count: int) -> FloatArray:
    """Give the current in amperes that sources in branches drive into each node, shape (nodes,)."""
    return sum_at(other, push_amps, node_count) - sum_at(one, push_amps, node_count)
