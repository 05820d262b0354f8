"""A factored network asked for the volts of few nodes at a time.

A current into a node concerns only the nodes that it is handed to as they are eliminated, and the volts of a node rest
only on those: a few dozen of the thousands of a loom. This module knows conductances and nothing of harnesses.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.circuit.elimination import Elimination


class NodeOrder:
    """The order in which the nodes of a network go, down to one, for any conductances of its branches.

    Parameters
    ----------
    node_count
        Number of nodes.
    one, other
        Shape (branches,), the nodes that each branch joins.
    last
        The node that stays.

    Attributes
    ----------
    elimination
        The order itself.
    nodes
        Shape (nodes but one,), in the order in which they go.
    neighbours
        Shape (branches at them when they go,), node at the other end, in the same order.
    begins, ends
        Shape (nodes,), where the branches of each node lie among those.
    """

    def __init__(self, node_count: int, one: IntArray, other: IntArray, last: int = 0) -> None:
        keep = np.zeros(node_count, dtype=np.bool_)
        keep[last : last + 1] = True
        self.elimination = Elimination(node_count, one, other, keep)
        levels = self.elimination.levels
        none = np.zeros(0, dtype=np.int64)
        self.nodes: IntArray = np.concatenate([none, *(level.nodes for level in levels)])
        self.neighbours: IntArray = np.concatenate([none, *(level.neighbours for level in levels)])
        centres = [level.nodes[level.centre] for level in levels]
        counts = np.bincount(np.concatenate([none, *centres]), minlength=node_count)
        self.ends: IntArray = np.zeros(node_count, dtype=np.int64)
        self.ends[self.nodes] = np.cumsum(counts[self.nodes])
        self.begins: IntArray = self.ends - counts


class FewNodes:
    """A network of resistances, eliminated down to one node.

    Parameters
    ----------
    order
        The order in which its nodes go.
    siemens
        Shape (branches,), conductance of each branch; 0 where it is open.
    """

    def __init__(self, order: NodeOrder, siemens: FloatArray) -> None:
        factor = self._factor = order.elimination.factor(siemens)
        node_count = len(order.ends)
        self._order = order
        self._shares = np.concatenate([np.zeros(0), *factor.shares])
        self._handed: dict[int, list[tuple[int, float]]] = {}
        self.ohms = np.zeros(node_count)
        self.ohms[order.nodes] = np.concatenate([np.zeros(0), *factor.ohms])
        self.rank = np.full(node_count, len(order.nodes))
        self.rank[order.nodes] = np.arange(len(order.nodes))

    def last_of(self, node: int) -> int:
        """Give the node that goes last of all that hang together with one."""
        handed = self.handed(node)
        while handed:
            node = handed[0][0]
            handed = self.handed(node)
        return node

    def all_volts(self, one: int, other: int) -> FloatArray:
        """Give the volts of all nodes with one ampere driven into one and out of another of its island.

        Returns
        -------
        FloatArray
            Shape (nodes,); of each island against its node that goes last.
        """
        push_amps = np.zeros(len(self.rank))
        push_amps[one] += 1.0
        push_amps[other] -= 1.0
        return self._factor.outward(np.zeros(len(self.rank)), self._factor.inward(push_amps))

    def handed(self, node: int) -> list[tuple[int, float]]:
        """Give to which nodes a current into a node is handed, with its share of it; none of the node that is last."""
        found = self._handed.get(node)
        if found is None:
            own = slice(int(self._order.begins[node]), int(self._order.ends[node]))
            pairs = zip(self._order.neighbours[own].tolist(), self._shares[own].tolist(), strict=True)
            found = self._handed[node] = [pair for pair in pairs if pair[1]]
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
