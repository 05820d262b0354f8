"""What is live as one JSON object and as comma-separated values."""

from __future__ import annotations

from typing import Any

from model.harness.harness import Harness
from model.harness.places import place_words, point_place
from model.review.live_compared import Change, Compared
from model.review.live_points import Length, LivePoint, LiveStep
from model.review.live_review import LiveReview
from model.review.live_words import why_words
from model.sheets.plan_csv import Cell, csv_text
from model.sheets.plan_json import plain

FORMAT = "fusewalk live"
_DECIMALS = 6
_CSV_COLUMNS = (
    "point",
    "label",
    "place",
    "volts",
    "kind",
    "why",
    "behind fuse",
    "fuses on the way",
    "through",
    "source",
    "metres to the first fuse",
    "metres in all",
    "length assumed",
    "may be probed",
    "way",
)


def live_json(review: LiveReview) -> dict[str, Any]:
    """Give what is live as one JSON object.

    ``points`` has the volts of every live point, those among them that are never probed too; ``why`` tells the way to
    each.
    """
    settled = review.survey.settled
    harness, live = settled.net.harness, review.live
    found = {
        "format": FORMAT,
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "key": live.condition.key,
        "settings": live.condition.by_name,
        "faults": [fault.spelled() for fault in live.condition.faults],
        "points": {one.point: _volts(one.volts) for one in live.points},
        "why": {one.point: _why(harness, one) for one in live.points},
        "no_probe": [one.point for one in live.points if not one.may_be_probed],
        "floating": live.floating,
        "unsettled": live.unsettled,
        "unfused": [
            {"from": run.source, "end": run.end, "fuses": run.fuses, "wires": run.wires, **_length(run.length)}
            for run in review.unfused
        ],
        "pulled": {
            one.fuse_id: {
                "load_side": one.load_side,
                "points": {p.point: _volts(p.volts) for p in one.points},
                "chargers": [charger.id for charger in one.chargers],
                "may_carry": one.loose,
            }
            for one in review.pulled
        },
        "isolators": _isolators(review),
        "ground_switched": [
            {"site": one.site, "fed": one.fed, "far": one.far, "switched_by": one.switched_by}
            for one in review.switched
        ],
        "compared": None if review.against is None else _compared(review.against),
    }
    return {name: plain(value) for name, value in found.items()}


def live_csv(review: LiveReview) -> str:
    """Give what is live as CSV, a row a point."""
    harness = review.survey.settled.net.harness
    return csv_text(_CSV_COLUMNS, (_cells(harness, one) for one in review.live.points))


def _cells(harness: Harness, point: LivePoint) -> tuple[Cell, ...]:
    part = harness.parts.get(point.point.partition(".")[0])
    return (
        point.point,
        part.label if part is not None else "",
        place_words(point_place(harness, point.point)),
        _volts(point.volts),
        str(point.kind),
        why_words(harness, point),
        point.fused_by or "",
        "; ".join(point.fuses),
        "; ".join(point.through),
        point.source,
        point.unfused.metres,
        point.length.metres,
        "yes" if point.length.is_assumed else "no",
        "yes" if point.may_be_probed else "no",
        "; ".join(step.site for step in point.path),
    )


def _volts(volts: float) -> float:
    return round(volts, _DECIMALS) + 0.0


def _length(length: Length) -> dict[str, Any]:
    return {"metres": round(length.metres, 3), "assumed": length.is_assumed}


def _why(harness: Harness, point: LivePoint) -> dict[str, Any]:
    return {
        "words": why_words(harness, point),
        "kind": str(point.kind),
        "source": point.source,
        "fused_by": point.fused_by,
        "fuses": point.fuses,
        "through": point.through,
        "to_first_fuse": _length(point.unfused),
        "in_all": _length(point.length),
        "path": [_step(step) for step in point.path],
        "back": [_step(step) for step in point.back],
    }


def _step(step: LiveStep) -> dict[str, str]:
    return {"site": step.site, "kind": str(step.kind), "from": step.start, "to": step.end}


def _isolators(review: LiveReview) -> dict[str, Any] | None:
    found = review.isolators
    if found is None:
        return None
    return {
        "open": {one.switch_id: one.open_position for one in found.isolators},
        "settings": found.condition.by_name,
        "before": {one.point: _volts(one.volts) for one in found.before},
        "past": {one.point: _volts(one.volts) for one in found.past},
        "behind": {one.point: _volts(one.volts) for one in found.behind},
        "made_dead": found.made_dead,
    }


def _compared(against: Compared) -> dict[str, Any]:
    return {
        "key": against.after.key,
        "settings": against.after.by_name,
        "alive": _changes(against.alive),
        "dead": _changes(against.dead),
        "changed": _changes(against.changed),
        "restless": _changes(against.restless),
    }


def _changes(changes: tuple[Change, ...]) -> dict[str, list[float | None]]:
    return {
        one.point: [None if volts is None else _volts(volts) for volts in (one.before_volts, one.after_volts)]
        for one in changes
    }
