"""A load by a relay, its coil switched on the feed side or on the ground side."""

from __future__ import annotations

from collections.abc import Callable

from model.harness.parts import Relay
from model.harness.points import relay_coils
from model.review.fuse_use import lasting_share
from model.review.pattern_draft import Draft
from model.review.pattern_feeds import FeedKind, FeedPoint
from model.review.pattern_fuse import Need, Tap, tap
from model.review.pattern_ground import choose_ground
from model.review.pattern_parts import add_load, add_switch, feed_for, need_of
from model.review.pattern_power import guarded_size, power_size
from model.review.pattern_proposal import PRACTICE, Reason
from model.review.pattern_sizes import bears_amps, least_area_mm2, start_of, steady
from model.words import amps_text

RELAY_AMPS = (20.0, 30.0, 40.0, 70.0)


def add_relayed(draft: Draft, add_coil: Callable[[Draft, str, str, Tap, float | str], str]) -> None:
    """Add a load, its relay, and the circuit of the coil.

    Parameters
    ----------
    add_coil
        Adds the switch and the wires of the coil, and gives the id of the switch.

    Raises
    ------
    ArgumentError
        Where something that was given does not fit, or no fuse or wire serves.
    """
    asked = draft.asked
    place = draft.place("at")
    need = need_of(draft, "feed", "load")
    coil = Need(
        "control_", f"coil of {asked.label}", _coil_amps(draft), steady(_coil_amps(draft)), False, "control_size"
    )
    control = feed_for(draft, "control", asked.keys, coil)
    feed = feed_for(draft, "feed", draft.harness.key_names, need)
    begins = tap(draft, feed, need)
    size = power_size(draft, "size", need, begins.rating_amps, ("feed", "load", "ground"))
    relay_place = draft.place("relay_at", feed.place)
    relay_id = _relay_row(draft, relay_place)
    coil_tap = _coil_tap(draft, (feed, begins), control, coil)
    coil_size = guarded_size(draft, "control_size", coil, coil_tap.rating_amps)
    switch_id = add_coil(draft, relay_id, relay_place, coil_tap, coil_size)
    load_id = add_load(draft, place, {switch_id: "on"})
    ground = choose_ground(draft, "ground", f"ground of {load_id}", place)
    colours = draft.colours
    draft.wire("feed", (begins.point, f"{relay_id}.30"), size, colours.of_feed(feed.keys or feed.moved_keys))
    draft.wire("load", (f"{relay_id}.87", f"{load_id}.{draft.hot}"), size, draft.load_colour())
    draft.wire("ground", (f"{load_id}.{draft.cold}", ground), size, colours.of_ground())


def _relay_row(draft: Draft, place: str) -> str:
    asked = draft.asked
    relay_id = draft.new_id("relay_id", f"relay of {asked.label}", "K")
    wanted = asked.amps / lasting_share()
    proposed = next((rating for rating in RELAY_AMPS if rating >= wanted), RELAY_AMPS[-1])
    start = start_of(asked.kind, asked.amps, asked.start_amps)
    why = f"next usual rating above {amps_text(asked.amps)} / {lasting_share():g}"
    if start.amps > proposed:
        why += f"; its contact must be made for {amps_text(start.amps)} at the start: see its data sheet"
    rating = draft.number("relay_amps", f"contact rating of {relay_id}, A", proposed, Reason(why, PRACTICE))
    if rating < asked.amps:
        draft.remark(f"{relay_id} carries {amps_text(asked.amps)} and its contact is rated at {rating:g} A.")
    draft.add("relays", {"id": relay_id, "label": f"{asked.label} relay", "location": place, "amps": rating})
    return relay_id


def _coil_amps(draft: Draft) -> float:
    nominal_volts = draft.harness.build.nominal_volts
    return nominal_volts / relay_coils(Relay(id="K"), nominal_volts)[0][2]


def _coil_tap(draft: Draft, power: tuple[FeedPoint, Tap], control: FeedPoint, coil: Need) -> Tap:
    """Give where the coil's wires begin: behind a fuse that they bear, else behind one of their own."""
    feed, begins = power
    least_amps = bears_amps(max(least_area_mm2(draft.harness), 1.0), in_bundle=False)
    if control.point == feed.point and begins.rating_amps is not None and begins.rating_amps <= least_amps:
        return begins
    guards = draft.feeds.guards(control.point)
    is_guarded = bool(guards) and all(amps is not None and amps <= least_amps for amps in guards)
    if control.kind is FeedKind.POINT and is_guarded:
        return Tap(control.point, max(amps for amps in guards if amps is not None))
    return tap(draft, control, coil)


def coil_by_feed(draft: Draft, relay_id: str, place: str, begins: Tap, size: float | str) -> str:
    """Add a coil that is switched in its feed, and give the id of the switch."""
    switch_id = add_switch(draft, _coil_amps(draft), draft.place("switch_at", place))
    ground = choose_ground(draft, "coil_to", f"ground of the coil of {relay_id}", place)
    colours, keys = draft.colours, draft.asked.keys
    draft.wire("switch_feed", (begins.point, f"{switch_id}.1"), size, colours.of_feed(keys))
    draft.wire("coil", (f"{switch_id}.2", f"{relay_id}.86"), size, colours.of_feed(keys))
    draft.wire("coil_ground", (f"{relay_id}.85", ground), size, colours.of_ground())
    return switch_id


def coil_by_ground(draft: Draft, relay_id: str, place: str, begins: Tap, size: float | str) -> str:
    """Add a coil that is fed with the key and switched in its ground, and give the id of the switch."""
    switch_place = draft.place("switch_at", place)
    switch_id = add_switch(draft, _coil_amps(draft), switch_place)
    ground = choose_ground(draft, "coil_to", f"ground of {switch_id}", switch_place)
    colours = draft.colours
    draft.wire("coil", (begins.point, f"{relay_id}.86"), size, colours.of_feed(draft.asked.keys))
    draft.wire("coil_ground", (f"{relay_id}.85", f"{switch_id}.1"), size, colours.of_ground_side())
    draft.wire("switch_ground", (f"{switch_id}.2", ground), size, colours.of_ground())
    return switch_id
