"""The way that the current takes between two points, and the other ways beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from model.tracing.graph import Link, LinkKind

_JOINT_COST_OHMS = 1e-4


@dataclass(frozen=True, slots=True)
class Step:
    """A point of a way, and what leads to it from the point before; nothing at the first."""

    point: str
    link: Link | None


@dataclass(frozen=True, slots=True)
class Way:
    """A way from a first to a last point.

    Attributes
    ----------
    beside
        For each stretch that has another way beside it: the places of its first and last step, and the links of the
        other way.
    """

    steps: tuple[Step, ...]
    beside: tuple[tuple[int, int, tuple[Link, ...]], ...]


def find_way(graph: nx.MultiGraph, start: str, goals: Iterable[str], *, along_current: bool) -> Way | None:
    """Find the way of least resistance from a point to the first of the goals that can be reached.

    Parameters
    ----------
    goals
        Points in order of preference; those of one tuple are equal and the nearest is taken.
    along_current
        True where the way runs as the current does, so that a diode is passed from anode to cathode.
    """
    if start not in graph:
        return None
    weigh = _weigher(along_current=along_current)
    ohms_to, routes = nx.single_source_dijkstra(graph, start, weight=weigh)
    reached = [goal for goal in goals if goal in ohms_to]
    if not reached:
        return None
    route: list[str] = routes[min(reached, key=lambda goal: (ohms_to[goal], goal))]
    steps = [Step(start, None)]
    steps += [Step(there, _best_link(graph, here, there)) for here, there in pairwise(route)]
    return Way(tuple(steps), tuple(_beside(graph, steps, weigh)))


def _weigher(*, along_current: bool) -> Callable[[str, str, dict[object, dict[str, Link]]], float | None]:
    def weigh(here: str, _there: str, edges: dict[object, dict[str, Link]]) -> float | None:
        links = [edge["link"] for edge in edges.values()]
        passed = [link.ohms for link in links if link.kind is not LinkKind.DIODE or (link.one == here) is along_current]
        return min(passed) + _JOINT_COST_OHMS if passed else None

    return weigh


def _best_link(graph: nx.MultiGraph, here: str, there: str) -> Link:
    links: list[Link] = [edge["link"] for edge in graph.get_edge_data(here, there).values()]
    return min(links, key=lambda link: (link.ohms, link.site))


def _beside(
    graph: nx.MultiGraph, steps: list[Step], weigh: Callable[[str, str, dict[object, dict[str, Link]]], float | None]
) -> Iterable[tuple[int, int, tuple[Link, ...]]]:
    """Give the stretches of a way that have another way beside them: there no single break opens it."""
    links = [step.link for step in steps[1:] if step.link is not None]
    rest: nx.MultiGraph = graph.copy()
    rest.remove_edges_from([(link.one, link.other, (link.site, link.pulled)) for link in links])
    place = 0
    while place < len(steps) - 1:
        last = _furthest_joined(rest, steps, place)
        if last is None:
            place += 1
            continue
        route: list[str] = nx.dijkstra_path(rest, steps[place].point, steps[last].point, weight=weigh)
        other = tuple(_best_link(rest, here, there) for here, there in pairwise(route))
        yield place, last, other
        place = last


def _furthest_joined(rest: nx.MultiGraph, steps: list[Step], place: int) -> int | None:
    joined = nx.node_connected_component(rest, steps[place].point) if steps[place].point in rest else set[str]()
    found = [later for later in range(place + 1, len(steps)) if steps[later].point in joined]
    return found[-1] if found else None
