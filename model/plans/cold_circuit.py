"""The loom as a meter on ohms sees it: supply off, filaments cold, relays at rest, control units unplugged.

The network is built once, with every contact of every switch and every plug mated in it and a node in the middle of
every wire. What a condition sets, and a short from one node to another, change single branches of it.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.bands import site_tolerance
from model.circuit.build import TOUCH_OHMS
from model.circuit.build_parts import build_netlist
from model.circuit.condition import APART, MATED, OUT, Condition, switch_position
from model.circuit.faults import Fault, FaultKind, part_of_site
from model.circuit.few_nodes import Driven, FewNodes, NodeOrder
from model.circuit.netlist import Netlist
from model.circuit.ohms_net import as_shown, cold_siemens
from model.harness.harness import Harness
from model.harness.parts import Switch
from model.harness.points import resolve_point, switch_contacts
from model.harness.records import Connector
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
        self._contacts_of: dict[str, list[Contact]] = {}
        for contact in self.contacts:
            self._contacts_of.setdefault(contact.switch.id, []).append(contact)
        self._standing = frozenset(part.id for part in (*harness.switches, *harness.connectors))
        self._rest: dict[str, BoolArray] = {}
        self._taken: dict[tuple[str, str], list[int]] = {}
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
    def order(self) -> NodeOrder:
        """The order in which the nodes are eliminated, whatever carries."""
        return NodeOrder(len(self.net.names), self.one, self.other, self.net.reference)

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
        """Tell which branches carry: those at rest in the key state, but for what is set.

        What a setting takes away is found once: a plan sets hundreds of things in each of its hundreds of conditions.
        """
        carries = self._at_rest(condition.key).copy()
        for name in condition.by_name.keys() & self._standing:
            self._stand(carries, name, condition)
        taken: list[int] = []
        for setting in condition.by_name.items():
            if setting not in self._taken:
                self._taken[setting] = taken_away(self.harness, self.branches_of, *setting)
            taken += self._taken[setting]
        carries[taken] = False
        return carries

    def _at_rest(self, key: str) -> BoolArray:
        """Tell which branches carry in a key state with nothing set; kept."""
        if key not in self._rest:
            carries = self._rest[key] = self.siemens > 0.0
            for name in self._standing:
                self._stand(carries, name, Condition(key))
        return self._rest[key]

    def _stand(self, carries: BoolArray, name: str, condition: Condition) -> None:
        """Let the contacts of a switch, or the cavities of a plug, carry as it stands in a condition."""
        part = self.harness.parts[name]
        if isinstance(part, Connector):
            cavities = self.branches_of.get(name, [])
            is_apart = condition.by_name.get(name, part.rest) in (APART, OUT)
            carries[cavities] = False if is_apart else self.siemens[cavities] > 0.0
        elif isinstance(part, Switch):
            position = switch_position(self.harness, part, condition)
            for contact in self._contacts_of.get(name, ()):
                carries[contact.branch] = position in contact.positions


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
    _driven: dict[tuple[int, int, bool], Driven] = field(default_factory=dict)
    _networks: dict[bool, FewNodes] = field(default_factory=dict)

    def _joins(self, *nodes: int) -> bool:
        network = self._network(least=False)
        return len({network.last_of(node) for node in nodes}) == 1

    def ohms(self, red: int, black: int, *, least: bool = False) -> float:
        """Give the ohms between two nodes, leads zeroed; infinite where open.

        Parameters
        ----------
        least
            True with every part as low as its tolerance lets it be.
        """
        if not self._joins(red, black):
            return math.inf
        return as_shown(self._between(red, black, least=least).between(red, black))

    def ohms_with(self, red: int, black: int, joined: tuple[int, int], ohms: float = TOUCH_OHMS) -> float:
        """Give the ohms between two nodes with a resistance laid between two others.

        Notes
        -----
        A branch more is a change of rank one: R - d² / (Z + r), with d the volts that one ampere from red to black
        puts across the new branch, Z the ohms between its ends without it and r its own.
        """
        one, other = joined
        if self._joins(red, black):
            whole = self._between(red, black)
            across = whole.between(one, other) if self._joins(red, one, other) else 0.0
            if not across:
                return self.ohms(red, black)
            there = self._between(one, other).between(one, other)
            return as_shown(whole.between(red, black) - across**2 / (there + ohms))
        if not self._joins(one, red):
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
        if not self._joins(*pushed, *read):
            return math.inf
        driven = self._between(*pushed)
        across = driven.between(*read)
        if joined is None:
            return across
        ends, ohms = joined
        beside = self._between(*ends)
        return across - driven.between(*ends) * beside.between(*read) / (beside.between(*ends) + ohms)

    def amps(self, red: int, black: int) -> FloatArray:
        """Give the share of a current from red to black that each branch carries, shape (branches,), without sign."""
        loom = self.loom
        if not self._joins(red, black):
            return np.zeros(len(loom.one))
        volts = self._network(least=False).all_volts(red, black)
        return np.asarray(np.abs(volts[loom.one] - volts[loom.other]) * np.where(self.carries, loom.siemens, 0.0))

    def _between(self, red: int, black: int, *, least: bool = False) -> Driven:
        """Give the volts for one ampere into one node and out of another of its island; kept."""
        found = self._driven.get((red, black, least))
        if found is None:
            found = self._driven[red, black, least] = Driven(self._network(least=least), red, black)
        return found

    def _network(self, *, least: bool) -> FewNodes:
        if least not in self._networks:
            siemens = self.loom.most_siemens if least else self.loom.siemens
            self._networks[least] = FewNodes(self.loom.order, np.where(self.carries, siemens, 0.0))
        return self._networks[least]


def _beside(net: Netlist) -> list[list[tuple[int, int]]]:
    beside: list[list[tuple[int, int]]] = [[] for _ in net.names]
    for branch, (one, other) in enumerate(zip(net.one, net.other, strict=True)):
        beside[one].append((branch, other))
        beside[other].append((branch, one))
    return beside
