"""The fuse of a new circuit, and the wire to it."""

from __future__ import annotations

from dataclasses import dataclass

from model.errors import ArgumentError
from model.harness.parts import Fuse, FuseStyle
from model.harness.toml_edit import Value
from model.review.fuse_ratings import RATINGS_SOURCE, largest_rating
from model.review.fuse_use import lasting_share
from model.review.pattern_draft import Draft
from model.review.pattern_feeds import FeedKind, FeedPoint
from model.review.pattern_proposal import SIZE_BASIS, Reason, read_size
from model.review.pattern_sizes import Sizing, Start, bears_amps, fuse_rating, least_area_mm2, sized
from model.tables import SourceKind
from model.words import amps_text

TAP_M = 0.15
"""Length of the wire from a point to the fuse of its own: 33 CFR 183.455 asks for 7 in (0.18 m) at most in boats."""

_FUSE_BASIS = (f"{RATINGS_SOURCE}; 80 % for long is common practice", SourceKind.COMMON_PRACTICE)


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
            f"everything on; {need.label} takes {amps_text(need.amps)}. Hang it on another feed, by a relay if need be."
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
        raise ArgumentError(
            f"No wire that is sold bears the {guard_amps:g} A before {feed.name}.",
            do="Take the feed behind a smaller fuse: feed=F7.",
        )
    why = f"bears {amps_text(bears_amps(found.size, in_bundle=False))}, and {guard_amps:g} A is what may guard it"
    key = f"{need.prefix}tap"
    size = draft.size(f"{key}_size", f"size of the wire to {fuse_id}", found.size, Reason(why, SIZE_BASIS))
    wire_id = draft.new_id(f"{key}_wire_id", f"wire {feed.point} to {fuse_id}", "W")
    colour = draft.colour(f"{key}_colour", f"colour of {wire_id}", draft.colours.of_feed(feed.keys or feed.moved_keys))
    row = {"id": wire_id, "from": feed.point, "to": f"{fuse_id}.in", "colour": colour, "size": size, "length": TAP_M}
    draft.add("wires", row)
