"""What hangs behind a fuse, however switches and relays stand, and what its being out could touch."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from model.circuit.faults import part_of_site
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.metal import same_metal
from model.harness.parts import Module
from model.harness.points import relay_coils, terminals_of
from model.tracing.graph import Link, LinkKind, hot_posts
from model.tracing.nets import METAL_AND_CONTACTS, flood, held_points, nets_of, possible_neighbours

_BOTH_WAYS = METAL_AND_CONTACTS | {LinkKind.RESISTOR}


@dataclass(frozen=True, slots=True)
class FuseFeeds:
    """What hangs behind a fuse without another fuse between.

    Attributes
    ----------
    upstream, behind
        The end that is nearer the supply, and the other one.
    loads
        Names of elements of loads and of feeds of modules.
    coils
        Relays of which a coil hangs there.
    fuses
        Fuses that are fed from there.
    meets
        Fuses of which the far end too is there: what lies between is fed from both sides.
    supplies
        Batteries and chargers of which a post is there: their current comes in through the fuse.
    joins
        Batteries on whose metal what lies behind ends, at no post of theirs.
    """

    fuse_id: str
    upstream: str
    behind: str
    loads: tuple[str, ...] = ()
    coils: tuple[str, ...] = ()
    fuses: tuple[str, ...] = ()
    meets: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    joins: tuple[str, ...] = ()

    @property
    def is_spare(self) -> bool:
        """Tell whether nothing at all hangs behind it."""
        return not (self.loads or self.coils or self.fuses or self.meets or self.supplies or self.joins)


@dataclass
class _Hung:
    """What hangs on each point of a harness."""

    loads: dict[str, list[Element]] = field(default_factory=dict)
    coils: dict[str, list[str]] = field(default_factory=dict)
    fed: dict[str, list[str]] = field(default_factory=dict)
    far: dict[str, list[str]] = field(default_factory=dict)
    supplies: dict[str, list[str]] = field(default_factory=dict)
    modules: dict[str, list[Module]] = field(default_factory=dict)


@once_per_harness
def fuse_feeds(harness: Harness) -> dict[str, FuseFeeds]:
    """Give what hangs behind each fuse: on metal and contacts, and through resistors, diodes and module outputs.

    Notes
    -----
    Contacts count as closed whichever way they stand. Metal that hangs on a hot battery post without a fuse ends it, as
    do the ground side and the posts.
    """
    return {fuse.id: _feeds_of(harness, fuse.id) for fuse in harness.fuses}


def all_behind(harness: Harness, fuse_id: str) -> tuple[str, ...]:
    """Name the elements behind a fuse, those behind the fuses that it feeds among them, the nearest first."""
    return tuple(dict.fromkeys(name for feeds in _with_fed(harness, fuse_id) for name in feeds.loads))


def coils_behind(harness: Harness, fuse_id: str) -> frozenset[str]:
    """Name the relays of which a coil hangs behind a fuse, or behind one that it feeds."""
    return frozenset(relay_id for feeds in _with_fed(harness, fuse_id) for relay_id in feeds.coils)


def _with_fed(harness: Harness, fuse_id: str) -> tuple[FuseFeeds, ...]:
    """Give what hangs behind a fuse, then behind each fuse that it feeds, the nearest first."""
    feeds = fuse_feeds(harness)
    found = {fuse_id: None}
    waiting = deque(found)
    while waiting:
        further = [other for other in feeds[waiting.popleft()].fuses if other not in found]
        found.update(dict.fromkeys(further))
        waiting += further
    return tuple(feeds[name] for name in found)


def touched_by(harness: Harness, fuse_id: str) -> frozenset[str]:
    """Name every element that could change where a fuse is out: behind it, or behind a relay or module on it.

    Rather too many than too few.
    """
    here = fuse_feeds(harness)[fuse_id]
    hung, ends_at = _hung(harness), _ends_at(harness)
    neighbours, passes = possible_neighbours(harness), _passes_down(harness)
    found: set[str] = set()
    reached = {here.behind}
    waiting = deque(reached)
    while waiting:
        point = waiting.popleft()
        if point in ends_at and point != here.behind:
            continue
        found.update(element.name for element in hung.loads.get(point, ()))
        joined = (other for other, link in neighbours.get(point, ()) if passes(link, point))
        for other in (*joined, *_moved_from(harness, hung, point)):
            if other not in reached:
                reached.add(other)
                waiting.append(other)
    return frozenset(found)


def _feeds_of(harness: Harness, fuse_id: str) -> FuseFeeds:
    behind = nets_of(harness).downstream[fuse_id]
    hung, points = _hung(harness), _reached(harness, behind)

    def on(table: dict[str, list[str]]) -> tuple[str, ...]:
        names = (name for point in points for name in table.get(point, ()))
        return tuple(dict.fromkeys(name for name in names if name != fuse_id))

    loads = (element.name for point in points for element in hung.loads.get(point, ()))
    return FuseFeeds(
        fuse_id,
        nets_of(harness).upstream[fuse_id],
        behind,
        tuple(dict.fromkeys(loads)),
        on(hung.coils),
        on(hung.fed),
        on(hung.far),
        on(hung.supplies),
        _joined_batteries(harness, points),
    )


def _joined_batteries(harness: Harness, points: Iterable[str]) -> tuple[str, ...]:
    """Name the batteries on the metal of whose hot posts points lie, those aside of which a post is among these."""
    metals = {same_metal(harness, point) for point in points}
    posts = [post for post in hot_posts(harness) if same_metal(harness, post) in metals]
    reached = {part_of_site(point) for point in points}
    return tuple(dict.fromkeys(part_of_site(post) for post in posts if part_of_site(post) not in reached))


def _reached(harness: Harness, start: str) -> tuple[str, ...]:
    """Give the points behind a fuse, the nearest first; where they end they count, and are not gone on from."""
    ends_at, grounded = _ends_at(harness), held_points(harness)
    if start in ends_at:
        return () if start in grounded else (start,)
    found = flood(possible_neighbours(harness), [start], ends_at, _passes_on(harness))
    return tuple(point for point in found if point not in grounded)


def _passes_on(harness: Harness) -> Callable[[Link, str], bool]:
    """Give a test whether feed goes on through a link: diodes and module outputs let it through one way."""
    from_other = harness.build.ground_side == "positive"

    def passes(link: Link, here: str) -> bool:
        if link.kind is LinkKind.DIODE:
            return here == (link.other if from_other else link.one)
        return link.kind in _BOTH_WAYS or (link.kind is LinkKind.OUTPUT and here == link.one)

    return passes


def _passes_down(harness: Harness) -> Callable[[Link, str], bool]:
    upstream = nets_of(harness).upstream

    def passes(link: Link, here: str) -> bool:
        if link.kind is LinkKind.FUSE:
            return here == upstream[link.part_id]
        return link.kind in _BOTH_WAYS or link.kind in (LinkKind.DIODE, LinkKind.OUTPUT, LinkKind.EXCITER)

    return passes


def _moved_from(harness: Harness, hung: _Hung, point: str) -> Iterator[str]:
    """Name the points that change where a point loses its volts: beyond a load, a relay's contacts, module pins."""
    for element in hung.loads.get(point, ()):
        yield from (element.from_point, element.to_point)
    for relay_id in hung.coils.get(point, ()):
        yield from (f"{relay_id}.{name}" for name in terminals_of(harness.parts[relay_id]))
    for module in hung.modules.get(point, ()):
        yield from (f"{module.id}.{name}" for name in terminals_of(module))


