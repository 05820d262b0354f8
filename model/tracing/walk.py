"""The walk of a load: every point from the supply to the load and back to the post, and each relay's control side."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import networkx as nx

from model.circuit.bench import Bench
from model.circuit.settle import Settled
from model.errors import ArgumentError
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Module, Relay
from model.harness.points import relay_coils
from model.tracing.graph import (
    Link,
    LinkKind,
    charger_posts,
    closed_graph,
    grounded_posts,
    hot_posts,
    possible_graph,
)
from model.tracing.ways import Step, Way, find_way
from model.tracing.working import Working, WorkingSearch
from model.words import nearest


class Side(StrEnum):
    """Which side of the load or coil a stretch of the walk is on."""

    FEED = "feed"
    GROUND = "ground"


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of a walk, in the order in which the current of a negative-ground vehicle runs through it.

    Attributes
    ----------
    of
        What it feeds or grounds: the load's element, a relay's id, or a module's terminal as ``id:terminal``.
    steps
        Points from the supply to the load, or from the load to the grounded post.
    beside
        Stretches with another way beside them: places of first and last step, and the links of the other way.
    joins_at
        Point at which it leaves or joins a stretch told before; the steps beyond are left out there.
    switched
        False where it is not closed in the working condition and is shown through open contacts.
    """

    of: str
    side: Side
    steps: tuple[Step, ...]
    beside: tuple[tuple[int, int, tuple[Link, ...]], ...] = ()
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
        Point at which the black probe stands.
    feed, ground
        None where no metal leads that way at all.
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
    named = [one for one in elements if name in (one.name, one.part_id)]
    labelled = [one for one in elements if harness.parts[one.part_id].label.casefold() == name.casefold()]
    found = named or labelled
    if len(found) == 1:
        return found[0]
    if found:
        choices = ", ".join(one.name for one in found)
        raise ArgumentError(f"“{name}” has several circuits.", do=f"Name one of them: {choices}.")
    labels = {harness.parts[one.part_id].label: one.name for one in elements}
    near = nearest(name, (*(one.name for one in elements), *(one.part_id for one in elements), *labels))
    do = f"Did you mean {near}?" if near else f"There are: {', '.join(one.name for one in elements[:12])}."
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
        self.search = WorkingSearch(bench)
        self._possible = possible_graph(self.harness)

    def walk(self, element: Element) -> Walk:
        """Make the walk of an element in its working condition."""
        working = self.search.working_condition(element)
        settled = self.bench.survey(working.condition).healthy
        pathfinder = _Pathfinder(self.harness, settled, self._possible)
        hot_end, ground_end = pathfinder.ends(element.from_point, element.to_point)
        feed = pathfinder.stretch(element.name, Side.FEED, hot_end)
        ground = pathfinder.stretch(element.name, Side.GROUND, ground_end)
        controls = pathfinder.controls([feed, ground])
        walk = Walk(element, working, grounded_posts(self.harness)[0], feed, ground, controls)
        also = pathfinder.also_joined(walk)
        return Walk(element, working, walk.black, feed, ground, controls, also)


