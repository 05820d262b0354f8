"""The loom at a glance as a picture in SVG: black on white, one file that fetches nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from model.harness.harness import Harness
from model.review.glance import Glance, NodeKind
from model.sheets.glance_blocks import BOX_WIDTH, Leaf, Line
from model.sheets.glance_boxes import ENTRY_Y, LEAF_Y, Box
from model.sheets.glance_layout import GAP, Sheet, sheets_of
from model.sheets.glance_signs import end_mark, sign
from model.sheets.glance_tree import glance_sheet
from model.sheets.plan_paper import html_page
from model.sheets.plan_paper import text as escaped
from model.sheets.text_widths import fitted

MARK = "<!-- Fusewalk sheet -->"
"""The first line of the file."""

_UNIT_MM = 0.2245
"""Four columns of boxes and the loads fill A4 paper laid across, 275 mm between its margins."""

_LONG_SHEET, _A4_SHEET = 2600.0, 690.0
_MARGIN = 14.0
_MARKS = "A ring is a load, a block a relay coil, a disc a charger; an arrow leads to what is drawn elsewhere."
_STYLE = """
.loom { color: #000; background: #fff; font-family: Arial, Helvetica, "Liberation Sans", sans-serif; }
.loom .ground { fill: #fff; }
.loom text { fill: #000; }
.loom .b { font-weight: bold; }
.loom .e { text-anchor: end; }
.loom .frame { fill: #fff; stroke: #000; stroke-width: 1.1; }
.loom .source { stroke-width: 2.4; }
.loom .part { stroke: #000; stroke-width: 0.5; }
.loom .bus { stroke: #000; stroke-width: 5; }
.loom .main { fill: none; stroke: #000; stroke-width: 1.8; }
.loom .lead { fill: none; stroke: #000; stroke-width: 1; stroke-dasharray: 1 3.2; }
.loom .trunk, .loom .hang, .loom .sign { fill: none; stroke: #000; stroke-width: 1; }
.loom .full { fill: #000; stroke: none; }
.loom .open { fill: #fff; stroke: #000; stroke-width: 1; }
""".strip()
_PAGE_STYLE = """
@page { size: A4 landscape; }
body { max-width: 277mm; }
svg.loom { display: block; max-width: 100%; height: auto; margin: 0 0 4mm; break-inside: avoid; }
@media screen and (max-width: 900px) { svg.loom { max-width: none; } body { overflow-x: auto; } }
""".strip()


def glance_svg(harness: Harness, tree: Glance) -> str:
    """Give the picture as one SVG file; sheets of a large loom stand one below another."""
    head = glance_sheet(harness, tree)
    sheets = sheets_of(harness, tree, _LONG_SHEET)
    width = max((sheet.width for sheet in sheets), default=600.0)
    cautions = tuple(f"Caution: {words}" for words in head.cautions)
    lines = list(_head_lines(head.vehicle, (*cautions, *head.about, _MARKS), width))
    y = max(line.y for line in lines) + 24.0
    body = [_text(line, 0.0, 0.0) for line in lines]
    for number, sheet in enumerate(sheets, 1):
        if len(sheets) > 1:
            body.append(_text(Line(f"Sheet {number} of {len(sheets)}", 0.0, y + 4.0, 12.0, True), 0.0, 0.0))
            y += 18.0
        body.append(f'<g transform="translate(0 {_n(y)})">')
        body += _sheet(sheet)
        body.append("</g>")
        y += sheet.height + 34.0
    title = f"The loom at a glance: {head.vehicle}"
    return "\n".join((MARK, *_svg(width, y, title, [f"<style>\n{_STYLE}\n</style>", *body])))


def glance_html(harness: Harness, tree: Glance) -> str:
    """Give the sheet as one HTML file for A4 paper laid across, a picture a page."""
    head = glance_sheet(harness, tree)
    sheets = sheets_of(harness, tree, _A4_SHEET)
    title = f"The loom at a glance, {head.vehicle}"
    body = [f"<h1>{escaped(title)}</h1>"]
    body += [f'<p class="caution">Caution: {escaped(words)}</p>' for words in head.cautions]
    body.append(f'<p class="small">{escaped(" ".join((*head.about, _MARKS)))}</p>')
    for number, sheet in enumerate(sheets, 1):
        name = f"Sheet {number} of {len(sheets)}"
        styles = [f"<style>\n{_STYLE}\n{_PAGE_STYLE}\n</style>"] if number == 1 else []
        named = [_text(Line(name, 0.0, 2.0, 12.0, True), 0.0, 0.0)] if len(sheets) > 1 else []
        drawn = [*styles, *named, '<g transform="translate(0 14)">', *_sheet(sheet), "</g>"]
        body += _svg(sheet.width, sheet.height + 14.0, f"{title}: {name.lower()}", drawn)
    return html_page(title, (), body)


def _svg(width: float, height: float, title: str, body: Iterable[str]) -> Iterator[str]:
    across, down = width + 2 * _MARGIN, height + 2 * _MARGIN
    place = f'x="{_n(-_MARGIN)}" y="{_n(-_MARGIN)}"'
    view = f"{_n(-_MARGIN)} {_n(-_MARGIN)} {_n(across)} {_n(down)}"
    size = f'width="{_n(across * _UNIT_MM)}mm" height="{_n(down * _UNIT_MM)}mm"'
    yield f'<svg xmlns="http://www.w3.org/2000/svg" class="loom" viewBox="{view}" {size} role="img">'
    yield f"<title>{escaped(title)}</title>"
    yield f'<rect class="ground" {place} width="{_n(across)}" height="{_n(down)}"/>'
    yield from body
    yield "</svg>"


def _head_lines(vehicle: str, about: Iterable[str], width: float) -> Iterator[Line]:
    y = 6.0
    for words in fitted(vehicle, width, 22.0, bold=True):
        yield Line(words, 0.0, y + 10.0, 22.0, True)
        y += 26.0
    yield Line("The loom at a glance", 0.0, y + 4.0, 14.0)
    y += 22.0
    for sentence in about:
        for words in fitted(sentence, width, 10.0, bold=sentence.startswith("Caution")):
            yield Line(words, 0.0, y, 10.0, sentence.startswith("Caution"))
            y += 13.0


def _sheet(sheet: Sheet) -> Iterator[str]:
    for box in sheet.boxes():
        yield from _lines_of(box)
    for box in sheet.boxes():
        if box.cut:
            yield _text(Line(box.cut, 0.0, -7.0, 10.0), box.x, box.y)
        yield from _box(box)
        for part in box.parts:
            if isinstance(part, Leaf):
                yield from (_text(line, part.x, part.y) for line in part.lines)


def _box(box: Box) -> Iterator[str]:
    is_source = box.strips[0].kind in (NodeKind.SOURCE, NodeKind.UNFED, NodeKind.GROUND)
    named = "frame source" if is_source else "frame"
    yield f'<rect class="{named}" x="{_n(box.x)}" y="{_n(box.y)}" width="{_n(BOX_WIDTH)}" height="{_n(box.height)}"/>'
    y = box.y
    for number, strip in enumerate(box.strips):
        if number:
            yield f'<path class="part" d="M{_n(box.x)} {_n(y)}h{_n(BOX_WIDTH)}"/>'
        if strip.kind is NodeKind.BAR:
            yield f'<path class="bus" d="M{_n(box.x + BOX_WIDTH)} {_n(y)}v{_n(strip.height)}"/>'
        yield from sign(strip.kind, box.x + 5.0, y + ENTRY_Y)
        yield from (_text(line, box.x, y) for line in strip.lines)
        y += strip.height


def _lines_of(box: Box) -> Iterator[str]:
    """Draw the lines from a box to what hangs on it."""
    fed = [part for part in box.parts if not isinstance(part, Leaf) or part.under is None]
    if fed:
        out_x, trunk_x = box.x + BOX_WIDTH, box.x + BOX_WIDTH + GAP / 2
        out_y = box.y + box.height - box.strips[-1].height + ENTRY_Y
        ys = [_entry_y(part) for part in fed]
        yield f'<path class="main" d="M{_n(out_x)} {_n(out_y)}H{_n(trunk_x)}"/>'
        if min(ys) < max(ys) or out_y != ys[0]:
            yield f'<path class="main" d="M{_n(trunk_x)} {_n(min(*ys, out_y))}V{_n(max(*ys, out_y))}"/>'
        for part, y in zip(fed, ys, strict=True):
            if isinstance(part, Leaf):
                yield f'<path class="lead" d="M{_n(trunk_x)} {_n(y)}H{_n(part.x - 10.0)}"/>'
                yield from end_mark(part.kind, part.x - 7.0, y)
            else:
                yield f'<path class="main" d="M{_n(trunk_x)} {_n(y)}H{_n(part.x)}"/>'
    for part in box.parts:
        if isinstance(part, Leaf) and part.under is not None:
            yield from _hanging(part, part.under)


def _hanging(leaf: Leaf, under: Leaf) -> Iterator[str]:
    """Draw the line from a switch in the column of the loads to what it feeds."""
    x = min(line.x for line in leaf.lines) + leaf.x
    y = leaf.y + LEAF_Y
    yield f'<path class="hang" d="M{_n(x - 12.0)} {_n(under.y + 14.0)}V{_n(y)}H{_n(x - 6.0)}"/>'
    yield from end_mark(leaf.kind, x - 5.0, y)


def _entry_y(part: Leaf | Box) -> float:
    return part.y + (LEAF_Y if isinstance(part, Leaf) else ENTRY_Y)


def _text(line: Line, x: float, y: float) -> str:
    kinds = " ".join(kind for kind, is_so in (("b", line.bold), ("e", line.ends)) if is_so)
    marked = f' class="{kinds}"' if kinds else ""
    at = f'x="{_n(x + line.x)}" y="{_n(y + line.y)}" font-size="{_n(line.size)}"'
    return f"<text {at}{marked}>{escaped(line.words)}</text>"


def _n(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")
