"""A sheet of a review as text in lines of at most 80 columns."""

from __future__ import annotations

from itertools import zip_longest

from model.sheets.columns import WIDTH, cell_width, padded, wrapped
from model.sheets.review_sheet import HEAD, Grid, ReviewSheet, Section

_GAP = 2
_LEAST = 8


def review_text(sheet: ReviewSheet) -> str:
    """Give a sheet as text in lines of at most 80 columns."""
    lines = wrapped(f"{HEAD}, {sheet.title}: {sheet.vehicle}")
    for words in sheet.about:
        lines += wrapped(words, rest="  ")
    for words in sheet.cautions:
        lines += wrapped(f"Caution: {words}", rest="  ")
    for section in sheet.sections:
        lines += _section(section)
    return "\n".join(line.rstrip() for line in lines)


def _section(section: Section) -> list[str]:
    lines = [""]
    if section.head:
        lines += [*wrapped(section.head), "-" * WIDTH]
    for words in section.cautions:
        lines += wrapped(f"Caution: {words}", rest="  ")
    for words in section.words:
        lines += wrapped(words)
    for words in section.items:
        lines += wrapped(words, first="- ", rest="  ")
    lines += section.drawing
    if section.grid is not None and section.grid.rows:
        lines += grid_text(section.grid)
    for words in section.notes:
        lines += wrapped(words, first="  ", rest="  ")
    return lines


def grid_text(grid: Grid, cells: int = WIDTH) -> list[str]:
    """Lay a table out in columns of at most so many cells in all; what is longer than its column goes on below."""
    heads = tuple(column.head for column in grid.columns)
    widths = _widths(grid, cells)
    lines: list[str] = []
    for row in (heads, *grid.rows):
        columns = [wrapped(words, cells=width) for words, width in zip(row, widths, strict=True)]
        for line in zip_longest(*columns, fillvalue=""):
            shown = [
                padded(words, width, right=column.is_figure)
                for words, width, column in zip(line, widths, grid.columns, strict=True)
            ]
            lines.append((" " * _GAP).join(shown).rstrip())
    return lines


def _widths(grid: Grid, cells: int) -> list[int]:
    """Give each column what it needs; where that is too much, the widest give way first."""
    rows = (tuple(column.head for column in grid.columns), *grid.rows)
    widths = [max(cell_width(words) for words in column) for column in zip(*rows, strict=True)]
    room = cells - _GAP * (len(widths) - 1)
    while sum(widths) > room:
        widest = max(range(len(widths)), key=lambda place: widths[place])
        if widths[widest] <= _LEAST:
            break
        widths[widest] -= 1
    return widths
