"""All that lies on the ways of a complaint: its loads' feed and ground, and what drives those ways, to the supply."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import networkx as nx

from model.circuit.settle import Settled
from model.harness.derived import once_per_harness
from model.harness.harness import CHASSIS, Element, Harness, all_elements
from model.harness.metal import same_metal
from model.harness.parts import Battery, Charger
from model.harness.points import relay_coils, terminals_of
from model.harness.supply import grounded_posts, series_links
from model.tracing.complaint import Complaint, Symptom
from model.tracing.graph import (
    METAL_KINDS,
    Link,
    LinkKind,
    charger_posts,
    hot_posts,
    links_between,
    links_of,
    possible_graph,
)
from model.tracing.reach import BlockTree, control_points

_POSTS = "the posts"
_TELLS_VOLTS = 1.0
BACKFEED = frozenset({Symptom.STAYS_ON, Symptom.WORKS_WITH_ANOTHER})
"""Symptoms that come by current through another load's ways."""


@dataclass(frozen=True)
class LoadWays:
    """What lies on the ways of a complaint.

    Attributes
    ----------
    links
        In the order of the harness; those of the loads themselves and of everything that drives their ways.
    main
        Those of the loads themselves.
    beside
        Those of other loads alone, through which current may come back.
    elements
        Elements and feeds that are complained of.
    ends
        Points of these, of the coils and modules that drive the ways, and of the posts that feed them.
    """

    links: tuple[Link, ...]
    main: frozenset[Link]
    beside: frozenset[Link]
    elements: tuple[Element, ...]
    ends: tuple[str, ...]

    @cached_property
    def points(self) -> tuple[str, ...]:
        """Every point on the ways, once."""
        on_links = (point for link in self.links for point in (link.one, link.other))
        return tuple(dict.fromkeys((*self.ends, *on_links)))

    @cached_property
    def part_ids_in_order(self) -> tuple[str, ...]:
        """The parts that have a link on the ways, in the order of the harness."""
        return tuple(dict.fromkeys(link.part_id for link in self.links))

    @cached_property
    def part_ids(self) -> frozenset[str]:
        """The parts that have a link or a point on the ways."""
        return frozenset([link.part_id for link in self.links] + [point.partition(".")[0] for point in self.points])


class SideWays:
    """The blocks of a harness seen from the hot or from the grounded posts, what belongs to the other side left out.

    Parameters
    ----------
    left_out
        Points of the other side.
    cut
        Kinds of links that lead no current on this side.
    """

    def __init__(
        self, harness: Harness, posts: Iterable[str], left_out: frozenset[str], cut: Container[LinkKind] = ()
    ) -> None:
        self._graph: nx.MultiGraph = nx.MultiGraph()
        kept = (link for link in links_of(harness) if link.kind not in cut)
        ends = ((link.one, link.other, (link.site, link.pulled), {"link": link}) for link in kept)
        self._graph.add_edges_from(edge for edge in ends if edge[0] not in left_out and edge[1] not in left_out)
        plain: nx.Graph = nx.Graph(self._graph.edges())
        plain.add_edges_from((post, _POSTS) for post in posts)
        self._tree = BlockTree(plain, _POSTS)
        self._links: dict[int, tuple[Link, ...]] = {}

    def blocks(self, point: str) -> Iterator[tuple[int, tuple[Link, ...]]]:
        """Give the blocks on the ways from a point to the posts, each with its number and its links."""
        for number in self._tree.on_ways(point):
            if number not in self._links:
                pairs = (pair for pair in self._tree.blocks[number] if _POSTS not in pair)
                self._links[number] = tuple(link for pair in pairs for link in links_between(self._graph, *pair))
            yield number, self._links[number]


@once_per_harness
def feed_ways(harness: Harness) -> SideWays:
    """Give the ways to the posts that feed, chargers' among them."""
    posts = (*hot_posts(harness), *charger_posts(harness, hot=True))
    return SideWays(harness, posts, ground_points(harness) - frozenset(posts))


@once_per_harness
def ground_ways(harness: Harness) -> SideWays:
    """Give the ways to the grounded posts, chargers' among them; none leads through what is always fed."""
    posts = (*grounded_posts(harness), *charger_posts(harness, hot=False))
    return SideWays(harness, posts, always_fed(harness) - frozenset(posts), (LinkKind.OUTPUT,))


