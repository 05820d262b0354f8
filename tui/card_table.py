"""What ends on the points of a part, in columns: what has no room goes, the volts stay."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from textual.content import Content

from model.sheets.card import EndRow
from model.words import clean
from tui.card_view import Mark, View
from tui.point_volts import NO_PROBE
from tui.text import assembled, padded, swatch, width
from tui.widgets.rows import Row

WAITING = "…"
"""What stands where a figure is still worked out."""

_GAP = "  "
_PLACE_LEAST = 12
_DROPPED_FIRST = ("goes to", "wire", "pin")


@dataclass(slots=True)
class _Column:
    """A column: its head, a cell for each row, how wide it is, and whether figures stand on the right."""

    head: str
    cells: list[Content]
    width: int
    right: bool = False

    @property
    def need(self) -> int:
        """How wide it would have to be to show everything."""
        return max(width(self.head), *(cell.cell_length for cell in self.cells))

    def head_cell(self) -> Content:
        """Return the head."""
        return assembled((padded(self.head, self.width, right=self.right), "$quiet"))

    def cell(self, place: int) -> Content:
        """Return the cell of a row, filled to the width."""
        cut = self.cells[place].truncate(self.width, ellipsis=True)
        space = Content(" " * max(self.width - cell_len(cut.plain), 0))
        return space + cut if self.right else cut + space


def end_table(view: View, ends: Sequence[EndRow], cells: int) -> list[Row]:
    """Return the ends as rows in columns under a head, at most `cells` wide, and put their marks into the view."""
    volts = _volts_columns(view, ends)
    room = cells + len(_GAP) - _taken(volts)
    told = _fitting(_told_columns(ends), room)
    place = _place_column(ends, room - _taken(told) - len(_GAP))
    columns = [*told, *volts]
    if place is not None:
        columns.insert(len(columns) - len(volts), place)
    gap = Content(_GAP)
    rows = [Row(gap.join([column.head_cell() for column in columns]), can_be_marked=False)]
    for at, row in enumerate(ends):
        key = f"end {row.point} {row.wire or row.other_end}"
        view.marks[key] = _mark(view, row)
        rows.append(Row(gap.join([column.cell(at) for column in columns]), key))
    return rows


def _taken(columns: Sequence[_Column]) -> int:
    """Return how many cells columns take, each with the gap to the next."""
    return sum(column.width + len(_GAP) for column in columns)


def _volts_columns(view: View, ends: Sequence[EndRow]) -> list[_Column]:
    columns = []
    for key in view.keys:
        head = clean(key, 9) if len(view.keys) > 1 else "now, V"
        column = _Column(head, [assembled(_volts(view, row.point, key)) for row in ends], 0, right=True)
        column.width = column.need
        columns.append(column)
    return columns


def _told_columns(ends: Sequence[EndRow]) -> list[_Column]:
    """Return the columns in which anything stands, each as wide as it may be."""
    columns = [
        _Column("point", [assembled((row.terminal, "bold")) for row in ends], 14),
        _Column("pin", [assembled(str(row.cavity or "")) for row in ends], 4),
        _Column("wire", [assembled(row.wire) for row in ends], 8),
        _Column("colour, mm²", [_look(row) for row in ends], 24),
        _Column("goes to", [assembled(_goes_to(row)) for row in ends], 18),
    ]
    for column in columns:
        column.width = min(column.need, column.width)
    return [column for column in columns if any(cell.plain for cell in column.cells)]


def _fitting(columns: list[_Column], cells: int) -> list[_Column]:
    """Leave columns out until the rest has room, then cut the last one."""
    for dropped in _DROPPED_FIRST:
        if _taken(columns) > cells:
            columns = [column for column in columns if column.head != dropped]
    over = _taken(columns) - cells
    if over > 0:
        columns[-1].width = max(columns[-1].width - over, 4)
    return columns


def _place_column(ends: Sequence[EndRow], cells: int) -> _Column | None:
    """Return the places in the room that is left; None where there is none."""
    need = max(*(width(row.other_place) for row in ends), len("place"))
    if cells < min(need, _PLACE_LEAST):
        return None
    room = min(need, cells)
    return _Column("place", [assembled(_shortened(row.other_place, room)) for row in ends], room)


def _shortened(place: str, cells: int) -> str:
    """Return a place without the end of the way there, where the whole phrase has no room."""
    while width(place) > cells and ", " in place:
        place = place.rpartition(", ")[0]
    return place


def _look(row: EndRow) -> Content:
    return look_of(row) + assembled(f" {row.size.replace(' mm²', '')}") if row.size else Content("")


def look_of(row: EndRow) -> Content:
    """Return the colour of a wire painted, its code beside it; a question where it is not known."""
    return swatch(row.colour) if row.colour not in ("", "--") else assembled("colour?")


def _goes_to(row: EndRow) -> str:
    return row.other_end or ("" if row.wire else "nothing")


def _volts(view: View, point: str, key: str) -> str:
    """Return the volts at a point as text; a point that is never probed says so."""
    if point in view.refused:
        return NO_PROBE
    if view.volts is None:
        return WAITING
    return "no answer" if key in view.volts.trouble else view.volts.at(point, key)


def _mark(view: View, row: EndRow) -> Mark:
    """Return what Enter on an end leads to: its wire, else the part at the other end."""
    if row.wire:
        return Mark(row.wire, point=row.point, row=row)
    part_id = row.other_end.partition(".")[0]
    if part_id == view.card.id:
        return Mark(point=row.point, row=row)
    return Mark(part_id, row.other_end if "." in row.other_end else "", point=row.point, row=row)
