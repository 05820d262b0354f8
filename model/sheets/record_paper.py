"""The record of a loom for a terminal, as Markdown and as HTML."""

from __future__ import annotations

from collections.abc import Iterable

from model.sheets.columns import wrapped
from model.sheets.markdown_text import escaped
from model.sheets.plan_paper import cell, html_page, listed, text
from model.sheets.record_sheet import RecordRow, RecordSection, RecordSheet
from model.sheets.swatch_html import painted_html

HEAD = "Fusewalk record"
"""The first words of a record as text."""

MARK = "<!-- Fusewalk record -->"
"""The first line of a record as Markdown."""

_INDENT = " " * 18
_NONE = "Nothing is in the record."
_COLUMNS = ("23mm", "auto", "23mm", "25mm", "36mm")
_HEADS = ("when", "what", "read", "verdict", "by")


def record_text(sheet: RecordSheet) -> str:
    """Give a record as text in lines of at most 80 columns."""
    lines = wrapped(f"{HEAD}, {_title(sheet)}")
    for words in _standing(sheet):
        lines += wrapped(words, rest="  ")
    for section in sheet.sections:
        lines += ["", *wrapped(_sentence(section.head)), "-" * 80]
        for row in section.rows:
            lines += _text_row(row)
    return "\n".join(lines)


def _text_row(row: RecordRow) -> Iterable[str]:
    figures = " ".join(one for one in ("" if row.read == row.verdict else row.read, row.verdict.upper()) if one)
    later = f"({row.later})" if row.later else ""
    yield from wrapped(" ".join(one for one in (row.what, figures, later) if one), first=f"{row.when}  ", rest=_INDENT)
    for words in (row.state, row.why, row.by):
        yield from wrapped(words, first=_INDENT, rest=f"{_INDENT}  ")


def record_markdown(sheet: RecordSheet) -> str:
    """Give a record as Markdown, a table a plan."""
    lines = [MARK, "", f"# Record of {escaped(_title(sheet))}", ""]
    lines += [f"{escaped(words)}  " for words in _standing(sheet)]
    for section in sheet.sections:
        lines += ["", f"## {escaped(_sentence(section.head))}", "", _line(_HEADS), f"|{' --- |' * len(_HEADS)}"]
        lines += [_line(_cells(row)) for row in section.rows]
    return "\n".join(lines)


def record_html(sheet: RecordSheet) -> str:
    """Give a record as a whole HTML file."""
    body = [f"<h1>Record of {text(_title(sheet))}</h1>", f"<p>{text(sheet.counted)}.</p>"]
    body += [f"<p><strong>{text(_held(sheet))}</strong></p>"] if sheet.held_by else []
    body += listed("Passed over in the file", sheet.trouble)
    body += [] if sheet.sections else [f"<p>{_NONE}</p>"]
    for section in sheet.sections:
        body += _html_section(section)
    return html_page(f"Record of {_title(sheet)}", _COLUMNS, body)


def _html_section(section: RecordSection) -> list[str]:
    heads = "".join(f"<th>{head}</th>" for head in _HEADS)
    lines = [f"<h2>{text(_sentence(section.head))}</h2>", "<table>", f"<colgroup>{'<col>' * len(_HEADS)}</colgroup>"]
    lines.append(f"<thead><tr>{heads}</tr></thead>")
    for row in section.rows:
        words = (row.when, _what(row), row.read, _verdict(row), row.by)
        cells = "".join(cell(painted_html(one), name) for one, name in zip(words, _HEADS, strict=True))
        why = f'<tr class="why"><td colspan="{len(_HEADS)}">{text(row.why)}</td></tr>' if row.why else ""
        lines.append(f"<tbody><tr>{cells}</tr>{why}</tbody>")
    return [*lines, "</table>"]


def _cells(row: RecordRow) -> tuple[str, ...]:
    verdict = _verdict(row)
    return row.when, _what(row), row.read, f"{verdict}: {row.why}" if row.why else verdict, row.by


def _what(row: RecordRow) -> str:
    return "; ".join(one for one in (row.what, row.state) if one)


def _verdict(row: RecordRow) -> str:
    return ", ".join(one for one in (row.verdict, row.later) if one)


def _standing(sheet: RecordSheet) -> list[str]:
    lines = [f"{_sentence(sheet.counted)}."]
    lines += [_held(sheet)] if sheet.held_by else []
    lines += [f"Passed over in the file, {one}" for one in sheet.trouble]
    return lines if sheet.sections else [*lines, _NONE]


def _held(sheet: RecordSheet) -> str:
    return f"It is being written by {sheet.held_by}."


def _title(sheet: RecordSheet) -> str:
    return f"{sheet.vehicle}, revision {sheet.revision} of the file"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(escaped(one) for one in cells)} |"