class _Pathfinder:
    """Finds the stretches of one walk, each told once."""

    def __init__(self, harness: Harness, settled: Settled, possible: nx.MultiGraph) -> None:
        self.harness = harness
        self.settled = settled
        self.possible = possible
        self.closed = closed_graph(harness, settled)
        self.told: dict[Side, set[str]] = {Side.FEED: set(), Side.GROUND: set()}
        self.positive_ground = harness.build.ground_side == "positive"

    def ends(self, one: str, other: str) -> tuple[str, str]:
        """Tell the hot end of a load or coil from the grounded one: by volts, else by what metal leads where."""
        volts = [abs(self.settled.volts_at(point) or 0.0) for point in (one, other)]
        if abs(volts[0] - volts[1]) > 1.0:
            return (one, other) if volts[0] > volts[1] else (other, one)
        grounded = set(grounded_posts(self.harness))
        to_ground = [self._is_joined(point, grounded) for point in (one, other)]
        if to_ground[0] and not to_ground[1]:
            return other, one
        if to_ground == [False, False] and self.positive_ground:
            return other, one
        return one, other

    def _is_joined(self, point: str, posts: set[str]) -> bool:
        return point in self.closed and bool(posts & nx.node_connected_component(self.closed, point))

    def stretch(self, of: str, side: Side, end: str) -> Stretch | None:
        """Find the stretch of one side: closed metal first, else through open contacts."""
        goals = self._goals(side)
        along = (side is Side.GROUND) is not self.positive_ground
        for graph, switched in ((self.closed, True), (self.possible, False)):
            for group in goals:
                way = find_way(graph, end, group, along_current=along)
                if way is not None:
                    return self._told_once(of, side, way, switched=switched)
        return None

    def _goals(self, side: Side) -> tuple[tuple[str, ...], ...]:
        if side is Side.FEED:
            return hot_posts(self.harness), charger_posts(self.harness, hot=True)
        first, *others = grounded_posts(self.harness)
        return (first,), tuple(others), charger_posts(self.harness, hot=False)

    def _told_once(self, of: str, side: Side, way: Way, *, switched: bool) -> Stretch:
        """Cut a way where it meets a stretch told before, and turn a feed round to run from the supply."""
        steps, beside, joins_at = list(way.steps), list(way.beside), ""
        for place, step in enumerate(steps):
            if step.point in self.told[side] and place < len(steps) - 1:
                joins_at = step.point
                steps = steps[: place + 1]
                beside = [one for one in beside if one[1] <= place]
                break
        self.told[side].update(step.point for step in steps)
        if side is Side.FEED:
            last = len(steps) - 1
            turned = [Step(steps[-1].point, None)]
            turned += [Step(steps[k - 1].point, steps[k].link) for k in range(last, 0, -1)]
            steps = turned
            beside = [(last - end, last - start, other[::-1]) for start, end, other in reversed(beside)]
        return Stretch(of, side, tuple(steps), tuple(beside), joins_at, switched)

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
            feed_terminal = self._feed_of(part, link.site.partition(":")[2])
            feed = self.stretch(link.site, Side.FEED, f"{part.id}.{feed_terminal}")
            return Control(link.site, True, feed, self.stretch(link.site, Side.GROUND, f"{part.id}.{part.ground}"))
        return None

    def _working_coil(self, relay: Relay) -> tuple[str, str, float]:
        """Pick the coil that has the most volts."""
        coils = relay_coils(relay, self.harness.build.nominal_volts)

        def volts(coil: tuple[str, str, float]) -> float:
            one, other = (self.settled.volts_at(f"{relay.id}.{name}") or 0.0 for name in coil[:2])
            return abs(one - other)

        return max(coils, key=volts)

    def _feed_of(self, module: Module, terminal: str) -> str:
        named = {driver.terminal: driver.from_terminal for driver in module.drivers}
        named |= {output.terminal: output.from_terminal for output in module.outputs}
        return named.get(terminal) or module.feeds[0].terminal

    def also_joined(self, walk: Walk) -> dict[str, tuple[Link, ...]]:
        """Map the points of a walk at which more than the walk hangs to the links that leave it there."""
        on_walk = {step.link.site for stretch in walk.stretches() for step in stretch.steps if step.link is not None}
        also: dict[str, tuple[Link, ...]] = {}
        for point in walk.points():
            if point not in self.possible:
                continue
            links: list[Link] = [link for _, _, link in self.possible.edges(point, data="link")]
            leaving = [
                link for link in links if link.kind in (LinkKind.WIRE, LinkKind.JOINT) and link.site not in on_walk
            ]
            if leaving:
                also[point] = tuple(sorted(leaving, key=lambda link: link.site))
        return also
