"""A plan as one HTML file, to be printed and filled in, or read on a telephone."""

from __future__ import annotations

from collections.abc import Sequence

from model.sheets.plan_notes import note_words
from model.sheets.plan_paper import blanks, cautions, cell, html_page, listed, text
from model.sheets.plan_sheet import MARKS, NOTHING, PlanSheet, SheetGroup, SheetRow, first_as_words
from model.sheets.swatch_html import painted_html

_COLUMNS = ("13mm", "25%", "auto", "31mm", "19mm", "22mm")
_MANY_NOTES = 6
_HEADS = ("row", "what, where", "meter, probes", "expect, limit", "read", "verdict")


def plan_html(sheet: PlanSheet, head: Sequence[str] = (), tail: Sequence[str] = ()) -> str:
    """Give a plan as a whole HTML file.

    Parameters
    ----------
    head
        HTML that stands before it: what the plan goes out from.
    tail
        HTML that stands behind it: pictures.
    """
    state = f"<p><strong>{text(sheet.state)}</strong></p>" if sheet.state else ""
    shared = f"<p><strong>In every row:</strong> {text(sheet.shared)}.</p>" if sheet.shared else ""
    body = [
        *head,
        f"<h1>{text(sheet.title)}</h1>",
        f"<p>{text(sheet.vehicle)}, {text(sheet.revision)}. {text(sheet.counted)}.</p>",
        state,
        *cautions(sheet.cautions),
        blanks(("Date", "Who", "Meter", "Ambient, °C", "Posts, V")),
        *(f"<p>{text(sentence)}</p>" for sentence in sheet.about),
        shared,
        *(f"<p>{text(setting)}</p>" for setting in sheet.meter),
        *_table(sheet),
        *_notes(sheet),
        *listed(f"Left out, not measured ({len(sheet.left_out)}, not counted)", sheet.left_out),
        *listed(f"What no row here can show ({len(sheet.undetected)}, not counted)", sheet.undetected),
        *tail,
    ]
    title = f"{sheet.plan.kind.capitalize()}, {sheet.vehicle}, {sheet.revision}"
    return html_page(title, _COLUMNS, [one for one in body if one])


def _table(sheet: PlanSheet) -> list[str]:
    if not sheet.groups:
        return [f"<p><strong>{NOTHING}</strong></p>"]
    heads = "".join(f"<th>{head}</th>" for head in _HEADS)
    lines = ["<table>", f"<colgroup>{'<col>' * len(_HEADS)}</colgroup>", f"<thead><tr>{heads}</tr></thead>"]
    for group in sheet.groups:
        lines += _group(group)
    return [*lines, "</table>"]


def _group(group: SheetGroup) -> list[str]:
    """Give the rows of a group, each with what stands before it in one body, which no page tears."""
    lines: list[str] = []
    head = f'<tr class="head"><th colspan="{len(_HEADS)}">{text(group.head)}</th></tr>' if group.head else ""
    state = ""
    for place, row in enumerate(group.rows):
        parts = [head if place == 0 else "", _before(row, says_state=row.state != state), _row(row)]
        state = row.state
        lines.append(f"<tbody>{''.join(parts)}</tbody>")
    return lines


def _before(row: SheetRow, *, says_state: bool) -> str:
    said = [
        f'<p class="caution">Caution{f", {which}" if which else ""}: {text(caution)}</p>'
        for which, caution in row.cautions
    ]
    if says_state and row.state:
        said.append(f"<p><strong>Set:</strong> {text(row.state)}.</p>")
    if row.before:
        said.append(f"<p><strong>First:</strong> {text(' '.join(row.before))}</p>")
    return f'<tr class="before"><td colspan="{len(_HEADS)}">{"".join(said)}</td></tr>' if said else ""


def _row(row: SheetRow) -> str:
    what = [f"<strong>{painted_html(row.title)}</strong>", text(row.place)]
    what.append(row.covers and f"proves {painted_html(row.covers)}")
    what.append(text(first_as_words(row)))
    what += [f'<span class="remark">{text(row.remark)}</span>' if row.remark else ""]
    if not row.title.startswith(row.row.key):
        what.append(f'<span class="small">key {text(row.row.key)}</span>')
    ends = (("red", row.red), ("black", row.black))
    probes = [f"<strong>{name}</strong> {painted_html(words)}" for name, words in ends if words]
    meter = f"<em>{text(row.meter)}</em>{'; ' if probes else ''}" if row.meter else ""
    figures = [row.expect and f"<strong>{text(row.expect)}</strong>", text(row.limit)]
    note = f"&nbsp;[{row.note}]" if row.limit and row.note else ""
    expect = f"{'<br>'.join(one for one in figures if one)}{note}"
    cells = (
        cell(f'<span class="box">{MARKS[row.standing].strip()}</span> {row.number}', "row"),
        cell("<br>".join(one for one in what if one), "what"),
        *_measured(f"{meter}{'<br>'.join(probes)}", expect),
        *_answer(row),
    )
    return f"<tr>{''.join(cells)}</tr>{_why(row)}"


def _measured(probes: str, expect: str) -> tuple[str, ...]:
    """Give the cells of the meter and of what is expected; where nothing is measured, that has both for its words."""
    if probes:
        return cell(probes, "probes"), cell(expect, "expect")
    return (cell(expect, "expect").replace("<td", '<td colspan="2"', 1),)


def _answer(row: SheetRow) -> tuple[str, str]:
    answered = row.answered
    if answered is None:
        return cell("" if row.row.unit else "good / bad", "read"), cell("", "verdict")
    when = f'<br><span class="small">{text(", ".join(one for one in (answered.when, answered.who) if one))}</span>'
    verdict = f'<span class="verdict">{answered.standing}</span>{when}'
    return cell(text(answered.read), "read"), cell(verdict, "verdict")


def _why(row: SheetRow) -> str:
    if row.answered is None:
        return ""
    return f'<tr class="why"><td colspan="{len(_HEADS)}">{text(row.answered.why)}</td></tr>'


def _notes(sheet: PlanSheet) -> list[str]:
    if not sheet.notes:
        return []
    lines = ["<h2>Where the limits come from</h2>", "<ol>"]
    for note in sheet.notes:
        items = "".join(f"<li>{text(rows)}: {text(computed)}</li>" for rows, computed in note.computed)
        kind = "notes" if len(note.computed) > _MANY_NOTES else "small"
        computed = f'<ul class="{kind}">{items}</ul>' if items else ""
        lines.append(f"<li>{text(note_words(note))}{computed}</li>")
    return [*lines, "</ol>"]