@once_per_harness
def always_fed(harness: Harness) -> frozenset[str]:
    """Name the points that metal and fuses alone join to a post that feeds."""
    plain: nx.Graph = nx.Graph()
    joined = METAL_KINDS | {LinkKind.FUSE}
    plain.add_edges_from((link.one, link.other) for link in links_of(harness) if link.kind in joined)
    found: set[str] = set()
    for post in (*hot_posts(harness), *charger_posts(harness, hot=True)):
        if post in plain and post not in found:
            found |= nx.node_connected_component(plain, post)
    return frozenset(found)


@once_per_harness
def ground_points(harness: Harness) -> frozenset[str]:
    """Name the points of the metal of the grounded posts and of every body."""
    bodies = ([CHASSIS] if harness.build.chassis else []) + [body.id for body in harness.bodies]
    grounded = {same_metal(harness, point) for point in (*grounded_posts(harness), *bodies)}
    return frozenset(point for point in possible_graph(harness) if same_metal(harness, point) in grounded)


@once_per_harness
def _place_of_link(harness: Harness) -> dict[Link, int]:
    return {link: place for place, link in enumerate(links_of(harness))}


class _Gatherer:
    """Gathers the links of one complaint."""

    def __init__(self, harness: Harness, settled: Settled) -> None:
        self.harness = harness
        self.settled = settled
        self.links: dict[Link, None] = {}
        self.ends: dict[str, None] = {}
        self._seen: set[tuple[bool, int]] = set()
        self._black = grounded_posts(harness)[0]

    def gather(self, one: str, other: str) -> list[Link]:
        """Take in the ways from both ends of a load or coil, and give the links that were new."""
        is_hot = self._is_first_hot(one, other)
        found: list[Link] = []
        for point, is_fed in ((one, is_hot), (other, None if is_hot is None else not is_hot)):
            self.ends[point] = None
            sides = (True, False) if is_fed is None else (is_fed,)
            gained = [self._side(point, fed=fed) for fed in sides]
            if not any(has_way for has_way, _ in gained) and is_fed is not None:
                gained.append(self._side(point, fed=not is_fed))
            found += [link for _, links in gained for link in links]
        return found

    def _side(self, point: str, *, fed: bool) -> tuple[bool, list[Link]]:
        ways = feed_ways(self.harness) if fed else ground_ways(self.harness)
        has_way, found = False, []
        for number, links in ways.blocks(point):
            has_way = True
            if (fed, number) not in self._seen:
                self._seen.add((fed, number))
                found += [link for link in links if link not in self.links]
                self.links.update(dict.fromkeys(links))
        return has_way, found

    def _is_first_hot(self, one: str, other: str) -> bool | None:
        """Tell which end is fed: by volts, else by what is ground metal; None where neither tells."""
        away = [self._volts_from_ground(point) for point in (one, other)]
        if abs(away[0] - away[1]) > _TELLS_VOLTS:
            return away[0] > away[1]
        grounded = [point in ground_points(self.harness) for point in (one, other)]
        return grounded[1] if grounded[0] != grounded[1] else None

    def _volts_from_ground(self, point: str) -> float:
        volts, ground_volts = self.settled.volts_at(point), self.settled.volts_at(self._black)
        return 0.0 if volts is None or ground_volts is None else abs(volts - ground_volts)

    def follow(self, links: list[Link]) -> None:
        """Take in the ways of the coils and modules that drive some links, and those of what drives these."""
        waiting = list(links)
        seen: set[str] = set()
        while waiting:
            link = waiting.pop(0)
            if link.part_id in seen:
                continue
            seen.add(link.part_id)
            points = control_points(self.harness, link)
            for one, other in _pairs_of(points, link):
                waiting += self.gather(one, other)


def _pairs_of(points: list[str], link: Link) -> Iterator[tuple[str, str]]:
    """Pair the points of coils two by two, those of a module's feeds each with its ground."""
    if link.kind is LinkKind.RELAY:
        yield from zip(points[::2], points[1::2], strict=True)
    elif points:
        yield from ((feed, points[-1]) for feed in points[:-1])


