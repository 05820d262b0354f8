"""A sheet of a review as rows of a screen: cautions first, then its sections, their sentences and tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache, partial
from itertools import zip_longest

from textual.content import Content

from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from tui.review_columns import GAP, fit_columns
from tui.text import Part, assembled, padded, width
from tui.widgets.rows import Row

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


@dataclass(frozen=True)
class Laid:
    """A sheet laid out for a width.

    Attributes
    ----------
    heads
        Of the columns, where all tables have the same: they stand before the first table alone.
    heads_at
        Which of the rows they are.
    told
        What the rows that can be marked tell, by their keys.
    """

    heads: Content | None = None
    heads_at: int = 0
    rows: tuple[Row, ...] = ()
    told: dict[str, Told] = field(default_factory=dict)

    @property
    def leaves_out(self) -> bool:
        """Whether some row has no room for all that it tells."""
        return any(one.left_out for one in self.told.values())


def lay_out(sheet: ReviewSheet, cells: int, is_roomy: bool = True) -> Laid:
    """Lay a sheet out in rows of at most so many cells.

    Parameters
    ----------
    is_roomy
        Put a blank line before each section.
    """
    grids = [section.grid for section in sheet.sections if section.grid is not None and section.grid.rows]
    columns = list(dict.fromkeys(grid.columns for grid in grids))
    widths = {one: fit_columns([grid for grid in grids if grid.columns == one], cells) for one in columns}
    laying = _Laying(cells, widths)
    rows = [*laying.cautions(sheet.cautions), *laying.texts(sheet.about)]
    for section in sheet.sections:
        if rows and is_roomy:
            rows.append(Row(Content(""), can_be_marked=False))
        rows += laying.section(section)
    if len(columns) > 1 or laying.heads is None:
        return Laid(None, 0, tuple(rows), laying.told)
    return Laid(laying.heads.content, rows.index(laying.heads), tuple(rows), laying.told)


def detail_of(told: Told) -> Content:
    """Return what a row has no room for, behind what it is called."""
    parts: list[Part] = [(told.cells[0][1], "bold")]
    for head, words in told.left_out:
        parts += [(f"   {head} ", "$quiet"), words]
    return assembled(*parts)


class _Laying:
    """Lays out the sections one after the other, and keeps what their rows tell."""

    def __init__(self, cells: int, widths: dict[tuple[Column, ...], tuple[int, ...]]) -> None:
        self.cells = max(cells, _LEAST_CELLS)
        self.widths = widths
        self.heads: Row | None = None
        self.told: dict[str, Told] = {}
        self.counted: Counter[str] = Counter()

    def section(self, section: Section) -> Iterator[Row]:
        """Give the rows of a section."""
        if section.head:
            yield from self._wrapped(assembled((section.head, "bold $feed")))
        yield from self.cautions(section.cautions)
        yield from self.texts(section.words)
        parts = section.item_parts or ("",) * len(section.items)
        for words, part in zip(section.items, parts, strict=True):
            yield from self._item(words, part)
        if section.grid is not None and section.grid.rows:
            yield from self._grid(section.grid)
        for words in section.notes:
            yield from self._wrapped(assembled((words, "$quiet")), _INDENT, _INDENT)

    def cautions(self, cautions: Iterable[str]) -> Iterator[Row]:
        """Give cautions."""
        for words in cautions:
            yield from self._wrapped(assembled(("Caution: ", "bold $caution"), (words, "$caution")), rest=_INDENT)

    def texts(self, sentences: Iterable[str]) -> Iterator[Row]:
        """Give sentences, a paragraph each."""
        for words in sentences:
            yield from self._wrapped(assembled(words))

    def _item(self, words: str, part: str) -> Iterator[Row]:
        key = self._key(part or words, Told(part, (("", words),)))
        for place, line in enumerate(self._lines(assembled(words), self.cells - len(_INDENT))):
            yield Row(line if place == 0 else assembled(_INDENT, line), key, can_be_marked=place == 0)

    def _grid(self, grid: Grid) -> Iterator[Row]:
        widths, heads = self.widths[grid.columns], tuple(column.head for column in grid.columns)
        if self.heads is None or len(self.widths) > 1:
            self.heads = Row(assembled((_line_of(heads, grid.columns, widths), "$quiet")), can_be_marked=False)
            yield self.heads
        parts = grid.parts or ("",) * len(grid.rows)
        for row, part in zip(grid.rows, parts, strict=True):
            cells = tuple((head, words) for head, words in zip(heads, row, strict=True) if words)
            left_out = tuple(
                (head, words) for head, words, cell in zip(heads, row, widths, strict=True) if words and not cell
            )
            key = self._key(part or row[0], Told(part, cells or (("", ""),), left_out))
            for place, line in enumerate(_row_lines(row, grid.columns, widths)):
                yield Row(line, key, can_be_marked=place == 0)

    def _key(self, name: str, told: Told) -> str:
        """Keep what a row tells under a name of its own, which it has again when it is laid out anew."""
        self.counted[name] += 1
        key = name if self.counted[name] == 1 else f"{name} ({self.counted[name]})"
        self.told[key] = told
        return key

    def _wrapped(self, content: Content, first: str = "", rest: str = "") -> Iterator[Row]:
        for place, line in enumerate(self._lines(content, self.cells - max(len(first), len(rest)))):
            yield Row(assembled(first if place == 0 else rest, line), can_be_marked=False)

    def _lines(self, content: Content, cells: int) -> list[Content]:
        if content.cell_length <= cells:
            return [content]
        return content.wrap(max(cells, _LEAST_CELLS)) or [content]


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
    return tuple(line.plain.rstrip() for line in assembled(words).wrap(cells)) or ("",)


def _content_of(line: Sequence[str], columns: Sequence[Column], widths: Sequence[int]) -> Content:
    return assembled(_line_of(line, columns, widths))


def _line_of(line: Sequence[str], columns: Sequence[Column], widths: Sequence[int]) -> str:
    shown = [
        padded(words, cells, right=column.is_figure)
        for words, column, cells in zip(line, columns, widths, strict=True)
        if cells
    ]
    return (" " * GAP).join(shown).rstrip()
