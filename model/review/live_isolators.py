"""What stays live with the isolators open: before them, past them, and behind them."""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count

from model.circuit.bench import Bench
from model.circuit.condition import Condition, rest_position
from model.errors import CircuitError
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.metal import metal_of, same_metal
from model.harness.parts import Load, Switch
from model.harness.points import contacts, switch_contacts
from model.harness.supply import grounded_posts
from model.review.live_points import LivePoint, live_points
from model.tracing.graph import Link, LinkKind, hot_posts, links_of
from model.tracing.nets import bodies_of, ground_metal, neighbours_of

_WAYS = frozenset(
    {
        LinkKind.WIRE,
        LinkKind.JOINT,
        LinkKind.CAVITY,
        LinkKind.FUSE,
        LinkKind.SWITCH,
        LinkKind.RELAY,
    }
)
_SEVERAL = 2

_Waiting = tuple[float, int, str, str, Link | None]
"""Ohms from the post, a number that tells equals apart, the point, the one before it, and the link between."""


@dataclass(frozen=True, slots=True)
class Isolator:
    """A switch that parts a battery post from several feeds, or the grounded post from the ground side.

    Attributes
    ----------
    is_in_ground
        It stands on the ground side: opened, what hangs on it is lifted through the loads.
    open_position, closed_position
        A position in which its contacts on the way are all open, and one in which one of them is closed.
    contacts
        Sites of its contacts that the feeds hang on.
    before, behind
        Points on the way from the post to it, and points that hang on it.
    """

    switch_id: str
    is_in_ground: bool
    open_position: str
    closed_position: str
    contacts: tuple[str, ...]
    before: frozenset[str]
    behind: frozenset[str]


@dataclass(frozen=True, slots=True)
class IsolatorsOpen:
    """What is live while every isolator is open.

    Attributes
    ----------
    condition
        The condition asked for, with the isolators open.
    before
        Live points on the ways from the posts to the isolators.
    past
        Live points on feeds that do not run through an isolator.
    behind
        Live points that hang on an isolator and have volts all the same.
    made_dead
        Points that are live with the isolators closed.
    """

    isolators: tuple[Isolator, ...]
    condition: Condition
    before: tuple[LivePoint, ...]
    past: tuple[LivePoint, ...]
    behind: tuple[LivePoint, ...]
    made_dead: tuple[str, ...]


def isolators_open(bench: Bench, condition: Condition) -> IsolatorsOpen | None:
    """Open every isolator in a condition and give what is live then; None where the loom has none that does anything.

    Raises
    ------
    CircuitError
        Where the circuit cannot be solved so.
    """
    isolators = isolators_of(bench.harness)
    if not isolators:
        return None
    opened, closed = condition, condition
    for one in isolators:
        opened = opened.with_setting(one.switch_id, one.open_position)
        closed = closed.with_setting(one.switch_id, one.closed_position)
    live = live_points(bench.survey(opened)).points
    names = {one.point for one in live}
    made_dead = tuple(one.point for one in _live_or_none(bench, closed) if one.point not in names)
    behind = frozenset().union(*(one.behind for one in isolators))
    before = frozenset().union(*(one.before for one in isolators)) - behind
    return IsolatorsOpen(
        isolators,
        opened,
        tuple(one for one in live if one.point in before),
        tuple(one for one in live if one.point not in before and one.point not in behind),
        tuple(one for one in live if one.point in behind),
        made_dead,
    )


def _live_or_none(bench: Bench, condition: Condition) -> tuple[LivePoint, ...]:
    try:
        return live_points(bench.survey(condition)).points
    except CircuitError:
        return ()


@once_per_harness
def isolators_of(harness: Harness) -> tuple[Isolator, ...]:
    """Find the switches that a hand works between a battery post and several feeds, whatever they are called.

    Notes
    -----
    On the ways of least resistance from the posts, one with two fuses or more behind it is an isolator; where no fuse
    stands before it, also one with two loads behind it, or two fuses, switches and relays in all. So is a switch that
    parts a grounded post from a body or from the ground points. The key is none, nor what stays only while held.
    """
    tree = _Tree(harness)
    found: list[Isolator] = []
    for switch in harness.switches:
        if switch.key or switch.momentary or switch.follows or switch.pulses:
            continue
        tops = tree.entered_by.get(switch.id, ())
        behind = {point for top in tops for point in tree.behind(top)}
        if tops and _parts_several(harness, tree, behind, tops[0]):
            before = {point for top in tops for point in tree.way_to(top)[:-1]}
            found += _isolator(switch, before, behind)
        else:
            found += _in_ground(harness, switch)
    return tuple(found)


