"""The walk of a load as Markdown, to print and to take to the vehicle."""

from __future__ import annotations

from model.caution_words import GENERAL_CAUTIONS
from model.harness.harness import Harness
from model.sheets.profile_text import profile_text
from model.sheets.volts_profile import volts_profile
from model.sheets.walk_as_built import NOT_READ, AsBuilt
from model.sheets.walk_words import (
    band_text,
    does_words,
    intro,
    key_mark,
    led_words,
    rating_words,
    shown,
    title,
    walk_cautions,
    what_words,
    where_words,
)
from model.tracing.expect import Expect
from model.tracing.rows import ToldWalk, WalkSection


def walk_markdown(harness: Harness, told: ToldWalk, as_built: AsBuilt = NOT_READ) -> str:
    """Give the walk as Markdown: cautions, a table a section, what wrong readings say below it, then the profile."""
    lines = [f"# {escaped(title(told))}", ""]
    lines += [f"> **Caution:** {escaped(text)}\n>" for text in walk_cautions(harness, told)]
    lines += [f"> {escaped(caution.text)}\n>" for caution in GENERAL_CAUTIONS]
    lines += ["", *(f"{escaped(text)}  " for text in intro(harness, told)), ""]
    for number, section in enumerate(told.sections):
        if number == 1:
            lines += ["## Load", "", *_load(harness, told), ""]
        lines += [f"## {escaped(section.heading[:1].upper() + section.heading[1:])}", ""]
        if section.remark:
            lines += [escaped(section.remark), ""]
        if section.rows:
            lines += [*_section(harness, told, section), ""]
    head, *drawn = profile_text(harness, volts_profile(harness, told, as_built))
    lines += [f"## {escaped(head)}", "", *(f"    {line}".rstrip() for line in drawn)]
    return "\n".join(lines).rstrip()


def _load(harness: Harness, told: ToldWalk) -> list[str]:
    load, key = told.load, told.condition.key
    if load.refusal:
        return [f"{escaped(rating_words(told))}."]
    about = f"{rating_words(told)}; {does_words(told, key)}"
    row = _cells(told, "across it", f"red {load.red}, black {load.black}", "", load.across)
    below, above = load.says[key]
    said = f"- across the load, below the band: {escaped(below)} Above: {escaped(above)}"
    return [f"{escaped(about)}.", "", *_head(harness, told), row, "", said]


def _section(harness: Harness, told: ToldWalk, section: WalkSection) -> list[str]:
    key = told.condition.key
    lines = _head(harness, told)
    for row in section.rows:
        what = ", ".join(word for word in (what_words(row), where_words(row)) if word)
        led = led_words(harness, told, row)
        if row.refusal:
            lines.append(_line([row.point, f"{what}. {row.refusal}", led, *["not measured"] * _count(told), ""]))
        else:
            lines.append(_cells(told, row.point, ". ".join((what, *row.notes)), led, row.expect))
    lines.append("")
    for row in section.rows:
        if not row.refusal and row.expect[key].on is not None:
            below, above = row.says[key]
            lines.append(f"- {escaped(row.point)} below the band: {escaped(below)} Above: {escaped(above)}")
    return lines


def _head(harness: Harness, told: ToldWalk) -> list[str]:
    keys = [" ".join(word for word in (key, key_mark(harness, told, key)) if word) for key in told.expectations.keys]
    head = ["point", "what and where", "what leads to it", *keys, f"good in {told.condition.key}", "unplugged", "read"]
    return [_line(head), f"|{' --- |' * 3}{' ---: |' * (len(head) - 4)} --- |"]


def _cells(told: ToldWalk, name: str, what: str, led: str, expect: dict[str, Expect]) -> str:
    here = expect[told.condition.key]
    figures = [shown(one.on, one.word) for one in expect.values()]
    return _line([name, what, led, *figures, band_text(here), shown(here.unplugged, here.unplugged_word), ""])


def _count(told: ToldWalk) -> int:
    """Count the columns of figures."""
    return len(told.expectations.keys) + 2


def _line(cells: list[str]) -> str:
    return f"| {' | '.join(escaped(cell) for cell in cells)} |"


def escaped(text: str) -> str:
    """Give text so that Markdown shows it as it stands, in a cell of a table too."""
    return "".join(f"\\{sign}" if sign in "\\`*_{}[]<>#|~!&" else sign for sign in text)
