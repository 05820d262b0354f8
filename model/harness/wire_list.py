"""The wires of a harness as a list in columns that are read back as they were."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.wire_list_cells import LONGEST_CELL, armed, json_text, number_text
from model.harness.wire_list_via import via_text
from model.words import clean

COLUMNS = ("id", "from", "to", "colour", "size mm2", "length m", "via", "label", "note")
"""Columns that a wire list always has."""
_MORE = ("location", "from_location", "to_location", "spare", "superseded_by", "hazard", "picture", "inside", "face")


def wire_list(harness: Harness) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Give the headings of a wire list and a row for each wire, in the order of the file.

    Columns that no wire has anything in are left out, but for those that every list has. A size by gauge stands as
    ``AWG 16``; an empty cell is not known.
    """
    typed = [wire.model_dump(by_alias=True, exclude_unset=True, mode="json") for wire in harness.wires]
    more = [key for key in _MORE if any(_filled(row.get(key)) for row in typed)]
    headings = (*COLUMNS, *(key.replace("_", " ") for key in more))
    return headings, [_cells(wire, row, more) for wire, row in zip(harness.wires, typed, strict=True)]


def _filled(value: object) -> bool:
    return value not in (None, "", [], {})


def _cells(wire: Wire, row: dict[str, object], more: Sequence[str]) -> tuple[str, ...]:
    size = wire.size if isinstance(wire.size, str) else "" if wire.size is None else number_text(wire.size)
    length = "" if wire.length is None else number_text(wire.length)
    always = (wire.id, wire.from_point or "", wire.to_point or "", wire.colour, size, length, via_text(wire.via))
    return (*(spelled(cell) for cell in (*always, wire.label, wire.note)), *(_more_cell(row.get(key)) for key in more))


def _more_cell(value: object) -> str:
    if not _filled(value):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return json_text(value) if isinstance(value, list) else spelled(str(value))


def spelled(text: str) -> str:
    """Give text as a cell: harmless, nothing around it."""
    return clean(text, LONGEST_CELL).strip()


def csv_of(headings: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """Write CSV of RFC 4180, lines ended by CR LF; what a spreadsheet would run has an apostrophe before it."""
    return "".join(",".join(_quoted(armed(cell)) for cell in row) + "\r\n" for row in (headings, *rows))


def _quoted(cell: str) -> str:
    if any(one in cell for one in ',";\t\r\n') or cell != cell.strip():
        return '"' + cell.replace('"', '""') + '"'
    return cell
