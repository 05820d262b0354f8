"""What feeds a point and what grounds it in a settled circuit: the fuses, relays and modules on the way there."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.circuit.faults import part_of_site
from model.circuit.settle import Settled
from model.harness.derived import once_per_harness
from model.harness.fields import Part
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Charger, Diode, Fuse, Module, Relay, ResistorPack, Switch
from model.harness.points import relay_coils
from model.harness.supply import grounded_posts
from model.tracing.graph import hot_posts


@dataclass(frozen=True, slots=True)
class Needs:
    """What has to be in for a load to work, by ids in the order in which they were found.

    Attributes
    ----------
    fuses, switches, relays, modules
        On the way of its current, and on the ways of the relays and modules on that.
    """

    fuses: tuple[str, ...]
    switches: tuple[str, ...]
    relays: tuple[str, ...]
    modules: tuple[str, ...]


class Feeds:
    """The ways of the current in a settled circuit, through everything that is closed and is no load.

    Parameters
    ----------
    settled
        The circuit, with its supply on.
    live
        The live posts that count; all of them where none are given.
    """

    def __init__(self, settled: Settled, live: tuple[str, ...] = ()) -> None:
        self.settled = settled
        self._live = live
        self.harness: Harness = settled.net.harness

    def feeding_sites(self, point: str) -> tuple[str, ...]:
        """Name the sites on the way from a live post to a point, the post's end first; nothing where none leads."""
        return self._sites(self._from_hot, point)

    def grounding_sites(self, point: str) -> tuple[str, ...]:
        """Name the sites on the way from a grounded post to a point, the post's end first."""
        return self._sites(self._from_ground, point)

    def grounding_points(self, point: str) -> tuple[str, ...]:
        """Name the nodes on the way from a grounded post to a point, both ends included."""
        net = self.settled.net
        node, names = net.index[point], []
        while node in self._from_ground:
            names.append(net.names[node])
            node = self._from_ground[node][0]
        return tuple(reversed(names))

    def falls_by_design(self, sites: Iterable[str]) -> bool:
        """Tell whether volts fall on a way by design: a resistance, a diode, an exciter or an output stage is on it."""
        parts = (self.harness.parts.get(part_of_site(site)) for site in sites)
        return any(isinstance(part, Module | ResistorPack | Diode | Charger) for part in parts)

    def feeding_post(self, point: str) -> str:
        """Name the live post that a point is fed from; empty where none feeds it."""
        net, tree = self.settled.net, self._from_hot
        node = net.index[point]
        while node in tree and tree[node][0] >= 0:
            node = tree[node][0]
        return net.names[node] if node in tree else ""

    def feeding_fuses(self, point: str) -> tuple[str, ...]:
        """Name the fuses that a point is fed through, the post's end first."""
        return tuple(site for site in self.feeding_sites(point) if isinstance(self.harness.parts.get(site), Fuse))

    def is_fed(self, point: str) -> bool:
        """Tell whether a closed way leads from a live post to a point."""
        return self.settled.net.index[point] in self._from_hot

    def feed_ends(self, element: Element) -> tuple[str, str]:
        """Give the terminal of an element that is fed and the one that is grounded: the fed lies farther from 0 V."""
        ends = (element.from_point, element.to_point)
        volts = [abs(self.settled.volts_at(point) or 0.0) for point in ends]
        return ends if volts[0] >= volts[1] else (ends[1], ends[0])

    def needs(self, element: Element) -> Needs:
        """Give what has to be in for an element to have its current: its own way, and what moves the contacts on it."""
        return self.needs_of((element.from_point, element.to_point))

    def needs_of(self, points: Iterable[str]) -> Needs:
        """Give what has to be in for points to hang on the posts that they hang on."""
        found: dict[str, None] = {}
        waiting = list(points)
        seen: set[str] = set()
        while waiting:
            point = waiting.pop()
            if point in seen:
                continue
            seen.add(point)
            for site in (*self.feeding_sites(point), *self.grounding_sites(point)):
                part_id = part_of_site(site)
                if part_id not in found:
                    found[part_id] = None
                    waiting += self._moving_points(part_id)
        kinds = (Fuse, Switch, Relay, Module)
        return Needs(*(self._of(kind, found) for kind in kinds))

    def _of(self, kind: type[Part], ids: Iterable[str]) -> tuple[str, ...]:
        return tuple(part_id for part_id in ids if isinstance(self.harness.parts.get(part_id), kind))

    def _moving_points(self, part_id: str) -> list[str]:
        """Name the points from which a relay's coils or a module that drives are fed and grounded."""
        part = self.harness.parts.get(part_id)
        match part:
            case Relay() if self.settled.relays.get(part.id):
                coils = relay_coils(part, self.harness.build.nominal_volts)
                return [f"{part.id}.{name}" for coil in coils for name in coil[:2]]
            case Module():
                return [*(f"{part.id}.{feed.terminal}" for feed in part.feeds), f"{part.id}.{part.ground}"]
        return []

    def _sites(self, tree: dict[int, tuple[int, str]], point: str) -> tuple[str, ...]:
        node = self.settled.net.index[point]
        sites: list[str] = []
        while node in tree:
            node, site = tree[node]
            if site:
                sites.append(site)
        return tuple(reversed(sites))

    @cached_property
    def _from_hot(self) -> dict[int, tuple[int, str]]:
        return self._grow(self._live or hot_posts(self.harness))

    @cached_property
    def _from_ground(self) -> dict[int, tuple[int, str]]:
        return self._grow(grounded_posts(self.harness))

    def _grow(self, posts: Iterable[str]) -> dict[int, tuple[int, str]]:
        """Go out from posts through all that is closed: node → the node before it, -1 at a post, and the site."""
        net = self.settled.net
        index, sites = net.index, net.sites
        begins, others, branches = self._beside
        tree = {index[post]: (-1, "") for post in posts}
        waiting = deque(tree)
        while waiting:
            node = waiting.popleft()
            for place in range(begins[node], begins[node + 1]):
                other = others[place]
                if other not in tree:
                    tree[other] = (node, sites[branches[place]])
                    waiting.append(other)
        return tree

    @cached_property
    def _beside(self) -> tuple[list[int], list[int], list[int]]:
        """Where the neighbours of each node begin, the neighbours, and the branches to them in the netlist's order."""
        net = self.settled.net
        ends = _loads_of(self.harness) | set(self.settled.blown)
        passes = self.settled.relaxed.joins & ~np.fromiter(map(ends.__contains__, net.sites), np.bool_, len(net.sites))
        passes[[net.first_battery_tie, *(line.branch for line in net.lines)]] = False
        branches = np.flatnonzero(passes)
        both = np.array((net.one, net.other), dtype=np.int64)[:, branches]
        here = both.T.ravel()
        order = np.argsort(here, kind="stable")
        begins = np.searchsorted(here[order], np.arange(len(net.names) + 1))
        return begins.tolist(), both[::-1].T.ravel()[order].tolist(), np.repeat(branches, 2)[order].tolist()


@once_per_harness
def _loads_of(harness: Harness) -> frozenset[str]:
    """Name the sites that take current rather than lead it on: elements of loads, feeds of modules, coils."""
    coils = (f"{relay.id}:coil" for relay in harness.relays)
    return frozenset((*(element.name for element in all_elements(harness)), *coils))
