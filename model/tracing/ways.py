"""The ways that the current takes from the posts to every point, and the other ways beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import networkx as nx

from model.tracing.graph import Link, links_between

Passes = Callable[[Link, str], bool]
"""Tells whether a way may go through a link that it enters at a point."""

_Cost = Callable[[Link, str], float | None]

_JOINT_COST_OHMS = 1e-4
_AVOIDED_COST_OHMS = 1e6


@dataclass(frozen=True, slots=True)
class Step:
    """A point of a way, and what leads to it from the point before; nothing at the first."""

    point: str
    link: Link | None


@dataclass(frozen=True, slots=True)
class Beside:
    """A stretch of a way that has another way beside it: no single break opens it. Stretches may overlap.

    Attributes
    ----------
    first, last
        Places in the way of the steps at which the other way leaves and comes back.
    links
        The other way's, in the order of this one's steps.
    """

    first: int
    last: int
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """A way from a first to a last point."""

    steps: tuple[Step, ...]
    beside: tuple[Beside, ...]

    def turned(self) -> Way:
        """Give the same way from its last point to its first."""
        last = len(self.steps) - 1
        steps = [Step(self.steps[last].point, None)]
        steps += [Step(self.steps[k - 1].point, self.steps[k].link) for k in range(last, 0, -1)]
        beside = [Beside(last - one.last, last - one.first, one.links[::-1]) for one in reversed(self.beside)]
        return Way(tuple(steps), tuple(beside))

    def beyond(self, place: int) -> Way:
        """Give the way from one of its steps on."""
        steps = (Step(self.steps[place].point, None), *self.steps[place + 1 :])
        beside = [Beside(one.first - place, one.last - place, one.links) for one in self.beside if one.first >= place]
        return Way(steps, tuple(beside))


class WayTree:
    """The ways of least resistance from some posts to every point that they reach.

    Parameters
    ----------
    graph
        What joins the points.
    posts
        Points at which the ways begin; each point is reached from the nearest.
    passes
        Which links a way may go through, by the point at which it enters them.
    rings
        The part of the graph in which a way can have another beside it, as :func:`rings_of` gives it; without it none
        are looked for.
    avoided
        Links that a way goes through where there is no other, such as open contacts.
    """

    def __init__(
        self,
        graph: nx.MultiGraph,
        posts: Iterable[str],
        passes: Passes,
        *,
        rings: nx.MultiGraph | None = None,
        avoided: Callable[[Link], bool] = lambda _link: False,
    ) -> None:
        self._graph = graph
        self._passes = passes
        self._rings = rings
        self._avoided = avoided
        sources = [post for post in posts if post in graph]
        self._routes: dict[str, list[str]] = {}
        if sources:
            self._routes = nx.multi_source_dijkstra(graph, sources, weight=_weigher(self._cost_ohms))[1]

    def way_to(self, point: str) -> Way | None:
        """Give the way from the nearest post to a point; None where no way leads there."""
        route = self._routes.get(point)
        if route is None:
            return None
        steps = [Step(route[0], None)]
        steps += [Step(there, _best_link(self._graph, self._cost_ohms, here, there)) for here, there in pairwise(route)]
        return Way(tuple(steps), tuple(self._beside(steps)))

    def _cost_ohms(self, link: Link, here: str) -> float | None:
        if not self._passes(link, here):
            return None
        return link.ohms + _JOINT_COST_OHMS + (_AVOIDED_COST_OHMS if self._avoided(link) else 0.0)

    def _beside(self, steps: list[Step]) -> Iterator[Beside]:
        """Give the stretches of a way that have another beside them."""
        rings = self._rings
        if rings is None:
            return
        cost = _without({step.link for step in steps if step.link is not None}, self._cost_ohms)
        doubled_to = 0
        for place in range(len(steps) - 1):
            if rings.has_edge(steps[place].point, steps[place + 1].point):
                other = _way_round(rings, cost, steps, place)
                if other is not None and other.last > doubled_to:
                    yield other
                    doubled_to = other.last


def rings_of(graph: nx.MultiGraph) -> nx.MultiGraph:
    """Give the part of a graph that lies in rings or beside a parallel link: elsewhere no way has another beside it.

    A link lies in a ring where its biconnected component has more than itself.
    """
    count = Counter((min(pair), max(pair)) for pair in graph.edges() if pair[0] != pair[1])
    plain: nx.Graph = nx.Graph(list(count))
    blocks: Iterable[list[tuple[str, str]]] = nx.biconnected_component_edges(plain)
    rings: nx.MultiGraph = nx.MultiGraph()
    for pairs in blocks:
        if len(pairs) > 1 or count[min(pairs[0]), max(pairs[0])] > 1:
            for one, other in pairs:
                rings.add_edges_from((one, other, {"link": link}) for link in links_between(graph, one, other))
    return rings


def _way_round(rings: nx.MultiGraph, cost: _Cost, steps: list[Step], place: int) -> Beside | None:
    """Give the other way from a step to the next one after it that it comes back to."""
    routes: dict[str, list[str]] = nx.single_source_dijkstra(rings, steps[place].point, weight=_weigher(cost))[1]
    last = next((later for later in range(place + 1, len(steps)) if steps[later].point in routes), None)
    if last is None:
        return None
    route = routes[steps[last].point]
    return Beside(place, last, tuple(_best_link(rings, cost, here, there) for here, there in pairwise(route)))


def _without(taken: set[Link], cost: _Cost) -> _Cost:
    return lambda link, here: None if link in taken else cost(link, here)


def _weigher(cost: _Cost) -> Callable[[str, str, dict[Any, dict[str, Link]]], float | None]:
    def weigh(here: str, _there: str, edges: dict[Any, dict[str, Link]]) -> float | None:
        costs = [cost(edge["link"], here) for edge in edges.values()]
        return min((one for one in costs if one is not None), default=None)

    return weigh


def _best_link(graph: nx.MultiGraph, cost: _Cost, here: str, there: str) -> Link:
    links = links_between(graph, here, there)
    costs = [(ohms, link.site, link) for link in links if (ohms := cost(link, here)) is not None]
    return min(costs, key=lambda one: one[:2])[2]