def ways_of(harness: Harness, complaint: Complaint, settled: Settled) -> LoadWays:
    """Gather the links on the ways of a complaint.

    Parameters
    ----------
    settled
        The healthy circuit in the condition of the complaint: it tells which end of a load is fed.

    Notes
    -----
    Ways are all simple ways to the posts, whatever is switched. A battery or charger complained of has the ways of
    every battery and charger. With a load that stays on or works with another, the ways of the loads that hang on the
    same metal count too, for current comes back through them.
    """
    gatherer = _Gatherer(harness, settled)
    elements = _elements(harness, complaint)
    main: list[Link] = []
    for element in elements:
        main += gatherer.gather(element.from_point, element.to_point)
    if any(isinstance(harness.parts.get(name), Battery | Charger) for name in complaint.loads):
        main += _supply_ways(harness, gatherer)
    if complaint.fuse:
        main += gatherer.gather(f"{complaint.fuse}.out", grounded_posts(harness)[0])
    gatherer.follow(list(gatherer.links))
    own = frozenset(gatherer.links)
    if complaint.symptom in BACKFEED:
        for one, other in _beside(harness, elements):
            gatherer.follow(gatherer.gather(one, other))
    beside = frozenset(link for link in gatherer.links if link not in own)
    links = {**gatherer.links, **dict.fromkeys(_chain_links(harness))}
    place = _place_of_link(harness)
    return LoadWays(
        tuple(sorted(links, key=place.__getitem__)), frozenset(main), beside, elements, tuple(gatherer.ends)
    )


def _elements(harness: Harness, complaint: Complaint) -> tuple[Element, ...]:
    names = {*complaint.loads, complaint.other_load}
    return tuple(one for one in all_elements(harness) if one.name in names)


def _supply_ways(harness: Harness, gatherer: _Gatherer) -> list[Link]:
    found: list[Link] = []
    for charger in harness.chargers:
        for name in terminals_of(charger):
            found += gatherer.gather(f"{charger.id}.{name}", f"{charger.id}.-")
    return found


def _beside(harness: Harness, elements: tuple[Element, ...]) -> Iterator[tuple[str, str]]:
    """Give the ends of what else takes current from the metal of an element's ends, the ground's left out."""
    ends = {point for one in elements for point in (one.from_point, one.to_point)}
    metal = {same_metal(harness, point) for point in ends - ground_points(harness)}
    own = {(one.from_point, one.to_point) for one in elements}
    own_parts = {one.part_id for one in elements}
    for pair in _takers(harness):
        hangs = {same_metal(harness, point) for point in pair}
        if pair not in own and (hangs & metal or pair[0].partition(".")[0] in own_parts):
            yield pair


@once_per_harness
def _takers(harness: Harness) -> tuple[tuple[str, str], ...]:
    """List the ends of every element, feed and coil."""
    found = [(one.from_point, one.to_point) for one in all_elements(harness)]
    for relay in harness.relays:
        coils = relay_coils(relay, harness.build.nominal_volts)
        found += [(f"{relay.id}.{one}", f"{relay.id}.{other}") for one, other, _ in coils]
    return tuple(found)


@once_per_harness
def _chain_links(harness: Harness) -> tuple[Link, ...]:
    """List the wires and joints that put batteries in series."""
    chain = {frozenset((f"{low}.-", f"{high}.+")) for low, high in series_links(harness).items()}
    return tuple(link for link in links_of(harness) if frozenset((link.one, link.other)) in chain)


def downstream(harness: Harness, start: str, passes: Callable[[str], bool]) -> tuple[str, ...]:
    """List the points behind a point through everything but fuses, as far as `passes` lets one through."""
    return reached(harness, start, passes, lambda link: link.kind is not LinkKind.FUSE)


def reached(
    harness: Harness, start: str, passes: Callable[[str], bool], joins: Callable[[Link], bool]
) -> tuple[str, ...]:
    """List the points reached from a point, the nearest first, through links that join and points that let pass."""
    graph = possible_graph(harness)
    found = {start: None}
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        if here not in graph:
            continue
        for _, there, link in graph.edges(here, data="link"):
            if there not in found and passes(there) and joins(link):
                found[there] = None
                waiting.append(there)
    return tuple(found)


@once_per_harness
def unfused_points(harness: Harness) -> frozenset[str]:
    """Name the points ahead of every fuse: those that a post reaches through no fuse, the ground's left out."""
    bodies = ground_points(harness)
    posts = (*hot_posts(harness), *charger_posts(harness, hot=True))
    found: set[str] = set()
    for post in posts:
        found.update(downstream(harness, post, lambda point: point not in bodies and point not in found))
    return frozenset(found)
