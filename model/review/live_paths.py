"""The ways that volts take through a settled circuit: from the sources along metal, and through loads where none leads.

Volts against the reference are followed by their size, so that a loom with its positive post on the body is read as
any other.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, IntArray
from model.circuit.faults import part_of_site
from model.circuit.settle import Settled
from model.circuit.solver import islands
from model.harness.parts import Module
from model.harness.supply import grounded_posts
from model.review.live_steps import LiveStep, StepKind, branch_kinds
from model.tracing.graph import charger_posts

LIVE_VOLTS = 0.1
"""Over this a point is live, in volts against the reference."""

_RISE_VOLTS = 1e-6


@dataclass(frozen=True, slots=True)
class Reached:
    """How a node is reached.

    Attributes
    ----------
    before, branch
        The node before it and the branch between; -1 at a source.
    loads, ohms
        Loads, coils, diodes and resistances on the way, and its resistance.
    """

    before: int
    branch: int
    source: int
    loads: int
    ohms: float


class LivePaths:
    """What is live in a settled circuit, and by which way.

    Attributes
    ----------
    sources
        Nodes at which current can come out: posts of batteries and of chargers that give, outputs of modules; each
        with whether it is on the feed side.
    metal, unfused_metal
        Shape (nodes,), the same number for nodes that metal and closed contacts join, with fuses and without.
    is_live
        Shape (nodes,), true where the volts are over :data:`LIVE_VOLTS` either way.
    """

    def __init__(self, settled: Settled) -> None:
        self.settled = settled
        self.net = settled.net
        self.harness = settled.net.harness
        self.volts = settled.relaxed.volts
        self.joins: BoolArray = settled.relaxed.joins
        self.ends: tuple[IntArray, IntArray] = (
            np.array(self.net.one, dtype=np.int64),
            np.array(self.net.other, dtype=np.int64),
        )
        self.kinds = branch_kinds(settled.net)
        self.is_live: BoolArray = (np.abs(self.volts) > LIVE_VOLTS) & (
            settled.relaxed.island == settled.relaxed.island[self.net.reference]
        )
        is_metal = self.joins & np.array(
            [kind is not StepKind.SOURCE and not kind.is_through for kind in self.kinds], dtype=np.bool_
        )
        self._is_metal: BoolArray = is_metal
        self.metal = self._islands(is_metal)
        self.unfused_metal = self._islands(
            is_metal & np.array([kind is not StepKind.FUSE for kind in self.kinds], dtype=np.bool_)
        )
        self.sources = self._sources()

    def _islands(self, branches: BoolArray) -> IntArray:
        return islands(len(self.net.names), self.ends[0][branches], self.ends[1][branches])

    def _sources(self) -> dict[int, bool]:
        posts = (*grounded_posts(self.harness), *charger_posts(self.harness, hot=False))
        grounded = {self.net.index[post] for post in posts}
        reference = self.metal[self.net.reference]
        held = {self.metal[node] for node in grounded} & {reference}
        found: dict[int, bool] = {}
        for branch, kind in enumerate(self.kinds):
            if kind is StepKind.SOURCE and self.joins[branch]:
                for node in (self.net.one[branch], self.net.other[branch]):
                    is_grounded = self.metal[node] in held and self._is_return(node, branch, grounded)
                    found[node] = not is_grounded
        return found

    def _is_return(self, node: int, branch: int, grounded: set[int]) -> bool:
        """Tell whether a source takes its current back at a node: a grounded post, or the ground of a module."""
        name = self.net.names[node].removesuffix(" inside")
        part = self.harness.parts.get(part_of_site(self.net.sites[branch]))
        if isinstance(part, Module):
            return name == f"{part.id}.{part.ground}"
        return self.net.index.get(name, node) in grounded

    @cached_property
    def bare_feeds(self) -> frozenset[int]:
        """The pieces of :attr:`unfused_metal` in which a battery or charger feeds."""
        return frozenset(int(self.unfused_metal[node]) for node in self.posts)

    @cached_property
    def posts(self) -> tuple[int, ...]:
        """Nodes of the batteries and chargers that feed."""
        parts = self.harness.parts
        return tuple(
            node
            for node, is_feed in self.sources.items()
            if is_feed and self.is_live[node] and not isinstance(parts[part_of_site(self.net.names[node])], Module)
        )

    @cached_property
    def neighbours(self) -> dict[int, list[tuple[int, int]]]:
        """Live nodes with the live nodes beside them and the branch between."""
        one, other = self.ends
        is_way = self.joins & self.is_live[one] & self.is_live[other]
        found: dict[int, list[tuple[int, int]]] = {}
        for branch in np.flatnonzero(is_way).tolist():
            if self.kinds[branch] is not StepKind.SOURCE:
                here, there = self.net.one[branch], self.net.other[branch]
                found.setdefault(here, []).append((there, branch))
                found.setdefault(there, []).append((here, branch))
        return found

    @cached_property
    def reached(self) -> dict[int, Reached]:
        """Each live node with how volts come to it.

        A way goes through as few loads as it can, then along the least resistance; never to a node that has more
        volts than the one before it. Where digits hide such a way, one that rises is taken.
        """
        starts = [node for node in self.sources if self.is_live[node]]
        found = self.spread(starts, may_rise=False)
        if len(found) < int(np.count_nonzero(self.is_live)):
            found = self.spread(starts, may_rise=True) | found
        return found

    def spread(self, starts: Iterable[int], *, may_rise: bool) -> dict[int, Reached]:
        """Give how live nodes are reached from some of them, the nearer first.

        Parameters
        ----------
        may_rise
            Whether a way may lead to more volts, or to volts of the other sign.
        """
        size = np.abs(self.volts).tolist()
        found: dict[int, Reached] = {}
        waiting = [(0, 0.0, node, -1, -1, node) for node in starts]
        heapq.heapify(waiting)
        while waiting:
            loads, ohms, node, before, branch, source = heapq.heappop(waiting)
            if node in found:
                continue
            found[node] = Reached(before, branch, source, loads, ohms)
            for other, way in self.neighbours.get(node, ()):
                rises = size[other] > size[node] + _RISE_VOLTS or self.volts[other] * self.volts[node] < 0
                if other not in found and (may_rise or not rises):
                    more = int(self.kinds[way].is_through)
                    heapq.heappush(waiting, (loads + more, ohms + self.net.ohms[way], other, node, way, source))
        return found

    def is_fed(self, node: int) -> bool:
        """Tell whether volts come to a live node along metal alone, from a source on the feed side."""
        found = self.reached.get(node)
        return found is not None and found.loads == 0 and self.sources[found.source]

    def is_on_ground(self, node: int) -> bool:
        """Tell whether metal joins a node to the reference, and no feed reaches it along metal."""
        return bool(self.metal[node] == self.metal[self.net.reference]) and not self.is_fed(node)

    def path_to(self, node: int) -> tuple[LiveStep, ...]:
        """Give the steps from the source to a node; none where it is a source itself or no way is found."""
        steps: list[LiveStep] = []
        found = self.reached.get(node)
        while found is not None and found.before >= 0:
            steps.append(self.step(found.branch, found.before))
            found = self.reached.get(found.before)
        return tuple(reversed(steps))

    def step(self, branch: int, start: int) -> LiveStep:
        """Give a branch as a step that begins at one of its nodes."""
        other = self.net.other[branch] if self.net.one[branch] == start else self.net.one[branch]
        names = self.net.names
        return LiveStep(self.net.sites[branch], names[start], names[other], self.kinds[branch])

    @cached_property
    def _ways_back(self) -> dict[int, Reached]:
        """Nodes of the reference's own metal with the branch that leads towards the reference."""
        reference = self.net.reference
        neighbours: dict[int, list[tuple[int, int]]] = {}
        is_held = self.metal == self.metal[reference]
        for branch in np.flatnonzero(self._is_metal & is_held[self.ends[0]]).tolist():
            here, there = self.net.one[branch], self.net.other[branch]
            neighbours.setdefault(here, []).append((there, branch))
            neighbours.setdefault(there, []).append((here, branch))
        return nearest(neighbours, reference, self.net.ohms)

    def path_back(self, node: int) -> tuple[LiveStep, ...]:
        """Give the steps along metal from a node back to the reference; none where metal does not lead there."""
        steps: list[LiveStep] = []
        found = self._ways_back.get(node)
        while found is not None and found.before >= 0:
            steps.append(self.step(found.branch, node))
            node, found = found.before, self._ways_back.get(found.before)
        return tuple(steps)

    def unfused_from(self, source: int) -> dict[int, Reached]:
        """Give the live metal that a source reaches without a fuse, nearest first, and how."""
        is_in = self.is_live & (self.unfused_metal == self.unfused_metal[source])
        is_way = self._is_metal & is_in[self.ends[0]] & is_in[self.ends[1]]
        neighbours: dict[int, list[tuple[int, int]]] = {}
        for branch in np.flatnonzero(is_way).tolist():
            if self.kinds[branch] is not StepKind.FUSE:
                here, there = self.net.one[branch], self.net.other[branch]
                neighbours.setdefault(here, []).append((there, branch))
                neighbours.setdefault(there, []).append((here, branch))
        return nearest(neighbours, source, self.net.ohms)


def nearest(neighbours: dict[int, list[tuple[int, int]]], start: int, ohms: list[float]) -> dict[int, Reached]:
    """Give every node that can be reached, the one with least ohms between first."""
    found: dict[int, Reached] = {}
    waiting = [(0.0, start, -1, -1)]
    while waiting:
        far_ohms, node, before, branch = heapq.heappop(waiting)
        if node in found:
            continue
        found[node] = Reached(before, branch, start, 0, far_ohms)
        for other, way in neighbours.get(node, ()):
            if other not in found:
                heapq.heappush(waiting, (far_ohms + ohms[way], other, node, way))
    return found
