"""The face of a plug: its cavities from one side or from both, cut to whole columns round the cavity asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from model.sheets.face import UNUSED, CellRows, FaceCell, columns_words, number_width, rows_words
from model.sheets.wire_paint import bands_of
from tui.text import Part, assembled, padded, swatch_alone, width

_BETWEEN = 6
_SWATCH = 5


@dataclass(frozen=True, slots=True)
class Side:
    """A face as it is seen from one side.

    Attributes
    ----------
    head
        From where: ``half front, wire side``.
    rows
        Its cavities; none where the file gives no face.
    said
        Sentences below them, or in their place.
    """

    head: str
    rows: CellRows = ()
    said: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Window:
    """Which columns of a face stand there, counted from 0, which rows, and whether wires are painted."""

    columns: range
    rows: range
    has_colours: bool


class FaceView(Widget):
    """Shows the face from the wire side and from the mating side: side by side where there is room, else in turn."""

    DEFAULT_CSS = "FaceView { height: auto; padding: 0 1; }"

    sides: reactive[tuple[Side, ...]] = reactive((), layout=True)
    first: reactive[int] = reactive(0, layout=True)
    most_lines: reactive[int] = reactive(8, layout=True)
    has_colours: reactive[bool] = reactive(True, layout=True)

    def render(self) -> Content:
        """Return the lines."""
        return Content("\n").join(self.drawn(self.content_size.width or self.app.size.width - 2))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """Return how many lines there are."""
        return len(self.drawn(width))

    def drawn(self, cells: int) -> list[Content]:
        """Return the lines as they are drawn in so many cells."""
        return face_block(self.sides, self.first, cells, self.most_lines, has_colours=self.has_colours)


def face_block(
    sides: Sequence[Side], first: int, cells: int, most_lines: int, *, has_colours: bool = True
) -> list[Content]:
    """Return faces in at most so many lines with their heads; what is cut is said.

    Both sides stand beside each other where there is room, the first with the colours of its wires before the other
    has them; else the first alone. A sentence that there is no face stands whole.
    """
    if not sides or most_lines < 2:
        return []
    if not sides[0].rows:
        return [*_wrapped(sides[0].head, cells), *(line for said in sides[0].said for line in _wrapped(said, cells))]
    turned = [*sides[first % len(sides) :], *sides[: first % len(sides)]]
    for painted in _ways(len(turned), has_colours=has_colours):
        blocks = [_whole(side, is_painted) for side, is_painted in zip(turned, painted, strict=False)]
        widths = [max(width(line.plain) for line in block) for block in blocks]
        if sum(widths) + _BETWEEN * (len(blocks) - 1) <= cells and len(blocks[0]) <= most_lines:
            if len(blocks) < len(turned):
                blocks[0][0] = _with_hint(blocks[0][0], turned, cells)
            return _beside(blocks, widths)
    return _cut(turned, cells, most_lines, has_colours=has_colours)


def _ways(sides: int, *, has_colours: bool) -> Iterator[tuple[bool, ...]]:
    """Give which sides are drawn, each with the colours of its wires or without, the fullest way first."""
    if sides > 1 and has_colours:
        yield (True, True)
        yield (True, False)
    if has_colours:
        yield (True,)
    if sides > 1:
        yield (False, False)
    yield (False,)


def _whole(side: Side, has_colours: bool) -> list[Content]:
    """Return a side with nothing left out."""
    count = max(len(row) for row in side.rows)
    window = _Window(range(count), range(len(side.rows)), has_colours)
    return [assembled((side.head, "$quiet")), *_lines(side, window), *(assembled(one) for one in side.said)]


def _cut(turned: Sequence[Side], cells: int, most_lines: int, *, has_colours: bool) -> list[Content]:
    """Return the first side in the room there is: whole columns and rows round the cavity asked for, and which.

    Where the head and one row are already too much, numbers go without their colours.
    """
    side = turned[0]
    row_at, column_at = _asked(side)
    count = max(len(row) for row in side.rows)
    fitting = max((cells + 1) // (_cell_width(side, has_colours=has_colours) + 1), 1)
    if has_colours and _cell_width(side, has_colours=True) > cells:
        return _cut(turned, cells, most_lines, has_colours=False)
    columns = _round(column_at, fitting, count)
    words = [columns_words(columns.start + 1, columns.stop, count)] if len(columns) < count else []
    room = max(most_lines - len(_heads(side, words, cells)), 1)
    rows = _round(row_at, room, len(side.rows))
    if len(rows) < len(side.rows):
        words.append("")
        for _ in range(2):
            # the words may take a line from the rows that they tell of
            words[-1] = rows_words(rows.start + 1, rows.stop, len(side.rows))
            rows = _round(row_at, max(most_lines - len(_heads(side, words, cells)), 1), len(side.rows))
        words[-1] = rows_words(rows.start + 1, rows.stop, len(side.rows))
    head = _heads(side, words, cells)
    head[-1] = _with_hint(head[-1], turned, cells)
    return [*head, *_lines(side, _Window(columns, rows, has_colours))]


def _heads(side: Side, words: Sequence[str], cells: int) -> list[Content]:
    return _wrapped(f"{side.head}   {', '.join(words)}".rstrip(), cells)


def _with_hint(head: Content, turned: Sequence[Side], cells: int) -> Content:
    """Return a head with the key that turns to the other side, where there is room for it."""
    if len(turned) < 2:
        return head
    hint = f"   f: {turned[1].head.rpartition(', ')[2]}"
    return head + assembled((hint, "$quiet")) if head.cell_length + width(hint) <= cells else head


def _round(place: int, fitting: int, count: int) -> range:
    """Return so many places of those there are, one among them and near the middle."""
    first = min(max(place - fitting // 2, 0), max(count - fitting, 0))
    return range(first, min(first + fitting, count))


def _asked(side: Side) -> tuple[int, int]:
    """Return row and column of the cavity asked for; the first where none is."""
    for row, found in enumerate(side.rows):
        for column, cell in enumerate(found):
            if cell is not None and cell.is_asked:
                return row, column
    return 0, 0


def _beside(blocks: Sequence[Sequence[Content]], widths: Sequence[int]) -> list[Content]:
    gap = " " * _BETWEEN
    lines = []
    for place in range(max(len(block) for block in blocks)):
        parts = [
            _filled(block[place] if place < len(block) else Content(""), cells)
            for block, cells in zip(blocks, widths, strict=True)
        ]
        lines.append(Content(gap).join(parts))
    return lines


def _filled(content: Content, cells: int) -> Content:
    return content + Content(" " * max(cells - content.cell_length, 0))


def _cell_width(side: Side, *, has_colours: bool) -> int:
    return number_width(side.rows) + 2 + (_SWATCH if has_colours else 0)


def _lines(side: Side, window: _Window) -> list[Content]:
    number = number_width(side.rows)
    return [
        Content(" ").join(_cell_content(row[place], number, window) for place in window.columns if place < len(row))
        for row in side.rows[window.rows.start : window.rows.stop]
    ]


def _cell_content(cell: FaceCell | None, number: int, window: _Window) -> Content:
    """Return one cavity: its number, the one asked for between signs and in reverse video, then its wire's colour."""
    colour_cells = _SWATCH if window.has_colours else 0
    if cell is None:
        return Content(" " * (number + 2 + colour_cells))
    shown = str(cell.number) if cell.is_used or cell.is_asked or window.has_colours else UNUSED
    name: Part = f" {shown:>{number}} "
    if cell.is_asked:
        lead = " " * (number - len(shown))
        name = assembled(lead, (f">{shown}<", "bold reverse"))
    if not window.has_colours:
        return assembled(name)
    return assembled(name, _colour_of(cell))


def _colour_of(cell: FaceCell) -> Part:
    """Return the colour of the wire in a cavity; ``--`` in an unused one, ``?`` where the colour is not known."""
    if not cell.is_used:
        return padded(f" {UNUSED}", _SWATCH)
    colour = next((one for one in cell.colours if bands_of(one)), "")
    if colour:
        return swatch_alone(colour)
    return padded("  ?" if cell.colours else "", _SWATCH)


def _wrapped(words: str, cells: int) -> list[Content]:
    return list(assembled((words, "$quiet")).wrap(max(cells, 8)))
