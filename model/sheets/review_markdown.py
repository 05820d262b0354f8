"""A sheet of a review as Markdown."""

from __future__ import annotations

from collections.abc import Iterable

from model.sheets.markdown_text import escaped
from model.sheets.review_sheet import Grid, ReviewSheet, Section

MARK = "<!-- Fusewalk sheet -->"
"""The first line of a sheet as Markdown."""


def review_markdown(sheet: ReviewSheet) -> str:
    """Give a sheet as Markdown."""
    lines = [MARK, "", f"# {escaped(_title(sheet))}", "", escaped(f"{sheet.vehicle}."), ""]
    lines += [line for words in sheet.about for line in (escaped(words), "")]
    lines += _cautions(sheet.cautions)
    for section in sheet.sections:
        lines += _section(section)
    return "\n".join(lines).rstrip()


def _section(section: Section) -> list[str]:
    lines = [f"## {escaped(section.head)}", ""] if section.head else []
    lines += _cautions(section.cautions)
    lines += [line for words in section.words for line in (escaped(words), "")]
    lines += [*(f"- {escaped(words)}" for words in section.items), ""] if section.items else []
    lines += ["```text", *section.drawing, "```", ""] if section.drawing else []
    lines += [*_grid(section.grid), ""] if section.grid is not None and section.grid.rows else []
    lines += [line for words in section.notes for line in (f"*{escaped(words)}*", "")]
    return lines


def _grid(grid: Grid) -> list[str]:
    rule = (" ---: " if column.is_figure else " --- " for column in grid.columns)
    return [_line(column.head for column in grid.columns), f"|{'|'.join(rule)}|", *map(_line, grid.rows)]


def _cautions(cautions: Iterable[str]) -> list[str]:
    return [line for words in cautions for line in (f"> **Caution:** {escaped(words)}", "")]


def _title(sheet: ReviewSheet) -> str:
    return f"{sheet.title[:1].upper()}{sheet.title[1:]}"


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(escaped(one) for one in cells)} |"
