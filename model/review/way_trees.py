"""The ways of least resistance through what is closed in a survey: from the hot posts, and from the grounded ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from heapq import heappop, heappush

from model.circuit.survey import Survey
from model.harness.harness import Element, Harness
from model.harness.supply import grounded_posts
from model.tracing.graph import Link, LinkKind, charger_posts, closed_links, hot_posts
from model.tracing.nets import Neighbours, neighbours_of

_JOINT_COST_OHMS = 1e-4

Way = tuple[Link, ...]
"""Links from a post to a point, in that order."""


class SurveyWays:
    """The ways through what is closed in a survey; each side is looked for when it is first asked for."""

    def __init__(self, harness: Harness, survey: Survey) -> None:
        self._harness = harness
        self._survey = survey
        self._grounds_of: dict[str, _Tree] = {}

    @cached_property
    def neighbours(self) -> Neighbours:
        """Each point with the points that a closed link joins it to."""
        return neighbours_of(closed_links(self._harness, self._survey.settled))

    def feed_way(self, point: str) -> Way | None:
        """Give the way to a point from the nearest hot post of a battery, else of a charger; None where none leads."""
        way = _way(self._feeds, point)
        return way if way is not None else _way(self._charged, point)

    def unfused_way(self, point: str) -> Way | None:
        """Give the way to a point from the nearest hot post of a battery by no fuse; None where none leads there."""
        return _way(self._unfused, point)

    def unfused_between(self, post: str, point: str) -> Way | None:
        """Give the way from a post to a point by no fuse; None where none leads there."""
        return _way(_tree(self.neighbours, (post,), self._passes_unfused), point)

    def ground_way(self, point: str, post: str = "") -> Way | None:
        """Give the way to a point from a grounded post, else from the nearest one; None where none leads there."""
        if not post:
            return _way(self._grounds, point)
        if post not in self._grounds_of:
            self._grounds_of[post] = _tree(self.neighbours, (post,), self._passes_from_ground)
        way = _way(self._grounds_of[post], point)
        return way if way is not None else self.ground_way(point)

    def hot_end(self, element: Element) -> str:
        """Name the end of an element that is fed: the one farther in volts from the grounded post."""
        return self.hot_end_of(element.from_point, element.to_point)

    def hot_end_of(self, one: str, other: str) -> str:
        """Name of two points the one farther in volts from the grounded post; the first where both are as far."""
        return one if self.volts_away(one) >= self.volts_away(other) else other

    def cold_end(self, element: Element) -> str:
        """Name the end of an element that returns its current."""
        return element.to_point if self.hot_end(element) == element.from_point else element.from_point

    def start_of(self, way: Way, point: str) -> str:
        """Name the post at which a way to a point begins; the point itself where the way is of no links."""
        for link in reversed(way):
            point = link.one if point == link.other else link.other
        return point

    def falls(self, link: Link) -> float:
        """Give the volts that fall along a link, whichever way; 0 where an end of it floats."""
        return abs(self.volts_of(link.one) - self.volts_of(link.other))

    def volts_of(self, point: str) -> float:
        """Give the volts of a point; 0 where it floats or never rests."""
        return self._survey.settled.volts_at(point) or 0.0

    def volts_away(self, point: str) -> float:
        """Give how far in volts a point is from the first grounded post; 0 where it floats."""
        settled = self._survey.settled
        if settled.volts_at(point) is None:
            return 0.0
        return abs(self.volts_of(point) - self.volts_of(grounded_posts(self._harness)[0]))

    @cached_property
    def _feeds(self) -> _Tree:
        return _tree(self.neighbours, hot_posts(self._harness), self._passes_from_feed)

    @cached_property
    def _unfused(self) -> _Tree:
        return _tree(self.neighbours, hot_posts(self._harness), self._passes_unfused)

    @cached_property
    def _charged(self) -> _Tree:
        return _tree(self.neighbours, charger_posts(self._harness, hot=True), self._passes_from_feed)

    @cached_property
    def _grounds(self) -> _Tree:
        return _tree(self.neighbours, grounded_posts(self._harness), self._passes_from_ground)

    def _passes_from_feed(self, link: Link, here: str) -> bool:
        if link.kind is LinkKind.OUTPUT:
            return link.one == here
        return link.kind is not LinkKind.DIODE or (link.one == here) is not self._is_positive_ground

    def _passes_unfused(self, link: Link, here: str) -> bool:
        return link.kind is not LinkKind.FUSE and self._passes_from_feed(link, here)

    def _passes_from_ground(self, link: Link, here: str) -> bool:
        if link.kind is LinkKind.OUTPUT:
            return False
        return link.kind is not LinkKind.DIODE or (link.one == here) is self._is_positive_ground

    @property
    def _is_positive_ground(self) -> bool:
        return self._harness.build.ground_side == "positive"


_Tree = dict[str, tuple[str, Link] | None]


def _tree(neighbours: Neighbours, posts: Iterable[str], passes: Callable[[Link, str], bool]) -> _Tree:
    """Give each point that the posts reach with the point and link before it on the way of least resistance."""
    found: _Tree = {}
    waiting: list[tuple[float, int, str, tuple[str, Link] | None]] = []
    waiting += [(0.0, place, post, None) for place, post in enumerate(posts)]
    pushed = len(waiting)
    while waiting:
        ohms, _, point, before = heappop(waiting)
        if point in found:
            continue
        found[point] = before
        for other, link in neighbours.get(point, ()):
            if other not in found and passes(link, point):
                pushed += 1
                heappush(waiting, (ohms + link.ohms + _JOINT_COST_OHMS, pushed, other, (point, link)))
    return found


def _way(tree: _Tree, point: str) -> Way | None:
    if point not in tree:
        return None
    links: list[Link] = []
    before = tree[point]
    while before is not None:
        links.append(before[1])
        before = tree[before[0]]
    return tuple(reversed(links))
