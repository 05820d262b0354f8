"""The trace on paper as Markdown."""

from __future__ import annotations

from model.sheets.markdown_text import escaped
from model.sheets.trace_sheet import JUDGEMENT, Box, Exit, SheetRepair, TraceSheet
from model.tracing.check_words import LineName
from model.words import clean

BLANK = "_" * 16
"""Where the reading is written; not escaped, it is not from a file."""

_LONGEST = 4000


def trace_markdown(sheet: TraceSheet) -> str:
    """Give a trace on paper as Markdown: what holds for all of it, a section a check, the repairs, the suspects."""
    lines = [f"# {_text(sheet.title)}", "", f"{_text(sheet.vehicle)}, {_text(sheet.revision)}", ""]
    lines += [f"> **Caution:** {_text(caution)}\n>" for caution in sheet.cautions]
    lines += ["", *(f"{_text(sentence)}  " for sentence in sheet.about), "", _text(sheet.posts), ""]
    lines += [f"Posts, V: {_blank()}", ""]
    if sheet.ended:
        lines += [f"**{_text(sheet.ended)}**", ""]
    for box in sheet.boxes:
        lines += [*_box(box), ""]
    if sheet.repairs:
        lines += ["## Repairs, in short", ""]
        for repair in sheet.repairs:
            lines += [*_repair(repair), ""]
    if sheet.suspects:
        lines += ["## Suspects before the first check", "", "| share | what may be wrong |", "| ---: | --- |"]
        lines += [_row((share, words)) for share, words in sheet.suspects]
        lines += ["", _text(JUDGEMENT)]
    return "\n".join(lines).rstrip()


def _box(box: Box) -> list[str]:
    lines = [f"## Box {box.number}, check {box.step}: {_text(box.title)}", ""]
    if box.reached:
        lines += [f"*{_text(box.reached)}*", ""]
    lines += [f"> **Caution:** {_text(caution)}\n>" for caution in box.cautions]
    lines += [""] if box.cautions else []
    lines += [f"- **{_name(line.name)}:** {_text(line.words)}" for line in box.lines]
    if box.expect:
        lines.append(f"- **expect:** {_text(box.expect)}")
    lines += [f"- **read:** {_blank()}", "", "| reading | what it does | then |", "| --- | --- | --- |"]
    return [*lines, *(_row((reading_words(one), one.sets_aside, then_words(one))) for one in box.exits)]


def _repair(repair: SheetRepair) -> list[str]:
    lines = [f"### {repair.letter}. {_text(repair.sentence)}", ""]
    lines += [f"> **Caution:** {_text(caution)}\n>" for caution in repair.cautions]
    lines += ["", _text(repair.work)]
    return [*lines, "", f"Prove it: {_text(repair.prove)}"] if repair.prove else lines


def reading_words(one: Exit) -> str:
    """Give the reading of an exit, marked where it is good."""
    return f"{one.reading} (good)" if one.is_good else one.reading


def then_words(one: Exit) -> str:
    """Say where an exit leads."""
    return f"go to box {one.box}" if one.box is not None else one.then


def _name(name: LineName) -> str:
    return "where" if name is LineName.PLACE else str(name)


def _row(cells: tuple[str, ...]) -> str:
    return f"| {' | '.join(_text(cell) for cell in cells)} |"


def _blank() -> str:
    return escaped(BLANK)


def _text(words: str) -> str:
    return escaped(clean(words, _LONGEST))
