"""A walk as one column: a row a point, what leads to it between the rows, the figures of one key state."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content

from model.sheets.walk_words import AS_BUILT, as_built_text
from model.words import amps_text, size_text, volts_text
from tui.text import Part, assembled, padded, swatch, width
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from model.harness.harness import Element
    from model.tracing.expect import Expect
    from model.tracing.rows import ToldWalk, WalkRow, WalkSection, WireWords

LIVE_FROM_VOLTS = 1.0
NEVER_PROBED = "never probed"
WITH_FAULT = "with this fault"
_UNKNOWN = "…"
_FIGURE = 9
_GAP = "  "
_POINT_LEAST, _POINT_MOST = 6, 16
_PLACES_FROM = 26
_BOTH_FIGURES_FROM, _THREE_FIGURES_FROM = 46, 58


@dataclass(frozen=True, slots=True)
class WalkView:
    """How a walk is shown.

    Attributes
    ----------
    key
        The key state whose figures stand in the rows.
    known
        False while the figures are being worked out.
    roomy
        True where there is room for remarks and empty lines between sections.
    as_built
        Volts read while the loom was proven, by point; None where none were.
    """

    told: ToldWalk
    label: str
    key: str
    known: bool = True
    roomy: bool = True
    as_built: Mapping[str, float] | None = None


def row_key(section: int, place: int) -> str:
    """Return the key of the row of a point: a point may stand in several sections."""
    return f"{section} {place}"


def row_of(told: ToldWalk, key: str) -> WalkRow | None:
    """Return the row of a key; None where it is none of a point."""
    section, _, place = key.partition(" ")
    return told.sections[int(section)].rows[int(place)] if place else None


def wire_at(told: ToldWalk, key: str) -> WireWords | None:
    """Return the wire that a probe finds at the row of a key: the one that leads there, else the one that leaves."""
    section, _, place = key.partition(" ")
    rows = told.sections[int(section)].rows[int(place) : int(place) + 2]
    return next((row.wire for row in rows if row.wire is not None), None)


def walk_heads(cells: int, has_fault: bool = False, has_as_built: bool = False) -> Content:
    """Return the heads of the columns of figures; a narrow list has no room for the volts with the load unplugged.

    What was read while the loom was proven comes before those: a narrow list has it in their place.

    With a fault put in the figures are no good readings: the head says so.
    """
    heads = f"{f'{WITH_FAULT}, V' if has_fault else 'expect, V':>{_FIGURE}}"
    for words in _beside(cells, has_as_built, "unplugged", AS_BUILT):
        heads += f"{_GAP}{words:>{_FIGURE}}"
    return assembled((" " * max(cells + 2 - len(heads), 0) + heads, "$quiet"))


def walk_rows(view: WalkView, cells: int) -> list[Row]:
    """Return the rows of a walk for a list so many cells wide."""
    rows: list[Row] = []
    points = [width(row.point) for section in view.told.sections for row in section.rows]
    point_cells = min(max([_POINT_LEAST, *points]), _POINT_MOST)
    for number, section in enumerate(view.told.sections):
        if number and view.roomy:
            rows.append(_line(Content("")))
        if number == 1:
            rows.append(_line(assembled(("load  ", "bold"), _load_words(view))))
        rows.append(_line(assembled((section.heading, f"bold {_style(section)}"))))
        if section.remark:
            rows.append(_line(assembled((f"  {section.remark}", "$quiet"))))
        rows += _section_rows(view, number, point_cells, cells)
    return rows


def figure(volts: float | None, word: str) -> str:
    """Return volts as text, or the word that stands in their place."""
    return word if volts is None else volts_text(volts)


def is_live(expect: Expect) -> bool:
    """Tell whether volts are expected at a point."""
    return expect.on is not None and abs(expect.on) >= LIVE_FROM_VOLTS


def wire_line(wire: WireWords, cells: int) -> Content:
    """Return a wire in one line: its colour painted and in codes, size, name, length; what is assumed has a ``?``.

    Where there is room in so many cells the colour stands in words too.
    """
    size = f"{wire.size}{'?' if 'size' in wire.assumed else ''}"
    length = f"{size_text(wire.length_m)} m{'?' if 'length' in wire.assumed else ''}"
    old = f"  in place of {', '.join(wire.in_place_of)}" if wire.in_place_of else ""
    line = assembled(swatch(wire.colour), f" {size}", (f"  {wire.wire_id}  {length}{old}", "$quiet"))
    words = f"  {wire.colour_words}" if wire.colour else ""
    return assembled(line, (words, "$quiet")) if line.cell_length + width(words) <= cells else line


def rated(element: Element) -> str:
    """Return what a load is rated at: ``6.5 A at 13 V``."""
    return f"{amps_text(element.rated_amps)} at {size_text(element.at_volts)} V"


def _load_words(view: WalkView) -> str:
    return f"{view.label}, {rated(view.told.walk.element)}"


def _style(section: WalkSection) -> str:
    return "$feed" if section.side.value == "feed" else "$ground"


def _section_rows(view: WalkView, number: int, point_cells: int, cells: int) -> Iterator[Row]:
    section = view.told.sections[number]
    before: WalkRow | None = None
    for place, row in enumerate(section.rows):
        if row.wire is not None:
            yield _line(assembled(("│ ", "$quiet"), wire_line(row.wire, cells - 2)))
        figures = _figures(view, row, section, cells)
        what_cells = cells - 2 - point_cells - 2 * len(_GAP) - assembled(*figures).cell_length
        what = _what(row, before, with_place=what_cells >= _PLACES_FROM)
        content = assembled(
            *_sign(view, row, section),
            padded(row.point, point_cells),
            _GAP,
            (padded(what, max(what_cells, 0)), "$quiet"),
            _GAP,
            *figures,
        )
        yield Row(content, row_key(number, place))
        if view.roomy:
            yield from (_line(assembled((f"    {remark}", "$quiet"))) for remark in _told_below(row, before))
        before = row


def _sign(view: WalkView, row: WalkRow, section: WalkSection) -> list[Part]:
    if row.refusal or not view.known:
        return [("▪ " if row.refusal else "  ", "$caution")]
    return [("· ", _style(section))] if is_live(row.expect[view.key]) else [("○ ", "$quiet")]


def _beside(cells: int, has_as_built: bool, unplugged: str, as_built: str) -> list[str]:
    """Return what stands beside the volts to expect, as far as there is room."""
    count = (cells >= _BOTH_FIGURES_FROM) + (cells >= _THREE_FIGURES_FROM and has_as_built)
    if not has_as_built:
        return [unplugged][:count]
    return [unplugged, as_built] if count > 1 else [as_built][:count]


def _figures(view: WalkView, row: WalkRow, section: WalkSection, cells: int) -> list[Part]:
    has_as_built = view.as_built is not None
    if row.refusal:
        beside = len(_beside(cells, has_as_built, "", ""))
        room = _FIGURE + beside * (_FIGURE + len(_GAP)) if beside else len(NEVER_PROBED)
        return [(f"{NEVER_PROBED:>{room}}", "$caution")]
    read = as_built_text((view.as_built or {}).get(row.point))
    if not view.known:
        return [f"{_UNKNOWN:>{_FIGURE}}", *_columns(_beside(cells, has_as_built, _UNKNOWN, read))]
    expect = row.expect[view.key]
    on, unplugged = figure(expect.on, expect.word), figure(expect.unplugged, expect.unplugged_word)
    style = f"bold {_style(section)}" if is_live(expect) else "bold"
    return [(f"{on:>{_FIGURE}}", style), *_columns(_beside(cells, has_as_built, unplugged, read))]


def _columns(figures: list[str]) -> list[Part]:
    return [f"{_GAP}{one:>{_FIGURE}}" for one in figures]


def _what(row: WalkRow, before: WalkRow | None, *, with_place: bool) -> str:
    """Say what a point is on, and where where that is not as in the row before."""
    same_part = before is not None and before.part_id == row.part_id
    if same_part:
        through = row.remarks[0].rstrip(".") if row.remarks and row.remarks[0].startswith("Through") else row.terminal
        return through.partition(", ")[2] if "closed while" in through else through
    words = [row.label or row.terminal]
    if with_place and row.place and (before is None or before.place != row.place):
        words.append(row.place.name)
    return ", ".join(words)


def _told_below(row: WalkRow, before: WalkRow | None) -> list[str]:
    """List the remarks that do not stand in the row itself."""
    same_part = before is not None and before.part_id == row.part_id
    return [remark for remark in row.remarks if not (same_part and remark.startswith("Through"))]


def _line(content: Content) -> Row:
    return Row(content, can_be_marked=False)
