"""A factored network asked for the volts of few nodes at a time.

A current into a node concerns only the nodes that it is handed to as they are eliminated, and the volts of a node rest
only on those: a few dozen of the thousands of a loom. This module knows conductances and nothing of harnesses.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.circuit.elimination import Elimination


class FewNodes:
    """A network of resistances, eliminated down to one node.

    Parameters
    ----------
    node_count
        Number of nodes.
    one, other
        Shape (branches,), the nodes that each branch joins.
    siemens
        Shape (branches,), conductance of each branch, above 0.
    """

    def __init__(self, node_count: int, one: IntArray, other: IntArray, siemens: FloatArray) -> None:
        keep = np.zeros(node_count, dtype=np.bool_)
        keep[:1] = True
        factor = Elimination(node_count, one, other, keep).factor(siemens)
        nodes = np.concatenate([np.zeros(0, dtype=np.int64), *(level.nodes for level in factor.levels)])
        centres = [level.nodes[level.centre] for level in factor.levels]
        self._shares = np.concatenate([np.zeros(0), *factor.shares])
        self._neighbours = np.concatenate([nodes[:0], *(level.neighbours for level in factor.levels)])
        counts = np.bincount(np.concatenate([nodes[:0], *centres]), minlength=node_count)
        self._ends = np.zeros(node_count, dtype=np.int64)
        self._ends[nodes] = np.cumsum(counts[nodes])
        self._begins = self._ends - counts
        self._handed: dict[int, list[tuple[int, float]]] = {}
        self.ohms = np.zeros(node_count)
        self.ohms[nodes] = np.concatenate([np.zeros(0), *factor.ohms])
        self.rank = np.full(node_count, len(nodes))
        self.rank[nodes] = np.arange(len(nodes))

    def handed(self, node: int) -> list[tuple[int, float]]:
        """Give to which nodes a current into a node is handed, with its share of it; none of the node that is last."""
        found = self._handed.get(node)
        if found is None:
            own = slice(int(self._begins[node]), int(self._ends[node]))
            found = list(zip(self._neighbours[own].tolist(), self._shares[own].tolist(), strict=True))
            self._handed[node] = found
        return found


class Driven:
    """The volts with one ampere driven into one node and out of another of its island.

    Parameters
    ----------
    network
        The network.
    one, other
        The two nodes.
    """

    def __init__(self, network: FewNodes, one: int, other: int) -> None:
        self._network = network
        self._amps = _inward(network, {one: 1.0, other: -1.0} if one != other else {})
        self._volts: dict[int, float] = {}

    @property
    def visited(self) -> frozenset[int]:
        """The nodes whose volts have been found."""
        return frozenset(self._volts)

    def between(self, one: int, other: int) -> float:
        """Give the volts from one node of the island to another."""
        return self.volts(one) - self.volts(other)

    def volts(self, node: int) -> float:
        """Give the volts of a node of the island against the one that went last."""
        found, network = self._volts, self._network
        if node in found:
            return found[node]
        left = [node]
        while left:
            last = left[-1]
            if last in found:
                left.pop()
                continue
            handed = network.handed(last)
            wanted = [beside for beside, _ in handed if beside not in found]
            if wanted:
                left += wanted
                continue
            own = self._amps[last] * float(network.ohms[last]) if last in self._amps else 0.0
            found[last] = own + sum(share * found[beside] for beside, share in handed)
            left.pop()
        return found[node]


def _inward(network: FewNodes, amps: dict[int, float]) -> dict[int, float]:
    """Hand currents on from node to node in the order in which these go; give what each had when it went."""
    ahead = [(int(network.rank[node]), node) for node in amps]
    heapify(ahead)
    while ahead:
        _, node = heappop(ahead)
        for beside, share in network.handed(node):
            if beside not in amps:
                amps[beside] = 0.0
                heappush(ahead, (int(network.rank[beside]), beside))
            amps[beside] += share * amps[node]
    return amps
