"""In which key states each load is fed, as a sheet: beside what the file asks for, and where the two differ."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, assert_never

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import crank_keys, wants_engine_off
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.review.key_feeds import Feed, KeyFeed, LoadFeeds, Oddity
from model.review.terminal_feeds import TerminalRemark
from model.sheets.fuses_sheet import vehicle_words
from model.sheets.load_words import load_words
from model.sheets.plan_csv import Cell, csv_text
from model.sheets.plan_json import plain
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.tracing.names import either, point_name
from model.words import clean, plural, volts_text

FORMAT = "fusewalk feeds"
LEGEND = (
    "at rest: it works with nothing switched on. fed: it works with its own switches on. weak: it has a quarter to "
    "80 % of its volts. live: there are volts at its feed and none across it. none: no feed. unsettled: relays never "
    "rest. A mark ! stands where that is not as the file asks.",
    "Its own switches are those that the file names for it; of a load without such, all that can reach it. "
    "Volts are those at its feed against the reference with these on and nothing else, computed from the file.",
    "While cranking a load counts as fed from 80 % of what the posts have; those volts are an estimate.",
)
CSV_COLUMNS = (
    "load",
    "label",
    "feed",
    "key state",
    "feed state",
    "feed, V",
    "across, V",
    "feed at rest, V",
    "across at rest, V",
    "asked",
    "differs",
    "no probe",
)

_NO_PROBE = "no probe"


@dataclass(frozen=True, slots=True)
class FeedsReview:
    """What a sheet of feeds is made of."""

    harness: Harness
    loads: tuple[LoadFeeds, ...]
    terminals: tuple[TerminalRemark, ...]


def feeds_sheet(review: FeedsReview) -> ReviewSheet:
    """Lay the feeds of all loads out: where they differ from the file, the table, the volts, the terminals."""
    harness = review.harness
    sections = [
        *_differences(review),
        Section("Feed by key state", grid=_states(review), notes=LEGEND),
        Section("Volts at the feed", grid=_volts(review)),
        *_terminals(review),
    ]
    if not review.loads:
        sections = [Section(words=("The file has no load and no control unit.",)), *_terminals(review)]
    cautions = (CAUTIONS[CautionKind.CRANKING].text,) if crank_keys(harness) and review.loads else ()
    about = ("In which key states each load has feed, beside those in which the file asks for it.",)
    return ReviewSheet("key feeds", vehicle_words(harness), about, tuple(sections), (*cautions, *_never(review)))


def difference_words(harness: Harness, load: LoadFeeds) -> Iterator[str]:
    """Say in sentences where a load differs from what the file asks for, the key states of one kind together."""
    kinds = dict.fromkeys(odd for _, odd in load.oddities)
    name = load_words(harness, load.element.name)
    for kind in kinds:
        keys = [key for key, odd in load.oddities if odd is kind]
        at_rest = [one.key for one in load.keys if one.key in keys and one.feed is Feed.AT_REST]
        yield _difference(name, kind, _keys(keys), is_at_rest=len(at_rest) == len(keys))


def _difference(name: str, odd: Oddity, keys: str, *, is_at_rest: bool) -> str:
    with_what = "with nothing switched on" if is_at_rest else "with its switches on"
    match odd:
        case Oddity.MISSING:
            return f"{name} has no feed in {keys}, where the file asks for it."
        case Oddity.DROPPED:
            return f"{name} loses its feed in {keys}: it is dropped while the starter turns, and the file asks for it."
        case Oddity.WEAK:
            return f"{name} is weak in {keys}: it has under 80 % of its volts there."
        case Oddity.UNASKED:
            return f"{name} works in {keys} {with_what}, where the file does not ask for it."
        case Oddity.KEPT:
            return f"{name} keeps its feed in {keys} {with_what}, and the file does not ask for it while cranking."
        case Oddity.UNSWITCHED:
            return f"{name} works in {keys} with nothing switched on, though the file names a switch for it."
    assert_never(odd)


def feeds_csv(review: FeedsReview) -> str:
    """Give the feeds as CSV, a row for each load and key state."""
    return csv_text(CSV_COLUMNS, (row for load in review.loads for row in _csv_rows(review.harness, load)))


def feeds_json(review: FeedsReview) -> dict[str, Any]:
    """Give the feeds as one JSON object: volts as numbers, key states as the file has them."""
    harness = review.harness
    found = {
        "format": FORMAT,
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "key_states": list(harness.key_names),
        "loads": {load.element.name: _json_load(harness, load) for load in review.loads},
        "terminals": [
            {
                "point": one.point,
                "key": one.key,
                "live": one.is_live,
                "source": one.source,
                "kind": str(one.source_kind),
            }
            for one in review.terminals
        ],
    }
    return {name: plain(value) for name, value in found.items()}


def _differences(review: FeedsReview) -> Iterator[Section]:
    found = [(load.element.part_id, words) for load in review.loads for words in difference_words(review.harness, load)]
    asked = [load for load in review.loads if load.works_in is not None]
    if found:
        items = tuple(words for _, words in found)
        yield Section("Not as the file asks", items=items, item_parts=tuple(part for part, _ in found))
    elif asked:
        yield Section("Not as the file asks", words=("Nothing: every load that names key states has them.",))
    rest = len(review.loads) - len(asked)
    if rest:
        count = f"{rest} of {plural(len(review.loads), 'load circuit')} {'is' if rest == 1 else 'are'}"
        yield Section(words=(f"{count} without key states in the file (works_in): what feeds them is only told.",))


def _states(review: FeedsReview) -> Grid:
    harness = review.harness
    heads = (Column("load"), *(Column(clean(key, 20)) for key in harness.key_names), Column("asked"))
    rows = tuple(
        (load_words(harness, load.element.name), *(_mark(load, one) for one in load.keys), _asked(harness, load))
        for load in review.loads
    )
    return Grid(heads, rows, tuple(load.element.part_id for load in review.loads))


def _mark(load: LoadFeeds, one: KeyFeed) -> str:
    odd = any(key == one.key for key, _ in load.oddities)
    return f"{one.feed} !" if odd else str(one.feed)


def _asked(harness: Harness, load: LoadFeeds) -> str:
    if load.works_in is None:
        return "not said"
    if set(load.works_in) >= set(harness.key_names):
        return "all"
    return ", ".join(clean(key, 20) for key in load.works_in) or "never"


def _volts(review: FeedsReview) -> Grid:
    harness = review.harness
    figures = (Column(clean(key, 20), is_figure=True) for key in harness.key_names)
    rows = tuple(
        (
            load_words(harness, load.element.name),
            clean(load.feed_point, 40),
            *(_feed_volts(harness, load, one) for one in load.keys),
        )
        for load in review.loads
    )
    return Grid((Column("load"), Column("feed at"), *figures), rows, tuple(load.feed_point for load in review.loads))


def _feed_volts(harness: Harness, load: LoadFeeds, one: KeyFeed) -> str:
    return volts_text(one.feed_volts) if _may_probe(harness, load, one) else _NO_PROBE


def _may_probe(harness: Harness, load: LoadFeeds, one: KeyFeed) -> bool:
    """Tell whether a probe may go to the feed in a key state: to ignition wiring not while the engine turns."""
    condition = one.condition if one.condition is not None else Condition(one.key)
    point = load.feed_point
    return may_be_probed(harness, point) is None and not wants_engine_off(harness, point, condition)


def _never(review: FeedsReview) -> tuple[str, ...]:
    found = (may_be_probed(review.harness, load.feed_point) for load in review.loads)
    grave = {refusal.origin: refusal.reason for refusal in found if refusal is not None}
    held_back = any(
        may_be_probed(review.harness, load.feed_point) is None and not _may_probe(review.harness, load, one)
        for load in review.loads
        for one in load.keys
    )
    return (*grave.values(), *((CAUTIONS[CautionKind.IGNITION].text,) if held_back else ()))


def _terminals(review: FeedsReview) -> Iterator[Section]:
    if not review.terminals:
        return
    items = tuple(_terminal_words(review.harness, one) for one in review.terminals)
    notes = (
        "Numbers are those of DIN 72552. That 75 falls off while the starter turns is common practice. A remark, no "
        "fault: a builder may number terminals otherwise.",
    )
    yield Section("Terminal numbers", items=items, item_parts=tuple(one.point for one in review.terminals), notes=notes)


def _terminal_words(harness: Harness, one: TerminalRemark) -> str:
    name = point_name(harness, one.point)
    is_live, expected = ("is live", "dead") if one.is_live else ("is dead", "live")
    return f"{name} {is_live} in {clean(one.key, 40)}; a terminal {one.terminal} ({one.meaning}) is {expected} there."


def _csv_rows(harness: Harness, load: LoadFeeds) -> Iterator[tuple[Cell, ...]]:
    odd = dict(load.oddities)
    for one in load.keys:
        asked = "" if load.works_in is None else ("yes" if one.key in load.works_in else "no")
        volts = (one.feed_volts, one.across_volts, one.rest_feed_volts, one.rest_across_volts)
        differs = str(odd[one.key]) if one.key in odd else ""
        name = load.element.name
        label = load_words(harness, name)
        grave = "no" if _may_probe(harness, load, one) else "yes"
        yield (name, label, load.feed_point, one.key, str(one.feed), *volts, asked, differs, grave)


def _json_load(harness: Harness, load: LoadFeeds) -> dict[str, Any]:
    return {
        "feed": load.feed_point,
        "works_in": None if load.works_in is None else list(load.works_in),
        "no_probe": may_be_probed(harness, load.feed_point) is not None,
        "keys": {one.key: _json_key(harness, load, one) for one in load.keys},
        "differs": {key: str(odd) for key, odd in load.oddities},
        "remarks": list(difference_words(harness, load)),
    }


def _json_key(harness: Harness, load: LoadFeeds, one: KeyFeed) -> dict[str, Any]:
    return {
        "state": str(one.feed),
        "no_probe": not _may_probe(harness, load, one),
        "feed_volts": round(one.feed_volts, 6) + 0.0,
        "across_volts": round(one.across_volts, 6) + 0.0,
        "rest_feed_volts": round(one.rest_feed_volts, 6) + 0.0,
        "rest_across_volts": round(one.rest_across_volts, 6) + 0.0,
        "settings": None if one.condition is None else one.condition.by_name,
    }


def _keys(keys: Iterable[str]) -> str:
    return either([clean(key, 40) for key in keys], "and")
