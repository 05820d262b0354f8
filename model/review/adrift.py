"""What no way leads home from: chargers, further batteries and bodies that nothing joins to the grounded post."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.harness.derived import once_per_harness
from model.harness.harness import Harness, all_elements
from model.harness.points import relay_coils
from model.harness.supply import grounded_post_of, grounded_posts
from model.tracing.graph import charger_posts, hot_posts
from model.tracing.load_ways import always_fed, ground_points
from model.tracing.nets import bodies_of, flood, possible_neighbours


@dataclass(frozen=True, slots=True)
class Adrift:
    """A post or a body without a way home, however everything is switched.

    Attributes
    ----------
    point
        The post; of a body with no charger or battery on it the body.
    is_hot
        True of the post of a charger that should lead to a battery post that feeds; else the grounded post is lacking.
    points
        All that metal and contacts join to it.
    bodies
        The bodies among these.
    hanging
        Names of loads, feeds and coils with an end among these.
    """

    point: str
    is_hot: bool
    points: frozenset[str]
    bodies: tuple[str, ...]
    hanging: tuple[str, ...]


@once_per_harness
def adrift_of(harness: Harness) -> tuple[Adrift, ...]:
    """Give what has no way home: first chargers, then batteries, then bodies.

    Notes
    -----
    Contacts count as closed and fuses as whole. A charger of which no side leads anywhere is left out, and so is a
    battery of which no side leads to the first one: they are circuits of their own, or not in the file yet.
    """
    neighbours = possible_neighbours(harness)
    home, fed = grounded_post_of(harness, harness.batteries[0].id), always_fed(harness)
    if home in fed:
        return ()

    def reached(*starts: str, ends_at: frozenset[str] = fed) -> frozenset[str]:
        return frozenset(flood(neighbours, starts, ends_at, lambda _link, _point: True))

    grounded, hot = reached(home), reached(*hot_posts(harness), ends_at=ground_points(harness))
    found: list[Adrift] = []
    told: set[str] = set()
    for point, is_hot in (*_charger_posts(harness, grounded, hot), *_battery_posts(harness, grounded, hot, fed)):
        points = reached(point, ends_at=grounded) if is_hot else reached(point)
        if point not in told:
            found.append(_adrift(harness, point, is_hot, points))
        told |= points
    for body in sorted(bodies_of(harness) & neighbours.keys() - grounded - told - fed):
        one = _adrift(harness, body, False, reached(body))
        told |= one.points
        if one.hanging:
            found.append(one)
    return tuple(found)


def _charger_posts(harness: Harness, grounded: frozenset[str], hot: frozenset[str]) -> Iterator[tuple[str, bool]]:
    """Give the posts of chargers that lead nowhere while their other one does, and whether they are on the hot side."""
    pairs = zip(charger_posts(harness, hot=True), charger_posts(harness, hot=False), strict=True)
    for plus, minus in pairs:
        if plus in hot and minus not in grounded and minus not in hot:
            yield minus, False
        elif minus in grounded and plus not in hot and plus not in grounded:
            yield plus, True


def _battery_posts(
    harness: Harness, grounded: frozenset[str], hot: frozenset[str], fed: frozenset[str]
) -> Iterator[tuple[str, bool]]:
    """Give the grounded posts of further batteries that lead nowhere while something else of theirs leads to the rest.

    What feeds is joined to the first battery where a way from there leads to it that is not its own.
    """
    neighbours = possible_neighbours(harness)
    posts = hot_posts(harness)
    for post in grounded_posts(harness)[1:]:
        if post in grounded or post in fed:
            continue
        own = {one for one in posts if grounded_post_of(harness, one.partition(".")[0]) == post}
        others = [one for one in posts if one not in own]
        ways = flood(neighbours, others, ground_points(harness), lambda _link, _point: True)
        if own & ways.keys() & hot:
            yield post, False


def _adrift(harness: Harness, point: str, is_hot: bool, points: frozenset[str]) -> Adrift:
    bodies = tuple(sorted(bodies_of(harness) & points))
    hanging = [one.name for one in all_elements(harness) if {one.from_point, one.to_point} & points]
    for relay in harness.relays:
        coils = relay_coils(relay, harness.build.nominal_volts)
        ends = {f"{relay.id}.{name}" for one, other, _ in coils for name in (one, other)}
        hanging += [f"{relay.id}:coil"] if ends & points else []
    return Adrift(point, is_hot, points, bodies, tuple(hanging))
