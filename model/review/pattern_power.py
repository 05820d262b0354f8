"""The fed side of a new circuit: what it hangs on, its fuse, and the size of its wires."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.errors import ArgumentError
from model.harness.parts import Fuse, FuseStyle
from model.harness.toml_edit import Value
from model.review.fuse_ratings import RATINGS_SOURCE, largest_rating, next_rating
from model.review.fuse_use import lasting_share
from model.review.pattern_draft import FILE, JUDGEMENT, Draft, Reason, read_size
from model.review.pattern_feeds import FeedKind, FeedPoint, best_feed, next_best_feed
from model.review.pattern_sizes import Sizing, Start, bears_amps, fuse_rating, least_area_mm2, sized, steady
from model.review.pattern_words import keys_words
from model.tables import SourceKind
from model.units import parse_size
from model.words import amps_text, clean, drop_text, size_text

TAP_M = 0.15
"""Length of the wire from a point to the fuse of its own: 33 CFR 183.455 asks for 7 in (0.18 m) at most in boats."""

_FUSE_BASIS = (f"{RATINGS_SOURCE}; 80 % for long is common practice", SourceKind.COMMON_PRACTICE)
_SIZE_BASIS = (
    "resistance by IEC 60228 class 5, amperes by a catalogue of JIS C 3406 AV, drop and least size by ISO 10133",
    SourceKind.FROM_MEMORY,
)


@dataclass(frozen=True, slots=True)
class Need:
    """What a fuse has to carry.

    Attributes
    ----------
    prefix
        Before the keys of its proposals: ``control_``; empty for the load's own.
    label
        What it is called.
    size_key
        Key of the size that somebody may have given for the wires behind it.
    """

    prefix: str
    label: str
    amps: float
    start: Start
    in_bundle: bool
    size_key: str


@dataclass(frozen=True, slots=True)
class Tap:
    """Where a circuit begins: behind which point, guarded by which rating; None where its fuse has none."""

    point: str
    rating_amps: float | None


def choose_feed(draft: Draft, key: str, what: str, keys: tuple[str, ...], place: str) -> FeedPoint | None:
    """Propose what a circuit hangs on so that it has feed in some key states; None where nothing has feed in all.

    Raises
    ------
    ArgumentError
        Where the one that was given does not exist.
    """
    offered = draft.feeds.offered
    found = best_feed(offered, keys, place)
    chosen = found or next_best_feed(offered, keys)
    if chosen is None and not draft.asked.text(key):
        return None
    if chosen is None:
        chosen = draft.feeds.named(draft.asked.text(key))
    said = f"{chosen.kind} with feed {keys_words(draft.harness, chosen.moved_keys)}"
    taken = draft.feeds.named(draft.name(key, what, chosen.name, Reason(said, FILE)))
    if set(taken.moved_keys) != set(keys):
        extra = [one for one in taken.moved_keys if one not in keys]
        missing = [one for one in keys if one not in taken.moved_keys]
        if extra:
            draft.remark(f"{taken.name} has feed in {', '.join(extra)} too, where it is not asked for.")
        if missing:
            draft.remark(f"{taken.name} has no feed in {', '.join(missing)}, where it is asked for.")
    return taken


def tap(draft: Draft, feed: FeedPoint, need: Need) -> Tap:
    """Give where a circuit begins: a fuse of its own behind a busbar or point, or the fuse that somebody names.

    Raises
    ------
    ArgumentError
        Where no fuse is made that large.
    """
    if feed.kind is FeedKind.FUSE:
        return _shared(draft, feed, need)
    _remark_room(draft, feed, need)
    style = _style(draft, feed)
    rating_amps = _rating(draft, need, style)
    fuse_id = draft.new_id(f"{need.prefix}fuse_id", f"fuse of {need.label}", "F")
    row: dict[str, Value] = {"id": fuse_id, "label": need.label, "location": feed.place, "amps": rating_amps}
    if style is not FuseStyle.BLADE:
        row["style"] = str(style)
    if feed.kind is FeedKind.BUS:
        draft.add("fuses", {**row, "bus": feed.point})
    else:
        draft.add("fuses", row)
        _to_fuse(draft, feed, need, fuse_id, rating_amps)
    return Tap(f"{fuse_id}.out", rating_amps)


def _remark_room(draft: Draft, feed: FeedPoint, need: Need) -> None:
    """Say where a fuse before the feed has no room for the load."""
    tightest = draft.feeds.tightest_before(feed.point)
    if tightest is not None and tightest[1] < need.amps:
        draft.remark(
            f"{tightest[0]} stands before {feed.name} and has room for {amps_text(tightest[1])} more for long with "
            f"everything on; {need.label} takes {amps_text(need.amps)}. A relay, fed from elsewhere, would carry it."
        )


def _shared(draft: Draft, feed: FeedPoint, need: Need) -> Tap:
    fuse = draft.harness.part_of(feed.name, Fuse)
    if feed.room_amps is not None and feed.room_amps < need.amps:
        draft.remark(
            f"{feed.name} has room for {amps_text(feed.room_amps)} more for long, and {need.label} takes "
            f"{amps_text(need.amps)}: give it a fuse of its own."
        )
    return Tap(feed.point, fuse.amps)


def _style(draft: Draft, feed: FeedPoint) -> FuseStyle:
    """Give the style of the other fuses on a busbar where they are all alike: a box takes one kind."""
    styles = {fuse.style for fuse in draft.harness.fuses if fuse.bus == feed.point and feed.kind is FeedKind.BUS}
    return FuseStyle.GLASS if styles == {FuseStyle.GLASS} else FuseStyle.BLADE


def _rating(draft: Draft, need: Need, style: FuseStyle) -> float:
    proposed = fuse_rating(need.amps, need.start, style)
    if proposed is None:
        raise ArgumentError(
            f"{need.label} takes {amps_text(need.amps)}, {amps_text(need.start.amps)} at its start: no blade fuse is "
            "made for that.",
            do="Such a circuit wants a fusible link and cables of its own: lay it out by hand.",
        )
    why = f"next rating above {amps_text(need.amps)} / {lasting_share():g}"
    basis = _FUSE_BASIS
    if need.start.amps > need.amps:
        why += f" that outlasts {amps_text(need.start.amps)} at the start, {need.start.words}"
        basis = (f"{_FUSE_BASIS[0]}; start: {need.start.source}", need.start.source_kind)
    typed_size = draft.asked.text(need.size_key)
    if typed_size:
        proposed, why = _capped(draft, need, proposed, why)
    rating = draft.number(f"{need.prefix}fuse", f"rating of the fuse of {need.label}, A", proposed, Reason(why, basis))
    if rating * lasting_share() < need.amps - 1e-9:
        draft.remark(
            f"A fuse of {rating:g} A carries {lasting_share() * rating:.3g} A for long, and {need.label} takes "
            f"{amps_text(need.amps)}: it ages and may open."
        )
    return rating


def _capped(draft: Draft, need: Need, proposed: float, why: str) -> tuple[float, str]:
    """Give no larger rating than a size of wire bears that somebody gave."""
    bears = bears_amps(read_size(need.size_key, draft.asked.text(need.size_key)), in_bundle=need.in_bundle)
    if bears >= proposed:
        return proposed, why
    largest = largest_rating(bears)
    if largest is None:
        return proposed, why
    return largest, f"the largest rating that the wire asked for bears, {amps_text(bears)}"


def _to_fuse(draft: Draft, feed: FeedPoint, need: Need, fuse_id: str, rating_amps: float) -> None:
    """Add the short wire from a point to the fuse; it bears what guards it, or the fuse where nothing does."""
    guards = [amps for amps in draft.feeds.guards(feed.point) if amps is not None]
    guard_amps = max([rating_amps, *guards])
    asked = draft.asked
    wanted = Sizing(
        need.amps,
        TAP_M,
        draft.allowed_drop_volts,
        guard_amps,
        in_bundle=False,
        least_mm2=least_area_mm2(draft.harness),
        system=asked.system,
    )
    found = sized(wanted)
    if found is None:
        raise ArgumentError(f"No wire that is sold bears the {guard_amps:g} A before {feed.name}.")
    why = f"bears {amps_text(bears_amps(found.size, in_bundle=False))}, and {guard_amps:g} A is what may guard it"
    key = f"{need.prefix}tap"
    size = draft.size(f"{key}_size", f"size of the wire to {fuse_id}", found.size, Reason(why, _SIZE_BASIS))
    wire_id = draft.new_id(f"{key}_wire_id", f"wire {feed.point} to {fuse_id}", "W")
    colour = draft.colour(f"{key}_colour", f"colour of {wire_id}", draft.colours.of_feed(feed.keys or feed.moved_keys))
    row = {"id": wire_id, "from": feed.point, "to": f"{fuse_id}.in", "colour": colour, "size": size, "length": TAP_M}
    draft.add("wires", row)


def power_size(draft: Draft, key: str, need: Need, rating_amps: float | None, runs: Iterable[str]) -> float | str:
    """Propose the size of the wires that carry a load's current, by its length out and back, drop and fuse.

    Raises
    ------
    ArgumentError
        Where no wire that is sold serves.
    """
    length_m = sum(draft.run_m(run) for run in runs)
    budget_volts = draft.tuning.drop_volts if draft.tuning.drop_volts is not None else draft.allowed_drop_volts
    wanted = Sizing(
        need.amps,
        length_m,
        budget_volts,
        rating_amps or 0.0,
        need.in_bundle,
        least_area_mm2(draft.harness),
        draft.asked.system,
    )
    found = sized(wanted)
    if found is None:
        raise ArgumentError(
            f"No wire that is sold carries {amps_text(need.amps)} over {length_m:g} m out and back with "
            f"{drop_text(budget_volts)} lost.",
            do="Allow more drop, or bring the load nearer.",
        )
    why = (
        f"{amps_text(need.amps)} over {length_m:.3g} m out and back: {drop_text(found.drop_volts)} of the "
        f"{drop_text(budget_volts)} left for it; bears {amps_text(bears_amps(found.size, in_bundle=need.in_bundle))}"
        f"{' in a bundle' if need.in_bundle else ''}, the fuse has {rating_amps or 0:g} A"
    )
    size = draft.size(key, f"size of the wires of {need.label}", found.size, Reason(why, _SIZE_BASIS))
    draft.size_drop_volts = found.drop_volts
    _remark_size(draft, key, size, rating_amps, in_bundle=need.in_bundle)
    return size


def guarded_size(draft: Draft, key: str, need: Need, rating_amps: float | None) -> float | str:
    """Propose the size of wires that carry little over a short way: the thinnest that bears its fuse.

    Raises
    ------
    ArgumentError
        Where no wire that is sold does.
    """
    asked = draft.asked
    least = least_area_mm2(draft.harness)
    wanted = Sizing(need.amps, 1.0, draft.allowed_drop_volts, rating_amps or 0.0, need.in_bundle, least, asked.system)
    found = sized(wanted)
    if found is None:
        raise ArgumentError(f"No wire that is sold bears the {rating_amps:g} A before {need.label}.")
    bears = amps_text(bears_amps(found.size, in_bundle=need.in_bundle))
    why = f"carries {amps_text(need.amps)}; bears {bears}, the fuse has {rating_amps or 0:g} A"
    size = draft.size(key, f"size of the wires of {need.label}", found.size, Reason(why, _SIZE_BASIS))
    _remark_size(draft, key, size, rating_amps, in_bundle=need.in_bundle)
    return size


def _remark_size(draft: Draft, key: str, size: float | str, rating_amps: float | None, *, in_bundle: bool) -> None:
    bears = bears_amps(size, in_bundle=in_bundle)
    if rating_amps is not None and rating_amps > bears:
        draft.remark(
            f"{key}: this wire bears {amps_text(bears)}{' in a bundle' if in_bundle else ''}, less than its fuse of "
            f"{rating_amps:g} A: shorted it may glow before the fuse opens."
        )
    area_mm2 = parse_size(size).area_mm2
    least_mm2 = least_area_mm2(draft.harness)
    if area_mm2 < least_mm2 - 1e-9:
        draft.remark(f"{key}: {size_text(area_mm2)} mm² is thinner than the {least_mm2:g} mm² that ISO 10133 asks for.")


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
        raise ArgumentError(f"{need.label} takes too much for a key switch.")
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
