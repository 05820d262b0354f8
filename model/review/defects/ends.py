"""Wires and cavities that are not joined as they should be: free ends, double crimps, lone splices, lone halves."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.metal import wires_at
from model.harness.points import resolve_point
from model.harness.records import Connector, Wire
from model.review.defects.spares import joined_points, most_volts
from model.review.defects.telling import LIVE_VOLTS, do_unless_hazard, some_of
from model.review.finding import Finding, FindingRule, Gravity, rule_of
from model.review.review_scene import ReviewScene
from model.tracing.names import end_words, id_and_label, wire_name
from model.words import plural, volts_text


def wire_ends_nowhere(scene: ReviewScene) -> Iterator[Finding]:
    """Give the wires with a free end that are neither spare nor superseded; graver where the end is live."""
    for wire in scene.harness.wires:
        free = [end for end, at in (("a", wire.from_point), ("b", wire.to_point)) if at is None]
        if not free or wire.spare or wire.superseded_by is not None:
            continue
        points = tuple(f"{wire.id}.{end}" for end in free)
        volts, when = most_volts(scene, points)
        live = f" It is live there: {volts_text(volts)} V ({when})." if abs(volts) > LIVE_VOLTS else ""
        where = "both its ends" if len(free) == 2 else f"one end, at {end_words(scene.harness, wire, free[0])},"
        yield Finding(
            FindingRule.FREE_END,
            Gravity.DANGER if live else Gravity.ASK,
            f"{wire_name(scene.harness, wire)}: {where} {'end' if len(free) == 2 else 'ends'} nowhere, and it is not "
            f"marked as spare.{live}",
            do_unless_hazard(
                scene.harness,
                (wire.id,),
                "With the supply off, look where it leads and give the point; if it is of no use, cap its ends and "
                "mark it as spare.",
            ),
            (wire.id,),
            points,
            value=round(abs(volts), 2) if live else None,
            unit="V" if live else "",
            rule_text=rule_of("unused wire capped"),
        )


def double_crimp(scene: ReviewScene) -> Iterator[Finding]:
    """Give the half cavities with more than one wire, those aside that another wire has superseded."""
    harness = scene.harness
    for point, wires in wires_at(harness).items():
        part_id = point.partition(".")[0]
        here = [wire for wire in wires if wire.superseded_by is None]
        if len(here) < 2 or not isinstance(harness.parts.get(part_id), Connector):
            continue
        yield Finding(
            FindingRule.DOUBLE_CRIMP,
            Gravity.ASK,
            f"{some_of(wire.id for wire in here)} end in one cavity, {point} of {id_and_label(harness, part_id)}: "
            f"{len(here)} wires in one terminal.",
            do_unless_hazard(
                harness,
                (part_id, *(wire.id for wire in here)),
                "Pull at each wire: the thinner one slips first. Better a splice before the plug and one wire into it.",
            ),
            (part_id, *(wire.id for wire in here)),
            (point,),
            value=float(len(here)),
            unit="wires",
            rule_text=rule_of("wire in a cavity of its own"),
        )


def lone_splice(scene: ReviewScene) -> Iterator[Finding]:
    """Give the splices on which fewer than two wires or joints end."""
    harness = scene.harness
    joints = [resolve_point(harness, end) for one in harness.joints for end in (one.from_point, one.to_point)]
    for splice in harness.splices:
        wires = wires_at(harness).get(splice.id, ())
        count = len(wires) + joints.count(splice.id)
        if count < 2:
            yield Finding(
                FindingRule.LONE_SPLICE,
                Gravity.ASK,
                f"{id_and_label(harness, splice.id)} is a splice with {plural(count, 'wire')} on it: it joins nothing.",
                "Look for the other wires of the splice and give them; a joint that is not there can go from the file.",
                (splice.id, *(wire.id for wire in wires)),
                (splice.id,),
                value=float(count),
                unit="wires",
            )


def half_joined(scene: ReviewScene) -> Iterator[Finding]:
    """Give the connectors with cavities that have a wire on one half alone; once for a connector.

    What rests apart is left out, as the socket for a trailer; so are cavities with nothing but spares.
    """
    harness = scene.harness
    joined = joined_points(harness)
    for connector in (one for one in harness.connectors if one.rest == "mated"):
        points: dict[str, tuple[Wire, ...]] = {}
        for cavity in range(1, connector.cavities + 1):
            halves = [f"{connector.id}.{half}.{cavity}" for half in connector.halves]
            filled = [half for half in halves if half in joined or wires_at(harness).get(half)]
            if len(filled) == 1:
                wires = wires_at(harness).get(filled[0], ())
                in_use = tuple(wire for wire in wires if not wire.spare and wire.superseded_by is None)
                if in_use or filled[0] in joined:
                    points[filled[0]] = in_use
        if points:
            yield _half(scene, connector, points)


def _half(scene: ReviewScene, connector: Connector, points: dict[str, tuple[Wire, ...]]) -> Finding:
    wire_ids = tuple(dict.fromkeys(wire.id for wires in points.values() for wire in wires))
    ends = "ends" if len(wire_ids) == 1 else "end"
    return Finding(
        FindingRule.HALF_JOINED,
        Gravity.ASK,
        f"{some_of(wire_ids) or 'A joint'} {ends} in {some_of(points)} of "
        f"{id_and_label(scene.harness, connector.id)}, and nothing is in the other half there.",
        do_unless_hazard(
            scene.harness,
            (connector.id, *wire_ids),
            "Part the plug with the supply off and look into the other half; give the wire that is there, or mark this "
            "one as spare.",
        ),
        (connector.id, *wire_ids),
        tuple(points),
        value=float(len(points)),
        unit="cavities",
    )
