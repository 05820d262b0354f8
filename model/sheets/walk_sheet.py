"""The walk of a load as text, as Markdown and as one JSON object."""

from __future__ import annotations

from typing import Any

from model.harness.harness import Harness
from model.harness.places import place_words
from model.sheets.condition_words import condition_words
from model.tracing.expect import Expect
from model.tracing.rows import ToldWalk, WalkRow, WalkSection
from model.tracing.walk import Side
from model.words import volts_text

_POINT_WIDTH = 16
_VOLTS_WIDTH = 11


def walk_json(harness: Harness, told: ToldWalk) -> dict[str, Any]:
    """Give the walk as one JSON object.

    ``feed``, ``ground`` and ``control`` are lists of points, each with ``expect`` per key state: ``on``,
    ``unplugged``, ``low``, ``high``, null where a word (``floating``, ``unsettled``) stands in ``word``.
    """
    walk = told.walk
    condition = told.condition
    main, controls = told.sections[:2], told.sections[2:]
    return {
        "load": walk.element.name,
        "label": harness.parts[walk.element.part_id].label,
        "condition": {
            "key": condition.key,
            "settings": condition.by_name,
            "given": walk.working.given,
            "reached": walk.working.reached,
        },
        "black": walk.black,
        "feed": [_row_json(row, condition.key) for row in main[0].rows],
        "ground": [_row_json(row, condition.key) for row in main[1].rows],
        "control": [
            {"of": section.of, "side": str(section.side), **_row_json(row, condition.key)}
            for section in controls
            for row in section.rows
        ],
        "remarks": [section.remark for section in told.sections if section.remark],
    }


def _row_json(row: WalkRow, key: str) -> dict[str, Any]:
    wire = row.wire
    return {
        "point": row.point,
        "part": row.part_id,
        "label": row.label,
        "touch": row.terminal,
        "place": place_words(row.place),
        "wire": None
        if wire is None
        else {"id": wire.wire_id, "colour": wire.colour, "size": wire.size, "length": wire.length_m},
        "through": row.link.site if row.link is not None and wire is None else None,
        "remarks": list(row.remarks),
        "refused": row.refusal or None,
        "expect": {} if row.refusal else {key: _expect_json(expect) for key, expect in row.expect.items()},
        "below": row.says[key][0],
        "above": row.says[key][1],
    }


def _expect_json(expect: Expect) -> dict[str, Any]:
    return {
        "on": _rounded(expect.on),
        "unplugged": _rounded(expect.unplugged),
        "low": _rounded(expect.low),
        "high": _rounded(expect.high),
        "word": expect.word or None,
        "unplugged_word": expect.unplugged_word or None,
    }


def _rounded(volts: float | None) -> float | None:
    return None if volts is None else round(volts, 4) + 0.0


def intro_lines(harness: Harness, told: ToldWalk) -> list[str]:
    """Say what is walked, in which condition, where the black probe stands, and what to beware of."""
    walk = told.walk
    label = harness.parts[walk.element.part_id].label
    lines = [f"Walk of {walk.element.name}{f', {label}' if label else ''}", ""]
    lines.append(f"Condition: {condition_words(harness, told.condition)}.")
    if not walk.working.reached:
        lines.append("No setting was found in which the healthy circuit feeds this load.")
    lines.append(f"Meter on DC volts. Black probe on {walk.black}, the grounded battery post.")
    return lines


def shown(volts: float | None, word: str) -> str:
    """Give volts as text, or the word that stands in their place."""
    return word if volts is None else volts_text(volts)


def band_text(expect: Expect) -> str:
    """Give the band of a good reading: ``11.90 to 12.60``."""
    if expect.low is None or expect.high is None:
        return ""
    return f"{volts_text(expect.low)} to {volts_text(expect.high)}"


def walk_text(harness: Harness, told: ToldWalk) -> str:
    """Give the walk as text for a terminal: the working condition first, then every key state in a table."""
    key = told.condition.key
    lines = intro_lines(harness, told)
    head = f"{'expect, V':>{_VOLTS_WIDTH}}  {'unplugged':>{_VOLTS_WIDTH}}  good reading"
    lines += ["", f"{'':<{_POINT_WIDTH + 2}}{head}    (key {key})"]
    for section in told.sections:
        lines += ["", section.heading]
        if section.remark:
            lines.append(f"  {section.remark}")
        for row in section.rows:
            lines += _text_rows(row, key)
        if section.side is Side.FEED and section.of == told.walk.element.name:
            lines += ["", f"load  {told.walk.element.name}"]
    lines += ["", "Every key state, load plugged in, V", ""]
    lines += _key_table(told)
    return "\n".join(lines)


