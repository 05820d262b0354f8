"""A list as a table to read: text, Markdown, HTML, JSON."""

from __future__ import annotations

from collections.abc import Sequence

from model.sheets.plan_paper import cell, html_page, text
from model.words import clean

_WIDEST = 48

Rows = Sequence[Sequence[str]]


def as_text(title: str, headings: Sequence[str], rows: Rows) -> str:
    """Give a list in columns parted by two spaces; a long cell is cut."""
    shown = [[clean(cell, _WIDEST) for cell in row] for row in (headings, *rows)]
    widths = [max(len(row[at]) for row in shown) for at in range(len(headings))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in shown]
    return "\n".join([f"Fusewalk sheet, {title}", "", *lines])


def as_markdown(title: str, headings: Sequence[str], rows: Rows) -> str:
    """Give a list as a Markdown table."""
    body = [_markdown_row(row) for row in rows]
    head = [
        f"<!-- Fusewalk list -->\n# {_markdown(title)}",
        "",
        _markdown_row(headings),
        "|" + " --- |" * len(headings),
    ]
    return "\n".join([*head, *body])


def _markdown_row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(_markdown(cell) for cell in cells) + " |"


def _markdown(text: str) -> str:
    return "".join(f"\\{one}" if one in "\\`*_{}[]<>#|!&~$" else one for one in text)


def as_html(title: str, headings: Sequence[str], rows: Rows) -> str:
    """Give a list as one HTML file."""
    head = "".join(f"<th>{text(one)}</th>" for one in headings)
    cells = ("".join(cell(text(words), name) for words, name in zip(row, headings, strict=True)) for row in rows)
    body = [f"<tbody><tr>{shown}</tr></tbody>" for shown in cells]
    table = [f"<table><thead><tr>{head}</tr></thead>", *body, "</table>"]
    return html_page(title, (), [f"<h1>{text(title)}</h1>", *table])


def as_json(kind: str, source: str, headings: Sequence[str], rows: Rows) -> dict[str, object]:
    """Give a list as one JSON object: a row for each wire or part, its cells by the headings; empty ones left out."""
    listed = [{head: cell for head, cell in zip(headings, row, strict=True) if cell} for row in rows]
    return {"format": f"fusewalk {kind} 1", "file": source, "columns": list(headings), "rows": listed}
