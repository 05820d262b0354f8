"""Which fuse stands before a point, whatever is switched, and which points are held to the grounded post."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from model.harness.derived import once_per_harness
from model.harness.harness import CHASSIS, Harness
from model.harness.metal import same_metal
from model.harness.supply import grounded_posts
from model.tracing.graph import METAL_KINDS, Link, LinkKind, charger_posts, hot_posts, links_of

METAL_AND_CONTACTS = METAL_KINDS | {LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER}
"""Links that join two points without a fuse, a resistance or a diode between, where contacts are closed."""

Neighbours = dict[str, list[tuple[str, Link]]]
"""Each point with the points that a link joins it to, and the link."""


@dataclass(frozen=True, slots=True)
class Nets:
    """What stands before each point, however switches and relays stand.

    Attributes
    ----------
    upstream, downstream
        Of each fuse the end that is nearer the supply, and the other one.
    feeds
        Point → the fuses, and the hot posts without a fuse, that it may hang on.
    grounded
        Points that metal and contacts may join to the grounded post without a fuse.
    """

    upstream: dict[str, str]
    downstream: dict[str, str]
    feeds: dict[str, frozenset[str]]
    grounded: frozenset[str]

    def share_feed(self, one: str, other: str) -> bool:
        """Tell whether two points may hang on one fuse or post, or on none at all and on the ground side both."""
        feeds = self.feeds.get(one, frozenset()), self.feeds.get(other, frozenset())
        if any(feeds):
            return not feeds[0].isdisjoint(feeds[1])
        return one in self.grounded and other in self.grounded

    def fuses_before(self, point: str) -> tuple[str, ...]:
        """Name every fuse, and hot post, that may stand before a point, the last ones first."""
        found: dict[str, None] = {}
        waiting = [point]
        while waiting:
            for label in sorted(self.feeds.get(waiting.pop(), ())):
                if label not in found:
                    found[label] = None
                    waiting.append(self.upstream.get(label, label))
        return tuple(found)


def neighbours_of(links: Iterable[Link]) -> Neighbours:
    """Index links by both of the points that they join."""
    found: Neighbours = {}
    for link in links:
        found.setdefault(link.one, []).append((link.other, link))
        found.setdefault(link.other, []).append((link.one, link))
    return found


def bodies_of(harness: Harness) -> frozenset[str]:
    """Name the points that are bodies."""
    return frozenset({CHASSIS, *(body.id for body in harness.bodies)})


@once_per_harness
def possible_neighbours(harness: Harness) -> Neighbours:
    """Index all links of a harness, whatever is switched; it must not be changed."""
    return neighbours_of(links_of(harness))


@once_per_harness
def ground_metal(harness: Harness) -> frozenset[str]:
    """Name the points that stand for the metal of the bodies and of the grounded posts."""
    return frozenset(same_metal(harness, point) for point in (*bodies_of(harness), *grounded_posts(harness)))


@once_per_harness
def held_points(harness: Harness) -> frozenset[str]:
    """Name the points that plain metal ties to a body or to a grounded post."""
    metal = ground_metal(harness)
    return frozenset(point for point in possible_neighbours(harness) if same_metal(harness, point) in metal)


def flood(
    neighbours: Neighbours, starts: Iterable[str], ends_at: frozenset[str], passes: Callable[[Link, str], bool]
) -> dict[str, int]:
    """Give every point that can be reached, nearest first, with the links that lie between.

    Parameters
    ----------
    starts
        Where to begin; a start is gone on from also where it is among `ends_at`.
    ends_at
        Points that are reached and not gone on from.
    passes
        Whether a link may be entered at a point.
    """
    away = dict.fromkeys(starts, 0)
    waiting = deque(away)
    while waiting:
        point = waiting.popleft()
        if point in ends_at and away[point]:
            continue
        for other, link in neighbours.get(point, ()):
            if other not in away and passes(link, point):
                away[other] = away[point] + 1
                waiting.append(other)
    return away


@once_per_harness
def nets_of(harness: Harness) -> Nets:
    """Give what stands before each point of a harness."""
    links = links_of(harness)
    neighbours, held = possible_neighbours(harness), held_points(harness)
    ends_at = held | {f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-"}
    fuses = [link for link in links if link.kind is LinkKind.FUSE]
    upstream = _upstream(harness, fuses, neighbours, ends_at)
    downstream = {link.part_id: _other_end(link, upstream[link.part_id]) for link in fuses}
    feeds: dict[str, set[str]] = {}
    for label, origin in (*downstream.items(), *((post, post) for post in hot_posts(harness))):
        for point in flood(neighbours, [origin], ends_at, _joins):
            if point not in held:
                feeds.setdefault(point, set()).add(label)
    grounded = flood(neighbours, held, ends_at - held, _joins)
    labels_at = {point: frozenset(labels) for point, labels in feeds.items()}
    return Nets(upstream, downstream, labels_at, frozenset(grounded))


def _joins(link: Link, _point: str) -> bool:
    return link.kind in METAL_AND_CONTACTS


def _upstream(
    harness: Harness, fuses: Iterable[Link], neighbours: Neighbours, ends_at: frozenset[str]
) -> dict[str, str]:
    """Name the end of each fuse that fewer links part from a hot post of a battery, else of a charger."""

    def passes(link: Link, _point: str) -> bool:
        return link.kind is LinkKind.FUSE or _joins(link, _point)

    away = flood(neighbours, hot_posts(harness), ends_at, passes)
    charged = flood(neighbours, charger_posts(harness, hot=True), ends_at, passes)
    far = len(neighbours)

    def distance(point: str) -> tuple[int, int]:
        return away.get(point, far), charged.get(point, far)

    return {link.part_id: min((link.one, link.other), key=distance) for link in fuses}


def _other_end(link: Link, end: str) -> str:
    return link.other if end == link.one else link.one
