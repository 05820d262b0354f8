"""The rows of each pattern: parts, wires, and what each is joined to."""

from __future__ import annotations

from typing import assert_never

from model.review.pattern_draft import Draft
from model.review.pattern_fuse import Need, tap
from model.review.pattern_ground import choose_ground
from model.review.pattern_parts import add_load, add_switch, feed_for, need_of
from model.review.pattern_power import power_size
from model.review.pattern_proposal import Reason
from model.review.pattern_questions import Pattern
from model.review.pattern_relay import add_relayed, coil_by_feed, coil_by_ground
from model.review.pattern_sizes import steady
from model.review.pattern_speeds import add_speeds
from model.tables import SourceKind

ASLEEP_AMPS = 0.005
"""Taken for a control unit asleep where nobody gives it."""


def lay_out(draft: Draft) -> None:
    """Add the rows of the pattern that is asked for.

    Raises
    ------
    ArgumentError
        Where something that was given does not fit, or no fuse or wire serves.
    """
    match draft.asked.pattern:
        case Pattern.SWITCHED:
            _switched(draft)
        case Pattern.RELAY:
            add_relayed(draft, coil_by_feed)
        case Pattern.RELAY_GROUND:
            add_relayed(draft, coil_by_ground)
        case Pattern.SPEEDS:
            add_speeds(draft)
        case Pattern.MODULE:
            _module(draft)
        case Pattern.PERMANENT | Pattern.SOCKET:
            _direct(draft)
        case _:
            assert_never(draft.asked.pattern)


def _direct(draft: Draft) -> None:
    place = draft.place("at")
    need = need_of(draft, "load")
    begins = tap(draft, feed_for(draft, "feed", draft.asked.keys, need), need)
    size = power_size(draft, "size", need, begins.rating_amps, ("load", "ground"))
    load_id = add_load(draft, place)
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    asked = draft.asked
    draft.wire("load", (begins.point, f"{load_id}.{draft.hot}"), size, draft.colours.of_feed(asked.keys))
    draft.wire("ground", (f"{load_id}.{draft.cold}", ground), size, draft.colours.of_ground())


def _switched(draft: Draft) -> None:
    asked = draft.asked
    place = draft.place("at")
    need = need_of(draft, "feed", "load")
    feed = feed_for(draft, "feed", asked.keys, need)
    begins = tap(draft, feed, need)
    size = power_size(draft, "size", need, begins.rating_amps, ("feed", "load", "ground"))
    switch_id = add_switch(draft, asked.amps, draft.place("switch_at", feed.place), carries_load=True)
    load_id = add_load(draft, place, {switch_id: "on"})
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    colours = draft.colours
    draft.wire("feed", (begins.point, f"{switch_id}.1"), size, colours.of_feed(asked.keys))
    draft.wire("load", (f"{switch_id}.2", f"{load_id}.{draft.hot}"), size, draft.load_colour())
    draft.wire("ground", (f"{load_id}.{draft.cold}", ground), size, colours.of_ground())


def _module(draft: Draft) -> None:
    asked = draft.asked
    place = draft.place("at")
    need = need_of(draft, "load")
    begins = tap(draft, feed_for(draft, "feed", draft.harness.key_names, need), need)
    start = steady(asked.switched_amps)
    in_bundle = bool(asked.trunks("switched"))
    second = Need("switched_", f"{asked.label}, switched", asked.switched_amps, start, in_bundle, "switched_size")
    switched = feed_for(draft, "switched_feed", asked.keys, second)
    switched_tap = tap(draft, switched, second)
    both = Need("", asked.label, asked.amps + asked.switched_amps, need.start, need.in_bundle, "size")
    size = power_size(draft, "size", both, begins.rating_amps, ("load", "ground"))
    switched_size = power_size(draft, "switched_size", second, switched_tap.rating_amps, ("switched", "ground"))
    module_id = _module_row(draft, place)
    ground = choose_ground(draft, "ground", f"ground of {module_id}", place)
    colours = draft.colours
    draft.wire("load", (begins.point, f"{module_id}.30"), size, colours.of_feed(draft.harness.key_names))
    draft.wire("switched", (switched_tap.point, f"{module_id}.15"), switched_size, colours.of_feed(asked.keys))
    draft.wire("ground", (f"{module_id}.31", ground), size, colours.of_ground())


def _module_row(draft: Draft, place: str) -> str:
    asked = draft.asked
    module_id = draft.new_id("module_id", asked.label, "A")
    asleep_amps = min(ASLEEP_AMPS, asked.amps) if asked.asleep_amps is None else asked.asleep_amps
    why = "half of what a control unit asleep may draw, 10 mA; its data sheet says how much it does"
    reason = Reason(why, ("the 10 mA: Ford service information of 2023, battery drain check", SourceKind.JUDGEMENT))
    draft.told("asleep_amps", f"{module_id} asleep, A", asleep_amps, reason, is_given=asked.asleep_amps is not None)
    feeds = [
        {"terminal": "30", "amps": asked.amps, "asleep_amps": asleep_amps},
        {"terminal": "15", "amps": asked.switched_amps},
    ]
    draft.add("modules", {"id": module_id, "label": asked.label, "location": place, "feeds": feeds})
    return module_id
