"""What stands between a net and those behind it: gates grouped by their parts, each with its outlets."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.harness.harness import Harness
from model.harness.metal import same_metal
from model.harness.parts import Relay, Switch
from model.harness.points import contacts, relay_groups
from model.review.glance import Gateway, Outlet
from model.review.glance_feeds import Feeds, part_ids, workers_of
from model.review.glance_nets import Gate

AT_REST, PULLED_IN = "at rest", "pulled in"


@dataclass(frozen=True, slots=True)
class Branching:
    """The parts of a gate, and the nets that it leads to, each by its outlet."""

    gateway: Gateway
    nets: tuple[tuple[str, Outlet], ...]


def branchings(feeds: Feeds, net: str, children: Iterable[str]) -> tuple[Branching, ...]:
    """Group the nets behind a net by the parts that lead there."""
    grouped: dict[tuple[str, ...], list[tuple[str, tuple[Gate, ...]]]] = {}
    for child in children:
        gates = feeds.gates_between(net, child)
        grouped.setdefault(part_ids(gates), []).append((child, gates))
    harness = feeds.loom.harness
    return tuple(
        Branching(gateway_of(harness, parts), tuple((child, outlet_of(harness, gates)) for child, gates in found))
        for parts, found in grouped.items()
    )


def gateway_of(harness: Harness, parts: tuple[str, ...], outlet: Outlet | None = None) -> Gateway:
    """Give the gate that parts make, with what works the relays among them."""
    by: dict[str, None] = {}
    fed: dict[str, None] = {}
    for part_id in parts:
        if isinstance(harness.parts[part_id], Relay):
            workers, on = workers_of(harness).get(part_id, ((), ()))
            by.update(dict.fromkeys(workers))
            fed.update(dict.fromkeys(on))
    return Gateway(parts, outlet or Outlet(), tuple(by), () if by else tuple(fed))


def outlet_of(harness: Harness, gates: tuple[Gate, ...]) -> Outlet:
    """Give the terminals by which gates are left, with their parts where these are several, and the positions.

    Positions that let every feed of the part through are not named, but of the key switch.
    """
    parts = part_ids(gates)
    points = dict.fromkeys(_far_point(harness, gate) for gate in gates)
    if len(parts) != 1:
        return Outlet(tuple(points))
    terminals = tuple(point.partition(".")[2] for point in points)
    match harness.parts[parts[0]]:
        case Switch() as switch:
            return Outlet(terminals, _positions(switch, gates))
        case Relay() as relay:
            return Outlet(terminals, _relay_states(relay, gates))
    return Outlet(terminals)


def _relay_states(relay: Relay, gates: tuple[Gate, ...]) -> tuple[str, ...]:
    """Say whether a relay is at rest or pulled in where it lets through; a relay that only makes need not be told."""
    states = {gate.link.pulled for gate in gates}
    if len(states) > 1 or (True in states and not contacts(relay_groups(relay)[0])):
        return ()
    return (PULLED_IN,) if True in states else (AT_REST,)


def _far_point(harness: Harness, gate: Gate) -> str:
    link = gate.link
    return link.other if same_metal(harness, link.other) == gate.far else link.one


def _positions(switch: Switch, gates: tuple[Gate, ...]) -> tuple[str, ...]:
    sites = {gate.link.site.partition(":")[2] for gate in gates}
    closing = [name for name, groups in switch.positions.items() if sites & _contact_names(groups)]
    joining = [name for name, groups in switch.positions.items() if groups]
    return tuple(closing) if switch.key or closing != joining else ()


def _contact_names(groups: tuple[tuple[str, ...], ...]) -> set[str]:
    return {f"{common}-{other}" for common, other in contacts(groups)}
