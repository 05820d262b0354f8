"""When a load should work: the key state and the positions of the switches that matter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, product

import networkx as nx

from model.circuit.bench import Bench
from model.circuit.build import contacts
from model.circuit.condition import ON, Condition, rest_position, switch_position
from model.circuit.survey import LoadReading
from model.errors import CircuitError
from model.harness.harness import Element, Harness
from model.harness.parts import LoadKind, Module, Rated, Relay, Switch
from model.harness.points import all_points, relay_coils
from model.tracing.graph import Link, LinkKind, each_link, possible_graph

WORKS_AT_SHARE = 0.80
_MOVED_AT_MOST = 4
_SUPPLY = "the supply"


@dataclass(frozen=True, slots=True)
class Working:
    """The condition in which a load should work.

    Attributes
    ----------
    given
        True where the file says it whole; else it was searched for.
    reached
        True where the healthy circuit gives the load 80 % of its rated volts in it.
    switches
        The switches that can reach the load's feed, ground or control paths.
    """

    condition: Condition
    given: bool
    reached: bool
    switches: tuple[str, ...]


class WorkingSearch:
    """Finds working conditions in one harness.

    Parameters
    ----------
    bench
        Where the conditions that are tried are solved.
    """

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.harness = bench.harness
        self._graph = possible_graph(self.harness)
        supplies = (*self.harness.batteries, *self.harness.chargers)
        self._posts = [f"{supply.id}.{sign}" for supply in supplies for sign in "+-"]
        self._island = _islands_without_switches(self.harness)
        for battery in self.harness.batteries:
            for sign in "+-":
                self._graph.add_edge(f"{battery.id}.{sign}", _SUPPLY, key="post", link=None)
        self._on_ways: dict[str, tuple[Link, ...]] = {}

    def working_condition(self, element: Element) -> Working:
        """Give the condition in which an element of a load should work.

        Notes
        -----
        What the file says stands. What it leaves open is searched: the fewest switches moved from rest, then the
        earliest key state. Where nothing feeds the load, the first key state that may be meant is given, not reached.
        """
        switches = self.switches_that_matter(element)
        given_keys, given_settings = _given(element)
        keys = [key for key in self.harness.key_names if given_keys is None or key in given_keys]
        given = given_keys is not None and bool(given_settings)
        start = Condition(keys[0] if keys else self.harness.key_names[0], given_settings)
        if element.kind is LoadKind.SOCKET:
            start = start.with_setting(element.part_id, ON)
        moved = [name for name in switches if name not in dict(given_settings)]
        hands = [name for name in moved if not self.harness.part_of(name, Switch).follows]
        for names in (hands, moved):
            for condition in self._conditions(start, keys, names):
                if self._feeds(element, condition):
                    return Working(condition, given, reached=True, switches=switches)
        return Working(start, given, reached=False, switches=switches)

    def switches_that_matter(self, element: Element) -> tuple[str, ...]:
        """Name the switches that can reach an element's feed, ground or control paths, the key switch aside."""
        found: dict[str, None] = {}
        seen: set[str] = set()
        waiting = [element.from_point, element.to_point]
        while waiting:
            point = waiting.pop(0)
            if point in seen:
                continue
            seen.add(point)
            for link in self._links_on_a_way(point):
                if link.kind is LinkKind.SWITCH and not self.harness.part_of(link.part_id, Switch).key:
                    found[link.part_id] = None
                waiting += self._control_points(link)
        order = [switch.id for switch in self.harness.switches]
        return tuple(sorted(found, key=order.index))

    def _links_on_a_way(self, point: str) -> tuple[Link, ...]:
        """Give the links that lie on some simple way from a point to a battery.

        They are those in one biconnected component with an edge that joins the two.
        """
        if point not in self._graph or point in self._on_ways:
            return self._on_ways.get(point, ())
        self._graph.add_edge(point, _SUPPLY, key="way", link=None)
        components: Iterable[set[str]] = nx.biconnected_components(self._graph)
        nodes = next((one for one in components if point in one and _SUPPLY in one), set[str]())
        edges: Iterable[tuple[str, str, Link | None]] = self._graph.subgraph(nodes).edges(data="link")
        links = tuple(link for _, _, link in edges if link is not None)
        self._graph.remove_edge(point, _SUPPLY, key="way")
        self._on_ways[point] = links
        return links

    def _control_points(self, link: Link) -> list[str]:
        part = self.harness.parts[link.part_id]
        if link.kind is LinkKind.RELAY and isinstance(part, Relay):
            coils = relay_coils(part, self.harness.build.nominal_volts)
            return [f"{part.id}.{name}" for coil in coils for name in coil[:2]]
        if link.kind in (LinkKind.DRIVER, LinkKind.OUTPUT) and isinstance(part, Module):
            return [f"{part.id}.{feed.terminal}" for feed in part.feeds] + [f"{part.id}.{part.ground}"]
        return []

    def _conditions(self, start: Condition, keys: list[str], names: list[str]) -> Iterator[Condition]:
        for count in range(min(len(names), _MOVED_AT_MOST) + 1):
            for key in keys:
                for chosen in combinations(names, count):
                    yield from self._moved(start.at_key(key), chosen)

    def _moved(self, condition: Condition, names: tuple[str, ...]) -> Iterator[Condition]:
        choices = [self._other_positions(name) for name in names]
        for positions in product(*choices):
            moved = condition
            for name, position in zip(names, positions, strict=True):
                moved = moved.with_setting(name, position)
            yield moved

    def _other_positions(self, name: str) -> list[str]:
        switch = self.harness.part_of(name, Switch)
        return [position for position in switch.positions if position != rest_position(switch)]

    def _feeds(self, element: Element, condition: Condition) -> bool:
        if not self._may_feed(element, condition):
            return False
        try:
            found = self.bench.survey(condition)
        except CircuitError:
            return False
        reading = found.loads[element.name]
        return not found.settled.buzzing and _is_enough(element, reading)

    def _may_feed(self, element: Element, condition: Condition) -> bool:
        """Tell whether metal could feed an element, every relay taken as it suits: far cheaper than solving."""
        joined: nx.utils.UnionFind = nx.utils.UnionFind()
        for switch in self.harness.switches:
            position = switch.positions[switch_position(self.harness, switch, condition)]
            for common, other in contacts(position):
                joined.union(self._island[f"{switch.id}.{common}"], self._island[f"{switch.id}.{other}"])
        supplied = {joined[self._island[post]] for post in self._posts}
        ends = (element.from_point, element.to_point)
        return all(joined[self._island[end]] in supplied for end in ends)


def _islands_without_switches(harness: Harness) -> dict[str, int]:
    """Give each point the number of the island it is in whatever the switches do, relays taken as closed."""
    graph: nx.Graph = nx.Graph()
    graph.add_nodes_from(all_points(harness))
    graph.add_edges_from((link.one, link.other) for link in each_link(harness) if link.kind is not LinkKind.SWITCH)
    return {point: number for number, points in enumerate(nx.connected_components(graph)) for point in points}


def _given(element: Element) -> tuple[tuple[str, ...] | None, tuple[tuple[str, str], ...]]:
    rated = element.record
    if not isinstance(rated, Rated):
        return None, ()
    with_what = rated.works_with
    tables: Iterable[dict[str, str]] = with_what if isinstance(with_what, tuple) else [with_what or {}]
    return rated.works_in, tuple(next(iter(tables), {}).items())


def _is_enough(element: Element, reading: LoadReading) -> bool:
    return reading.volts >= WORKS_AT_SHARE * element.at_volts
