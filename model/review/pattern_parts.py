"""The parts that most patterns have: what feeds them, the load, its switch."""

from __future__ import annotations

from collections.abc import Mapping

from model.harness.parts import LoadKind
from model.harness.toml_edit import Value
from model.review.pattern_draft import Draft
from model.review.pattern_feeds import FeedPoint
from model.review.pattern_fuse import Need
from model.review.pattern_key import new_key_switch
from model.review.pattern_power import choose_feed
from model.review.pattern_proposal import JUDGEMENT, Reason
from model.review.pattern_sizes import start_of
from model.words import amps_text

SWITCH_AMPS = (5.0, 10.0, 16.0, 20.0, 30.0)

CHARGING_SHARE = 1.2
"""Volts while the battery is charged over the nominal ones: 14.4 V in 12 V systems (common practice)."""


def need_of(draft: Draft, *runs: str) -> Need:
    """Give what the fuse of the load has to carry; in a bundle where one of the runs goes through a trunk."""
    asked = draft.asked
    start = start_of(asked.kind, asked.amps, asked.start_amps)
    return Need("", asked.label, asked.amps, start, any(asked.trunks(run) for run in runs), "size")


def feed_for(draft: Draft, key: str, keys: tuple[str, ...], need: Need) -> FeedPoint:
    """Give what a circuit hangs on, with a new key switch where the file has none and one is wanted."""
    harness = draft.harness
    is_missing = not any(keys in (one.keys, one.moved_keys) for one in draft.feeds.offered)
    if is_missing and keys != harness.key_names and harness.key_switch is None and not draft.asked.text(key):
        source = choose_feed(draft, "key_from", "feed of the key switch", harness.key_names, "")
        if source is not None:
            return new_key_switch(draft, keys, source, need)
    found = choose_feed(draft, key, f"what {need.label} hangs on", keys, draft.asked.text("at"))
    if found is not None:
        return found
    draft.remark(f"Nothing of the file has feed in {', '.join(keys)}: the circuit hangs on what is fed always.")
    always = choose_feed(draft, key, f"what {need.label} hangs on", harness.key_names, "")
    return always if always is not None else draft.feeds.named(next(iter(harness.batteries)).id + f".{draft.hot}")


def add_load(draft: Draft, place: str, switched_by: Mapping[str, str] | None = None) -> str:
    """Add the load itself and give its id.

    Parameters
    ----------
    switched_by
        Its own switch → the position in which it works.
    """
    asked = draft.asked
    letter = {"motor": "M", "horn": "P"}.get(str(asked.kind), "E")
    load_id = draft.new_id("load_id", asked.label, letter)
    works_with = {**draft.tuning.settings, **(switched_by or {})}
    rated: dict[str, Value] = {"amps": asked.amps} if asked.watts is None else {"watts": asked.watts}
    row: dict[str, Value | None] = {"id": load_id, "kind": str(asked.kind), "label": asked.label, "location": place}
    row |= {**rated, "start_amps": asked.start_amps, "role": asked.text("role"), "works_in": list(asked.keys)}
    draft.add("loads", {**row, "critical": asked.is_critical or None, "works_with": works_with})
    return load_id


def add_switch(draft: Draft, amps: float, place: str, *, carries_load: bool = False, **more: Value) -> str:
    """Add a switch and give its id.

    Parameters
    ----------
    carries_load
        Whether the load's own current goes through it, not a coil's.
    more
        Further keys of its row.
    """
    switch_id = draft.new_id("switch_id", f"switch of {draft.asked.label}", "S")
    most_amps = CHARGING_SHARE * amps
    proposed = next((rating for rating in SWITCH_AMPS if rating >= most_amps), SWITCH_AMPS[-1])
    start = start_of(draft.asked.kind, amps, draft.asked.start_amps)
    why = f"next usual rating above {amps_text(most_amps)}, what {amps_text(amps)} become while the battery is charged"
    if carries_load and draft.asked.kind is LoadKind.LAMP and start.amps > proposed:
        why += f"; it must bear a filament lamp's {amps_text(start.amps)} at the start: see its data sheet"
    rating = draft.number("switch_amps", f"rating of {switch_id}, A", proposed, Reason(why, JUDGEMENT))
    if rating < amps:
        draft.remark(f"{switch_id} carries {amps_text(amps)} and is rated at {rating:g} A: let a relay carry it.")
    row: dict[str, Value] = {"id": switch_id, "label": f"{draft.asked.label} switch", "location": place}
    draft.add("switches", {**row, "amps": rating, **more})
    return switch_id
