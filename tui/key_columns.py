"""The points of a walk against the key states: a row a point, a column a key state."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content

from tui.text import Part, assembled, lines, padded, width
from tui.walk_rows import NEVER_PROBED, WITH_FAULT, figure, is_live, row_key
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from model.harness.harness import Harness
    from model.tracing.rows import ToldWalk, WalkRow

_CELL_LEAST, _CELL_MOST = 9, 14
_POINT_MOST = 16
_GAP = 1


def keys_in_window(keys: Sequence[str], key: str, cells: int, point_cells: int) -> tuple[int, int]:
    """Return the first column to show and the one after the last, so that the key as it stands is among them.

    Parameters
    ----------
    cells : int
        Room for a row.
    point_cells : int
        What the names of the points take of it.
    """
    fitting = max((cells - point_cells) // (_cell(keys) + _GAP), 1)
    first = min(max(keys.index(key) - fitting // 2, 0), max(len(keys) - fitting, 0))
    return first, min(first + fitting, len(keys))


@dataclass(frozen=True, slots=True)
class KeyTable:
    """The table as far as it is in the window.

    Attributes
    ----------
    words
        Which key states stand in the window.
    """

    words: str
    heads: Content
    rows: list[Row]


def key_table(harness: Harness, told: ToldWalk, key: str, cells: int) -> KeyTable:
    """Return the table for a list so many cells wide, the column of the key as it stands in capitals."""
    from model.sheets.walk_words import key_mark

    keys = told.expectations.keys
    point_cells = min(max(width(point) for point in ("point", *told.walk.points())), _POINT_MOST)
    first, end = keys_in_window(keys, key, cells, point_cells)
    columns = _Columns(point_cells, _cell(keys), keys[first:end], key)
    marks = [key_mark(harness, told, one) for one in columns.shown]
    rows: list[Row] = []
    points: set[str] = set()
    for number, section in enumerate(told.sections):
        fresh = [(place, row) for place, row in enumerate(section.rows) if row.point not in points]
        points.update(row.point for _, row in fresh)
        hue = "$feed" if section.side.value == "feed" else "$ground"
        if fresh or section.remark:
            rows.append(Row(assembled((section.heading, f"bold {hue}")), can_be_marked=False))
        if not section.rows:
            rows.append(Row(assembled((f"  {section.remark}", "$quiet")), can_be_marked=False))
        rows += [Row(_cells(row, columns, hue), row_key(number, place)) for place, row in fresh]
    fault = f" {WITH_FAULT}" if told.condition.faults else ""
    lead = f"Volts to expect{fault}, the load plugged in."
    if len(columns.shown) < len(keys):
        lead = f"Key states {first + 1} to {end} of {len(keys)}; k goes on. Volts{fault}, load plugged in."
    return KeyTable(lead, _heads(columns, marks), rows)


@dataclass(frozen=True, slots=True)
class _Columns:
    """Widths in cells, the key states in the window, and the one that the key is in."""

    point: int
    cell: int
    shown: Sequence[str]
    key: str


def _heads(columns: _Columns, marks: Sequence[str]) -> Content:
    """Return the key states, and in a second line what the volts of each rest on where that is not the file alone."""
    heads: list[Part] = [("  " + padded("point", columns.point), "$quiet")]
    for one in columns.shown:
        name = padded(one.upper() if one == columns.key else one, columns.cell, right=True)
        heads += [" " * _GAP, (name, "bold $feed" if one == columns.key else "$quiet")]
    if not any(marks):
        return assembled(*heads)
    rests = "".join(" " * _GAP + padded(mark, columns.cell, right=True) for mark in marks)
    return lines([assembled(*heads), assembled((" " * (2 + columns.point) + rests, "$quiet"))])


def _cells(row: WalkRow, columns: _Columns, hue: str) -> Content:
    point = padded(row.point, columns.point)
    if row.refusal:
        return assembled(point, (f"{' ' * _GAP}{NEVER_PROBED}", "$caution"))
    parts: list[Part] = [point]
    for one in columns.shown:
        expect = row.expect[one]
        style = f"{'bold' if one == columns.key else ''} {hue if is_live(expect) else ''}".strip()
        words = f"{figure(expect.on, expect.word):>{columns.cell}}"
        parts += [" " * _GAP, (words, style) if style else words]
    return assembled(*parts)


def _cell(keys: Sequence[str]) -> int:
    return min(max([_CELL_LEAST, *(width(one) for one in keys)]), _CELL_MOST)
