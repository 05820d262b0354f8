"""The loads of a harness as lines of a list, in the order asked for.

They come from the checked harness; before that has been read, from the bare tables of its file, so that a screen has
names to show at once. Nothing here is checked: what is not as it should be is left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Any

from model.words import clean

if TYPE_CHECKING:
    from model.harness.harness import Harness

WITHOUT_PLACE = "place not given"
_SINGLE = "load"


class Order(Enum):
    """How the loads are listed."""

    BY_PLACE = "by place"
    BY_NAME = "by name"

    @property
    def other(self) -> Order:
        """The other order."""
        return Order.BY_NAME if self is Order.BY_PLACE else Order.BY_PLACE


@dataclass(frozen=True, slots=True)
class LoadLine:
    """One circuit of a load.

    Attributes
    ----------
    name
        Of the element: ``E1:dip``, ``A2:75``.
    label
        What it is called, with the circuit where it has several; its name where it has no label.
    place
        The name of the place; empty where none is given.
    place_words
        The place with the way there.
    """

    name: str
    label: str
    place: str
    place_words: str


def in_order(lines: Iterable[LoadLine], order: Order) -> list[LoadLine]:
    """Return lines by place and then by name, or by name alone; those without a place come last."""

    def by_name(line: LoadLine) -> tuple[Any, ...]:
        return (_natural(line.label), line.place.casefold(), _natural(line.name))

    def by_place(line: LoadLine) -> tuple[Any, ...]:
        return (not line.place, line.place.casefold(), by_name(line))

    return sorted(lines, key=by_place if order is Order.BY_PLACE else by_name)


def lines_of_harness(harness: Harness) -> list[LoadLine]:
    """Return the lines of a harness that has been read."""
    from model.harness.places import place_words
    from model.tracing.load_rows import load_rows

    lines: list[LoadLine] = []
    for row in load_rows(harness):
        name = row.element.name
        label = row.label if harness.parts[row.element.part_id].label else shown_name(name)
        lines.append(LoadLine(name, clean(label), row.place.name, place_words(row.place)))
    return lines


def lines_of_tables(tables: dict[str, Any]) -> list[LoadLine]:
    """Return the lines of a file that is only parsed."""
    by_id = {row["id"]: row for name in tables for row in _rows(tables, name) if isinstance(row.get("id"), str)}
    ways = {_text(row, "name"): _text(row, "reach") for row in _rows(tables, "locations")}
    lines: list[LoadLine] = []
    for table, inner, naming in (("loads", "elements", "name"), ("modules", "feeds", "terminal")):
        for row in _rows(tables, table):
            part_id = clean(_text(row, "id"))
            if not part_id:
                continue
            place = clean(_place(row, by_id))
            way = clean(ways.get(place, ""))
            words = ", ".join(word for word in (place, way) if word) or WITHOUT_PLACE
            circuits = [clean(str(one.get(naming, ""))) for one in _rows(row, inner)] or [_SINGLE]
            for circuit in circuits:
                name = f"{part_id}:{circuit}"
                label = clean(f"{_text(row, 'label')} {'' if circuit == _SINGLE else circuit}".strip())
                lines.append(LoadLine(name, label if _text(row, "label") else shown_name(name), place, words))
    return lines


def shown_name(name: str) -> str:
    """Return the name of an element as it is shown: ``M2`` for the only circuit of M2, else ``E1:dip``."""
    part_id, _, circuit = name.partition(":")
    return part_id if circuit == _SINGLE else name


def _rows(table: dict[str, Any], name: str) -> Iterator[dict[str, Any]]:
    found = table.get(name)
    return (row for row in (found if isinstance(found, list) else ()) if isinstance(row, dict))


def _text(row: dict[str, Any], key: str) -> str:
    found = row.get(key)
    return found if isinstance(found, str) else ""


def _place(row: dict[str, Any], by_id: dict[str, dict[str, Any]]) -> str:
    """Return the place of a row: its own, else that of the part it sits in."""
    for _ in range(len(by_id) + 1):
        if _text(row, "location"):
            return _text(row, "location")
        inner = by_id.get(_text(row, "inside"))
        if inner is None:
            return ""
        row = inner
    return ""


def _natural(text: str) -> tuple[tuple[int, int | str], ...]:
    """Return a key by which E9 stands before E10."""
    parts = re.findall(r"\d+|\D+", text.casefold())
    return tuple((0, int(part)) if part.isdecimal() else (1, part) for part in parts)