def _isolator(switch: Switch, before: set[str], behind: set[str], *, is_in_ground: bool = False) -> Iterator[Isolator]:
    """Give the isolator that a switch is; nothing where no position opens it.

    Open it is where no contact leads to what is behind it, from whichever post.
    """
    crossing = [
        (common, other)
        for common, other in switch_contacts(switch)
        if (f"{switch.id}.{common}" in behind) is not (f"{switch.id}.{other}" in behind)
    ]
    closes = {
        position: any(one in crossing for one in contacts(groups)) for position, groups in switch.positions.items()
    }
    opens = [position for position in (rest_position(switch), *switch.positions) if not closes[position]]
    if opens and any(closes.values()):
        sites = tuple(f"{switch.id}:{common}-{other}" for common, other in crossing)
        closed = next(position for position in switch.positions if closes[position])
        yield Isolator(switch.id, is_in_ground, opens[0], closed, sites, frozenset(before - behind), frozenset(behind))


def _in_ground(harness: Harness, switch: Switch) -> Iterator[Isolator]:
    """Give the isolator that a switch is between a grounded post and the metal that things are grounded on."""
    posts, grounded_on = _post_and_body_metal(harness)
    for common, other in switch_contacts(switch):
        metal = [same_metal(harness, f"{switch.id}.{name}") for name in (common, other)]
        beyond = [one for one in metal if one not in posts]
        if len(beyond) == 1 and beyond[0] in grounded_on:
            behind = {point for point in metal_of(harness) if same_metal(harness, point) == beyond[0]}
            yield from _isolator(switch, set(), behind, is_in_ground=True)
            return


@once_per_harness
def _post_and_body_metal(harness: Harness) -> tuple[frozenset[str], frozenset[str]]:
    """Name the metal of the grounded posts, and that of bodies and ground points."""
    grounds = (*bodies_of(harness), *(ground.id for ground in harness.grounds))
    posts = frozenset(same_metal(harness, post) for post in grounded_posts(harness))
    return posts, frozenset(same_metal(harness, point) for point in grounds)


def _parts_several(harness: Harness, tree: _Tree, behind: set[str], top: str) -> bool:
    links = (tree.entered[point] for point in behind if point != top)
    parts = {link.part_id: link.kind for link in links}
    fuses = sum(kind is LinkKind.FUSE for kind in parts.values())
    if fuses >= _SEVERAL:
        return True
    if any(tree.entered[point].kind is LinkKind.FUSE for point in tree.way_to(top)[1:]):
        return False
    movable = sum(kind in (LinkKind.SWITCH, LinkKind.RELAY) for kind in parts.values())
    owners = {point.partition(".")[0] for point in behind}
    loads = sum(isinstance(harness.parts.get(owner), Load) for owner in owners)
    return fuses + movable >= _SEVERAL or loads >= _SEVERAL


class _Tree:
    """The ways of least resistance from the hot posts, all contacts taken as closed, the ground side left out.

    Attributes
    ----------
    entered
        Each point with the link by which the way comes to it; a post has none.
    entered_by
        The points that a part's links lead to, by the part.
    """

    def __init__(self, harness: Harness) -> None:
        ground = ground_metal(harness)
        neighbours = neighbours_of(link for link in links_of(harness) if link.kind in _WAYS)
        self.entered: dict[str, Link] = {}
        self.entered_by: dict[str, list[str]] = {}
        self._from: dict[str, str] = {}
        self._next: dict[str, list[str]] = {}
        seen: set[str] = set()
        turn = count()
        queue: list[_Waiting] = [(0.0, next(turn), post, "", None) for post in hot_posts(harness)]
        while queue:
            ohms, _, point, before, link = heapq.heappop(queue)
            if point in seen:
                continue
            seen.add(point)
            if link is not None:
                self.entered[point] = link
                self.entered_by.setdefault(link.part_id, []).append(point)
                self._from[point] = before
                self._next.setdefault(before, []).append(point)
            for other, way in neighbours.get(point, ()):
                if other not in seen and same_metal(harness, other) not in ground:
                    heapq.heappush(queue, (ohms + way.ohms, next(turn), other, point, way))

    def behind(self, top: str) -> list[str]:
        """List a point and all that hang on it."""
        found = [top]
        for point in found:
            found += self._next.get(point, ())
        return found

    def way_to(self, point: str) -> list[str]:
        """List the points from the post to a point."""
        way = [point]
        while way[-1] in self._from:
            way.append(self._from[way[-1]])
        return way[::-1]