@once_per_harness
def _ends_at(harness: Harness) -> frozenset[str]:
    posts = (f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-")
    hot = {same_metal(harness, post) for post in hot_posts(harness)}
    fed = {point for point in possible_neighbours(harness) if same_metal(harness, point) in hot}
    return held_points(harness) | fed | frozenset(posts)


@once_per_harness
def _hung(harness: Harness) -> _Hung:
    hung = _Hung()
    for element in all_elements(harness):
        for point in (element.from_point, element.to_point):
            hung.loads.setdefault(point, []).append(element)
    for relay in harness.relays:
        for coil in relay_coils(relay, harness.build.nominal_volts):
            for name in coil[:2]:
                hung.coils.setdefault(f"{relay.id}.{name}", []).append(relay.id)
    nets = nets_of(harness)
    for fuse in harness.fuses:
        hung.fed.setdefault(nets.upstream[fuse.id], []).append(fuse.id)
        hung.far.setdefault(nets.downstream[fuse.id], []).append(fuse.id)
    for supply in (*harness.batteries, *harness.chargers):
        for sign in "+-":
            hung.supplies.setdefault(f"{supply.id}.{sign}", []).append(supply.id)
    for module in harness.modules:
        for feed in module.feeds:
            hung.modules.setdefault(f"{module.id}.{feed.terminal}", []).append(module)
    return hung
