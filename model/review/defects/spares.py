"""Conductors marked as spare that are in use all the same."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.metal import wire_points, wires_at
from model.harness.points import resolve_point
from model.harness.records import Connector, Splice, Wire
from model.review.defects.telling import LIVE_VOLTS, do_unless_hazard, some_of, when_words
from model.review.finding import Finding, FindingRule, Gravity
from model.review.review_scene import ReviewScene
from model.words import volts_text


def spare_in_use(scene: ReviewScene) -> Iterator[Finding]:
    """Give the conductors marked as spare that join two points in use, alone or through plugs, and those that are live.

    One is live where a single end of it is in use and a free one has volts.
    """
    for wires, points in _spare_runs(scene.harness):
        free = tuple(f"{wire.id}.{end}" for wire in wires for end in _free_ends(wire))
        if len(points) > 1:
            yield _finding(scene, wires, points, "")
        elif points and free:
            volts, when = most_volts(scene, free)
            if abs(volts) > LIVE_VOLTS:
                yield _finding(scene, wires, (*points, *free), f"{volts_text(volts)} V ({when})")


def _finding(scene: ReviewScene, wires: tuple[Wire, ...], points: tuple[str, ...], live: str) -> Finding:
    wire_ids = tuple(wire.id for wire in wires)
    one = len(wires) == 1
    what = f"{'joins' if one else 'join'} {some_of(points)}, where other things are on"
    if live:
        what = f"live at the free end, fed from {points[0]}: {live}"
    return Finding(
        FindingRule.SPARE_JOINED,
        Gravity.DANGER if live else Gravity.ASK,
        f"{some_of(wire_ids)} {'is' if one else 'are'} marked as spare, and yet {what}.",
        do_unless_hazard(
            scene.harness,
            wire_ids,
            "Take the mark away if it is in use; else take both its ends off with the supply off, and cap them.",
        ),
        wire_ids,
        points,
    )


def _free_ends(wire: Wire) -> tuple[str, ...]:
    return tuple(end for end, at in (("a", wire.from_point), ("b", wire.to_point)) if at is None)


def most_volts(scene: ReviewScene, points: tuple[str, ...]) -> tuple[float, str]:
    """Give the most volts, either way, that one of some points has in the sweep, and when."""
    most, when = 0.0, ""
    for survey in scene.surveys:
        for volts in (survey.settled.volts_at(point) for point in points):
            if volts is not None and abs(volts) > abs(most) + 1e-6:
                most, when = volts, when_words(scene.harness, survey.settled.condition)
    return most, when


def _spare_runs(harness: Harness) -> Iterator[tuple[tuple[Wire, ...], tuple[str, ...]]]:
    """Give the spares that hang together, with the points in use that they end on."""
    spares = [wire for wire in harness.wires if wire.spare]
    at: dict[str, list[Wire]] = {}
    for wire in spares:
        for point in wire_points(harness, wire):
            at.setdefault(_both_halves(harness, point), []).append(wire)
    done: set[str] = set()
    for start in spares:
        if start.id in done:
            continue
        run, waiting = {start.id}, [start]
        used: dict[str, None] = {}
        while waiting:
            for point in wire_points(harness, waiting.pop()):
                if _is_in_use(harness, point):
                    used[point] = None
                    continue
                for wire in at[_both_halves(harness, point)]:
                    if wire.id not in run:
                        run.add(wire.id)
                        waiting.append(wire)
        done |= run
        yield tuple(wire for wire in spares if wire.id in run), tuple(used)


def _both_halves(harness: Harness, point: str) -> str:
    """Name a cavity for both of its halves; any other point by itself."""
    part_id, _, rest = point.partition(".")
    if isinstance(harness.parts.get(part_id), Connector):
        return f"{part_id}.{rest.rpartition('.')[2]}"
    return point


def _is_in_use(harness: Harness, point: str) -> bool:
    """Tell whether more than spares ends on a point, or on the other half of its cavity."""
    part_id, _, rest = point.partition(".")
    part = harness.parts.get(part_id)
    if isinstance(part, Wire):
        return False
    points = [point]
    if isinstance(part, Connector):
        points = [f"{part_id}.{half}.{rest.rpartition('.')[2]}" for half in part.halves]
    elif not isinstance(part, Splice):
        return True
    on_it = (wire for one in points for wire in wires_at(harness).get(one, ()))
    return any(not wire.spare for wire in on_it) or not joined_points(harness).isdisjoint(points)


@once_per_harness
def joined_points(harness: Harness) -> frozenset[str]:
    """Name the points that joints end on."""
    ends = (end for joint in harness.joints for end in (joint.from_point, joint.to_point))
    return frozenset(resolve_point(harness, end) for end in ends)
