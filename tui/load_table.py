"""The list of loads as rows: what each is called, what it does now, what it needs, the fuse it hangs on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import groupby
from typing import TYPE_CHECKING

from textual.content import Content

from tui.load_lines import LoadLine, Order, in_order
from tui.text import assembled, fit, padded, width
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from model.tracing.load_rows import LoadNeeds

_NOW_CELLS = 8
_GAP = 2
_LABEL_LEAST, _LABEL_MOST = 14, 40
_WORDS_LEAST = 12
_FUSE_LEAST, _FUSE_MOST = 4, 9
_ALL_COLUMNS_FROM = 96
_UNKNOWN = "…"
_STYLES = {"works": "$feed", "off": "$quiet", "weak": "$suspect", "dead": "$suspect", "glows": "$suspect"}


@dataclass(frozen=True, slots=True)
class LoadsShown:
    """What is known of the loads so far.

    Attributes
    ----------
    now
        By element, what it does now; empty while that is being worked out.
    needs
        By element, as far as found.
    """

    lines: Sequence[LoadLine]
    order: Order = Order.BY_PLACE
    now: Mapping[str, str] = field(default_factory=dict)
    needs: Mapping[str, LoadNeeds] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Columns:
    """Widths in cells; 0 for a column that there is no room for."""

    label: int
    place: int
    needs: int
    fuse: int


def load_table(shown: LoadsShown, cells: int) -> tuple[Content, list[Row]]:
    """Return the heads of the columns, and the rows below them.

    Parameters
    ----------
    cells : int
        Room for a row.
    """
    by_place = shown.order is Order.BY_PLACE
    columns = _columns(shown, cells, by_place)
    lines = in_order(shown.lines, shown.order)
    if not by_place:
        return _heads(columns), [_row(line, shown, columns) for line in lines]
    rows: list[Row] = []
    for words, group in groupby(lines, key=lambda line: line.place_words):
        rows.append(Row(assembled((fit(words, cells), "$ground")), can_be_marked=False))
        rows += [_row(line, shown, columns) for line in group]
    return _heads(columns), rows


def load_page(shown: LoadsShown) -> str:
    """Return the list as text, nothing cut."""
    lines: list[str] = []
    for line in in_order(shown.lines, shown.order):
        needs = shown.needs.get(line.name)
        told = f"needs {needs.words}; fuse {needs.fuse_id or 'none'}" if needs else "needs not worked out"
        lines.append(f"{line.label} ({line.name}), {line.place_words}: {shown.now.get(line.name, 'unknown')}; {told}")
    return "\n".join([*lines, ""])


def _columns(shown: LoadsShown, cells: int, by_place: bool) -> _Columns:
    longest = max((width(line.label) for line in shown.lines), default=0)
    label = max(min(longest, _LABEL_MOST, cells * 2 // 5), _LABEL_LEAST)
    fuse = min(max([_FUSE_LEAST, *(width(one.fuse_id) for one in shown.needs.values())]), _FUSE_MOST)
    words = cells - label - _NOW_CELLS - fuse - 3 * _GAP
    if words < _WORDS_LEAST:
        return _Columns(max(cells - _NOW_CELLS - fuse - 2 * _GAP, 1), 0, 0, fuse)
    if by_place:
        return _Columns(label, 0, words, fuse)
    if cells < _ALL_COLUMNS_FROM:
        return _Columns(label, words, 0, fuse)
    place = (words - _GAP) // 2
    return _Columns(label, place, words - _GAP - place, fuse)


def _heads(columns: _Columns) -> Content:
    cells = [padded("load", columns.label), padded("now", _NOW_CELLS)]
    cells += [padded("place", columns.place)] if columns.place else []
    cells += [padded("needs", columns.needs)] if columns.needs else []
    return assembled(("  " + (" " * _GAP).join([*cells, "fuse"]), "$quiet"))


def _row(line: LoadLine, shown: LoadsShown, columns: _Columns) -> Row:
    return Row(partial(_cells, line, shown, columns), line.name)


def _cells(line: LoadLine, shown: LoadsShown, columns: _Columns) -> Content:
    now = shown.now.get(line.name, _UNKNOWN)
    needs = shown.needs.get(line.name)
    gap = " " * _GAP
    parts: list[str | tuple[str, str]] = [padded(line.label, columns.label), gap]
    parts += [(padded(now, _NOW_CELLS), _STYLES.get(now, "")), gap]
    if columns.place:
        words = line.place_words if columns.needs else line.place
        parts += [padded(words if line.place else "", columns.place), gap]
    if columns.needs:
        parts += [padded(needs.words if needs else _UNKNOWN, columns.needs), gap]
    parts.append(fit(needs.fuse_id or "none" if needs else _UNKNOWN, columns.fuse))
    return assembled(*parts)
