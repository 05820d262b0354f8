"""Areas of a circuit: what hangs together once a few nodes, at which much meets, are taken away.

A loom is panels and looms that meet at the battery, at the body and at a few buses. A fault in one of them moves the
others by what it does to the volts of these few nodes alone. This module knows nodes and branches, and nothing of
harnesses but which of its branches move together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import connected_components

from model.circuit.arrays import IntArray
from model.circuit.netlist import Netlist

LARGE_NODES = 700
"""Smaller circuits are solved as one."""

_AREA_NODES = 400
_MEETING_AT_MOST = 16


@dataclass(frozen=True)
class Areas:
    """A circuit in areas.

    Attributes
    ----------
    meeting
        Nodes at which the areas meet.
    area
        Shape (nodes,), the number of the area that each node is in; -1 of those at which they meet.
    """

    meeting: tuple[int, ...]
    area: IntArray


def areas_of(net: Netlist) -> Areas | None:
    """Give the areas of a large circuit; None of a small one, and where a few nodes do not part it.

    The nodes with the most branches of the largest area are taken away, one after the other, until all are small.
    """
    count = len(net.names)
    if count < LARGE_NODES:
        return None
    one, other = np.array(net.one, dtype=np.int64), np.array(net.other, dtype=np.int64)
    moved, hub = _moving_together(net)
    hubs = len(net.movers)
    stays = np.ones(count, dtype=np.bool_)
    meeting: list[int] = []
    while len(meeting) <= _MEETING_AT_MOST:
        both, tied = stays[one] & stays[other], stays[moved]
        joins = np.concatenate((one[both], moved[tied])), np.concatenate((other[both], count + hub[tied]))
        graph = csr_matrix((np.ones(len(joins[0])), joins), shape=(count + hubs, count + hubs))
        area = connected_components(graph, directed=False)[1][:count]
        sizes = np.bincount(area[stays])
        largest = int(np.argmax(sizes))
        if sizes[largest] <= _AREA_NODES:
            return Areas(tuple(meeting), np.where(stays, area, -1).astype(np.int64))
        branches = np.bincount(one[both], minlength=count) + np.bincount(other[both], minlength=count)
        meeting.append(int(np.argmax(np.where(stays & (area == largest), branches, -1))))
        stays[meeting[-1]] = False
    return None


def _moving_together(net: Netlist) -> tuple[IntArray, IntArray]:
    """Tie the nodes that one mover looks at and moves to the mover: they belong to one area, whichever is taken away.

    Returns
    -------
    tuple
        Nodes, and the place of the mover that each is tied to.
    """
    pairs: list[tuple[int, int]] = []
    for place, mover in enumerate(net.movers):
        nodes = [node for sense in mover.senses for node in (sense.from_node, sense.to_node)]
        nodes += [node for branch in (*mover.closes, *mover.opens) for node in (net.one[branch], net.other[branch])]
        pairs += [(node, place) for node in dict.fromkeys(nodes)]
    found = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    return found[:, 0], found[:, 1]
