"""A spreadsheet's export as rows of cells: encoding, separator, quotes, and what is damaged in it."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from model.errors import FusewalkError
from model.harness.file_bytes import file_bytes
from model.harness.wire_list_cells import cell_text
from model.harness.wire_list_remark import Remark
from model.words import clean

LARGEST_BYTES = 4_000_000
"""A larger list is refused: one of ten thousand wires takes one megabyte."""
MOST_ROWS = 25_000
LONGEST_LINE = 400_000
"""What is longer is cut: so many characters have all cells of a row of the longest cells."""
SEPARATORS = (",", ";", "\t")
MOST_CELLS = 200
_QUOTED_LINES = 20
"""A quoted cell that goes on for more lines than this was never closed."""
_HARNESS_FILE = re.compile(rb"^[ \t]*format[ \t]*=[ \t]*[0-9]+[ \t]*(?:#.*)?\r?$", re.MULTILINE)
_LINE_END = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row of a list; `line` is where it begins in the file."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The rows of a list that hold anything, and what is to be said about how they were read."""

    rows: tuple[SheetRow, ...]
    remarks: tuple[Remark, ...] = ()


def read_list_bytes(path: Path) -> bytes:
    """Read the bytes of a list.

    Raises
    ------
    FusewalkError
        Where it cannot be read or is too large.
    """
    place = clean(str(path), 500)
    content = file_bytes(
        path, LARGEST_BYTES, in_it="Give the list in it, saved as CSV.", check="Check who may read it."
    )
    if len(content) > LARGEST_BYTES:
        raise FusewalkError(
            f"the file is larger than {LARGEST_BYTES // 1_000_000} MB.", place, "Is it a list? A large loom has one MB."
        )
    if content.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise FusewalkError("this is a spreadsheet and no list of text.", place, "Save the sheet as CSV first.")
    if _HARNESS_FILE.search(content):
        do = "Give the list; fusewalk wirelist makes one of a harness file."
        raise FusewalkError("this is a harness file and no list.", place, do)
    return content


def read_sheet(content: bytes, name: str, score: Callable[[tuple[SheetRow, ...]], int]) -> Sheet:
    """Read a list into rows.

    Parameters
    ----------
    content
        The whole file.
    name
        What the file is called in a refusal.
    score
        How well rows fit a list of this kind; the separator with the best score is taken.

    Raises
    ------
    FusewalkError
        Where it has more rows than any loom.
    """
    text, remarks = _decoded(content)
    lines = _lines(text, remarks)
    if sum(map(bool, lines)) > MOST_ROWS:
        what = f"more than {MOST_ROWS} rows stand in it."
        raise FusewalkError(what, name, "Is it a list? Make a harness file of each part of the loom.")
    first = 1 if re.fullmatch(r"\"?sep=.\"?", lines[0].strip(), re.IGNORECASE) else 0
    sample = lines[first : first + 60]
    best = max(SEPARATORS, key=lambda one: (score(_split_rows(sample, one, first, [])), _width(sample, one)))
    damage: list[Remark] = []
    rows = _split_rows(lines[first:], best, first, damage)
    kept = [_clean_row(row, remarks) for row in rows]
    remarks += damage
    return Sheet(tuple(row for row in kept if any(row.cells)), tuple(remarks))


def _lines(text: str, remarks: list[Remark]) -> list[str]:
    lines = _LINE_END.split(text)
    for at, line in enumerate(lines):
        if len(line) > LONGEST_LINE:
            remarks.append(Remark(at + 1, f"a line of {len(line)} characters; cut to {LONGEST_LINE}"))
            lines[at] = line[:LONGEST_LINE]
    return lines


def _width(lines: list[str], separator: str) -> int:
    return sum(line.count(separator) for line in lines)


def _decoded(content: bytes) -> tuple[str, list[Remark]]:
    remarks: list[Remark] = []
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return content.decode("utf-16", errors="replace").replace("\0", ""), remarks
    nulls = content.count(b"\0")
    if nulls > len(content) * 0.4 and len(content) > 3:
        return content.decode("utf-16-le", errors="replace").replace("\0", ""), remarks
    if nulls:
        line = content.count(b"\n", 0, content.index(b"\0")) + 1
        remarks.append(Remark(line, f"{nulls} NUL byte{'s' if nulls != 1 else ''} from here on, left out"))
        content = content.replace(b"\0", b"")
    try:
        return content.decode("utf-8-sig"), remarks
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace"), remarks


def _split_rows(lines: list[str], separator: str, before: int, damage: list[Remark]) -> tuple[SheetRow, ...]:
    """Split lines into rows; a quoted cell may go on over several lines."""
    rows: list[SheetRow] = []
    at = 0
    while at < len(lines):
        if not lines[at]:
            at += 1
            continue
        cells, taken = _split_at(lines, at, separator)
        if cells is None:
            damage.append(Remark(before + at + 1, "a quote is opened and not closed; read as it stands"))
            cells = tuple(cell.strip('"') for cell in lines[at].split(separator))
        if len(cells) > MOST_CELLS:
            if any(cell.strip() for cell in cells[MOST_CELLS:]):
                damage.append(Remark(before + at + 1, f"more than {MOST_CELLS} cells; the rest is left out"))
            cells = cells[:MOST_CELLS]
        rows.append(SheetRow(before + at + 1, cells))
        at += taken
    return tuple(rows)


def _split_at(lines: list[str], at: int, separator: str) -> tuple[tuple[str, ...] | None, int]:
    """Split the row that begins on a line; None where a quote stays open."""
    text = lines[at]
    for taken in range(1, _QUOTED_LINES + 1):
        cells = _split_cells(text, separator)
        if cells is not None:
            return cells, taken
        if at + taken >= len(lines):
            break
        text += "\n" + lines[at + taken]
    return None, 1


def _split_cells(text: str, separator: str) -> tuple[str, ...] | None:
    """Split one row by RFC 4180; None where a quoted cell has no end."""
    if '"' not in text:
        return tuple(text.split(separator))
    cells: list[str] = []
    at = 0
    while True:
        begin = at
        while begin < len(text) and text[begin] == " ":
            begin += 1
        if text[begin : begin + 1] == '"':
            cell, at = _quoted(text, begin + 1)
            if at < 0:
                return None
            end = text.find(separator, at)
            end = len(text) if end < 0 else end
            cells.append(cell + text[at:end].rstrip())
        else:
            end = text.find(separator, at)
            end = len(text) if end < 0 else end
            cells.append(text[at:end])
        if end >= len(text):
            return tuple(cells)
        at = end + 1


def _quoted(text: str, at: int) -> tuple[str, int]:
    """Give what stands in quotes from a place on, and where that ends; -1 where it does not."""
    pieces: list[str] = []
    while True:
        end = text.find('"', at)
        if end < 0:
            return "", -1
        pieces.append(text[at:end])
        if text[end + 1 : end + 2] != '"':
            return "".join(pieces), end + 1
        pieces.append('"')
        at = end + 2


def _clean_row(row: SheetRow, remarks: list[Remark]) -> SheetRow:
    cells: list[str] = []
    for raw in row.cells:
        text, says = cell_text(raw) if raw else ("", "")
        cells.append(text)
        if says:
            remarks.append(Remark(row.line, says))
    return SheetRow(row.line, tuple(cells))
