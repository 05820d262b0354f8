"""The fuses of a loom as one JSON object."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.review.fuse_amps import FuseCurrent
from model.review.fuse_pulled import Pulled
from model.review.fuse_use import FuseUse
from model.sheets.fuse_remarks import concern_words, place_name
from model.sheets.fuses_sheet import in_order
from model.sheets.plan_json import plain
from model.tracing.wire_bears import Thinnest

FORMAT = "fusewalk fuses"


def fuses_json(harness: Harness, uses: Iterable[FuseUse]) -> dict[str, Any]:
    """Give the fuses as one JSON object: amperes as numbers, elements by name, key states as the file has them."""
    found = {
        "format": FORMAT,
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "fuses": [_fuse(harness, use) for use in in_order(harness, uses)],
    }
    return {name: plain(value) for name, value in found.items()}


def _fuse(harness: Harness, use: FuseUse) -> dict[str, Any]:
    start, band = use.start, use.start_band
    return {
        "id": use.fuse.id,
        "label": use.fuse.label,
        "place": place_name(harness, use),
        "style": str(use.fuse.style),
        "amps": use.fuse.amps,
        "colour": use.colour or None,
        "fed": {key: str(fed) for key, fed in use.fed.items()},
        "loads": {load.name: list(load.works_in) for load in use.loads},
        "all_loads": list(use.all_loads),
        "coils": list(use.feeds.coils),
        "fuses": list(use.feeds.fuses),
        "meets": list(use.feeds.meets),
        "supplies": list(use.feeds.supplies),
        "joins": list(use.feeds.joins),
        "spare": use.feeds.is_spare,
        "most": _current(use.most),
        "lasting": _current(use.lasting),
        "start": None
        if start is None
        else {
            "amps": round(start.amps, 6),
            "loads": list(start.loads),
            "seconds": start.seconds,
            "given": start.is_given,
            "source_kind": None if start.is_given else str(start.kind),
            **_condition(start.condition),
        },
        "start_opens_within": None
        if band is None
        else {
            "percent_of_rating": round(band.percent, 3),
            "least_seconds": band.least_seconds,
            "most_seconds": band.most_seconds,
            "source": band.source,
        },
        "thinnest_wire": _wire(use.thinnest),
        "least_in_bundle": _wire(use.in_bundle),
        "fit_at_most_amps": use.fit_at_most_amps,
        "dies": list(use.dies),
        "stays_alive": list(use.alive),
        "charged_no_longer": {one.battery_id: list(one.charger_ids) for one in use.uncharged},
        "pulled": [_pulled(one) for one in use.pulled],
        "concerns": [str(one) for one in use.concerns],
        "remarks": list(concern_words(harness, use)),
    }


def _wire(found: Thinnest | None) -> dict[str, Any] | None:
    return None if found is None else {"wire": found.wire_id, "bears_amps": round(found.amps, 6)}


def _current(current: FuseCurrent | None) -> dict[str, Any] | None:
    if current is None:
        return None
    return {"amps": round(current.amps, 6), **_condition(current.condition)}


def _condition(condition: Condition) -> dict[str, Any]:
    return {"key": condition.key, "settings": condition.by_name}


def _pulled(one: Pulled) -> dict[str, Any]:
    return {
        **_condition(one.condition),
        "dies": list(one.dies),
        "weak": list(one.weak),
        "comes_on": list(one.wakes),
        "stays_alive": {stays.name: list(stays.by) for stays in one.alive},
        "relays_fall_off": list(one.drops),
    }
