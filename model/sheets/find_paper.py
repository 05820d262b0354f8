"""What a search found, for paper and for a table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.sheets.find_sheet import what_volts, with_its_parts
from model.sheets.plan_csv import Cell, csv_text
from model.sheets.review_sheet import COLOUR, Column, Grid, ReviewSheet, Section
from model.words import clean, plural, volts_text

Listed = dict[str, Any]
"""What `find_json` gives."""


def find_paper(harness: Harness, listed: Listed, condition: Condition) -> ReviewSheet:
    """Lay what a search found out for paper: a section a thing, the volts of its points in every key state."""
    found: list[Listed] = listed["found"]
    keys = _keys(harness, found)
    of_each = [(one["id"], one["cautions"]) for one in found]
    every_caution = dict.fromkeys(words for _, cautions in of_each for words in cautions)
    return ReviewSheet(
        title=f"{plural(listed['total'], 'thing')} found for “{clean(listed['words'], 60)}”",
        vehicle=harness.build.name,
        about=(*listed["remarks"], *([what_volts(harness, keys, condition)] if keys else [])),
        sections=tuple(_section(one, keys) for one in found),
        cautions=tuple(with_its_parts(words, of_each) for words in every_caution),
    )


def _section(one: Listed, keys: list[str]) -> Section:
    rows = tuple((point, *(_shown(volts.get(key, "")) for key in keys)) for point, volts in one["expect"].items())
    ends, places = one["ends"], one["places"]
    words = [f"{point}, {place}" for point, place in zip(ends, places, strict=True)] if ends else [*places[:1]]
    words += [f"through {', '.join(one['trunks'])}"] if one["trunks"] else []
    words += [f"on its {one['side']} side: {', '.join(one['behind'])}"] if one["behind"] else []
    return Section(
        _head(one),
        cautions=tuple(f"{point}: {why}" for point, why in one["refused"].items()),
        items=tuple(words),
        grid=Grid((Column("expect, V"), *(Column(key, is_figure=True) for key in keys)), rows) if rows else None,
    )


def _head(one: Listed) -> str:
    what = (one["kind"] or one["what"], one["colour"] or "", one["colour_words"] or "", one["size"] or "", one["label"])
    return f"{one['id']}: {', '.join(word for word in what if word)}"


def find_csv(harness: Harness, listed: Listed) -> str:
    """Give what a search found as CSV: a row a point with its volts in every key state, one for a thing without."""
    found: list[Listed] = listed["found"]
    keys = _keys(harness, found)
    columns = ("id", "what", "label", COLOUR, "size", "places", "point", *(f"{key}, V" for key in keys), "never probed")
    return csv_text(columns, (row for one in found for row in _csv_rows(one, keys)))


def _csv_rows(one: Listed, keys: list[str]) -> Iterator[tuple[Cell, ...]]:
    about = (one["id"], one["kind"] or one["what"], one["label"], one["colour"], one["size"], "; ".join(one["places"]))
    for point, volts in one["expect"].items():
        yield (*about, point, *(volts.get(key, "") for key in keys), "")
    for point, why in one["refused"].items():
        yield (*about, point, *("" for _ in keys), why)
    if not one["expect"] and not one["refused"]:
        yield (*about, "", *("" for _ in keys), "")


def _keys(harness: Harness, found: list[Listed]) -> list[str]:
    worked_out = {key for one in found for volts in one["expect"].values() for key in volts}
    return [key for key in harness.key_names if key in worked_out]


def _shown(volts: float | str) -> str:
    return volts_text(volts) if isinstance(volts, float) else clean(volts, 20)
