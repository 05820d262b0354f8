"""Where the current of a settled circuit goes: metal behind each fuse, what hangs on it, what leaves the battery."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from model.circuit.faults import part_of_site
from model.circuit.settle import Settled
from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.parts import Battery, Charger, Diode, Fuse, Load, Module, Relay, ResistorPack
from model.harness.supply import grounded_posts
from model.tracing.graph import hot_posts
from model.tracing.nets import nets_of

NEXT_TO_NOTHING_AMPS = 1e-4
"""Less than this is no draw: a tenth of a milliampere takes 1 Ah in a year."""


@dataclass(frozen=True, slots=True)
class Drawer:
    """Something that draws current: an element, a feed of a module, a coil, an exciter or a resistance.

    Attributes
    ----------
    name
        ``E1:dip``, ``A1:30``, ``K1:coil``, ``G2``, ``R1:level``.
    amps
        That it takes.
    """

    name: str
    amps: float

    @property
    def part_id(self) -> str:
        """The part that it belongs to."""
        return part_of_site(self.name)


class Flow:
    """A settled circuit as pieces of closed metal, fuses between them and what draws.

    A piece is everything that wires, joints, mated cavities, grounds, closed contacts and conducting diodes join.

    Parameters
    ----------
    settled
        Of any condition.
    """

    def __init__(self, settled: Settled) -> None:
        self._settled = settled
        self._harness = settled.net.harness
        self._sign = -1.0 if self._harness.build.ground_side == "positive" else 1.0
        self._piece_of = _pieces(settled)

    def piece(self, point: str) -> int:
        """Give the piece of metal that a point belongs to, by a number."""
        return self._piece_of[self._settled.net.index[point]]

    @cached_property
    def hot(self) -> frozenset[int]:
        """The pieces on which a post of a battery that feeds lies, taps of a chain among them."""
        return frozenset(map(self.piece, hot_posts(self._harness))) - self.grounded

    @cached_property
    def grounded(self) -> frozenset[int]:
        """The pieces on which a grounded post lies."""
        return frozenset(map(self.piece, grounded_posts(self._harness)))

    @cached_property
    def fuse_amps(self) -> dict[str, float]:
        """Fuse → amperes from its feed side to its load side as loads draw them; 0 where it is out or blown."""
        found = {fuse.id: 0.0 for fuse in self._harness.fuses}
        settled = self._settled
        for link in settled.net.fuses:
            if link.part_id in settled.blown:
                continue
            away = settled.net.one[link.branch] == self._feed_node(link.part_id)
            found[link.part_id] = self._sign * float(settled.amps[link.branch]) * (1.0 if away else -1.0)
        return found

    def _feed_node(self, fuse_id: str) -> int:
        return self._settled.net.index[nets_of(self._harness).upstream[fuse_id]]

    @cached_property
    def fuse_pieces(self) -> dict[str, tuple[int, int]]:
        """Fuse → the piece on its feed side and the piece on its load side."""
        nets = nets_of(self._harness)
        return {
            fuse.id: (self.piece(nets.upstream[fuse.id]), self.piece(nets.downstream[fuse.id]))
            for fuse in self._harness.fuses
        }

    @cached_property
    def drawers(self) -> dict[int, tuple[Drawer, ...]]:
        """Piece → what draws out of it, the most first; what only passes current on stands on both of its pieces."""
        found: dict[int, list[Drawer]] = {}
        for piece, drawer in self._drawing():
            found.setdefault(piece, []).append(drawer)
        return {piece: tuple(sorted(every, key=lambda one: -one.amps)) for piece, every in found.items()}

    def _drawing(self) -> Iterator[tuple[int, Drawer]]:
        settled, net = self._settled, self._settled.net
        for branch, site in enumerate(net.sites):
            amps = self._sign * float(settled.amps[branch])
            if abs(amps) < NEXT_TO_NOTHING_AMPS or not _draws(self._harness, site, net.emf_volts[branch]):
                continue
            one, other = self._piece_of[net.one[branch]], self._piece_of[net.other[branch]]
            source = one if amps > 0 else other
            if one != other and source not in self.grounded:
                yield source, Drawer(site, abs(amps))

    def battery_amps(self, battery_id: str) -> float:
        """Give the current in amperes that a battery gives; negative where it is charged."""
        settled, net = self._settled, self._settled.net
        plus = net.index[f"{battery_id}.+"]
        lines = [branch for branch, site in enumerate(net.sites) if site == battery_id]
        return sum(float(settled.amps[at]) * (1.0 if net.other[at] == plus else -1.0) for at in lines)


def _pieces(settled: Settled) -> list[int]:
    """Give the piece of each node: nodes that closed metal joins have the same number."""
    net, joins = settled.net, settled.relaxed.joins
    parent = list(range(len(net.names)))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    fuses = {link.branch for link in net.fuses}
    for branch, (one, other) in enumerate(zip(net.one, net.other, strict=True)):
        if joins[branch] and branch not in fuses and _is_metal(net.harness, net.sites[branch], net.emf_volts[branch]):
            parent[root(other)] = root(one)
    return [root(node) for node in range(len(parent))]


def _is_metal(harness: Harness, site: str, emf_volts: float) -> bool:
    part = _part_of(harness, site)
    return part is not None and not isinstance(part, Battery | Fuse) and not _draws(harness, site, emf_volts)


def _draws(harness: Harness, site: str, emf_volts: float) -> bool:
    """Tell whether a branch takes current rather than pass it on."""
    part = _part_of(harness, site)
    match part:
        case Relay():
            return site == f"{part.id}:coil"
        case Module():
            return emf_volts != 0.0 or site in {f"{part.id}:{feed.terminal}" for feed in part.feeds}
        case Diode() | Battery() | Fuse():
            return False
        case Load() | Charger() | ResistorPack():
            return True
    return False


def _part_of(harness: Harness, site: str) -> Part | None:
    return harness.parts.get(part_of_site(site)) if site else None
