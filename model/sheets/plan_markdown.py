"""A plan as Markdown: cautions and what to do first above each table, a row a measurement."""

from __future__ import annotations

from collections.abc import Iterable

from model.sheets.markdown_text import escaped
from model.sheets.plan_notes import note_words
from model.sheets.plan_sheet import MARKS, NOTHING, PlanSheet, SheetGroup, SheetRow, first_as_words

MARK = "<!-- Fusewalk plan -->"
"""The first line of a plan as Markdown."""

_BLANK = "_" * 12
_HEAD = ("", "row", "what", "where", "meter and probes", "expect", "limit", "read", "verdict")
_RULE = "| --- | ---: | --- | --- | --- | --- | --- | --- | --- |"


def plan_markdown(sheet: PlanSheet) -> str:
    """Give a plan as Markdown."""
    lines = [
        MARK,
        "",
        f"# {escaped(sheet.title)}",
        "",
        escaped(f"{sheet.vehicle}, {sheet.revision}. {sheet.counted}."),
        "",
    ]
    lines += [escaped(" ".join(one for one in (sheet.state, *sheet.about) if one)), ""]
    lines += _quoted(("", caution) for caution in sheet.cautions)
    lines += [f"{name}: {escaped(_BLANK)}  " for name in ("Date", "Who", "Meter", "Ambient, °C", "Posts, V")]
    lines.append("")
    lines += [f"In every row: {escaped(sheet.shared)}", ""] if sheet.shared else []
    lines += [*(f"- {escaped(setting)}" for setting in sheet.meter), ""]
    lines += [] if sheet.groups else [NOTHING, ""]
    for group in sheet.groups:
        lines += _group(group)
    lines += _ending(sheet)
    return "\n".join(lines).rstrip()


def _group(group: SheetGroup) -> list[str]:
    lines = [f"## {escaped(group.head)}", ""] if group.head else []
    state, is_open = "", False
    for row in group.rows:
        above = _above(row, says_state=row.state != state)
        state = row.state
        if is_open and above:
            lines.append("")
        if above or not is_open:
            lines += [*above, _line(_HEAD), _RULE]
        lines.append(_row(row))
        is_open = True
    return [*lines, ""]


def _above(row: SheetRow, *, says_state: bool) -> list[str]:
    """Give what stands before a row: a table cannot hold it, so that the row begins one."""
    lines = _quoted(row.cautions)
    said = [f"Set: {row.state}."] if says_state and row.state else []
    said += [f"Before row {row.number}: {' '.join(row.before)}"] if row.before else []
    return [*lines, *(f"- {escaped(one)}" for one in said), *([""] if said else [])]


def _quoted(cautions: Iterable[tuple[str, str]]) -> list[str]:
    lines = [f"> **Caution{f', {which}' if which else ''}:** {escaped(text)}\n>" for which, text in cautions]
    return [*lines, ""] if lines else []


def _row(row: SheetRow) -> str:
    what = ". ".join(
        one for one in (row.title, row.covers and f"Proves {row.covers}", row.remark, first_as_words(row)) if one
    )
    ends = (row.meter, row.red and f"red {row.red}", row.black and f"black {row.black}")
    limit = f"{row.limit}{f' [{row.note}]' if row.note else ''}" if row.limit else ""
    answered = row.answered
    read = "" if answered is None else answered.read
    verdict = "" if answered is None else f"{answered.standing}, {answered.when}: {answered.why}"
    tick = f"[{MARKS[row.standing]}]"
    probes = "; ".join(one for one in ends if one)
    return _line((tick, str(row.number), what, row.place, probes, row.expect, limit, read, verdict))


def _ending(sheet: PlanSheet) -> list[str]:
    lines: list[str] = []
    if sheet.notes:
        lines += ["## Where the limits come from", ""]
        for note in sheet.notes:
            lines.append(f"- {escaped(f'[{note.number}] {note_words(note)}')}")
            lines += [f"  - {escaped(f'{rows}: {computed}')}" for rows, computed in note.computed]
        lines.append("")
    for head, words in (("Left out, not measured", sheet.left_out), ("What no row here can show", sheet.undetected)):
        if words:
            lines += [f"## {head} ({len(words)}, not counted)", "", *(f"- {escaped(one)}" for one in words), ""]
    return lines


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(escaped(cell) for cell in cells)} |"
