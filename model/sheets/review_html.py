"""A sheet of a review as one HTML file, to print or to read on a telephone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from model.sheets.face_svg import face_svg
from model.sheets.plan_paper import cautions, cell, html_page, text
from model.sheets.review_sheet import COLOUR, IN_WORDS, Column, Grid, ReviewSheet, Section
from model.sheets.swatch_html import painted_html

_NARROW_MM = 12


def review_html(sheet: ReviewSheet, tail: Sequence[str] = ()) -> str:
    """Give a sheet as a whole HTML file, with HTML that stands behind it: pictures."""
    title = f"{sheet.title[:1].upper()}{sheet.title[1:]}"
    return html_page(f"{title}, {sheet.vehicle}", (), [*review_body(sheet), *tail])


def review_body(sheet: ReviewSheet) -> list[str]:
    """Give what stands in the body of the file, to be set before something else."""
    title = f"{sheet.title[:1].upper()}{sheet.title[1:]}"
    body = [f"<h1>{text(title)}</h1>", f"<p>{text(sheet.vehicle)}.</p>"]
    body += [f"<p>{painted_html(words)}</p>" for words in sheet.about]
    body += cautions(sheet.cautions)
    for section in sheet.sections:
        body += _section(section)
    return body


def _section(section: Section) -> list[str]:
    lines = [f"<h2>{text(section.head)}</h2>"] if section.head else []
    lines += [f'<p class="caution">Caution: {text(words)}</p>' for words in section.cautions]
    lines += [f"<p>{painted_html(words)}</p>" for words in section.words]
    lines += ["<ul>", *(f"<li>{painted_html(words)}</li>" for words in section.items), "</ul>"] if section.items else []
    lines += [f"<p>{text(head)}:</p>{face_svg(rows)}" for head, rows in section.faces]
    drawing = "" if section.faces else "\n".join(text(line) for line in section.drawing)
    lines += [f"<pre>{drawing}</pre>"] if drawing else []
    lines += _grid(section.grid) if section.grid is not None and section.grid.rows else []
    return [*lines, *(f'<p class="small">{text(words)}</p>' for words in section.notes)]


def _grid(grid: Grid) -> Iterable[str]:
    yield "<table>"
    widths = (f' style="width: {column.width_mm}mm"' if column.width_mm else "" for column in grid.columns)
    yield f"<colgroup>{''.join(f'<col{width}>' for width in widths)}</colgroup>"
    yield f"<thead><tr>{''.join(map(_head, grid.columns))}</tr></thead>"
    for row in grid.rows:
        cells = "".join(
            cell(_painted(grid, column, words), column.head) for words, column in zip(row, grid.columns, strict=True)
        )
        yield f"<tbody><tr>{cells}</tr></tbody>"
    yield "</table>"


def _head(column: Column) -> str:
    """Give the head of a column; of a narrow one it stands upright, so that no word is torn."""
    is_narrow = 0 < column.width_mm <= _NARROW_MM
    marked = ' class="narrow"' if is_narrow else ""
    return f"<th{marked}>{text(column.head)}</th>"


def _painted(grid: Grid, column: Column, words: str) -> str:
    """Give a cell, wires painted; in a column of colours with their names where no other column has them."""
    is_colour = COLOUR in column.head
    has_names = any(one.head == IN_WORDS for one in grid.columns)
    return painted_html(words, alone=is_colour, named=is_colour and not has_names)
