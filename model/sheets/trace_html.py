"""The trace on paper as one HTML file for A4, black on white, with nothing fetched from anywhere."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from model.sheets.plan_paper import FETCHES_NOTHING
from model.sheets.swatch_html import painted_html
from model.sheets.trace_markdown import reading_words, then_words
from model.sheets.trace_sheet import JUDGEMENT, Box, Exit, SheetRepair, TraceSheet
from model.tracing.check_words import LineName
from model.words import clean

_LONGEST = 4000
_STYLE = """
@page { size: A4; margin: 12mm 14mm; }
* { box-sizing: border-box; }
body { color: #000; background: #fff; font: 11pt/1.35 sans-serif; max-width: 182mm; margin: 6mm auto; padding: 0 2mm; }
h1 { font-size: 17pt; margin: 0 0 1mm; }
h2 { font-size: 13pt; margin: 0 0 1.5mm; break-after: avoid; }
h3 { font-size: 11pt; margin: 0 0 1mm; break-after: avoid; }
p { margin: 0 0 1.5mm; }
ul { margin: 0 0 2mm; padding-left: 5mm; }
section.box, section.repair { border: 0.5mm solid #000; padding: 3mm; margin: 0 0 5mm; break-inside: avoid; }
section.repair { border-width: 0.25mm; }
.caution { border-left: 1.5mm solid #000; padding-left: 2.5mm; font-weight: bold; }
.general { font-weight: normal; font-size: 9.5pt; }
.reached { font-style: italic; }
dl { display: grid; grid-template-columns: 18mm 1fr; margin: 0 0 2mm; }
dt { font-weight: bold; }
dd { margin: 0; overflow-wrap: anywhere; }
table { width: 100%; border-collapse: collapse; break-inside: auto; }
tr { break-inside: avoid; }
th, td { border: 0.25mm solid #000; padding: 1mm 1.5mm; text-align: left; vertical-align: top; }
th, td { overflow-wrap: anywhere; }
td.share { text-align: right; white-space: nowrap; width: 20mm; }
.exits td:first-child { width: 38mm; }
.exits td:nth-child(2) { width: 52mm; }
.good td:first-child { font-weight: bold; }
.blank { display: inline-block; width: 40mm; border-bottom: 0.3mm solid #000; height: 6mm; }
""".strip()


def trace_html(sheet: TraceSheet, tail: Sequence[str] = ()) -> str:
    """Give a trace on paper as a whole HTML file, with HTML that stands behind it: pictures."""
    title = f"{sheet.title}, {sheet.vehicle}"
    body = [
        f"<h1>{_text(sheet.title)}</h1>",
        f"<p>{_text(sheet.vehicle)}, {_text(sheet.revision)}. Date: {_blank()} By: {_blank()}</p>",
        *(f'<p class="caution general">{_text(caution)}</p>' for caution in sheet.cautions),
        f"<p>{' '.join(_text(sentence) for sentence in sheet.about)}</p>",
        f"<p>{_text(sheet.posts)}</p>",
        f"<p>Posts, V: {_blank()}</p>",
    ]
    if sheet.ended:
        body.append(f"<p><strong>{_text(sheet.ended)}</strong></p>")
    for box in sheet.boxes:
        body += _box(box)
    if sheet.repairs:
        body.append("<h2>Repairs, in short</h2>")
        for repair in sheet.repairs:
            body += _repair(repair)
    body += [*_suspects(sheet), *tail]
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            FETCHES_NOTHING,
            f"<title>{_text(title)}</title>",
            f"<style>\n{_STYLE}\n</style>",
            "</head>",
            "<body>",
            *body,
            "</body>",
            "</html>",
        ]
    )


def _box(box: Box) -> list[str]:
    lines = ['<section class="box">', f"<h2>Box {box.number}, check {box.step}: {_text(box.title)}</h2>"]
    if box.reached:
        lines.append(f'<p class="reached">{_text(box.reached)}</p>')
    lines += [f'<p class="caution">Caution: {_text(caution)}</p>' for caution in box.cautions]
    named = [("where" if line.name is LineName.PLACE else str(line.name), line.words) for line in box.lines]
    named += [("expect", box.expect)] if box.expect else []
    lines.append("<dl>")
    lines += [f"<dt>{name}</dt><dd>{painted_html(words)}</dd>" for name, words in named]
    lines += [f"<dt>read</dt><dd>{_blank()}</dd>", "</dl>"]
    lines.append('<table class="exits"><tr><th>reading</th><th>what it does</th><th>then</th></tr>')
    lines += [_exit(one) for one in box.exits]
    return [*lines, "</table>", "</section>"]


def _exit(one: Exit) -> str:
    start = '<tr class="good">' if one.is_good else "<tr>"
    cells = (reading_words(one), one.sets_aside, then_words(one))
    return f"{start}{''.join(f'<td>{painted_html(cell)}</td>' for cell in cells)}</tr>"


def _repair(repair: SheetRepair) -> list[str]:
    lines = ['<section class="repair">', f"<h3>{repair.letter}. {painted_html(repair.sentence)}</h3>"]
    lines += [f'<p class="caution">Caution: {_text(caution)}</p>' for caution in repair.cautions]
    lines.append(f"<p>{painted_html(repair.work)}</p>")
    if repair.prove:
        lines.append(f"<p>Prove it: {_text(repair.prove)} {_blank()}</p>")
    return [*lines, "</section>"]


def _suspects(sheet: TraceSheet) -> list[str]:
    if not sheet.suspects:
        return []
    rows = [
        f'<tr><td class="share">{_text(share)}</td><td>{painted_html(words)}</td></tr>'
        for share, words in sheet.suspects
    ]
    head = "<table><tr><th>share</th><th>what may be wrong</th></tr>"
    return ["<h2>Suspects before the first check</h2>", head, *rows, "</table>", f"<p>{_text(JUDGEMENT)}</p>"]


def _blank() -> str:
    return '<span class="blank"></span>'


def _text(words: str) -> str:
    return escape(clean(words, _LONGEST), quote=True)
