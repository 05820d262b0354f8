"""The metal of a loom as nets, the gates between them, and how a feed spreads from fuse to fuse."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from model.circuit.condition import rest_position
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.metal import same_metal
from model.harness.parts import Switch
from model.harness.points import contacts
from model.tracing.graph import METAL_KINDS, Link, LinkKind, charger_posts, hot_posts, links_of
from model.tracing.nets import ground_metal, nets_of

LAST_CHOICE = 1000
"""From this cost on a way goes through the exciter of a charger: it feeds a coil or a lamp, never a circuit."""

_CLOSED_AT_REST, _OPEN_AT_REST, _RESISTING = 10, 11, 12
_METAL = METAL_KINDS | {LinkKind.FUSE}
_ONE_WAY = frozenset({LinkKind.DRIVER, LinkKind.OUTPUT, LinkKind.DIODE})


@dataclass(frozen=True, slots=True)
class Gate:
    """What leads from one net into another: a contact, a driver, a resistance, a diode.

    Attributes
    ----------
    near, far
        The nets, by the point that stands for each; a feed goes from near to far.
    cost
        The less, the sooner a feed is taken to go this way.
    """

    link: Link
    near: str
    far: str
    cost: int


@dataclass(frozen=True, slots=True)
class Spread:
    """How one feed reaches a net: at what cost, and through which gate; None where it begins there."""

    cost: int
    gate: Gate | None


@dataclass(frozen=True)
class Loom:
    """The nets of a harness and its gates.

    Attributes
    ----------
    ground
        Nets of the bodies and of the grounded posts.
    gates
        Net → the gates that lead a feed out of it.
    gates_into
        Net → the gates that lead a feed into it.
    ground_gates
        Net → the gates that lead from it towards what hangs on its ground side.
    origins
        Net → the fuses and posts at which a feed begins there, posts first, fuses in the order of the file.
    upstream
        Fuse → the net before it.
    downstream
        Fuse → the net behind it.
    ground_fuses
        Fuses between loads and the ground side, or within it: they feed nothing.
    """

    harness: Harness
    ground: frozenset[str]
    gates: Mapping[str, tuple[Gate, ...]]
    gates_into: Mapping[str, tuple[Gate, ...]]
    ground_gates: Mapping[str, tuple[Gate, ...]]
    origins: Mapping[str, tuple[str, ...]]
    upstream: Mapping[str, str]
    downstream: Mapping[str, str]
    ground_fuses: tuple[str, ...]

    def net(self, point: str) -> str:
        """Name the net of a point."""
        return same_metal(self.harness, point)


@once_per_harness
def loom_of(harness: Harness) -> Loom:
    """Give the nets of a harness, its gates, and where its feeds begin."""
    ground, fuses = ground_metal(harness), _fuses(harness)
    every = _gates(harness)
    feeding = [gate for gate in every if gate.near not in ground and gate.far not in ground]
    posts = _posts(harness, ground, feeding, fuses)
    reached = _reached(_neighbours(feeding, fuses), posts.values(), ground)
    grounding = {fuse_id: ends for fuse_id, ends in fuses.items() if _is_ground_side(ends, ground, reached)}
    upstream = {fuse_id: gate.near for fuse_id, gate in fuses.items() if fuse_id not in grounding}
    downstream = {fuse_id: gate.far for fuse_id, gate in fuses.items() if fuse_id not in grounding}
    ground_ways = (*_ground_gates(every), *grounding.values(), *map(_turned, grounding.values()))
    return Loom(
        harness,
        ground,
        _indexed(feeding, lambda gate: gate.near),
        _indexed(feeding, lambda gate: gate.far),
        _indexed(ground_ways, lambda gate: gate.near),
        _origins(posts, ground, downstream),
        upstream,
        downstream,
        tuple(grounding),
    )


def _fuses(harness: Harness) -> dict[str, Gate]:
    """Give each fuse as a gate from the end that is nearer the supply, in the order of the file."""
    nets = nets_of(harness)
    found: dict[str, Gate] = {}
    for link in links_of(harness):
        if link.kind is LinkKind.FUSE:
            near, far = nets.upstream[link.part_id], nets.downstream[link.part_id]
            found[link.part_id] = Gate(link, same_metal(harness, near), same_metal(harness, far), _CLOSED_AT_REST)
    return found


def _is_ground_side(fuse: Gate, ground: frozenset[str], reached: set[str]) -> bool:
    """Tell whether a fuse has an end on the ground side and none that a source reaches."""
    ends = {fuse.near, fuse.far}
    return not ends.isdisjoint(ground) and (ends - ground).isdisjoint(reached)


def _turned(gate: Gate) -> Gate:
    return Gate(gate.link, gate.far, gate.near, gate.cost)


def _indexed(gates: Iterable[Gate], net_of: Callable[[Gate], str]) -> dict[str, tuple[Gate, ...]]:
    found: dict[str, list[Gate]] = {}
    for gate in gates:
        if gate.near != gate.far:
            found.setdefault(net_of(gate), []).append(gate)
    return {net: tuple(there) for net, there in found.items()}


def _gates(harness: Harness) -> list[Gate]:
    """List every gate in each direction in which a feed can go through it."""
    found = []
    hot_is_minus = harness.build.ground_side == "positive"
    for link in links_of(harness):
        if link.kind in _METAL:
            continue
        one, other, cost = same_metal(harness, link.one), same_metal(harness, link.other), _cost(harness, link)
        is_turned = link.kind is LinkKind.DIODE and hot_is_minus
        if link.kind not in _ONE_WAY or not is_turned:
            found.append(Gate(link, one, other, cost))
        if link.kind not in _ONE_WAY or is_turned:
            found.append(Gate(link, other, one, cost))
    return found


def _ground_gates(gates: Iterable[Gate]) -> Iterable[Gate]:
    """Give the gates as the ground side goes through them: a diode the other way round, no output."""
    for gate in gates:
        if gate.link.kind is LinkKind.DIODE:
            yield _turned(gate)
        elif gate.link.kind is not LinkKind.OUTPUT:
            yield gate


def _cost(harness: Harness, link: Link) -> int:
    match link.kind:
        case LinkKind.SWITCH:
            switch = harness.part_of(link.part_id, Switch)
            closed = contacts(switch.positions[rest_position(switch)])
            pair = tuple(link.site.partition(":")[2].split("-", 1))
            names = {f"{common}-{other}" for common, other in closed}
            return _CLOSED_AT_REST if "-".join(pair) in names else _OPEN_AT_REST
        case LinkKind.RELAY:
            return _OPEN_AT_REST if link.pulled else _CLOSED_AT_REST
        case LinkKind.EXCITER:
            return LAST_CHOICE
    return _RESISTING


def _posts(
    harness: Harness, ground: frozenset[str], feeding: Iterable[Gate], fuses: Mapping[str, Gate]
) -> dict[str, str]:
    """Give the posts of the sources with their nets: those of batteries, and of chargers that no battery reaches."""
    posts = {post: same_metal(harness, post) for post in hot_posts(harness)}
    posts = {post: net for post, net in posts.items() if net not in ground}
    neighbours = _neighbours(feeding, fuses)
    reached = _reached(neighbours, posts.values(), ground)
    for post in charger_posts(harness, hot=True):
        net = same_metal(harness, post)
        if net not in reached and net not in ground:
            posts[post] = net
            reached |= _reached(neighbours, [net], ground)
    return posts


def _origins(
    posts: Mapping[str, str], ground: frozenset[str], downstream: Mapping[str, str]
) -> dict[str, tuple[str, ...]]:
    """Give where feeds begin: at the posts and behind the fuses."""
    found: dict[str, list[str]] = {}
    for label, net in (*posts.items(), *downstream.items()):
        if net not in ground:
            found.setdefault(net, []).append(label)
    return {net: tuple(labels) for net, labels in found.items()}


def _neighbours(feeding: Iterable[Gate], fuses: Mapping[str, Gate]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for gate in (*feeding, *fuses.values()):
        found.setdefault(gate.near, set()).add(gate.far)
        found.setdefault(gate.far, set()).add(gate.near)
    return found


def _reached(neighbours: Mapping[str, set[str]], starts: Iterable[str], ground: frozenset[str]) -> set[str]:
    found = set(starts)
    waiting = list(found)
    while waiting:
        for net in neighbours.get(waiting.pop(), ()):
            if net not in found and net not in ground:
                found.add(net)
                waiting.append(net)
    return found


def spread(
    gates: Mapping[str, tuple[Gate, ...]], starts: Iterable[str], ends: Callable[[str], bool]
) -> dict[str, Spread]:
    """Give every net that gates lead to, the cheapest way first.

    Parameters
    ----------
    ends
        Nets that are not entered.
    """
    found: dict[str, Spread] = {}
    waiting: list[tuple[int, int, str, Gate | None]] = [(0, n, net, None) for n, net in enumerate(starts)]
    heapq.heapify(waiting)
    pushed = len(waiting)
    while waiting:
        cost, _, net, gate = heapq.heappop(waiting)
        if net in found:
            continue
        found[net] = Spread(cost, gate)
        for leaving in gates.get(net, ()):
            if leaving.far not in found and not ends(leaving.far):
                pushed += 1
                heapq.heappush(waiting, (cost + leaving.cost, pushed, leaving.far, leaving))
    return found
