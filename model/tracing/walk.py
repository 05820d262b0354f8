"""The walk of a load: every point from the supply to the load and back to the post, and each relay's control side."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import StrEnum

from model.circuit.bench import Bench
from model.circuit.settle import Settled
from model.errors import ArgumentError
from model.harness.harness import Element, Harness, all_elements, element_label
from model.harness.parts import Battery, Module, Relay
from model.harness.points import relay_coils
from model.harness.supply import grounded_post_of, grounded_posts
from model.tracing.graph import (
    Link,
    LinkKind,
    charger_posts,
    closed_graph,
    closed_links,
    hot_posts,
    possible_graph,
    powering_feed,
)
from model.tracing.ways import Beside, Passes, Step, Way, WayTree, rings_of
from model.tracing.working import Working, working_condition
from model.words import nearest

_TELLS_VOLTS = 1.0
_LISTED_AT_MOST = 12


class Side(StrEnum):
    """Which side of the load or coil a stretch of the walk is on."""

    FEED = "feed"
    GROUND = "ground"


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of a walk: from the supply to a load or coil, or from there to the grounded post.

    Attributes
    ----------
    of
        What it feeds or grounds: the load's element, a relay's id, or a module's terminal as ``id:terminal``.
    steps
        Points from the supply to the load, or from the load to the grounded post.
    beside
        Parts of it that have another way beside them.
    joins_at
        Point at which it leaves or joins a stretch told before; the steps beyond are left out there.
    switched
        False where it is not closed in the working condition and is shown through open contacts.
    """

    of: str
    side: Side
    steps: tuple[Step, ...]
    beside: tuple[Beside, ...] = ()
    joins_at: str = ""
    switched: bool = True


@dataclass(frozen=True, slots=True)
class Control:
    """What lets a relay or driver on the way do its work.

    Attributes
    ----------
    of
        A relay's id or a driver's ``id:terminal``.
    needs_on
        True where it has to be pulled in or driving; False where the way runs through a contact closed at rest.
    """

    of: str
    needs_on: bool
    feed: Stretch | None
    ground: Stretch | None


@dataclass(frozen=True)
class Walk:
    """The walk of one element of a load.

    Attributes
    ----------
    black
        Point at which the black probe stands: the grounded post of the battery that feeds the load.
    feed, ground
        None where no metal leads that way at all.
    also
        Point → wires and joints that leave the walk there.
    """

    element: Element
    working: Working
    black: str
    feed: Stretch | None
    ground: Stretch | None
    controls: tuple[Control, ...]
    also: dict[str, tuple[Link, ...]] = field(default_factory=dict)

    def stretches(self) -> tuple[Stretch, ...]:
        """List every stretch: feed, ground, then those of each control."""
        found = [self.feed, self.ground]
        for control in self.controls:
            found += [control.feed, control.ground]
        return tuple(stretch for stretch in found if stretch is not None)

    def points(self) -> tuple[str, ...]:
        """List every point of the walk once, in its order."""
        return tuple(dict.fromkeys(step.point for stretch in self.stretches() for step in stretch.steps))


def find_element(harness: Harness, name: str) -> Element:
    """Give the element of a load that a name means: ``E1:dip``, ``M1`` where it has one, ``A2:75``, or a label.

    Raises
    ------
    ArgumentError
        Where no load or several are meant.
    """
    elements = all_elements(harness)
    labels = {one.name: (harness.parts[one.part_id].label, element_label(harness, one)) for one in elements}
    folded = name.strip().casefold()
    found = [one for one in elements if name.strip() in (one.name, one.part_id)]
    if not found and folded:
        found = [one for one in elements if folded in (label.casefold() for label in labels[one.name])]
    if len(found) == 1:
        return found[0]
    if found:
        choices = ", ".join(one.name for one in found)
        raise ArgumentError(f"“{name}” may be any of several circuits.", do=f"Name one of them: {choices}.")
    words = [*labels, *(one.part_id for one in elements), *(label for pair in labels.values() for label in pair)]
    near = nearest(name, words)
    listed = f"There are: {', '.join([*labels][:_LISTED_AT_MOST])}." if labels else "There is none in this file."
    do = f"Did you mean {near}?" if near else listed
    raise ArgumentError(f"There is no load “{name}”.", do=do)


