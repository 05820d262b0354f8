"""The rows of a wire list: each becomes a wire with two ends in words, or a remark on why not."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from model.errors import FusewalkError
from model.harness.fields import Hazard
from model.harness.wire_list_cells import NOTHING, flag_of, fold, json_value, length_m_of, number_of, size_of
from model.harness.wire_list_colours import ColourUse, colour_of, colour_use
from model.harness.wire_list_header import WIRES, Header, find_header, header_score
from model.harness.wire_list_remark import ListRefusedError, Remark
from model.harness.wire_list_sheet import Sheet, SheetRow, read_sheet
from model.harness.wire_list_via import via_of
from model.words import clean

FILLED_DOWN = ("from", "from_part", "to", "to_part", "via", "from_location", "to_location")
"""Columns whose cells are merged over several rows in many a spreadsheet."""
_COPIED = ("label", "location", "note", "picture", "inside", "superseded_by", "from_location", "to_location")
"""Columns whose cells are taken as they stand."""
_CHECKED = ("spare", "hazard", "face")
_TOTALS = frozenset({"total", "totals", "sum", "summe", "gesamt", "gesamtlange", "total length", "subtotal"})
_GAUGES_ONLY = frozenset({8.0, 12.0, 14.0, 18.0, 20.0, 22.0, 24.0})
"""Whole numbers that are American gauges and no metric sizes."""


@dataclass(frozen=True, slots=True)
class EndWords:
    """One end of a wire as the list has it: part and terminal in one cell, or in two."""

    text: str
    pin: str = ""


@dataclass(slots=True)
class ListWire:
    """One wire of a list.

    Attributes
    ----------
    id
        As the list has it; empty where it has none.
    keys
        What the list says beyond id and ends, by the keys of a harness file.
    """

    line: int
    id: str
    ends: tuple[EndWords, EndWords]
    keys: dict[str, object] = field(default_factory=dict)


@dataclass(slots=True)
class WireList:
    """A whole wire list: its title line where it has one, its wires, and what is to be said about it."""

    wires: list[ListWire] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    title: str = ""


def read_wire_list(content: bytes, name: str, fill_down: bool = False) -> WireList:
    """Read the bytes of a wire list.

    Parameters
    ----------
    name
        What the file is called in a refusal.
    fill_down
        Whether an empty cell of an end, trunk or place repeats the one above.

    Raises
    ------
    FusewalkError
        Where nothing in it can be read as a wire.
    """
    sheet = read_sheet(content, name, lambda rows: header_score(WIRES, rows))
    found = WireList(remarks=list(sheet.remarks))
    header = find_header(WIRES, sheet.rows) or _guessed_header(sheet)
    if header is None:
        seen = next((row for row in sheet.rows), SheetRow(0, ()))
        words = clean(", ".join(cell for cell in seen.cells if cell), 120)
        what = f"no column says from where to where; the first line reads “{words}”." if words else "it is empty."
        raise FusewalkError(what, name, "Name two columns “from” and “to” in one line above the wires.")
    _tell_header(header, sheet, found)
    rows = [row for row in sheet.rows if row.line > header.line]
    reader = _Reader(header, found, _unit_of_sizes(header, rows, found), _unit_of_lengths(header, rows, found))
    reader.colours = colour_use(header.cell(row, column) for row in rows for column in ("colour", "stripe"))
    if fill_down:
        rows = _filled_down(header, rows)
    elif any(_gap(header, row) for row in rows):
        lines = [row.line for row in rows if _gap(header, row)]
        merged = "where cells were merged in the spreadsheet, --fill-down repeats the one above"
        found.remarks.append(Remark(lines[0], f"{_rows_words(len(lines))} lacks an end; {merged}"))
    for row in rows:
        reader.read(row)
    return found


def _rows_words(count: int) -> str:
    return "this row" if count == 1 else f"each of {count} rows from here on"


def _tell_header(header: Header, sheet: Sheet, found: WireList) -> None:
    for row in sheet.rows:
        if row.line >= (header.first or header.line):
            break
        words = clean(" ".join(cell for cell in row.cells if cell), 60)
        found.title = found.title or words
        found.remarks.append(Remark(row.line, f"“{words}” stands above the headings; taken for a title"))
    for heading in header.unknown:
        found.remarks.append(Remark(header.line, f"the column “{clean(heading, 40)}” is not known; left out"))
    missing = [column for column in ("id", "colour", "length") if column not in header.places]
    if not header.places.keys() & {"size", "gauge"}:
        missing.insert(len(missing) - ("length" in missing), "size")
    if missing:
        found.remarks.append(Remark(header.line, f"there is no column for {', '.join(missing)}"))


def _guessed_header(sheet: Sheet) -> Header | None:
    """Take a list without headings for what most have: from, to, colour, size, length, an id before them."""
    rows = [row for row in sheet.rows if sum(bool(cell) for cell in row.cells) >= 2]
    if len(rows) < 2 or len(rows) * 2 < len(sheet.rows):
        return None
    looks = re.compile(r"[A-Za-z]{1,4}\d*[.:/ +-].*|[A-Za-z]{1,4}\d+|chassis|gnd|masse", re.IGNORECASE)

    def fit(first: int) -> int:
        return sum(
            all(looks.fullmatch(cell) for cell in row.cells[first : first + 2])
            for row in rows
            if len(row.cells) > first + 1
        )

    first = 1 if fit(1) > fit(0) else 0
    if fit(first) * 2 < len(rows):
        return None
    columns = ("from", "to", "colour", "size", "length")
    places = {column: first + at for at, column in enumerate(columns)} | ({"id": 0} if first else {})
    return Header(0, places)


def _unit_of_sizes(header: Header, rows: list[SheetRow], found: WireList) -> str:
    unit = header.units.get("size", "")
    if unit:
        return unit
    numbers = _numbers(header, rows, "size")
    if any(value in _GAUGES_ONLY for value in numbers) and all(value == int(value) for value in numbers):
        found.remarks.append(Remark(header.line, "the sizes are numbers such as only gauges have; read as AWG"))
        return "awg"
    return ""


def _unit_of_lengths(header: Header, rows: list[SheetRow], found: WireList) -> str:
    unit = header.units.get("length", "")
    if unit:
        return unit
    numbers = sorted(_numbers(header, rows, "length"))
    if numbers and numbers[len(numbers) // 2] >= 100:
        found.remarks.append(Remark(header.line, "the lengths have no unit and are large; read as millimetres"))
        return "mm"
    return "m"


def _numbers(header: Header, rows: list[SheetRow], column: str) -> list[float]:
    values: list[float] = []
    for row in rows:
        try:
            values.append(number_of(header.cell(row, column)))
        except ListRefusedError:
            continue
    return values


def _gap(header: Header, row: SheetRow) -> bool:
    """Tell whether a row of a wire lacks one of its ends."""
    has = [
        any(header.cell(row, column) for column in columns) for columns in (("from", "from_part"), ("to", "to_part"))
    ]
    return sum(has) == 1 and not header.cell(row, "spare") and not _is_total(row)


def _filled_down(header: Header, rows: list[SheetRow]) -> list[SheetRow]:
    above: dict[int, str] = {}
    filled: list[SheetRow] = []
    places = [header.places[column] for column in FILLED_DOWN if column in header.places]
    for row in rows:
        if _is_total(row):
            continue
        cells = list(row.cells) + [""] * (max(places) + 1 - len(row.cells))
        for place in places:
            cells[place] = cells[place] or above.get(place, "")
            above[place] = cells[place]
        filled.append(SheetRow(row.line, tuple(cells)))
    return filled


def _is_total(row: SheetRow) -> bool:
    filled = [cell for cell in row.cells if cell]
    return len(filled) <= 4 and any(fold(cell) in _TOTALS for cell in filled[:2])


class _Reader:
    """Reads rows one after another under one header."""

    def __init__(self, header: Header, found: WireList, size_unit: str, length_unit: str) -> None:
        self.header = header
        self.found = found
        self.size_unit = size_unit
        self.length_unit = length_unit
        self.colours = ColourUse.ANY
        self.copied = [key for key in _COPIED if key in header.places]
        self.checked = [key for key in _CHECKED if key in header.places]

    def read(self, row: SheetRow) -> None:
        """Add the wire of a row, or say why it is none."""
        if _is_total(row):
            self._tell(row, "a line of totals; left out")
            return
        ends = (self._end(row, "from"), self._end(row, "to"))
        if not any(end.text or end.pin for end in ends) and not self._is_loose(row):
            words = clean(" ".join(cell for cell in row.cells if cell), 60)
            self._tell(row, f"neither from nor to: “{words}”; left out")
            return
        wire = ListWire(row.line, self.header.cell(row, "id"), ends)
        self._size(row, wire)
        self._colour(row, wire)
        self._length(row, wire)
        self._rest(row, wire)
        self.found.wires.append(wire)

    def _is_loose(self, row: SheetRow) -> bool:
        """Tell whether a row without ends is a wire all the same: one that says where it lies or that it is spare."""
        is_placed = any(self.header.cell(row, key) for key in ("from_location", "to_location", "spare"))
        return bool(self.header.cell(row, "id")) and is_placed

    def _tell(self, row: SheetRow, says: str) -> None:
        self.found.remarks.append(Remark(row.line, says))

    def _end(self, row: SheetRow, side: str) -> EndWords:
        text = self.header.cell(row, f"{side}_part") or self.header.cell(row, side)
        pin = self.header.cell(row, f"{side}_pin")
        return EndWords("" if text.casefold() in NOTHING else text, "" if fold(pin) in ("n a", "none") else pin)

    def _size(self, row: SheetRow, wire: ListWire) -> None:
        for column, unit in (("size", self.size_unit), ("gauge", "awg")):
            cell = self.header.cell(row, column)
            if not cell or cell.casefold() in NOTHING:
                continue
            try:
                wire.keys.setdefault("size", size_of(cell, unit))
            except ListRefusedError as error:
                self._tell(row, f"{error}; left out")

    def _colour(self, row: SheetRow, wire: ListWire) -> None:
        cells = [self.header.cell(row, column) for column in ("colour", "stripe")]
        words = "/".join(cell for cell in cells if cell and cell.casefold() not in NOTHING)
        if not words:
            return
        try:
            wire.keys["colour"] = colour_of(words, self.colours)
        except ListRefusedError as error:
            self._tell(row, f"{error}; left out")

    def _length(self, row: SheetRow, wire: ListWire) -> None:
        cell = self.header.cell(row, "length")
        if not cell or cell.casefold() in NOTHING:
            return
        try:
            wire.keys["length"] = length_m_of(cell, self.length_unit)
        except ListRefusedError as error:
            self._tell(row, f"{error}; left out")

    def _rest(self, row: SheetRow, wire: ListWire) -> None:
        for key in self.copied:
            cell = self.header.cell(row, key)
            if cell:
                wire.keys[key] = cell
        via = via_of(self.header.cell(row, "via"))
        if via:
            wire.keys["via"] = via
        for key in self.checked:
            self._checked(row, wire, key)

    def _checked(self, row: SheetRow, wire: ListWire, key: str) -> None:
        cell = self.header.cell(row, key)
        if not cell:
            return
        try:
            wire.keys[key] = _checked_value(key, cell)
        except ValueError:
            self._tell(row, f"{key} cannot be “{clean(cell, 40)}”; left out")


def _checked_value(key: str, cell: str) -> object:
    if key == "spare":
        return flag_of(cell)
    if key == "hazard":
        return Hazard(cell.casefold()).value
    return json_value(cell)
