"""What hangs behind a wire: the loads, coils and feeds that it feeds or grounds."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from typing import NamedTuple

from model.harness.derived import once_per_harness
from model.harness.fields import Groups
from model.harness.harness import CHASSIS, Harness, all_elements
from model.harness.metal import metal_joins, wire_points
from model.harness.parts import Module
from model.harness.points import relay_coils, relay_groups
from model.harness.records import Wire
from model.harness.supply import grounded_posts


class Side(StrEnum):
    """Which side of its loads a wire is on."""

    FEED = "feed"
    GROUND = "ground"
    BETWEEN = "between"


@dataclass(frozen=True, slots=True)
class Behind:
    """What hangs behind a wire.

    Attributes
    ----------
    side
        Whether the wire feeds them, takes their current to ground, or lies between them or in a ring.
    names
        Elements (``E1:dip``), feeds of modules (``A1:15``), coils (``K1:coil``), and chargers
        by id, in the order of the file; where there is none of these, resistances (``R1:level``).
    """

    side: Side
    names: tuple[str, ...]


class _Step(NamedTuple):
    """A way from a point: through what, and where to."""

    through: str
    to: str


_Steps = Mapping[str, list[_Step]]

_RESISTANCE = "resistance "


@dataclass(frozen=True, slots=True)
class _Ways:
    """The harness as ways between points.

    Attributes
    ----------
    both
        Every way, either direction.
    onward
        The ways as current is fed: through a fuse and a diode one way only.
    live, ground, bodies
        Battery posts that feed, those on the ground side, and the bodies.
    hung
        What hangs on each point.
    rank
        Name of each thing that hangs on a point → its place in the file.
    """

    both: _Steps
    onward: _Steps
    live: frozenset[str]
    ground: frozenset[str]
    bodies: frozenset[str]
    hung: Mapping[str, list[str]]
    rank: Mapping[str, int]


def behind(harness: Harness, wire: Wire) -> Behind:
    """Say what hangs behind a wire, whatever is switched.

    The wire is thought away. Of its ends, the one that is then further from the source (on the ground side: from the
    grounded post) is the far one; what is reached from there, and not backwards through a fuse, hangs behind it.

    Notes
    -----
    Which contacts are closed, and how current parts among several ways, is not asked: for that a circuit is solved.
    Where both ends are equally near, as in a ring, everything reached from either is named.
    """
    return behind_ends(harness, wire.id, wire_points(harness, wire))


def behind_ends(harness: Harness, name: str, ends: tuple[str, ...]) -> Behind:
    """Say what hangs behind anything that joins some points: as :func:`behind`, of a fuse, contacts or a ground point.

    Parameters
    ----------
    name
        By which it joins them.
    ends
        Its points; all that are not the nearest to the source are far ends.
    """
    ways = _ways(harness)
    sides = (
        (Side.FEED, ways.live, ways.ground | ways.bodies),
        (Side.GROUND, ways.ground, ways.live),
    )
    for side, sources, stops in sides:
        steps = [_nearness(ways, end, sources, stops, name) for end in ends]
        nearest = min((count for count in steps if count is not None), default=None)
        if nearest is None:
            continue
        far = tuple(end for end, count in zip(ends, steps, strict=True) if count != nearest)
        if not far:
            break
        return Behind(side, _hanging(ways, far, sources | stops, name))
    return Behind(Side.BETWEEN, _hanging(ways, ends, ways.live | ways.ground | ways.bodies, name))


def _nearness(ways: _Ways, start: str, sources: frozenset[str], stops: frozenset[str], without: str) -> int | None:
    """Count the steps from a point to the nearest source; None where there is no way."""
    for point, steps in _reached(ways.both, start, sources | stops, without):
        if point in sources:
            return steps
    return None


def _hanging(ways: _Ways, starts: tuple[str, ...], stops: frozenset[str], without: str) -> tuple[str, ...]:
    """Name what hangs on the points reached; loads and coils where there are any, else resistances."""
    found: set[str] = set()
    for start in starts:
        for point, _ in _reached(ways.onward, start, stops, without):
            found.update(ways.hung.get(point, ()))
    names = sorted(found, key=ways.rank.__getitem__)
    drawing = tuple(name for name in names if not name.startswith(_RESISTANCE))
    return drawing or tuple(name.removeprefix(_RESISTANCE) for name in names)


def _reached(ways: _Steps, start: str, stops: frozenset[str], without: str) -> Iterator[tuple[str, int]]:
    """Give the points reached from a point with the steps to each; through no part twice in a row.

    A switch or relay joins only some of its terminals at once: coming in by one of its contacts and going on by another
    would join what it never joins.
    """
    seen = {(start, without)}
    waiting = deque([(start, without, 0)])
    while waiting:
        point, came_by, steps = waiting.popleft()
        yield point, steps
        if point in stops:
            continue
        for through, other in ways.get(point, ()):
            if through not in (came_by, without) and (other, through) not in seen:
                seen.add((other, through))
                waiting.append((other, through, steps + 1))


@once_per_harness
def _ways(harness: Harness) -> _Ways:
    both: dict[str, list[_Step]] = {}
    onward: dict[str, list[_Step]] = {}
    for through, one, other, is_one_way in _joins(harness):
        both.setdefault(one, []).append(_Step(through, other))
        both.setdefault(other, []).append(_Step(through, one))
        onward.setdefault(one, []).append(_Step(through, other))
        if not is_one_way:
            onward.setdefault(other, []).append(_Step(through, one))
    hung: dict[str, list[str]] = {}
    rank: dict[str, int] = {}
    for name, points in _hangers(harness):
        rank[name] = len(rank)
        for point in points:
            hung.setdefault(point, []).append(name)
    posts = frozenset(f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-")
    ground = frozenset(grounded_posts(harness))
    bodies = frozenset({CHASSIS, *(body.id for body in harness.bodies)})
    return _Ways(both, onward, posts - ground, ground, bodies, hung, rank)


def _joins(harness: Harness) -> Iterator[tuple[str, str, str, bool]]:
    """Give what joins two points: its name, the points, and whether it feeds from the first to the second only."""
    for name, one, other in metal_joins(harness):
        yield name, one, other, False
    for fuse in harness.fuses:
        yield fuse.id, fuse.bus or f"{fuse.id}.in", f"{fuse.id}.out", True
    for switch in harness.switches:
        yield from _contact_joins(switch.id, switch.positions.values())
    for relay in harness.relays:
        yield from _contact_joins(relay.id, relay_groups(relay))
    for module in harness.modules:
        yield from _module_joins(module)
    for diode in harness.diodes:
        yield diode.id, f"{diode.id}.anode", f"{diode.id}.cathode", True
    for pack in harness.resistors:
        for one_of in pack.elements:
            ends = f"{pack.id}.{one_of.from_terminal}", f"{pack.id}.{one_of.to_terminal}"
            yield (f"{pack.id}:{one_of.name}", *ends, False)


def _contact_joins(part_id: str, positions: Iterable[Groups]) -> Iterator[tuple[str, str, str, bool]]:
    for groups in positions:
        for group in groups:
            for one, other in combinations(group, 2):
                yield part_id, f"{part_id}.{one}", f"{part_id}.{other}", False


def _module_joins(module: Module) -> Iterator[tuple[str, str, str, bool]]:
    first_feed = module.feeds[0].terminal
    for driver in module.drivers:
        source = module.ground if driver.pulls == "ground" else driver.from_terminal or first_feed
        yield module.id, f"{module.id}.{source}", f"{module.id}.{driver.terminal}", driver.pulls == "feed"
    for output in module.outputs:
        source = output.from_terminal or first_feed
        yield module.id, f"{module.id}.{source}", f"{module.id}.{output.terminal}", True


def _hangers(harness: Harness) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give what takes or makes current, with its points: elements, feeds, coils, chargers; then resistances."""
    for element in all_elements(harness):
        yield element.name, (element.from_point, element.to_point)
    for relay in harness.relays:
        coils = relay_coils(relay, harness.build.nominal_volts)
        yield f"{relay.id}:coil", tuple(f"{relay.id}.{name}" for coil in coils for name in coil[:2])
    for charger in harness.chargers:
        exciter = (f"{charger.id}.{charger.exciter.terminal}",) if charger.exciter else ()
        yield charger.id, (f"{charger.id}.+", f"{charger.id}.-", *exciter)
    for pack in harness.resistors:
        for one in pack.elements:
            ends = f"{pack.id}.{one.from_terminal}", f"{pack.id}.{one.to_terminal}"
            yield f"{_RESISTANCE}{pack.id}:{one.name}", ends
