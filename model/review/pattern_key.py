"""A key switch with a busbar behind it, where a file has none yet."""

from __future__ import annotations

from model.errors import ArgumentError
from model.harness.toml_edit import Value
from model.review.fuse_ratings import next_rating
from model.review.fuse_use import lasting_share
from model.review.pattern_draft import Draft
from model.review.pattern_feeds import FeedKind, FeedPoint
from model.review.pattern_fuse import Need, tap
from model.review.pattern_power import guarded_size
from model.review.pattern_proposal import JUDGEMENT, Reason
from model.review.pattern_sizes import fuse_rating, steady
from model.words import clean


def new_key_switch(draft: Draft, keys: tuple[str, ...], source: FeedPoint, need: Need) -> FeedPoint:
    """Add a key switch that feeds a busbar in some key states, where the file has none.

    Raises
    ------
    ArgumentError
        Where no fuse or wire serves.
    """
    own_amps = fuse_rating(need.amps, need.start) or need.amps
    main_amps = next_rating(max(own_amps, 15.0))
    if main_amps is None:
        raise ArgumentError(
            f"{need.label} takes too much for a key switch.", do="Let a relay feed it, and the key the relay."
        )
    label = "Key switch"
    key_id = draft.new_id("key_id", "key switch", "S")
    bus_id = draft.new_id("key_bus_id", "busbar behind the key", "BB")
    place = draft.place("key_at", draft.asked.text("switch_at") or draft.asked.text("at"))
    behind = Need("key_", label, main_amps * lasting_share(), steady(0.0), False, "key_size")
    begins = tap(draft, source, behind)
    size = guarded_size(draft, "key_size", behind, begins.rating_amps)
    positions = {name: [["30", "15"]] if name in keys else [] for name in draft.harness.key_names}
    row: dict[str, Value] = {"id": key_id, "label": label, "location": place, "key": True, "terminals": ["30", "15"]}
    amps = draft.number(
        "key_amps", "rating of the key switch, A", main_amps, Reason("no less than its fuse", JUDGEMENT)
    )
    draft.add("switches", {**row, "positions": positions, "amps": amps})
    draft.add("busbars", {"id": bus_id, "label": "Switched bus", "location": place})
    draft.wire("key_feed", (begins.point, f"{key_id}.30"), size, draft.colours.of_feed(draft.harness.key_names))
    draft.wire("key_bus", (f"{key_id}.15", bus_id), size, draft.colours.of_feed(keys))
    draft.remark(
        f"The file has no key switch: {clean(key_id, 40)} is proposed with it, and {bus_id} for what comes later."
    )
    return FeedPoint(bus_id, bus_id, FeedKind.BUS, keys, keys, place)
