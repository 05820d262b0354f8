"""A plan for a terminal of 80 columns: a few lines a row, with what the record has."""

from __future__ import annotations

from collections.abc import Iterable

from model.sheets.columns import wrapped
from model.sheets.plan_notes import note_words
from model.sheets.plan_sheet import MARKS, NOTHING, PlanSheet, SheetGroup, SheetRow, first_as_words

HEAD = "Fusewalk plan"
"""The first words of a plan as text."""

_INDENT = " " * 9
_READ_BLANK = "________"


def plan_text(sheet: PlanSheet) -> str:
    """Give a plan as text in lines of at most 80 columns."""
    lines = wrapped(f"{HEAD}, {sheet.title}")
    lines += wrapped(f"{sheet.vehicle}, {sheet.revision}. {sheet.counted}.")
    lines += [*_sentences((sheet.state,)), ""]
    lines += [*_sentences(sheet.about), ""] if sheet.about else []
    for caution in sheet.cautions:
        lines += wrapped(caution, first="Caution: ", rest="  ")
    lines.append("")
    if sheet.shared:
        lines += wrapped(sheet.shared, first="In every row: ", rest="  ")
    for setting in sheet.meter:
        lines += wrapped(setting, first="Meter: ", rest="  ")
    lines += [] if sheet.groups else ["", NOTHING]
    for group in sheet.groups:
        lines += ["", *_group(group)]
    lines += _ending(sheet)
    return "\n".join(_squeezed(lines))


def _group(group: SheetGroup) -> list[str]:
    lines = [*wrapped(group.head), "-" * 80] if group.head else []
    state = ""
    for row in group.rows:
        lines += _row(row, says_state=row.state != state)
        state = row.state
    return lines


def _row(row: SheetRow, *, says_state: bool) -> list[str]:
    lines: list[str] = []
    for which, caution in row.cautions:
        lines += wrapped(caution, first=f"  Caution{f', {which}' if which else ''}: ", rest="    ")
    if says_state and row.state:
        lines += wrapped(f"{row.state[:1].upper()}{row.state[1:]}", first="  Set: ", rest="    ")
    if row.before:
        lines += wrapped(" ".join(row.before), first="  First: ", rest="    ")
    lines += wrapped(row.title, first=f"[{MARKS[row.standing]}] {row.number:>4} ", rest=_INDENT)
    for words in (_probes(row), *_about(row)):
        lines += wrapped(words, first=_INDENT, rest=f"{_INDENT}  ")
    return lines


def _probes(row: SheetRow) -> str:
    ends = (row.red and f"red {row.red}", row.black and f"black {row.black}")
    return "; ".join(one for one in (row.meter, *ends) if one)


def _about(row: SheetRow) -> Iterable[str]:
    yield "; ".join(one for one in (row.place and f"at {row.place}", f"key of the row {row.row.key}") if one)
    yield row.covers and f"proves {row.covers}"
    yield row.remark
    yield first_as_words(row)
    limit = f"{row.limit}{f' [{row.note}]' if row.note else ''}" if row.limit else ""
    figures = [row.expect and f"expect {row.expect}", limit]
    if row.answered is None:
        blank = f"read {_READ_BLANK}" if row.row.unit else "good / bad"
        yield "; ".join(one for one in (*figures, blank) if one)
        return
    yield "; ".join(one for one in (*figures, row.answered.read and f"read {row.answered.read}") if one)
    by = f", {row.answered.who}" if row.answered.who else ""
    yield f"{row.answered.standing.upper()}, {row.answered.when}{by}: {row.answered.why}"


def _ending(sheet: PlanSheet) -> list[str]:
    lines: list[str] = []
    if sheet.notes:
        lines += ["", "Where the limits come from"]
    for note in sheet.notes:
        lines += wrapped(note_words(note), first=f"[{note.number}] ", rest="    ")
        for rows, computed in note.computed:
            lines += wrapped(f"{rows}: {computed}", first="    ", rest="      ")
    for head, words in (("Left out, not measured", sheet.left_out), ("What no row here can show", sheet.undetected)):
        if words:
            lines += ["", f"{head} ({len(words)}, not counted)"]
            for one in words:
                lines += wrapped(one, first="- ", rest="  ")
    return lines


def _sentences(words: Iterable[str]) -> list[str]:
    return wrapped(" ".join(one for one in words if one))


def _squeezed(lines: list[str]) -> list[str]:
    """Give lines without two empty ones in a row, and none at the end."""
    found = [line for place, line in enumerate(lines) if line or (place and lines[place - 1])]
    while found and not found[-1]:
        found.pop()
    return found
