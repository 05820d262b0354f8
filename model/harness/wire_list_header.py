"""Which column of a list holds what, by its headings in English or German."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

from model.harness.wire_list_cells import fold
from model.harness.wire_list_sheet import SheetRow
from model.tables import table_rows

WIRES, PARTS = "wires", "parts"
_UNITS = {
    "mm2": "mm2", "qmm": "mm2", "awg": "awg", "ga": "awg", "mm": "mm", "cm": "cm", "m": "m", "metres": "m",
    "meter": "m", "meters": "m", "ft": "ft", "feet": "ft", "inch": "in", "inches": "in",
}  # fmt: skip
_SOUGHT_ROWS = 60


@dataclass(frozen=True, slots=True)
class Header:
    """The columns of a list.

    Attributes
    ----------
    line
        Line of the headings, of the last where they stand in two; 0 where the list has none.
    places
        Number of the cell that holds each column.
    units
        Unit that a heading gives for bare numbers of its column.
    unknown
        Headings that say nothing to the program, and second ones for the same column.
    first
        Line in which the headings begin, where they stand in two; else 0.
    """

    line: int
    places: Mapping[str, int]
    units: Mapping[str, str] = field(default_factory=dict)
    unknown: tuple[str, ...] = ()
    first: int = 0

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
    return _header(row.line, row.cells, [_column_of(of, heading[:60], more) for heading in row.cells])


def _header(line: int, headings: Sequence[str], columns: Sequence[tuple[str, str]], first: int = 0) -> Header:
    places: dict[str, int] = {}
    units: dict[str, str] = {}
    unknown: list[str] = []
    for place, (heading, (column, unit)) in enumerate(zip(headings, columns, strict=True)):
        if not heading:
            continue
        if not column or column in places:
            unknown.append(heading)
            continue
        places[column] = place
        if unit:
            units[column] = unit
    return Header(line, places, units, tuple(unknown), first)


def _in_two_rows(of: str, upper: SheetRow, lower: SheetRow, more: frozenset[str]) -> Header:
    """Read two rows as headings of which the lower goes on from the upper: ``From`` over ``Part`` and ``Pin``.

    Where cells were merged in the spreadsheet the word of the upper row stands in the first of them alone.
    """
    headings: list[str] = []
    columns: list[tuple[str, str]] = []
    group = ""
    for place in range(max(len(upper.cells), len(lower.cells))):
        above = upper.cells[place] if place < len(upper.cells) else ""
        below = lower.cells[place] if place < len(lower.cells) else ""
        group = above or group
        both = f"{group} {below}".strip()
        headings.append(both if below else above)
        columns.append(_of_two(of, group if below else above, below, more))
    return _header(lower.line, headings, columns, upper.line)


def _of_two(of: str, above: str, below: str, more: frozenset[str]) -> tuple[str, str]:
    """Give the column that a heading under another means: both together, else the lower one, else its unit."""
    if not below:
        return _column_of(of, above[:60], more)
    together, own = f"{above} {below}"[:60], _column_of(of, below[:60], more)
    if own[0] and fold(together) not in _words(of):
        return own
    found = _column_of(of, together, more)
    is_bracketed = below.startswith(("(", "[")) and below.endswith((")", "]"))
    return _column_of(of, above[:60], more) if is_bracketed and not found[0] else found


def find_header(of: str, rows: tuple[SheetRow, ...], more: frozenset[str] = frozenset()) -> Header | None:
    """Find the row of headings among the first of a list; None where no row is one."""
    best: Header | None = None
    for header in _headers(of, rows, more):
        if _is_header(of, header) and (best is None or _fitness(header) > _fitness(best)):
            best = header
    return best


def _headers(of: str, rows: tuple[SheetRow, ...], more: frozenset[str]) -> Iterator[Header]:
    """Give what the first rows are as headings, each by itself and together with the one below it."""
    sought = rows[:_SOUGHT_ROWS]
    for row in sought:
        yield header_of(of, row, more)
    for upper, lower in pairwise(sought):
        yield _in_two_rows(of, upper, lower, more)


def _fitness(header: Header) -> tuple[int, int]:
    return len(header.places), len(header.units)


def header_score(of: str, rows: tuple[SheetRow, ...], more: frozenset[str] = frozenset()) -> int:
    """Tell how well rows fit a list of this kind: how many columns are known in their headings."""
    return max((len(header.places) for header in _headers(of, rows, more)), default=0)


def _is_header(of: str, header: Header) -> bool:
    if of == PARTS:
        return ("id" in header.places or "label" in header.places) and len(header.places) > 1
    has = header.places.keys()
    return bool(has & {"from", "from_part"}) and bool(has & {"to", "to_part"})
