"""What a new circuit can hang on: which points have feed in which key states, and how much room their fuses have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from model.circuit.bench import Bench
from model.errors import ArgumentError
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.hazards import hazards_of_point
from model.harness.places import point_place
from model.harness.points import all_points, resolve_point
from model.harness.supply import grounded_posts
from model.review.fed_points import Fed, fed_in
from model.review.fuse_amps import most_amps
from model.review.fuse_use import lasting_share
from model.review.spread import Spread, spread_of
from model.review.sweep import sweep
from model.tracing.graph import METAL_KINDS, LinkKind, hot_posts, links_of
from model.tracing.nets import flood, neighbours_of, nets_of
from model.words import clean, nearest

_GROUND_WAYS = METAL_KINDS | {LinkKind.SWITCH}


class FeedKind(StrEnum):
    """How a circuit hangs on what feeds it."""

    BUS = "busbar"
    FUSE = "fuse"
    POINT = "point"


@dataclass(frozen=True, slots=True)
class FeedPoint:
    """Something with feed.

    Attributes
    ----------
    name
        Id of the busbar or fuse; else the point.
    point
        Where the circuit is joined: of a fuse its ``out``.
    keys
        Key states in which it has feed with nothing moved.
    moved_keys
        Key states in which it has feed with isolators and switches moved, those above among them.
    place
        Name of where it is; empty where the file does not say.
    room_amps
        What a fuse could carry more for long; None of anything else.
    is_fused
        True where a fuse stands before it.
    """

    name: str
    point: str
    kind: FeedKind
    keys: tuple[str, ...]
    moved_keys: tuple[str, ...]
    place: str
    room_amps: float | None = None
    is_fused: bool = True


class Feeds:
    """What has feed in a harness; solved once.

    Attributes
    ----------
    offered
        What is offered to hang a circuit on: busbars, key switch, posts, then fuses with room.
    """

    def __init__(self, bench: Bench) -> None:
        self.harness = bench.harness
        self._spread = spread_of(sweep(bench))
        self._fed = fed_in(self._spread)
        self._rated = {fuse.id for fuse in self.harness.fuses if fuse.amps is not None}
        self.offered = tuple(one for one in _offered(self) if not hazards_of_point(self.harness, one.point))

    def keys_of(self, point: str, *, moved: bool = False) -> tuple[str, ...]:
        """Name the key states in which a point has feed, with nothing moved or also with something moved."""
        wanted = {Fed.AT_REST, Fed.MOVED} if moved else {Fed.AT_REST}
        return tuple(key for key in self.harness.key_names if self._fed[key].get(point, Fed.NONE) in wanted)

    def named(self, typed: str) -> FeedPoint:
        """Give what somebody names to hang a circuit on: a busbar, a fuse, or any point.

        Raises
        ------
        ArgumentError
            Where there is no such point, or it is one that nobody may touch.
        """
        owner = typed.removesuffix(".out")
        if any(fuse.id == owner for fuse in self.harness.fuses):
            return self._fuse(owner)
        point = resolve_point(self.harness, typed)
        if point not in all_points(self.harness):
            choices = [one.name for one in self.offered]
            near = nearest(typed, [*choices, *all_points(self.harness)])
            do = f"Did you mean {near}?" if near else f"There are: {', '.join(choices[:12])}."
            raise ArgumentError(f"There is no feed “{clean(typed, 60)}”.", do=do)
        if hazards_of_point(self.harness, point):
            raise ArgumentError(
                f"{clean(typed, 60)} belongs to wiring that nothing may be added to.",
                do="Choose a point of other wiring.",
            )
        is_bus = any(bar.id == point for bar in self.harness.busbars)
        return self._point(point, FeedKind.BUS if is_bus else FeedKind.POINT)

    def guards(self, point: str) -> tuple[float | None, ...]:
        """Give the ratings of the fuses that guard a point; None among them where something has none."""
        ratings = {fuse.id: fuse.amps for fuse in self.harness.fuses}
        return tuple(ratings.get(label) for label in sorted(nets_of(self.harness).feeds.get(point, ())))

    def tightest_before(self, point: str) -> tuple[str, float] | None:
        """Give the fuse before a point that has least room for more, and that room in amperes; None without a fuse."""
        before = [one for one in nets_of(self.harness).fuses_before(point) if one in self._rated]
        rooms = {one: _room_amps(self._spread, one) for one in before}
        return min(rooms.items(), key=lambda row: row[1], default=None)

    def _point(self, point: str, kind: FeedKind) -> FeedPoint:
        guards = self.guards(point)
        is_fused = bool(guards) and None not in guards
        place = point_place(self.harness, point).name
        keys = self.keys_of(point), self.keys_of(point, moved=True)
        return FeedPoint(point, point, kind, *keys, place, is_fused=is_fused)

    def _fuse(self, fuse_id: str) -> FeedPoint:
        point = f"{fuse_id}.out"
        place = point_place(self.harness, point).name
        keys = self.keys_of(point), self.keys_of(point, moved=True)
        return FeedPoint(fuse_id, point, FeedKind.FUSE, *keys, place, room_amps=_room_amps(self._spread, fuse_id))


def _offered(feeds: Feeds) -> Iterator[FeedPoint]:
    harness = feeds.harness
    points = [(bar.id, FeedKind.BUS) for bar in harness.busbars]
    key = harness.key_switch
    points += [(f"{key.id}.{terminal}", FeedKind.POINT) for terminal in key.terminals] if key is not None else []
    points += [(post, FeedKind.POINT) for post in hot_posts(harness)]
    found = [feeds.named(name) for name, _ in points if not hazards_of_point(harness, name)]
    found += [feeds.named(fuse.id) for fuse in harness.fuses if not hazards_of_point(harness, f"{fuse.id}.out")]
    for one in found:
        if one.moved_keys and (one.room_amps is None or one.room_amps > 0.0):
            yield one


def _room_amps(spread: Spread, fuse_id: str) -> float:
    """Give what a fuse could carry more for long: up to 80 % of its rating."""
    rating = next(fuse.amps for fuse in spread.bench.harness.fuses if fuse.id == fuse_id)
    most = most_amps((one.survey for one in spread.seen if not one.is_cranked), fuse_id)
    return max(lasting_share() * (rating or 0.0) - (most.amps if most is not None else 0.0), 0.0)


@lru_cache(maxsize=2)
def feeds_of(bench: Bench) -> Feeds:
    """Give what has feed in a harness; those of the last two benches are kept."""
    return Feeds(bench)


def best_feed(feeds: Iterable[FeedPoint], keys: tuple[str, ...], place: str = "") -> FeedPoint | None:
    """Give what suits best to be live in some key states and in no others; None where nothing is.

    Notes
    -----
    What is live with nothing moved goes before what an isolator has to be moved for; then busbars behind a fuse, other
    busbars, other points; then what is at the place of the load; then the order of the file. A fuse that feeds
    something else already is never chosen.
    """
    found = [one for one in feeds if one.kind is not FeedKind.FUSE and keys in (one.keys, one.moved_keys)]
    return min(found, key=lambda one: _rank(one, keys, place), default=None)


def _rank(one: FeedPoint, keys: tuple[str, ...], place: str) -> tuple[bool, bool, bool, bool]:
    return (one.keys != keys, one.kind is not FeedKind.BUS, not one.is_fused, not place or one.place != place)


def next_best_feed(feeds: Iterable[FeedPoint], keys: tuple[str, ...]) -> FeedPoint | None:
    """Give what is live in all of some key states and in the fewest others; None where nothing is."""
    found = [one for one in feeds if one.kind is not FeedKind.FUSE and set(keys) <= set(one.moved_keys)]
    return min(found, key=lambda one: (len(one.moved_keys), one.kind is not FeedKind.BUS), default=None)


@once_per_harness
def _tied(harness: Harness) -> frozenset[str]:
    """Name the points that wires, plugs, bodies and switches join to the grounded post of a battery."""
    neighbours = neighbours_of(link for link in links_of(harness) if link.kind in _GROUND_WAYS)
    return frozenset(
        flood(neighbours, grounded_posts(harness), frozenset(hot_posts(harness)), lambda _link, _point: True)
    )


def tied_to_ground(harness: Harness, point: str) -> bool:
    """Tell whether a point is joined to the grounded post of a battery; a switch on the way is taken as closed."""
    return point in _tied(harness)
