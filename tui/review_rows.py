"""A sheet of a review as rows of a screen: cautions first, then its sections, their sentences and tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache, partial
from itertools import zip_longest

from textual.content import Content

from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from tui.review_columns import GAP, fit_columns
from tui.text import assembled, padded, painted, width, wrapped_lines
from tui.trace_layout import folded_cautions
from tui.widgets.rows import Row

ROOMY_FROM = 24
"""Lines of a window from which blank lines are no waste."""

_LEAST_CELLS = 8
_INDENT = "  "


@dataclass(frozen=True, slots=True)
class Told:
    """What a row that can be marked tells.

    Attributes
    ----------
    part
        The part or point that it tells of; empty where there is none.
    cells
        Heads and words of all of it; a sentence has no head.
    left_out
        Those of them that the row has no room for.
    """

    part: str
    cells: tuple[tuple[str, str], ...]
    left_out: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Heads:
    """The heads of the columns of a table, and which rows it has: from the one of the heads to its last."""

    first: int
    last: int
    content: Content


@dataclass(frozen=True)
class Laid:
    """A sheet laid out for a width.

    Attributes
    ----------
    told
        What the rows that can be marked tell, by their keys.
    heads
        Of the tables, from the top.
    """

    rows: tuple[Row, ...] = ()
    told: dict[str, Told] = field(default_factory=dict)
    heads: tuple[Heads, ...] = ()

    @property
    def leaves_out(self) -> bool:
        """Whether some row has no room for all that it tells."""
        return any(one.left_out for one in self.told.values())

    def heads_over(self, top: int) -> Content | None:
        """Return the heads of the table that goes on in the row on top; None where none are missed."""
        return next((one.content for one in self.heads if one.first < top <= one.last), None)


def lay_out(sheet: ReviewSheet, cells: int, height: int = ROOMY_FROM, folds: bool = False) -> Laid:
    """Lay a sheet out in rows of at most so many cells.

    Parameters
    ----------
    height
        Lines of the window: in a high one a blank line stands before each section.
    folds
        Say the cautions of the sheet in one row, with the key that shows them, where with what holds for all of it
        they would take more than a third of the window: half of the rows are left to the sections.
    """
    grids = [section.grid for section in sheet.sections if section.grid is not None and section.grid.rows]
    columns = list(dict.fromkeys(grid.columns for grid in grids))
    widths = {one: fit_columns([grid for grid in grids if grid.columns == one], cells) for one in columns}
    laying = _Laying(cells, widths)
    laying.cautions(sheet.cautions)
    last = len(laying.rows)
    laying.texts(sheet.about)
    if folds and sheet.cautions and len(laying.rows) > height // 3:
        laying.rows[:last] = [Row(folded_cautions(sheet.cautions, laying.cells), can_be_marked=False)]
    for section in sheet.sections:
        if laying.rows and height >= ROOMY_FROM:
            laying.rows.append(Row(Content(""), can_be_marked=False))
        laying.section(section)
    return Laid(tuple(laying.rows), laying.told, tuple(laying.heads))


def told_below(name: str, told: Sequence[tuple[str, str]], cells: int) -> list[Content]:
    """Return what stands below the rows of the marked one in lines: heads and words one below the other.

    Parameters
    ----------
    name
        What the row is called; empty where that needs no saying.
    """
    heads = max((width(head) for head, _ in told), default=0) + GAP
    lines: list[Content] = [assembled((name, "bold"))] if name else []
    for head, words in told:
        for place, line in enumerate(wrapped_lines(painted(words), max(cells - heads, _LEAST_CELLS))):
            lines.append(assembled((padded(head if place == 0 else "", heads), "$quiet"), line))
    return lines


class _Laying:
    """Lays out the sections one after the other, and keeps what their rows tell."""

    def __init__(self, cells: int, widths: dict[tuple[Column, ...], tuple[int, ...]]) -> None:
        self.cells = max(cells, _LEAST_CELLS)
        self.widths = widths
        self.rows: list[Row] = []
        self.heads: list[Heads] = []
        self.told: dict[str, Told] = {}
        self.counted: Counter[str] = Counter()

    def section(self, section: Section) -> None:
        """Lay a section out."""
        if section.head:
            self._wrapped(assembled((section.head, "bold $feed")))
        self.cautions(section.cautions)
        self.texts(section.words)
        parts = section.item_parts or ("",) * len(section.items)
        for words, part in zip(section.items, parts, strict=True):
            self._item(words, part)
        self.rows += [Row(assembled(line), can_be_marked=False) for line in section.drawing]
        if section.grid is not None and section.grid.rows:
            self._grid(section.grid)
        for words in section.notes:
            self._wrapped(assembled((words, "$quiet")), _INDENT, _INDENT)

    def cautions(self, cautions: Iterable[str]) -> None:
        """Lay cautions out."""
        for words in cautions:
            self._wrapped(assembled(("Caution: ", "bold $caution"), (words, "$caution")), rest=_INDENT)

    def texts(self, sentences: Iterable[str]) -> None:
        """Lay sentences out, a paragraph each."""
        for words in sentences:
            self._wrapped(painted(words))

    def _item(self, words: str, part: str) -> None:
        key = self._key(part or words, Told(part, (("", words),)))
        for place, line in enumerate(self._lines(painted(words), self.cells - len(_INDENT))):
            self.rows.append(Row(line if place == 0 else assembled(_INDENT, line), key, can_be_marked=place == 0))

    def _grid(self, grid: Grid) -> None:
        widths, heads = self.widths[grid.columns], tuple(column.head for column in grid.columns)
        first = len(self.rows)
        shown = [assembled((line().plain, "$quiet")) for line in _row_lines(heads, grid.columns, widths)]
        self.rows += [Row(line, can_be_marked=False) for line in shown]
        parts = grid.parts or ("",) * len(grid.rows)
        for row, part in zip(grid.rows, parts, strict=True):
            cells = tuple((head, words) for head, words in zip(heads, row, strict=True) if words)
            left_out = tuple(
                (head, words) for head, words, cell in zip(heads, row, widths, strict=True) if words and not cell
            )
            key = self._key(part or row[0], Told(part, cells or (("", ""),), left_out))
            for place, line in enumerate(_row_lines(row, grid.columns, widths)):
                self.rows.append(Row(line, key, can_be_marked=place == 0))
        self.heads.append(Heads(first, len(self.rows) - 1, shown[0]))

    def _key(self, name: str, told: Told) -> str:
        """Keep what a row tells under a name of its own, which it has again when it is laid out anew."""
        self.counted[name] += 1
        key = name if self.counted[name] == 1 else f"{name} ({self.counted[name]})"
        self.told[key] = told
        return key

    def _wrapped(self, content: Content, first: str = "", rest: str = "") -> None:
        for place, line in enumerate(self._lines(content, self.cells - max(len(first), len(rest)))):
            self.rows.append(Row(assembled(first if place == 0 else rest, line), can_be_marked=False))

    def _lines(self, content: Content, cells: int) -> list[Content]:
        if content.cell_length <= cells:
            return [content]
        return wrapped_lines(content, max(cells, _LEAST_CELLS)) or [content]


def _row_lines(row: Sequence[str], columns: Sequence[Column], widths: Sequence[int]) -> list[Callable[[], Content]]:
    """Give the lines of a row, each made when it comes into the window."""
    wrapped = [_wrapped_cell(words, cells) for words, cells in zip(row, widths, strict=True)]
    lines = list(zip_longest(*wrapped, fillvalue=""))
    return [partial(_content_of, line, columns, widths) for line in lines]


@lru_cache(maxsize=1024)
def _wrapped_cell(words: str, cells: int) -> tuple[str, ...]:
    # places and reasons come again row after row
    if not cells or width(words) <= cells:
        return (words if cells else "",)
    return tuple(line.plain.rstrip() for line in wrapped_lines(assembled(words), cells)) or ("",)


def _content_of(line: Sequence[str], columns: Sequence[Column], widths: Sequence[int]) -> Content:
    shown = [
        padded(words, cells, right=column.is_figure)
        for words, column, cells in zip(line, columns, widths, strict=True)
        if cells
    ]
    return assembled((" " * GAP).join(shown).rstrip())
