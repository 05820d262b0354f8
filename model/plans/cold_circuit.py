"""The loom as a meter on ohms sees it: supply off, filaments cold, relays at rest, control units unplugged.

The network is built once, with every contact of every switch and every plug mated in it and a node in the middle of
every wire. What a condition sets, and a short from one node to another, change single branches of it.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.bands import site_tolerance
from model.circuit.build import TOUCH_OHMS
from model.circuit.build_parts import build_netlist
from model.circuit.condition import APART, MATED, OUT, Condition, switch_position
from model.circuit.elimination import Elimination
from model.circuit.faults import Fault, FaultKind, part_of_site
from model.circuit.netlist import Netlist
from model.circuit.ohms_net import as_shown, cold_siemens
from model.circuit.solver import Core, islands
from model.harness.harness import Harness
from model.harness.points import resolve_point, switch_contacts
from model.plans.cold_settings import Contact, contacts_of, taken_away

_MOST_TOLERANCE = 0.95
_CIRCUITS_KEPT = 60


class ColdLoom:
    """A loom whose conditions are to be read with a meter on ohms.

    Attributes
    ----------
    net
        The network with every fuse in, every contact of a switch closed, every plug mated, no supply and no control
        unit.
    one, other
        Shape (branches,), nodes of each branch.
    contacts
        The contacts of all switches.
    branches_of
        The branches of each part and wire.
    beside
        Of each node its branches, each with the node at its far end.
    """

    def __init__(self, harness: Harness) -> None:
        self.harness = harness
        parts = (*harness.batteries, *harness.chargers, *harness.modules)
        stuck = tuple(
            Fault(f"{switch.id}:{one}-{other}", FaultKind.STUCK)
            for switch in harness.switches
            for one, other in switch_contacts(switch)
        )
        settings = [(part.id, OUT) for part in parts] + [(plug.id, MATED) for plug in harness.connectors]
        condition = Condition(harness.key_names[0], tuple(settings), stuck)
        self.net = build_netlist(harness, condition, split=frozenset(wire.id for wire in harness.wires))
        self.one: IntArray = np.array(self.net.one, dtype=np.int64)
        self.other: IntArray = np.array(self.net.other, dtype=np.int64)
        self.siemens, self.most_siemens = self._cold_siemens()
        self.contacts = tuple(contacts_of(harness, self.net))
        self.branches_of: dict[str, list[int]] = {}
        for branch, site in enumerate(self.net.sites):
            if site:
                self.branches_of.setdefault(part_of_site(site), []).append(branch)
        self.beside = _beside(self.net)
        self._keys: dict[Condition, bytes] = {}
        self._circuits: OrderedDict[bytes, ColdCircuit] = OrderedDict()

    def _cold_siemens(self) -> tuple[FloatArray, FloatArray]:
        """Give the conductance of each branch in siemens, and the most that its tolerance lets it have."""
        net: Netlist = self.net
        siemens = cold_siemens(net)
        share = {site: min(site_tolerance(self.harness, site), _MOST_TOLERANCE) for site in set(net.sites) if site}
        return siemens, siemens / (1.0 - np.array([share.get(site, 0.0) for site in net.sites]))

    def node(self, point: str) -> int:
        """Give the node of a point; the ``in`` of a fuse on a busbar is the busbar."""
        return self.net.index[resolve_point(self.harness, point)]

    @cached_property
    def contact_at(self) -> dict[int, Contact]:
        """The contact that each branch of a switch is."""
        return {contact.branch: contact for contact in self.contacts}

    @cached_property
    def wire_at(self) -> dict[int, str]:
        """The wire that each node in the middle of one belongs to, in the order of the file."""
        return {self.middle(wire.id): wire.id for wire in self.harness.wires}

    @cached_property
    def elimination(self) -> tuple[Elimination, Core]:
        """The order in which the nodes are eliminated, whatever carries, and what is left of the network then."""
        count, reference = len(self.net.names), self.net.reference
        keep = np.zeros(count, dtype=bool)
        keep[reference] = True
        order = Elimination(count, self.one, self.other, keep, core_at_most=1)
        at = int(np.searchsorted(order.core, reference))
        return order, Core(len(order.core), order.core_one, order.core_other, at)

    def middle(self, wire_id: str) -> int:
        """Give the node in the middle of a wire."""
        return self.net.index[f"{wire_id} middle"]

    def circuit(self, condition: Condition) -> ColdCircuit:
        """Give the circuit of a condition: switches and plugs as they stand, all that is out or off left away.

        Raises
        ------
        ValueError
            Where something is set that the network knows at rest alone: a sender or dimmer, a socket.
        """
        if condition not in self._keys:
            self._keys[condition] = self._carries(condition).tobytes()
        key = self._keys[condition]
        if key not in self._circuits:
            self._circuits[key] = ColdCircuit(self, np.frombuffer(key, dtype=bool))
            if len(self._circuits) > _CIRCUITS_KEPT:
                self._circuits.popitem(last=False)
        self._circuits.move_to_end(key)
        return self._circuits[key]

    def _carries(self, condition: Condition) -> BoolArray:
        carries = self.siemens > 0.0
        for contact in self.contacts:
            position = switch_position(self.harness, contact.switch, condition)
            carries[contact.branch] = position in contact.positions
        for plug in self.harness.connectors:
            if condition.by_name.get(plug.id, plug.rest) in (APART, OUT):
                carries[self.branches_of.get(plug.id, [])] = False
        for name, value in condition.by_name.items():
            carries[taken_away(self.harness, self.branches_of, name, value)] = False
        return carries


@dataclass
class ColdCircuit:
    """The branches of a loom that carry in one condition, ready to be read between any two nodes.

    Attributes
    ----------
    carries
        Shape (branches,).
    """

    loom: ColdLoom
    carries: BoolArray
    _columns: dict[tuple[int, bool], FloatArray] = field(default_factory=dict)
    _solvers: dict[bool, Callable[[FloatArray], FloatArray]] = field(default_factory=dict)
    _island: IntArray | None = None

    @property
    def island(self) -> IntArray:
        """Shape (nodes,), the same number for nodes that something joins."""
        if self._island is None:
            loom = self.loom
            self._island = islands(len(loom.net.names), loom.one[self.carries], loom.other[self.carries])
        return self._island

    def ohms(self, red: int, black: int, *, least: bool = False) -> float:
        """Give the ohms between two nodes, leads zeroed; infinite where open.

        Parameters
        ----------
        least
            True with every part as low as its tolerance lets it be.
        """
        if self.island[red] != self.island[black]:
            return math.inf
        return as_shown(self._across(self._between(red, black, least), red, black))

    def ohms_with(self, red: int, black: int, joined: tuple[int, int], ohms: float = TOUCH_OHMS) -> float:
        """Give the ohms between two nodes with a resistance laid between two others.

        Notes
        -----
        A branch more is a change of rank one: R - d² / (Z + r), with d the volts that one ampere from red to black
        puts across the new branch, Z the ohms between its ends without it and r its own.
        """
        one, other = joined
        island = self.island
        if island[red] == island[black]:
            whole = self._between(red, black, least=False)
            across = self._across(whole, one, other) if island[one] == island[other] == island[red] else 0.0
            if not across:
                return self.ohms(red, black)
            there = self._between(one, other, least=False)
            return as_shown(self._across(whole, red, black) - across**2 / (self._across(there, one, other) + ohms))
        if island[one] != island[red]:
            one, other = other, one
        return as_shown(self.ohms(red, one) + ohms + self.ohms(other, black))

    def transfer_ohms(
        self,
        pushed: tuple[int, int],
        read: tuple[int, int],
        joined: tuple[tuple[int, int], float] | None = None,
    ) -> float:
        """Give the volts between two nodes for each ampere that is driven into one node and out of another.

        Parameters
        ----------
        pushed, read
            Nodes that the current goes in and out at, and nodes of the red and the black probe.
        joined
            Two nodes that a resistance in ohms is laid between.

        Returns
        -------
        float
            Infinite where nothing joins all of them.
        """
        if len({int(self.island[node]) for node in (*pushed, *read)}) > 1:
            return math.inf
        volts = self._between(*pushed, least=False)
        across = self._across(volts, *read)
        if joined is None:
            return across
        ends, ohms = joined
        beside = self._between(*ends, least=False)
        return across - self._across(volts, *ends) * self._across(beside, *read) / (self._across(beside, *ends) + ohms)

    def amps(self, red: int, black: int) -> FloatArray:
        """Give the share of a current from red to black that each branch carries, shape (branches,), without sign."""
        loom = self.loom
        if self.island[red] != self.island[black]:
            return np.zeros(len(loom.one))
        volts = self._between(red, black, least=False)
        return np.asarray(np.abs(volts[loom.one] - volts[loom.other]) * np.where(self.carries, loom.siemens, 0.0))

    def _between(self, red: int, black: int, least: bool) -> FloatArray:
        return self._column(red, least) - self._column(black, least)

    @staticmethod
    def _across(volts: FloatArray, one: int, other: int) -> float:
        return float(volts[one] - volts[other])

    def _column(self, node: int, least: bool) -> FloatArray:
        """Give the volts of each node for one ampere into one of them and out at the one its island is held by."""
        found = self._columns.get((node, least))
        if found is None:
            push_amps = np.zeros(len(self.loom.net.names))
            push_amps[node] = 1.0
            found = self._columns[node, least] = self._solver(least)(push_amps)
        return found

    def _solver(self, least: bool) -> Callable[[FloatArray], FloatArray]:
        if least not in self._solvers:
            loom = self.loom
            order, core = loom.elimination
            factor = order.factor(np.where(self.carries, loom.most_siemens if least else loom.siemens, 0.0))

            def volts_for(push_amps: FloatArray) -> FloatArray:
                amps = factor.inward(push_amps)
                volts = np.zeros(len(loom.net.names))
                volts[order.core] = core.volts(factor.core_siemens, amps[order.core])
                return factor.outward(volts, amps)

            self._solvers[least] = volts_for
        return self._solvers[least]


def _beside(net: Netlist) -> list[list[tuple[int, int]]]:
    beside: list[list[tuple[int, int]]] = [[] for _ in net.names]
    for branch, (one, other) in enumerate(zip(net.one, net.other, strict=True)):
        beside[one].append((branch, other))
        beside[other].append((branch, one))
    return beside
