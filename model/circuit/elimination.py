"""Star-mesh elimination of the nodes of a network, many nodes at a time.

A node with conductances g to its neighbours gives way to a conductance g_j g_k / Σ g between each two of them
(A. Rosen, "A new network theorem", Journal of the IEE 62 (1924) 916-918). A loom is nearly a tree, so that little is
added; and no difference of near figures is taken, so that a microohm beside a gigaohm costs no accuracy. Nodes that are
not neighbours are eliminated together (M. Luby, "A simple parallel algorithm for the maximal independent set problem",
SIAM Journal on Computing 15 (1986) 1036-1053). This module knows conductances and currents and nothing of harnesses.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray, sum_at

FEW_NEIGHBOURS = 3
"""A node with this many neighbours or fewer goes without a branch being added to the network."""


@dataclass(frozen=True, slots=True)
class Level:
    """Nodes that are eliminated together, and the places of the conductances concerned.

    Attributes
    ----------
    nodes
        Shape (nodes of the level,).
    places, centre, neighbours
        Shape (branches at them,): place of the conductance; which of ``nodes`` it is at; the node at its other end.
    first, second, meshed
        Shape (new branches,): the two of the branches at a node that make a new one; place of its conductance.
    """

    nodes: IntArray
    places: IntArray
    centre: IntArray
    neighbours: IntArray
    first: IntArray
    second: IntArray
    meshed: IntArray


class Elimination:
    """The order in which the nodes of a network go, found once for where its branches lie.

    Parameters
    ----------
    node_count
        Number of nodes.
    one, other
        Shape (branches,), the nodes that each branch joins.
    keep
        Shape (nodes,), true of a node that stays whatever its neighbours.
    at_most
        Most neighbours of a node that goes; without it all go but those kept, the last few aside.
    core_at_most
        No more go when this many are left.

    Attributes
    ----------
    levels
        What goes together, in the order in which it goes.
    core
        Shape (nodes left,), their numbers.
    core_one, core_other
        Shape (branches left,), the places in ``core`` that each joins.
    """

    def __init__(
        self,
        node_count: int,
        one: IntArray,
        other: IntArray,
        keep: BoolArray,
        *,
        at_most: int | None = None,
        core_at_most: int = 0,
    ) -> None:
        self.node_count = node_count
        pairs = np.minimum(one, other) * node_count + np.maximum(one, other)
        found, self._place_of_branch = np.unique(pairs, return_inverse=True)
        self._place_count = len(found)
        low, high = np.divmod(found, node_count)
        joins = np.flatnonzero(low != high)
        self._pairs, self._places = found[joins], joins
        self.levels: list[Level] = []
        left = np.ones(node_count, dtype=bool)
        while left.sum() > core_at_most:
            level = self._next_level(left & ~keep, at_most)
            if level is None:
                break
            left[level.nodes] = False
            self.levels.append(level)
        self.core = np.flatnonzero(left)
        low, high = np.divmod(self._pairs, node_count)
        self.core_one = np.searchsorted(self.core, low)
        self.core_other = np.searchsorted(self.core, high)

    def _next_level(self, may_go: BoolArray, at_most: int | None) -> Level | None:
        """Take the next nodes out of the pattern; None where none may go."""
        low, high = np.divmod(self._pairs, self.node_count)
        degree = np.bincount(low, minlength=self.node_count) + np.bincount(high, minlength=self.node_count)
        fewest = int(degree[may_go].min(initial=self.node_count))
        limit = max(FEW_NEIGHBOURS, fewest + fewest // 4) if at_most is None else at_most
        may_go = may_go & (degree <= limit)
        if not may_go.any():
            return None
        goes = _apart(may_go, degree, low, high)
        goes_low, goes_high = goes[low], goes[high]
        at_them = goes_low | goes_high
        centre_node = np.where(goes_low, low, high)[at_them]
        order = np.argsort(centre_node, kind="stable")
        centre_node = centre_node[order]
        neighbours = np.where(goes_low, high, low)[at_them][order]
        places = self._places[at_them][order]
        nodes = np.flatnonzero(goes)
        centre = np.searchsorted(nodes, centre_node)
        first, second = _every_two(centre)
        meshed = self._mesh(neighbours[first], neighbours[second], ~at_them)
        return Level(nodes, places, centre, neighbours, first, second, meshed)

    def _mesh(self, one: IntArray, other: IntArray, stays: BoolArray) -> IntArray:
        """Put new branches into the pattern beside those that stay, and give the place of each."""
        pairs, places = self._pairs[stays], self._places[stays]
        wanted = np.minimum(one, other) * self.node_count + np.maximum(one, other)
        there = np.append(pairs, -1)[np.searchsorted(pairs, wanted)] == wanted
        new = np.unique(wanted[~there])
        pairs = np.concatenate((pairs, new))
        places = np.concatenate((places, np.arange(self._place_count, self._place_count + len(new))))
        self._place_count += len(new)
        order = np.argsort(pairs, kind="stable")
        self._pairs, self._places = pairs[order], places[order]
        return self._places[np.searchsorted(self._pairs, wanted)]

    def factor(self, siemens: FloatArray) -> Factor:
        """Eliminate with figures.

        Parameters
        ----------
        siemens
            Shape (branches,), conductance of each branch; 0 where it is open.
        """
        all_siemens = sum_at(self._place_of_branch, siemens, self._place_count)
        shares: list[FloatArray] = []
        ohms: list[FloatArray] = []
        for level in self.levels:
            there = all_siemens[level.places]
            total = sum_at(level.centre, there, len(level.nodes))
            node_ohms = np.divide(1.0, total, out=np.zeros(len(total)), where=total != 0.0)
            share = there * node_ohms[level.centre]
            np.add.at(all_siemens, level.meshed, share[level.first] * there[level.second])
            shares.append(share)
            ohms.append(node_ohms)
        return Factor(self.levels, shares, ohms, all_siemens[self._places])


class Factor:
    """A network eliminated with its figures, to be solved for any currents into its nodes.

    Attributes
    ----------
    levels, shares, ohms
        The levels; of each, the share of every branch at its nodes in the conductance there, and the ohms of its nodes.
    core_siemens
        Shape (branches left,), conductance of each.
    """

    def __init__(
        self, levels: list[Level], shares: list[FloatArray], ohms: list[FloatArray], core_siemens: FloatArray
    ) -> None:
        self.levels = levels
        self.shares = shares
        self.ohms = ohms
        self.core_siemens = core_siemens

    def inward(self, push_amps: FloatArray) -> FloatArray:
        """Hand the currents into the nodes that go to those that stay.

        Parameters
        ----------
        push_amps
            Shape (nodes,), current in amperes into each node.

        Returns
        -------
        FloatArray
            Shape (nodes,); of a node left the current into it, of one that went what it had when it did.
        """
        amps = push_amps.copy()
        for level, share in zip(self.levels, self.shares, strict=True):
            np.add.at(amps, level.neighbours, share * amps[level.nodes][level.centre])
        return amps

    def outward(self, volts: FloatArray, amps: FloatArray) -> FloatArray:
        """Give the nodes that went their volts.

        Parameters
        ----------
        volts
            Shape (nodes,), right at the nodes left; changed in place.
        amps
            Shape (nodes,), as :meth:`inward` gives them.

        Returns
        -------
        FloatArray
            The same array. The last node of an island without a node left has 0 V.
        """
        for level, share, ohms in zip(reversed(self.levels), reversed(self.shares), reversed(self.ohms), strict=True):
            shared = sum_at(level.centre, share * volts[level.neighbours], len(level.nodes))
            volts[level.nodes] = shared + amps[level.nodes] * ohms
        return volts


def _apart(may_go: BoolArray, degree: IntArray, low: IntArray, high: IntArray) -> BoolArray:
    """Pick of the nodes that may go such as are no neighbours, those with few neighbours first."""
    both = may_go[low] & may_go[high]
    one, other = low[both], high[both]
    scattered = np.arange(len(may_go), dtype=np.uint64) * np.uint64(0x9E3779B1) & np.uint64(0xFFFFFFFF)
    rank = (degree.astype(np.uint64) << np.uint64(32)) | scattered
    goes = may_go.copy()
    goes[np.where(rank[one] > rank[other], one, other)] = False
    return goes


def _every_two(group: IntArray) -> tuple[IntArray, IntArray]:
    """Pair every member of a group with every later one.

    Parameters
    ----------
    group
        Shape (members,), number of the group that each is in, counted from 0 and rising.

    Returns
    -------
    tuple
        First and second of each pair.
    """
    member = np.arange(len(group))
    later = np.cumsum(np.bincount(group))[group] - 1 - member
    first = np.repeat(member, later)
    nth = np.arange(len(first)) - np.repeat(np.cumsum(later) - later, later)
    return first, first + 1 + nth