class Walker:
    """Makes the walks of one harness.

    Parameters
    ----------
    bench
        Where conditions are solved.
    """

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.harness = bench.harness

    def walk(self, element: Element) -> Walk:
        """Make the walk of an element in its working condition."""
        working = working_condition(self.bench, element)
        pathfinder = _Pathfinder(self.harness, self.bench.survey(working.condition).settled)
        hot_end, ground_end = pathfinder.ends(element.from_point, element.to_point)
        feed = pathfinder.stretch(element.name, Side.FEED, hot_end)
        black = pathfinder.ground_to(feed)
        ground = pathfinder.stretch(element.name, Side.GROUND, ground_end)
        controls = pathfinder.controls([feed, ground])
        walk = Walk(element, working, black, feed, ground, controls)
        return replace(walk, also=_also_joined(self.harness, walk.stretches()))


def _also_joined(harness: Harness, stretches: Iterable[Stretch]) -> dict[str, tuple[Link, ...]]:
    """Map the points of a walk at which more than the walk hangs to the wires and joints that leave it there."""
    graph = possible_graph(harness)
    steps = [step for stretch in stretches for step in stretch.steps]
    on_walk = {step.link for step in steps}
    also: dict[str, tuple[Link, ...]] = {}
    for point in dict.fromkeys(step.point for step in steps):
        links: list[Link] = [link for _, _, link in graph.edges(point, data="link")] if point in graph else []
        leaving = [one for one in links if one.kind in (LinkKind.WIRE, LinkKind.JOINT) and one not in on_walk]
        if leaving:
            also[point] = tuple(leaving)
    return also


