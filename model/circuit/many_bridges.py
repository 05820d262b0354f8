"""Which branches are the only way between two parts of a network, and which two together are.

Every branch outside a spanning tree is given a random number, every branch of the tree the sum of those that close a
loop over it: it is the only way where they cancel to nothing, and two branches together are the only ways where they
have the same (D. Pritchard and R. Thurimella, "Fast computation of small cuts via cycle space sampling", ACM
Transactions on Algorithms 7 (2011) 46). This module knows branches and nothing of harnesses.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import breadth_first_order

from model.circuit.arrays import BoolArray, IntArray

_SEED = 2011


def loops_of(ends: tuple[IntArray, IntArray], carries: BoolArray, island: IntArray) -> IntArray:
    """Give each branch a number for the loops that it is in.

    Parameters
    ----------
    ends
        Two arrays of shape (branches,): from node and to node of each branch.
    carries
        Shape (branches,), true of those that conduct; of the others nothing is told.
    island
        Shape (nodes,), the same number for nodes that such branches join: that of one node of the island.

    Returns
    -------
    IntArray
        Shape (branches,), 0 of one that is the only way between its ends, the same number for branches that two by two
        are the only ways between what they join; -1 of those that do not conduct.
    """
    count = len(island)
    branch = np.flatnonzero(carries & (ends[0] != ends[1]))
    one, other = ends[0][branch], ends[1][branch]
    _, first_of_island = np.unique(island, return_index=True)
    roots = first_of_island[1:]
    low = np.concatenate((one, np.full(len(roots), first_of_island[0])))
    high = np.concatenate((other, roots))
    joins = csr_matrix((np.ones(len(low)), (low, high)), shape=(count, count))
    order, before = breadth_first_order(joins, int(first_of_island[0]), directed=False)
    parent = before.astype(np.int64)
    in_tree = _first_of_each_way(one, other, parent, count)
    numbers = np.random.default_rng(_SEED).integers(1, 1 << 62, len(branch))
    numbers[in_tree] = 0
    label = np.zeros(count, dtype=np.int64)
    np.bitwise_xor.at(label, one, numbers)
    np.bitwise_xor.at(label, other, numbers)
    labels, parents = label.tolist(), parent.tolist()
    for node in reversed(order[1:].tolist()):
        labels[parents[node]] ^= labels[node]
    label = np.array(labels, dtype=np.int64)
    child = np.where(parent[one] == other, one, other)
    found = np.full(len(carries), -1, dtype=np.int64)
    found[branch] = np.where(in_tree, label[child], numbers)
    return found


def _first_of_each_way(one: IntArray, other: IntArray, parent: IntArray, count: int) -> BoolArray:
    """Pick of the branches between each node and its parent in the tree the first."""
    way = np.minimum(one, other) * count + np.maximum(one, other)
    is_first = np.zeros(len(one), dtype=np.bool_)
    is_first[np.unique(way, return_index=True)[1]] = True
    return np.asarray(is_first & ((parent[one] == other) | (parent[other] == one)), dtype=np.bool_)
