"""The fuses of a loom as a sheet: what each feeds and when, what it carries, what dies without it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from model.caution_words import CAUTIONS, CautionKind
from model.harness.harness import Harness
from model.review.fuse_alone import ALONE_AT_MOST
from model.review.fuse_use import FuseUse
from model.sheets.fuse_pulled_words import pulled_words, short_dies
from model.sheets.fuse_remarks import (
    colour_words,
    concern_words,
    current_words,
    fed_words,
    feeds_words,
    hazard_words,
    place_name,
    rating_words,
    start_words,
    wire_words,
    works_words,
)
from model.sheets.plan_csv import Cell, csv_text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.tracing.fuse_words import BEARS_SOURCE
from model.tracing.names import id_and_label
from model.words import amps_text, clean

FUSES_NOTES = (
    "Amperes are computed from the file: the most of every key state at rest, with everything on, with the loads of "
    "the fuse alone and with chargers on that a hand turns on; of loads that work only by themselves in that.",
    "Everything on: every switch and sensor in its first other position at once and every plug and socket in use, then "
    "each in its next. A flasher or a cut-off may stand open in that. The findings look at those conditions alone, so "
    "that they may have fewer amperes of a fuse, and loads without those that stand off in them.",
    f"Of more than {ALONE_AT_MOST} fuses only those with most of their rating are tried with their loads alone.",
    "Colours: ISO 8820-3, types C and F up to 40 A, type E beyond. Other styles have no standard colour.",
    f"What a wire bears: {BEARS_SOURCE}; in a bundle or in the heat it bears less.",
    "For long 70 to 80 % of the rating: common workshop practice.",
)

_COLUMNS = (
    Column("fuse", width_mm=28),
    Column("rating", width_mm=24),
    Column("carries", is_figure=True, width_mm=17),
    Column("start", is_figure=True, width_mm=17),
    Column("wire bears", is_figure=True, width_mm=17),
    Column("dies without it"),
)
CSV_COLUMNS = (
    "fuse",
    "label",
    "place",
    "style",
    "rating, A",
    "colour",
    "most, A",
    "most in key state",
    "most with",
    "for long, A",
    "start, A",
    "start of",
    "start from the file",
    "thinnest wire",
    "wire bears, A",
    "fit at most, A",
    "fed",
    "feeds",
    "dies when pulled",
    "charged no longer when pulled",
    "stays alive when pulled",
    "remarks",
)


def fuses_sheet(harness: Harness, uses: Iterable[FuseUse]) -> ReviewSheet:
    """Lay the fuses of a loom out: a table of all, what is to be thought over, then fuse by fuse."""
    every = in_order(harness, uses)
    caution = CAUTIONS[CautionKind.FUSE_RATING].text
    return ReviewSheet(
        "fuses",
        vehicle_words(harness),
        ("What hangs behind each fuse, when it is fed, what it carries, and what dies where it is pulled.",),
        (*_tables(harness, every), *_thought_over(harness, every), *(_fuse(harness, use) for use in every)),
        (caution, *(words for use in every if (words := hazard_words(harness, use)))),
    )


def vehicle_words(harness: Harness) -> str:
    """Name the build and the revision of its file."""
    return f"{clean(harness.build.name, 80)}, revision {harness.build.revision}"


def in_order(harness: Harness, uses: Iterable[FuseUse]) -> tuple[FuseUse, ...]:
    """Put fuses in order by place, in the order in which the file first names each, and by number."""
    every = tuple(uses)
    places = list(dict.fromkeys(place_name(harness, use) for use in every))
    return tuple(sorted(every, key=lambda use: (places.index(place_name(harness, use)), number_key(use.fuse.id))))


def number_key(part_id: str) -> tuple[tuple[int, str], ...]:
    """Give a key that sorts ids by their numbers: F2 before F10."""
    pieces = re.findall(r"\d+|\D+", part_id)
    return tuple((int(piece), "") if piece.isascii() and piece.isdigit() else (-1, piece) for piece in pieces)


def _tables(harness: Harness, uses: tuple[FuseUse, ...]) -> Iterator[Section]:
    """Give a table a place, small print behind the last."""
    if not uses:
        yield Section(words=("The file has no fuse.",))
    places = list(dict.fromkeys(place_name(harness, use) for use in uses))
    for place in places:
        here = [use for use in uses if place_name(harness, use) == place]
        grid = Grid(_COLUMNS, tuple(_row(harness, use) for use in here), tuple(use.fuse.id for use in here))
        yield Section(f"Fuses: {place}", grid=grid, notes=FUSES_NOTES if place == places[-1] else ())


def _row(harness: Harness, use: FuseUse) -> tuple[str, ...]:
    rating = f"{use.fuse.amps:g} A" if use.fuse.amps is not None else "none"
    return (
        id_and_label(harness, use.fuse.id),
        f"{rating}, {use.colour or str(use.fuse.style)}",
        amps_text(use.most.amps) if use.most is not None else "?",
        amps_text(use.start.amps) if use.start is not None else "",
        amps_text(use.thinnest.amps) if use.thinnest is not None else "",
        short_dies(harness, use),
    )


def _thought_over(harness: Harness, uses: tuple[FuseUse, ...]) -> Iterator[Section]:
    found = [(use.fuse.id, words) for use in uses for words in concern_words(harness, use)]
    if found:
        items = tuple(words for _, words in found)
        yield Section("To think over", items=items, item_parts=tuple(part_id for part_id, _ in found))


def _fuse(harness: Harness, use: FuseUse) -> Section:
    hazard = hazard_words(harness, use)
    sentences = [
        feeds_words(harness, use),
        fed_words(use),
        *works_words(harness, use),
        current_words(harness, use),
        start_words(harness, use),
        wire_words(harness, use),
        *pulled_words(harness, use),
    ]
    items = tuple(words for words in sentences if words)
    head = f"{id_and_label(harness, use.fuse.id)}: {rating_words(use)}; {place_name(harness, use)}"
    return Section(head, cautions=(hazard,) if hazard else (), items=items, item_parts=(use.fuse.id,) * len(items))


def fuses_csv(harness: Harness, uses: Iterable[FuseUse]) -> str:
    """Give the fuses as CSV, a row a fuse."""
    return csv_text(CSV_COLUMNS, (_csv_row(harness, use) for use in in_order(harness, uses)))


def _csv_row(harness: Harness, use: FuseUse) -> tuple[Cell, ...]:
    fuse, most, start = use.fuse, use.most, use.start
    settings = "; ".join(f"{name}={value}" for name, value in most.condition.by_name.items()) if most else ""
    return (
        fuse.id,
        fuse.label,
        place_name(harness, use),
        str(fuse.style),
        fuse.amps,
        colour_words(use),
        most.amps if most else None,
        most.condition.key if most else "",
        settings,
        use.lasting.amps if use.lasting else None,
        start.amps if start else None,
        "; ".join(start.loads) if start else "",
        ("yes" if start.is_given else "no") if start else "",
        use.thinnest.wire_id if use.thinnest else "",
        use.thinnest.amps if use.thinnest else None,
        use.fit_at_most_amps,
        "; ".join(f"{key}={fed}" for key, fed in use.fed.items()),
        feeds_words(harness, use),
        "; ".join(use.dies),
        "; ".join(one.battery_id for one in use.uncharged),
        "; ".join(use.alive),
        "; ".join(use.concerns),
    )
