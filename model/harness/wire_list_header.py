"""Which column of a list holds what, by its headings in English or German."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from model.harness.wire_list_cells import fold
from model.harness.wire_list_sheet import SheetRow
from model.tables import table_rows

WIRES, PARTS = "wires", "parts"
_UNITS = {
    "mm2": "mm2", "qmm": "mm2", "awg": "awg", "ga": "awg", "mm": "mm", "cm": "cm", "m": "m", "metres": "m",
    "meter": "m", "ft": "ft", "feet": "ft", "inch": "in", "inches": "in",
}  # fmt: skip
_SOUGHT_ROWS = 60


@dataclass(frozen=True, slots=True)
class Header:
    """The columns of a list.

    Attributes
    ----------
    line
        Line of the headings; 0 where the list has none.
    places
        Number of the cell that holds each column.
    units
        Unit that a heading gives for bare numbers of its column.
    unknown
        Headings that say nothing to the program, and second ones for the same column.
    """

    line: int
    places: Mapping[str, int]
    units: Mapping[str, str] = field(default_factory=dict)
    unknown: tuple[str, ...] = ()

    def cell(self, row: SheetRow, column: str) -> str:
        """Give the cell of a column; empty where the row ends before it or there is no such column."""
        place = self.places.get(column)
        return row.cells[place] if place is not None and place < len(row.cells) else ""


@cache
def _words(of: str) -> Mapping[str, str]:
    found: dict[str, str] = {}
    for row in table_rows("wire_list_words"):
        if row["list"] == of:
            for word in row["words"].split("; "):
                found.setdefault(fold(word), row["column"])
    return found


@cache
def _column_of(of: str, heading: str, more: frozenset[str]) -> tuple[str, str]:
    """Give column and unit that a heading means; empty where it means none."""
    if heading.strip() in ("#", "№"):
        return "id", ""
    words = fold(heading)
    known = _words(of)
    if words in known:
        return known[words], _UNITS.get(words, "")
    key = words.replace(" ", "_")
    if key in more:
        return key, ""
    rest, _, last = words.rpartition(" ")
    rest = rest.removesuffix(" in").removesuffix(" sq")
    if last in _UNITS and rest in known:
        return known[rest], _UNITS[last]
    return "", ""


def header_of(of: str, row: SheetRow, more: frozenset[str] = frozenset()) -> Header:
    """Read a row as headings.

    Parameters
    ----------
    of
        ``wires`` or ``parts``.
    more
        Columns that are known by their own name besides.
    """
    places: dict[str, int] = {}
    units: dict[str, str] = {}
    unknown: list[str] = []
    for place, heading in enumerate(row.cells):
        if not heading:
            continue
        column, unit = _column_of(of, heading[:60], more)
        if not column or column in places:
            unknown.append(heading)
            continue
        places[column] = place
        if unit:
            units[column] = unit
    return Header(row.line, places, units, tuple(unknown))


def find_header(of: str, rows: tuple[SheetRow, ...], more: frozenset[str] = frozenset()) -> Header | None:
    """Find the row of headings among the first of a list; None where no row is one."""
    best: Header | None = None
    for row in rows[:_SOUGHT_ROWS]:
        header = header_of(of, row, more)
        if _is_header(of, header) and (best is None or len(header.places) > len(best.places)):
            best = header
    return best


def header_score(of: str, rows: tuple[SheetRow, ...], more: frozenset[str] = frozenset()) -> int:
    """Tell how well rows fit a list of this kind: how many columns are known in their headings."""
    return max((len(header_of(of, row, more).places) for row in rows[:_SOUGHT_ROWS]), default=0)


def _is_header(of: str, header: Header) -> bool:
    if of == PARTS:
        return ("id" in header.places or "label" in header.places) and len(header.places) > 1
    has = header.places.keys()
    return bool(has & {"from", "from_part"}) and bool(has & {"to", "to_part"})
