"""Which fuse feeds each net and end of a load, through which gates, and through which its ground side goes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.harness.derived import once_per_harness
from model.harness.harness import Harness, all_elements
from model.harness.points import relay_coils
from model.review.glance_nets import LAST_CHOICE, Gate, Loom, Spread, loom_of, spread

Groups = tuple[tuple[str, ...], ...]
"""The parts that a way goes through one after another; those of a group stand beside each other."""


@dataclass(frozen=True, slots=True)
class Taker:
    """What takes current: an element of a load, a feed of a module, the coil of a relay.

    Attributes
    ----------
    name
        ``E1:dip``, ``A2:75``; of a coil ``K1:86-85``.
    is_fed
        True where a fuse or post reaches one of its ends.
    point
        Its hot end.
    net, cold_net
        The nets of its hot end and of the other one; of what is not fed in the order of the file.
    ground_through
        The gates on its ground side, from the taker on.
    """

    name: str
    part_id: str
    is_coil: bool
    is_fed: bool
    point: str
    net: str
    cold_net: str
    ground_through: Groups


@dataclass(frozen=True)
class Feeds:
    """What feeds each net.

    Attributes
    ----------
    spreads
        Fuse or post → what it reaches.
    label
        Net → the fuse or post that feeds it first.
    also
        Net → the others that may feed it.
    """

    loom: Loom
    spreads: dict[str, dict[str, Spread]]
    label: dict[str, str]
    also: dict[str, tuple[str, ...]]
    grounds: dict[str, Spread]

    def gate_into(self, net: str) -> Gate | None:
        """Give the gate through which a net is fed; None where its feed begins there."""
        label = self.label.get(net)
        return None if label is None else self.spreads[label][net].gate

    def gates_between(self, near: str, far: str) -> tuple[Gate, ...]:
        """List the gates from one net into another, those of an exciter left out where there are others."""
        every = [gate for gate in self.loom.gates.get(near, ()) if gate.far == far]
        plain = tuple(gate for gate in every if gate.cost < LAST_CHOICE)
        return plain or tuple(every)

    def hot_cost(self, net: str) -> float:
        """Tell how far a net is from where its feed begins; infinite where none reaches it."""
        label = self.label.get(net)
        return float("inf") if label is None or net in self.loom.ground else self.spreads[label][net].cost

    def fed_through(self, net: str) -> Groups:
        """Name the parts on the way from a fuse or post to a net."""
        found: list[tuple[str, ...]] = []
        gate = self.gate_into(net)
        while gate is not None:
            found.append(part_ids(self.gates_between(gate.near, gate.far)))
            gate = self.gate_into(gate.near)
        return tuple(reversed(found))

    def beside(self, net: str) -> tuple[str, ...]:
        """Name the parts on longer ways from the same feed to a net, those of its own way left out."""
        into, label = self.gate_into(net), self.label.get(net)
        if into is None or into.cost >= LAST_CHOICE:
            return ()
        own = {part_id for group in self.fed_through(net) for part_id in group}
        found: dict[str, None] = {}
        for gate in self.loom.gates_into.get(net, ()):
            if gate.near != into.near and self.label.get(gate.near) == label and not self._is_behind(gate.near, net):
                on_way = [part_id for group in self.fed_through(gate.near) for part_id in group]
                found.update(dict.fromkeys((*on_way, gate.link.part_id)))
        return tuple(part_id for part_id in found if part_id not in own)

    def _is_behind(self, net: str, before: str) -> bool:
        gate = self.gate_into(net)
        while gate is not None and gate.near != before:
            gate = self.gate_into(gate.near)
        return gate is not None

    def grounded_through(self, net: str) -> Groups:
        """Name the parts on the way from a net to the ground side."""
        found: list[tuple[str, ...]] = []
        gate = self.grounds[net].gate if net in self.grounds else None
        while gate is not None:
            beside = [one for one in self.loom.ground_gates[gate.near] if one.far == gate.far]
            found.append(part_ids(one for one in beside if one.cost < LAST_CHOICE or gate.cost >= LAST_CHOICE))
            gate = self.grounds[gate.near].gate
        return tuple(found)


def part_ids(gates: Iterable[Gate]) -> tuple[str, ...]:
    """Name the parts that gates belong to, each once."""
    return tuple(dict.fromkeys(gate.link.part_id for gate in gates))


@once_per_harness
def feeds_of(harness: Harness) -> Feeds:
    """Give what feeds each net of a harness.

    Notes
    -----
    A feed begins at a post or behind a fuse and spreads through gates up to where another begins: what would come back
    from there is no feed but a back path. Of several feeds the one with the fewest gates is the first, those that are
    closed at rest before others.
    """
    loom = loom_of(harness)
    spreads: dict[str, dict[str, Spread]] = {}
    for net, labels in loom.origins.items():
        found = spread(loom.gates, [net], lambda far: far in loom.origins or far in loom.ground)
        spreads.update(dict.fromkeys(labels, found))
    place = {label: number for number, label in enumerate(spreads)}
    by_net: dict[str, list[tuple[int, int, str]]] = {}
    for label, reached in spreads.items():
        for net, one in reached.items():
            by_net.setdefault(net, []).append((one.cost, place[label], label))
    first: dict[str, str] = {}
    also: dict[str, tuple[str, ...]] = {}
    for net, ways in by_net.items():
        ways.sort()
        first[net] = ways[0][2]
        also[net] = tuple(label for cost, _, label in ways[1:] if cost < LAST_CHOICE)
    grounds = spread(loom.ground_gates, sorted(loom.ground), lambda far: far in loom.origins)
    return Feeds(loom, spreads, first, also, grounds)


@once_per_harness
def takers_of(harness: Harness) -> tuple[Taker, ...]:
    """List everything that takes current: loads and modules as the file has them, then the coils."""
    feeds = feeds_of(harness)
    found = [
        _taker(feeds, (element.name, element.part_id), (element.from_point, element.to_point), is_coil=False)
        for element in all_elements(harness)
    ]
    for relay in harness.relays:
        for one, other, _ in relay_coils(relay, harness.build.nominal_volts):
            names = f"{relay.id}:{one}-{other}", relay.id
            found.append(_taker(feeds, names, (f"{relay.id}.{one}", f"{relay.id}.{other}"), is_coil=True))
    return tuple(found)


def _taker(feeds: Feeds, names: tuple[str, str], ends: tuple[str, str], *, is_coil: bool) -> Taker:
    """Give a taker with the end that is nearer to its feed as the hot one; of equal ones that of the hot side."""
    harness = feeds.loom.harness
    nets = [(point, feeds.loom.net(point)) for point in ends]
    if harness.build.ground_side == "positive":
        nets.reverse()
    (point, hot), (_, cold) = sorted(nets, key=lambda end: feeds.hot_cost(end[1]))
    is_fed = feeds.hot_cost(hot) < float("inf")
    return Taker(*names, is_coil, is_fed, point, hot, cold, feeds.grounded_through(cold) if is_fed else ())


@once_per_harness
def workers_of(harness: Harness) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """Give of each relay the parts that switch its coils, and the fuses and posts that feed them."""
    feeds = feeds_of(harness)
    found: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {}
    for coil in takers_of(harness):
        if not coil.is_coil or not coil.is_fed:
            continue
        groups = (*feeds.fed_through(coil.net), *coil.ground_through)
        by, fed = found.get(coil.part_id, ((), ()))
        switching = [part_id for group in groups for part_id in group if part_id != coil.part_id]
        found[coil.part_id] = (
            tuple(dict.fromkeys((*by, *switching))),
            tuple({**dict.fromkeys(fed), feeds.label[coil.net]: None}),
        )
    return found