class _Pathfinder:
    """Finds the stretches of one walk, each told once."""

    def __init__(self, harness: Harness, settled: Settled) -> None:
        self.harness = harness
        self.settled = settled
        self.positive_ground = harness.build.ground_side == "positive"
        self._closed_links = frozenset(closed_links(harness, settled))
        self._closed = closed_graph(harness, settled)
        self._rings = rings_of(self._closed)
        self._trees: dict[tuple[Side, tuple[str, ...], bool], WayTree] = {}
        self._told: dict[Side, set[str]] = {Side.FEED: set(), Side.GROUND: set()}
        self._black = grounded_posts(harness)[0]

    def ends(self, one: str, other: str) -> tuple[str, str]:
        """Tell the hot end of a load or coil from the grounded one: by volts, else by what metal leads where."""
        away = [self._volts_from_ground(point) for point in (one, other)]
        if abs(away[0] - away[1]) > _TELLS_VOLTS:
            return (one, other) if away[0] > away[1] else (other, one)
        grounded = self._tree(Side.GROUND, grounded_posts(self.harness), closed=True)
        to_ground = [grounded.way_to(point) is not None for point in (one, other)]
        if to_ground[0] != to_ground[1]:
            return (other, one) if to_ground[0] else (one, other)
        return (other, one) if self.positive_ground else (one, other)

    def _volts_from_ground(self, point: str) -> float:
        """Give how far from the grounded post a point is, in volts; 0 where it floats or never rests."""
        volts, ground_volts = self.settled.volts_at(point), self.settled.volts_at(self._black)
        return 0.0 if volts is None or ground_volts is None else abs(volts - ground_volts)

    def ground_to(self, feed: Stretch | None) -> str:
        """Take the grounded post of the battery that feeds a stretch for the end of the ground ways, and name it."""
        source = "" if feed is None else feed.steps[0].point.partition(".")[0]
        if isinstance(self.harness.parts.get(source), Battery):
            self._black = grounded_post_of(self.harness, source)
        return self._black

    def stretch(self, of: str, side: Side, end: str) -> Stretch | None:
        """Find the stretch of one side: closed metal first, else through as few open contacts as can be."""
        for closed in (True, False):
            for posts in self._goals(side):
                way = self._tree(side, posts, closed=closed).way_to(end)
                if way is not None:
                    return self._told_once(of, side, way, switched=closed)
        return None

    def _goals(self, side: Side) -> tuple[tuple[str, ...], ...]:
        """Name the posts to which a side leads, those that are preferred first."""
        hot = hot_posts(self.harness)
        if side is Side.FEED:
            return hot, charger_posts(self.harness, hot=True)
        others = tuple(post for post in grounded_posts(self.harness) if post != self._black)
        return (self._black,), others, charger_posts(self.harness, hot=False), hot

    def _tree(self, side: Side, posts: tuple[str, ...], *, closed: bool) -> WayTree:
        found = self._trees.get((side, posts, closed))
        if found is None:
            passes = self._passes_on(side)
            if closed:
                found = WayTree(self._closed, posts, passes, rings=self._rings)
            else:
                found = WayTree(possible_graph(self.harness), posts, passes, avoided=self._is_open)
            self._trees[side, posts, closed] = found
        return found

    def _is_open(self, link: Link) -> bool:
        return link not in self._closed_links

    def _passes_on(self, side: Side) -> Passes:
        """Give what a way of one side may pass, seen from the posts: a diode and an output lead one way only."""
        with_current = (side is Side.FEED) is not self.positive_ground

        def passes(link: Link, here: str) -> bool:
            match link.kind:
                case LinkKind.DIODE:
                    return (link.one == here) is with_current
                case LinkKind.OUTPUT:
                    return side is Side.FEED and link.one == here
            return True

        return passes

    def _told_once(self, of: str, side: Side, way: Way, *, switched: bool) -> Stretch:
        """Cut from a way what a stretch before has told, and turn the way of a ground side to run to the post."""
        told = self._told[side]
        places = [place for place, step in enumerate(way.steps) if place and step.point in told]
        joins_at = ""
        if places:
            joins_at = way.steps[places[-1]].point
            way = way.beyond(places[-1])
        told.update(step.point for step in way.steps)
        if side is Side.GROUND:
            way = way.turned()
        return Stretch(of, side, way.steps, way.beside, joins_at, switched)

    def controls(self, stretches: list[Stretch | None]) -> tuple[Control, ...]:
        """Find the control of every relay and driver on the stretches, and on the controls' own."""
        found: dict[str, Control] = {}
        waiting = [stretch for stretch in stretches if stretch is not None]
        while waiting:
            for step in waiting.pop(0).steps:
                control = self._control(step.link, found) if step.link is not None else None
                if control is not None:
                    found[control.of] = control
                    waiting += [one for one in (control.feed, control.ground) if one is not None]
        return tuple(found.values())

    def _control(self, link: Link, found: dict[str, Control]) -> Control | None:
        part = self.harness.parts.get(link.part_id)
        if link.kind is LinkKind.RELAY and isinstance(part, Relay) and part.id not in found:
            one, other, _ = self._working_coil(part)
            hot_end, ground_end = self.ends(f"{part.id}.{one}", f"{part.id}.{other}")
            feed = self.stretch(part.id, Side.FEED, hot_end)
            return Control(part.id, link.pulled, feed, self.stretch(part.id, Side.GROUND, ground_end))
        if link.kind in (LinkKind.DRIVER, LinkKind.OUTPUT) and isinstance(part, Module) and link.site not in found:
            feed = self.stretch(link.site, Side.FEED, powering_feed(part, link.site.partition(":")[2]))
            return Control(link.site, True, feed, self.stretch(link.site, Side.GROUND, f"{part.id}.{part.ground}"))
        return None

    def _working_coil(self, relay: Relay) -> tuple[str, str, float]:
        """Pick the coil that has the most volts."""
        coils = relay_coils(relay, self.harness.build.nominal_volts)

        def volts(coil: tuple[str, str, float]) -> float:
            one, other = (self.settled.volts_at(f"{relay.id}.{name}") or 0.0 for name in coil[:2])
            return abs(one - other)

        return max(coils, key=volts)