def _text_rows(row: WalkRow, key: str) -> list[str]:
    expect = row.expect[key]
    lines = []
    if row.wire is not None:
        lines.append(f"  │ {row.wire.wire_id} {row.wire.brief()}")
    if row.refusal:
        lines.append(f"  ○ {row.point:<{_POINT_WIDTH}}{row.refusal}")
        return lines
    mark = "·" if expect.on is not None and abs(expect.on) >= 1.0 else "○"
    on, unplugged = shown(expect.on, expect.word), shown(expect.unplugged, expect.unplugged_word)
    figures = f"{on:>{_VOLTS_WIDTH}}  {unplugged:>{_VOLTS_WIDTH}}  {band_text(expect)}"
    lines.append(f"  {mark} {row.point:<{_POINT_WIDTH - 2}}{figures}".rstrip())
    what = ", ".join(word for word in (row.label, row.terminal, place_words(row.place)) if word)
    lines.append(f"      {what}")
    lines += [f"      {remark}" for remark in row.remarks]
    return lines


def _key_table(told: ToldWalk) -> list[str]:
    keys = told.expectations.keys
    width = max(9, *(len(key) for key in keys))
    lines = [f"{'point':<{_POINT_WIDTH}}" + "".join(f"{key:>{width + 1}}" for key in keys)]
    for row in _rows_once(told):
        cells = [f"{shown(row.expect[key].on, row.expect[key].word):>{width + 1}}" for key in keys]
        lines.append(f"{row.point:<{_POINT_WIDTH}}" + "".join(cells))
    return lines


def _rows_once(told: ToldWalk) -> list[WalkRow]:
    rows = {row.point: row for section in told.sections for row in section.rows if not row.refusal}
    return list(rows.values())


def walk_markdown(harness: Harness, told: ToldWalk) -> str:
    """Give the walk as Markdown: a table a section, and what wrong readings say below it."""
    title, _, *rest = intro_lines(harness, told)
    lines = [f"# {title}", "", *(f"{line}  " for line in rest)]
    for section in told.sections:
        lines += ["", f"## {section.heading[:1].upper()}{section.heading[1:]}", ""]
        if section.remark:
            lines += [section.remark, ""]
        if section.rows:
            lines += _section_table(section, told)
    return "\n".join(lines)


def _section_table(section: WalkSection, told: ToldWalk) -> list[str]:
    keys = told.expectations.keys
    working = told.condition.key
    head = ["point", "what and where", "wire to it", *keys, f"good in {working}", "unplugged", "read"]
    lines = ["| " + " | ".join(head) + " |", "|" + " --- |" * 3 + " ---: |" * (len(head) - 4) + " --- |"]
    for row in section.rows:
        what = ", ".join(word for word in (row.label, row.terminal, place_words(row.place)) if word)
        wire = f"{row.wire.wire_id} {row.wire.brief()}" if row.wire is not None else ""
        here = row.expect[working]
        if row.refusal:
            cells = [row.point, f"{what}. {row.refusal}", wire, *["not measured"] * len(keys), "", "", ""]
        else:
            figures = [shown(row.expect[key].on, row.expect[key].word) for key in keys]
            cells = [row.point, what, wire, *figures, band_text(here), shown(here.unplugged, here.unplugged_word), ""]
        lines.append("| " + " | ".join(escape_cell(cell) for cell in cells) + " |")
    lines += [""]
    for row in section.rows:
        if not row.refusal and row.expect[working].on is not None:
            low, high = (escape_cell(words) for words in row.says[working])
            lines.append(f"- {escape_cell(row.point)} below the band: {low} Above: {high}")
    return lines


def escape_cell(text: str) -> str:
    """Give text so that Markdown shows it as it stands, in a cell of a table too."""
    return "".join(f"\\{sign}" if sign in "\\`*_{}[]<>#|~!" else sign for sign in text)
