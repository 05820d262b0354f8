"""A card for the lid of a fuse box: number, rating and colour, label, and in a line or two what each fuse feeds."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from model.harness.harness import Harness
from model.review.fuse_use import Concern, FuseUse
from model.review.spread import element_of
from model.sheets.fuse_remarks import place_name
from model.sheets.fuses_sheet import in_order, vehicle_words
from model.sheets.load_words import load_words
from model.sheets.plan_csv import csv_text
from model.sheets.plan_json import plain
from model.sheets.plan_paper import html_page, text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.tracing.fuse_words import fuse_noun
from model.words import clean

FORMAT = "fusewalk lid card"
NO_LARGER = "Fit the rating that stands here, no larger fuse: it guards the wire."
NO_LARGER_MARKED = (
    "Fit no larger fuse than stands here; where “at most” stands, no larger than that: its wires bear no more."
)
CSV_COLUMNS = ("place", "fuse", "rating", "colour", "label", "feeds", "for its wires")

_ON_A_POSTCARD = 12
"""Fuses of one box that a card of A6 takes at the size of its letters; more go on A5."""

_FEEDS_CHARACTERS = 56
_ROW_MM, _LINE_MM = 5.9, 3.7
_A6_ROOM, _A5_ROOM = (112.0, 30), (173.0, 56)
"""Millimetres of a page for the rows, and characters of a line; with those of a row and a further line, from prints."""

_COLUMNS = (Column("Fuse"), Column("Rating"), Column("Colour"), Column("Label"), Column("Feeds"))
_STYLE = """
@page {{ size: {paper}; margin: 6mm;
  @bottom-left {{ content: none; }} @bottom-right {{ content: none; }} }}
