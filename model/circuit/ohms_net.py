"""Ohms between many pairs of points without the supply: each network is prepared once and asked often.

What one pair reads by the slow way stands in :func:`model.circuit.meter.read_ohms`; both agree.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.build_parts import build_netlist
from model.circuit.condition import Condition, without_supply
from model.circuit.faults import part_of_site
from model.circuit.few_nodes import Driven, FewNodes, NodeOrder
from model.circuit.netlist import Netlist
from model.circuit.ohms_bounds import IsHigh, surely_high
from model.circuit.relax import COLD_SHARE
from model.circuit.solver import islands
from model.harness.harness import Harness
from model.units import SHOWN_OPEN_OHMS

_NEARLY_ALL = 1e-6
_NONE_OF_IT = 1e-10


Loss = tuple[FloatArray, FloatArray, FloatArray]
"""Of some branches: the values and vectors of the matrix of Woodbury's identity, and the roots of their siemens."""


@dataclass(frozen=True, slots=True)
class Way:
    """The branches from one node to another, and the sum of their ohms."""

    ohms: float
    branches: tuple[int, ...]


@dataclass(frozen=True)
class OhmsNet:
    """Resistances between numbered nodes.

    Attributes
    ----------
    index
        Node of each point.
    one, other
        Shape (branches,), the nodes of each branch.
    siemens
        Shape (branches,), conductance of each branch.
    parts, sites
        The part and the fault site of each branch; the empty string where it has none.
    """

    index: dict[str, int]
    node_count: int
    one: IntArray
    other: IntArray
    siemens: FloatArray
    parts: tuple[str, ...]
    sites: tuple[str, ...]

    def ohms(self, red: str, black: str) -> float:
        """Give the ohms between two points, leads nulled; infinite where a meter shows open."""
        return self.ohms_between(self.index[red], self.index[black])

    def ohms_between(self, one: int, other: int) -> float:
        """Give the ohms between two nodes; infinite where a meter shows open."""
        if one == other:
            return 0.0
        if self._island[one] != self._island[other]:
            return math.inf
        return as_shown(self._driven(one, other).between(one, other))

    def broken_ohms(self, red: str, black: str, sites: frozenset[str]) -> float:
        """Give the ohms between two points with what stands at some sites broken."""
        gone = tuple(place for site in sorted(sites) for place in self._at.get(site, ()))
        return self.ohms_without(self.index[red], self.index[black], gone)

    def places_of(self, site: str) -> tuple[int, ...]:
        """Give the numbers of the branches at a fault site."""
        return tuple(self._at.get(site, ()))

    def branches_of(self, part_id: str) -> tuple[int, ...]:
        """Give the numbers of the branches of a part or wire."""
        return self._of_part.get(part_id, ())

    def ohms_without(self, one: int, other: int, gone: tuple[int, ...]) -> float:
        """Give the ohms between two nodes with some branches gone; infinite where a meter shows open.

        Notes
        -----
        By the Woodbury identity on the network as it is: one small matrix over the branches that go.
        """
        here = self._island[one]
        gone = tuple(place for place in dict.fromkeys(gone) if self._island[self.one[place]] == here)
        if one == other or not gone or self._island[other] != here:
            return self.ohms_between(one, other)
        if not self.joins(one, other, frozenset(gone)):
            return math.inf
        driven = self._driven(one, other)
        values, vectors, root = self._loss_of(gone)
        through = np.array([driven.between(int(self.one[place]), int(self.other[place])) for place in gone])
        pushed = vectors.T @ (through * root)
        nearly_all = values < _NEARLY_ALL
        # what the branches leave hanging on nothing, as what is between two in series, takes none of the current
        idle = nearly_all & (np.abs(pushed) <= _NONE_OF_IT * float(np.linalg.norm(through * root)))
        if (nearly_all & ~idle).any():
            return self._alone(~np.isin(np.arange(len(self.one)), gone)).ohms_between(one, other)
        taken = np.divide(pushed**2, values, out=np.zeros(len(values)), where=~idle)
        return as_shown(driven.between(one, other) + float(taken.sum()))

    def is_high(self, red: str, black: str, gone: tuple[int, ...], is_high: IsHigh) -> bool:
        """Tell whether the ohms between two points, some branches gone, lie high.

        Notes
        -----
        What lies around the two mostly tells; the network is solved only where it does not.
        """
        ends, taken = (self.index[red], self.index[black]), frozenset(gone)

        def beside(node: int) -> list[tuple[int, int]]:
            return [one for one in self._beside(node) if one[0] not in taken]

        sure = surely_high(beside, self.siemens, ends, is_high)
        return is_high(self.taken_out(gone).ohms_between(*ends)) if sure is None else sure

    def without(self, parts: frozenset[str]) -> OhmsNet:
        """Give the same network with everything of some parts, or wires, taken out."""
        kept = np.array([part not in parts for part in self.parts], dtype=bool)
        return self if kept.all() else self._leave(kept)

    def with_ends_moved(self, moves: Iterable[tuple[str, str, str]]) -> OhmsNet:
        """Give the network with ends of branches moved, each by its site, the point that it leaves and its new one."""
        one, other = self.one.copy(), self.other.copy()
        changed: dict[int, None] = {}
        for site, leaves, goes_to in moves:
            for place in self._at.get(site, ()):
                ends = one if self.one[place] == self.index[leaves] else other
                ends[place] = self.index[goes_to]
                changed[place] = None
        return self._with_ends(one, other, changed)

    def taken_out(self, gone: Iterable[int]) -> OhmsNet:
        """Give the network with some branches gone; they keep their numbers, and have both ends on one node."""
        changed = dict.fromkeys(gone)
        other = self.other.copy()
        other[list(changed)] = self.one[list(changed)]
        return self._with_ends(self.one, other, changed)

    def _with_ends(self, one: IntArray, other: IntArray, changed: Iterable[int]) -> OhmsNet:
        """Give the network with its branches between other nodes, some of them changed.

        Notes
        -----
        The same branches are at the same parts, and beside the same nodes but for those of what has changed: this is
        found once for all networks that come of one.
        """
        places = dict.fromkeys(changed)
        nodes = {int(ends[place]) for place in places for ends in (self.one, self.other, one, other)}
        beside = {node: [join for join in self._beside(node) if join[0] not in places] for node in nodes}
        for place in places:
            start, end = int(one[place]), int(other[place])
            if start != end:
                beside[start].append((place, end))
                beside[end].append((place, start))
        net = OhmsNet(self.index, self.node_count, one, other, self.siemens, self.parts, self.sites)
        net.__dict__.update(_at=self._at, _of_part=self._of_part, _branches_at=self._branches_at)
        net.__dict__["_changed_beside"] = self._changed_beside | beside
        return net

    def joined(self, one: int, other: int, ohms: float) -> OhmsNet:
        """Give the network with one more resistance between two nodes."""
        return OhmsNet(
            self.index,
            self.node_count,
            np.append(self.one, one),
            np.append(self.other, other),
            np.append(self.siemens, 1.0 / ohms),
            (*self.parts, ""),
            (*self.sites, ""),
        )

    def island_of(self, point: str) -> int:
        """Give the number of what hangs together with a point."""
        return int(self._island[self.index[point]])

    def way(self, one: int, other: int, gone: tuple[int, ...] = ()) -> Way:
        """Give the way of least ohms between two nodes with some branches gone; infinite ohms where there is none."""
        if one == other:
            return Way(0.0, ())
        ohms, nodes = 1.0 / self.siemens, self.node_count
        ohms[list(gone)] = math.inf
        pairs = np.minimum(self.one, self.other) * nodes + np.maximum(self.one, self.other)
        order = np.lexsort((ohms, pairs))
        order = order[np.isfinite(ohms[order])]
        pairs, first = np.unique(pairs[order], return_index=True)
        least = order[first]
        joins = csr_array((ohms[least], (pairs // nodes, pairs % nodes)), shape=(nodes, nodes))
        reach, before = dijkstra(joins, directed=False, indices=np.array([one]), return_predecessors=True)
        if not np.isfinite(reach[0, other]):
            return Way(math.inf, ())
        found: list[int] = []
        node = other
        while node != one:
            last = int(before[0, node])
            pair = min(node, last) * nodes + max(node, last)
            found.append(int(least[np.searchsorted(pairs, pair)]))
            node = last
        return Way(float(reach[0, other]), tuple(reversed(found)))

    def joins(self, one: int, other: int, gone: frozenset[int] = frozenset()) -> bool:
        """Tell whether two nodes hang together with some branches gone.

        Notes
        -----
        What hangs on each is followed by turns, so that it takes no longer than the smaller of the two is large.
        """
        reached = ({one}, {other})
        ahead = ([one], [other])
        while ahead[0] and ahead[1]:
            for own, others, left in (
                (reached[0], reached[1], ahead[0]),
                (reached[1], reached[0], ahead[1]),
            ):
                node = left.pop()
                for branch, beside in self._beside(node):
                    if branch in gone or beside in own:
                        continue
                    if beside in others:
                        return True
                    own.add(beside)
                    left.append(beside)
                if not left:
                    return False
        return False

    def _beside(self, node: int) -> list[tuple[int, int]]:
        """Give the branches at a node, each with the node at its other end; kept."""
        found = self._changed_beside.get(node, self._found_beside.get(node))
        if found is None:
            branches, begins, ends = self._branches_at
            at_node = branches[begins[node] : begins[node + 1]]
            found = list(zip(at_node.tolist(), ends[begins[node] : begins[node + 1]].tolist(), strict=True))
            self._found_beside[node] = found
        return found

    @cached_property
    def _found_beside(self) -> dict[int, list[tuple[int, int]]]:
        return {}

    @cached_property
    def _changed_beside(self) -> dict[int, list[tuple[int, int]]]:
        """What lies beside the nodes at which the branches are not those of the network that this one came of."""
        return {}

    @cached_property
    def _branches_at(self) -> tuple[IntArray, IntArray, IntArray]:
        """Every branch twice in the order of its ends, where those of each node begin, and the nodes beside."""
        here, beside = np.concatenate((self.one, self.other)), np.concatenate((self.other, self.one))
        order = np.argsort(here, kind="stable")
        begins = np.searchsorted(here[order], np.arange(self.node_count + 1))
        return order % len(self.one), begins, beside[order]

    @cached_property
    def _island(self) -> IntArray:
        return islands(self.node_count, self.one, self.other)

    @cached_property
    def _network(self) -> FewNodes:
        return FewNodes(NodeOrder(self.node_count, self.one, self.other), self.siemens)

    @cached_property
    def _at(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for place, site in enumerate(self.sites):
            if site:
                found.setdefault(site, []).append(place)
        return found

    @cached_property
    def _of_part(self) -> dict[str, tuple[int, ...]]:
        found: dict[str, list[int]] = {}
        for place, part in enumerate(self.parts):
            if part:
                found.setdefault(part, []).append(place)
        return {part: tuple(places) for part, places in found.items()}

    @cached_property
    def _alongs(self) -> dict[int, Driven]:
        return {}

    @cached_property
    def _losses(self) -> dict[tuple[int, ...], Loss]:
        return {}

    def _loss_of(self, gone: tuple[int, ...]) -> Loss:
        """Give what the network loses with some branches of an island; kept."""
        found = self._losses.get(gone)
        if found is None:
            ends = [(int(self.one[place]), int(self.other[place])) for place in gone]
            between = np.zeros((len(gone), len(gone)))
            for row, place in enumerate(gone):
                along = self._along(place)
                between[row, : row + 1] = between[: row + 1, row] = [along.between(*pair) for pair in ends[: row + 1]]
            siemens = self.siemens[list(gone)]
            root = np.sqrt(siemens)
            inner = np.diag(1.0 / siemens) - between
            found = self._losses[gone] = (*np.linalg.eigh(inner * np.outer(root, root)), root)
        return found

    def _along(self, place: int) -> Driven:
        """Give the volts with one ampere driven through a branch's ends; kept."""
        found = self._alongs.get(place)
        if found is None:
            found = self._alongs[place] = self._driven(int(self.one[place]), int(self.other[place]))
        return found

    def _driven(self, one: int, other: int) -> Driven:
        """Give the volts with one ampere driven into one node and out of another of its island."""
        return Driven(self._network, one, other)

    def _alone(self, kept: BoolArray) -> OhmsNet:
        """Give the network of some branches to be solved alone: it knows no parts and no sites."""
        one, other, siemens = self.one[kept], self.other[kept], self.siemens[kept]
        return OhmsNet(self.index, self.node_count, one, other, siemens, (), ())

    def _leave(self, kept: BoolArray) -> OhmsNet:
        places = np.flatnonzero(kept).tolist()
        return OhmsNet(
            self.index,
            self.node_count,
            self.one[kept],
            self.other[kept],
            self.siemens[kept],
            tuple(self.parts[place] for place in places),
            tuple(self.sites[place] for place in places),
        )


def ohms_net(harness: Harness, condition: Condition) -> OhmsNet:
    """Build the network of a harness as an ohmmeter sees it: supplies off, filaments cold, relays at rest.

    Leds, electronics, inverters and diodes are open: the meter's volts are too few for them.

    Raises
    ------
    ArgumentError, CircuitError
        Where the condition is none of the harness.
    """
    net = build_netlist(harness, without_supply(harness, condition))
    one, other = np.array(net.one, dtype=np.int64), np.array(net.other, dtype=np.int64)
    siemens = cold_siemens(net)
    places = np.flatnonzero((siemens > 0.0) & (one != other)).tolist()
    sites = tuple(net.sites[place] for place in places)
    return OhmsNet(
        dict(net.index),
        len(net.names),
        one[places],
        other[places],
        siemens[places],
        tuple(part_of_site(site) for site in sites),
        sites,
    )


def cold_siemens(net: Netlist) -> FloatArray:
    """Give the conductance in siemens that a meter on ohms finds in each branch of a netlist, shape (branches,).

    Filaments are cold; leds, electronics, diodes and whatever a relay, driver or inverter has to close are 0.
    """
    siemens: FloatArray = 1.0 / np.array(net.ohms)
    for lamp in net.lamps:
        siemens[lamp.branch] /= COLD_SHARE
    for line in net.lines:
        siemens[line.branch] = 0.0
    for mover in net.movers:
        siemens[list(mover.closes)] = 0.0
    return siemens


def as_shown(ohms: float) -> float:
    """Give ohms as a meter shows them: infinite from 50 MΩ on, never below zero."""
    return math.inf if ohms >= SHOWN_OPEN_OHMS else max(ohms, 0.0)
