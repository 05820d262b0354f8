"""What can reach a load: the switches, plugs and drivers on some way from it, or from a relay on it, to a battery."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from itertools import chain

import networkx as nx

from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness
from model.harness.parts import Module, Relay
from model.harness.points import relay_coils
from model.tracing.graph import Link, LinkKind, links_between, possible_graph

_SUPPLY = "the supply"
_MOVED_KINDS = frozenset(
    {LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER, LinkKind.OUTPUT, LinkKind.CAVITY, LinkKind.RESISTOR}
)


class BlockTree:
    """The blocks of a graph: parts that a single point taken out leaves in one piece, grown from a root outwards.

    An edge lies on some simple way from a point to the root where its block lies between the two in the tree of blocks
    and of the points that join them (J. Hopcroft and R. Tarjan, "Algorithm 447: efficient algorithms for graph
    manipulation", Communications of the ACM 16 (1973) 372-378).

    Attributes
    ----------
    blocks
        The edges of each block.
    """

    def __init__(self, graph: nx.Graph, root: str) -> None:
        self.blocks: list[list[tuple[str, str]]] = list(nx.biconnected_component_edges(graph))
        self._block_towards_root: dict[str, int] = {}
        self._way_out = [""] * len(self.blocks)
        self._grow(root)

    def _grow(self, root: str) -> None:
        """Go through the blocks from the root outwards, and note of each the point that leads back."""
        points = [dict.fromkeys(chain.from_iterable(edges)) for edges in self.blocks]
        at: dict[str, list[int]] = {}
        for number, inside in enumerate(points):
            for point in inside:
                at.setdefault(point, []).append(number)
        waiting = deque([root])
        while waiting:
            point = waiting.popleft()
            for number in at.get(point, ()):
                if self._way_out[number]:
                    continue
                self._way_out[number] = point
                for other in points[number]:
                    if other != point:
                        self._block_towards_root[other] = number
                        waiting.append(other)

    def on_ways(self, point: str) -> Iterator[int]:
        """Give the blocks on the ways from a point to the root; none where no way leads there."""
        while point in self._block_towards_root:
            number = self._block_towards_root[point]
            yield number
            point = self._way_out[number]


class Reach:
    """What can be moved on the ways of a load, whichever post they lead to."""

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self._graph = possible_graph(harness)
        self._tree = BlockTree(self._with_supply(), _SUPPLY)
        self._moved: dict[int, tuple[list[Link], list[str]]] = {}

    def _with_supply(self) -> nx.Graph:
        plain: nx.Graph = nx.Graph()
        plain.add_edges_from(self._graph.edges())
        plain.add_edges_from((f"{battery.id}.{sign}", _SUPPLY) for battery in self._harness.batteries for sign in "+-")
        return plain

    def links_that_matter(self, element: Element) -> tuple[Link, ...]:
        """List what can be moved on the feed, ground and control ways of an element, those of its relays included."""
        found: list[Link] = []
        seen: set[int] = set()
        waiting = [element.from_point, element.to_point]
        while waiting:
            for number in self._tree.on_ways(waiting.pop()):
                if number not in seen:
                    seen.add(number)
                    moved, controls = self._moved_links(number)
                    found += moved
                    waiting += controls
        return tuple(found)

    def _moved_links(self, number: int) -> tuple[list[Link], list[str]]:
        """Give what moves in a block, and the points that this is controlled from; kept: many ways go through it."""
        found = self._moved.get(number)
        if found is None:
            moved = self._moved_in(number)
            controls = [point for link in moved for point in control_points(self._harness, link)]
            found = self._moved[number] = moved, controls
        return found

    def _moved_in(self, number: int) -> list[Link]:
        pairs = (pair for pair in self._tree.blocks[number] if _SUPPLY not in pair)
        links = (link for one, other in pairs for link in links_between(self._graph, one, other))
        return [link for link in links if link.kind in _MOVED_KINDS]


@once_per_harness
def reach_of(harness: Harness) -> Reach:
    """Give the blocks of a harness."""
    return Reach(harness)


def control_points(harness: Harness, link: Link) -> list[str]:
    """Name the points from which a relay's coils, or the module that drives a terminal, are fed and grounded."""
    part = harness.parts[link.part_id]
    match part:
        case Relay():
            coils = relay_coils(part, harness.build.nominal_volts)
            return [f"{part.id}.{name}" for coil in coils for name in coil[:2]]
        case Module():
            return [f"{part.id}.{feed.terminal}" for feed in part.feeds] + [f"{part.id}.{part.ground}"]
    return []