@media print {{ body {{ margin: 0; padding: 0; max-width: none; }} }}
body {{ max-width: {width}; }}
.card {{ break-after: page; }}
.card:last-of-type {{ break-after: auto; }}
.card h1 {{ font-size: 12pt; margin: 0; }}
.card h1 + p {{ font-size: 8pt; margin: 0 0 1mm; }}
.card .rule {{ font-weight: bold; border: 0.5mm solid #000; padding: 0.8mm 1.5mm; margin: 0 0 1.5mm; }}
.card table {{ font-size: 8.5pt; margin: 0; }}
.card td {{ border-width: 0 0 0.2mm; padding: 0.4mm 0.8mm; vertical-align: baseline; }}
.card td.fuse {{ font-size: 11pt; font-weight: bold; width: {fuse_width}; }}
.card td.rating {{ font-size: 11pt; font-weight: bold; width: {rating_width}; }}
.card td.rating span {{ font-size: 8.5pt; }}
@media screen and (max-width: 600px) {{
  .card table {{ display: table; }} .card tr {{ display: table-row; }} .card td {{ display: table-cell; }}
  .card tbody {{ display: table-row-group; border: 0; }}
}}
"""


def lid_card(harness: Harness, uses: Iterable[FuseUse]) -> ReviewSheet:
    """Lay a card out for text and Markdown, a section a place."""
    places = by_place(harness, uses)
    sections = [
        Section(
            place,
            grid=Grid(_COLUMNS, tuple(_with_mark(cells) for cells in _rows(harness, here)), _ids(here)),
        )
        for place, here in places.items()
    ]
    about = () if sections else ("The file has no fuse.",)
    rule = _rule(use for here in places.values() for use in here)
    return ReviewSheet("fuse card", vehicle_words(harness), about, tuple(sections), (rule,))


def by_place(harness: Harness, uses: Iterable[FuseUse]) -> dict[str, list[FuseUse]]:
    """Put fuses together by place, in the order in which the file first names each, by their numbers."""
    found: dict[str, list[FuseUse]] = {}
    for use in in_order(harness, uses):
        found.setdefault(place_name(harness, use), []).append(use)
    return found


def card_feeds(harness: Harness, use: FuseUse, room: int = _FEEDS_CHARACTERS) -> str:
    """Say what a fuse feeds: as many of its loads as so many characters take, the others counted.

    What takes most amperes stands first: a lamp before its tell-tale.
    """
    feeds = use.feeds
    if feeds.is_spare:
        return "spare, feeds nothing"
    names = [
        load_words(harness, name).rpartition(" (")[0] or load_words(harness, name)
        for name in by_amps(harness, feeds.loads)
    ]
    names += [_relay_label(harness, name) for name in feeds.coils]
    names += [_label(harness, name) for name in feeds.supplies]
    names += [f"link to {_label(harness, name)}" for name in feeds.joins]
    names += _first_named("fuses" if len(feeds.fuses) > 1 else "fuse", feeds.fuses)
    names = names or _first_named("link to", feeds.meets)
    return _fitting(list(dict.fromkeys(names)), room)


def by_amps(harness: Harness, names: Iterable[str]) -> list[str]:
    """Put elements in order by their rated amperes, the largest first; equals as they come."""
    return sorted(names, key=lambda name: -element_of(harness, name).rated_amps)


def for_its_wires(use: FuseUse) -> str:
    """Say what may be fitted where the rating of the file is more than the wires bear; empty where it is not."""
    fit_amps = use.fit_at_most_amps
    least_amps = min((one.amps for one in (use.thinnest, use.in_bundle) if one is not None), default=0.0)
    if {Concern.WIRE_UNDER_RATING, Concern.BUNDLE_UNDER_RATING}.isdisjoint(use.concerns) or fit_amps is None:
        return ""
    if fit_amps > least_amps:
        return "no fuse is made small enough for its wires: see findings"
    return f"at most {fit_amps:g} A for its wires: see findings"


def card_colour(use: FuseUse) -> str:
    """Name the colour of a fuse, or its kind where the standard has no colour for it."""
    return use.colour or fuse_noun(use.fuse)


def lid_card_html(harness: Harness, uses: Iterable[FuseUse]) -> str:
    """Give a card as one HTML file, a page a place: A6 where its fuses fit there, else A5."""
    places = by_place(harness, uses)
    is_small = max(map(len, places.values()), default=0) <= _ON_A_POSTCARD
    style = _STYLE.format(
        paper="105mm 148mm" if is_small else "148mm 210mm",
        width="93mm" if is_small else "136mm",
        fuse_width="12mm" if is_small else "14mm",
        rating_width="26mm" if is_small else "30mm",
    )
    body = [line for place, here in places.items() for line in _page(harness, place, here)]
    return html_page(f"Fuse card, {vehicle_words(harness)}", (), body or ["<p>The file has no fuse.</p>"], style=style)


def lid_card_csv(harness: Harness, uses: Iterable[FuseUse]) -> str:
    """Give a card as CSV, a row a fuse."""
    rows = ((place, *cells) for place, here in by_place(harness, uses).items() for cells in _rows(harness, here))
    return csv_text(CSV_COLUMNS, rows)


def lid_card_json(harness: Harness, uses: Iterable[FuseUse]) -> dict[str, Any]:
    """Give a card as one JSON object."""
    names, places = CSV_COLUMNS[1:], by_place(harness, uses)
    found = {
        "format": FORMAT,
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "caution": _rule(use for here in places.values() for use in here),
        "places": [
            {"place": place, "fuses": [dict(zip(names, cells, strict=True)) for cells in _rows(harness, here)]}
            for place, here in places.items()
        ],
    }
    return {name: plain(value) for name, value in found.items()}


def _page(harness: Harness, place: str, uses: list[FuseUse]) -> list[str]:
    rows = [_html_row(cells) for cells in _rows(harness, uses)]
    return [
        '<section class="card">',
        f"<h1>Fuses: {text(place)}</h1>",
        f"<p>{text(vehicle_words(harness))}</p>",
        f'<p class="rule">{text(_rule(uses))}</p>',
        "<table>",
        *rows,
        "</table>",
        "</section>",
    ]


def _html_row(cells: tuple[str, ...]) -> str:
    fuse, rating, colour, label, feeds, mark = map(text, cells)
    says = f"<b>{label}</b>" if label else feeds
    if label and feeds.casefold() != label.casefold():
        says += f": {feeds}"
    if mark:
        says = f"<b>{mark}.</b> {says}"
    return (
        f'<tbody><tr><td class="fuse">{fuse}</td><td class="rating">{rating} <span>{colour}</span></td>'
        f"<td>{says}</td></tr></tbody>"
    )


def _rows(harness: Harness, uses: list[FuseUse]) -> list[tuple[str, ...]]:
    """Give the cells of the fuses of a box; what short rows leave free the long ones have."""
    page_mm, characters = _A6_ROOM if len(uses) <= _ON_A_POSTCARD else _A5_ROOM
    longest = 2 * characters + int(page_mm / _LINE_MM) * characters
    for room in range(longest, _FEEDS_CHARACTERS, -characters // 2):
        rows = [_cells(harness, use, room) for use in uses]
        if sum(_ROW_MM + _LINE_MM * _more_lines(cells, characters) for cells in rows) <= page_mm:
            return rows
    return [_cells(harness, use, _FEEDS_CHARACTERS) for use in uses]


def _more_lines(cells: tuple[str, ...], characters: int) -> int:
    """Count the lines beyond the first that label, loads and mark of a fuse take."""
    return max(sum(len(cell) + 2 for cell in cells[3:] if cell) - 3, 0) // characters


def _cells(harness: Harness, use: FuseUse, room: int) -> tuple[str, ...]:
    rating = f"{use.fuse.amps:g} A" if use.fuse.amps is not None else "no rating"
    label = clean(use.fuse.label, 40).strip()
    return use.fuse.id, rating, card_colour(use), label, card_feeds(harness, use, room), for_its_wires(use)


def _with_mark(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Put the mark of a fuse before what it feeds."""
    *first, feeds, mark = cells
    return (*first, f"{mark}. {feeds}" if mark else feeds)


def _rule(uses: Iterable[FuseUse]) -> str:
    return NO_LARGER_MARKED if any(for_its_wires(use) for use in uses) else NO_LARGER


def _ids(uses: list[FuseUse]) -> tuple[str, ...]:
    return tuple(use.fuse.id for use in uses)


def _label(harness: Harness, part_id: str) -> str:
    return clean(harness.parts[part_id].label, 40).strip() or part_id


def _relay_label(harness: Harness, relay_id: str) -> str:
    label = _label(harness, relay_id)
    return label if "relay" in label.casefold() else f"relay {label}"


def _first_named(noun: str, part_ids: tuple[str, ...]) -> list[str]:
    """Put a noun before the first of some ids: they stay names of their own, so that none is cut."""
    return [f"{noun} {part_ids[0]}", *part_ids[1:]] if part_ids else []


def _fitting(names: list[str], room: int) -> str:
    """Join names as far as the room takes them, and count the others."""
    for count in range(len(names), 1, -1):
        left = len(names) - count
        words = ", ".join(names[:count]) + (f" + {left} more" if left else "")
        if len(words) <= room:
            return words
    rest = f" + {len(names) - 1} more" if len(names) > 1 else ""
    return f"{clean(names[0], room - len(rest))}{rest}"
