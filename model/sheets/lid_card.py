"""A card for the lid of a fuse box: number, rating and colour, label, and in one line what each fuse feeds."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from model.harness.harness import Harness
from model.review.fuse_use import FuseUse
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
CSV_COLUMNS = ("place", "fuse", "rating", "colour", "label", "feeds")

_ON_A_POSTCARD = 12
"""Fuses of one box that a card of A6 takes at the size of its letters; more go on A5."""

_FEEDS_CHARACTERS = 56
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
.card td {{ border-width: 0 0 0.2mm; padding: 0.7mm 0.8mm; vertical-align: baseline; }}
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
    sections = [
        Section(place, grid=Grid(_COLUMNS, tuple(_cells(harness, use) for use in here), tuple(u.fuse.id for u in here)))
        for place, here in by_place(harness, uses).items()
    ]
    about = () if sections else ("The file has no fuse.",)
    return ReviewSheet("fuse card", vehicle_words(harness), about, tuple(sections), (NO_LARGER,))


def by_place(harness: Harness, uses: Iterable[FuseUse]) -> dict[str, list[FuseUse]]:
    """Put fuses together by place, in the order in which the file first names each, by their numbers."""
    found: dict[str, list[FuseUse]] = {}
    for use in in_order(harness, uses):
        found.setdefault(place_name(harness, use), []).append(use)
    return found


def card_feeds(harness: Harness, use: FuseUse) -> str:
    """Say in one line what a fuse feeds: as many of its loads as the line takes, the others counted."""
    feeds = use.feeds
    if feeds.is_spare:
        return "spare, feeds nothing"
    names = [load_words(harness, name).rpartition(" (")[0] or load_words(harness, name) for name in feeds.loads]
    names += [_relay_label(harness, name) for name in feeds.coils]
    names += [_label(harness, name) for name in feeds.supplies]
    names += [f"link to {_label(harness, name)}" for name in feeds.joins]
    names += _first_named("fuses" if len(feeds.fuses) > 1 else "fuse", feeds.fuses)
    names = names or _first_named("link to", feeds.meets)
    return _fitting(list(dict.fromkeys(names)))


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
    rows = ((place, *_cells(harness, use)) for place, here in by_place(harness, uses).items() for use in here)
    return csv_text(CSV_COLUMNS, rows)


def lid_card_json(harness: Harness, uses: Iterable[FuseUse]) -> dict[str, Any]:
    """Give a card as one JSON object."""
    names = CSV_COLUMNS[1:]
    found = {
        "format": FORMAT,
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "caution": NO_LARGER,
        "places": [
            {"place": place, "fuses": [dict(zip(names, _cells(harness, use), strict=True)) for use in here]}
            for place, here in by_place(harness, uses).items()
        ],
    }
    return {name: plain(value) for name, value in found.items()}


def _page(harness: Harness, place: str, uses: list[FuseUse]) -> list[str]:
    rows = [_html_row(_cells(harness, use)) for use in uses]
    return [
        '<section class="card">',
        f"<h1>Fuses: {text(place)}</h1>",
        f"<p>{text(vehicle_words(harness))}</p>",
        f'<p class="rule">{text(NO_LARGER)}</p>',
        "<table>",
        *rows,
        "</table>",
        "</section>",
    ]


def _html_row(cells: tuple[str, ...]) -> str:
    fuse, rating, colour, label, feeds = map(text, cells)
    says = f"<b>{label}</b>" if label else feeds
    if label and feeds.casefold() != label.casefold():
        says += f": {feeds}"
    return (
        f'<tbody><tr><td class="fuse">{fuse}</td><td class="rating">{rating} <span>{colour}</span></td>'
        f"<td>{says}</td></tr></tbody>"
    )


def _cells(harness: Harness, use: FuseUse) -> tuple[str, ...]:
    rating = f"{use.fuse.amps:g} A" if use.fuse.amps is not None else "no rating"
    return use.fuse.id, rating, card_colour(use), clean(use.fuse.label, 40).strip(), card_feeds(harness, use)


def _label(harness: Harness, part_id: str) -> str:
    return clean(harness.parts[part_id].label, 40).strip() or part_id


def _relay_label(harness: Harness, relay_id: str) -> str:
    label = _label(harness, relay_id)
    return label if "relay" in label.casefold() else f"relay {label}"


def _first_named(noun: str, part_ids: tuple[str, ...]) -> list[str]:
    """Put a noun before the first of some ids: they stay names of their own, so that none is cut."""
    return [f"{noun} {part_ids[0]}", *part_ids[1:]] if part_ids else []


def _fitting(names: list[str]) -> str:
    """Join names as far as one line takes them, and count the others."""
    for count in range(len(names), 1, -1):
        left = len(names) - count
        words = ", ".join(names[:count]) + (f" + {left} more" if left else "")
        if len(words) <= _FEEDS_CHARACTERS:
            return words
    rest = f" + {len(names) - 1} more" if len(names) > 1 else ""
    return f"{clean(names[0], _FEEDS_CHARACTERS - len(rest))}{rest}"
