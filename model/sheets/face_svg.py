"""The face of a plug as a drawing for paper: cavities as they lie, each with its number and its wire's colour."""

from __future__ import annotations

from model.sheets.face import UNUSED, CellRows, FaceCell, columns_words
from model.sheets.swatch_html import colour_name, drawn_bands
from model.sheets.wire_paint import bands_of

COLUMNS_MOST = 16
"""So many columns stand beside each other on an upright A4 sheet, numbers large enough to be read."""

_WIDE, _HIGH = 40, 30
_BAND_WIDE, _BAND_HIGH = 9, 8
_NUMBER_DOWN, _BAND_DOWN = 13, 18


def face_svg(rows: CellRows) -> str:
    """Draw a face; a wide one in pieces one below the other, each with its columns in words.

    Of several wires in a cavity the first is drawn that has a colour; an unused cavity has two dashes and a dashed
    frame, one whose wire has no colour in the file a question mark.
    """
    count = max((len(row) for row in rows), default=0)
    pieces = []
    for first in range(0, count, COLUMNS_MOST):
        last = min(first + COLUMNS_MOST, count)
        if count > COLUMNS_MOST:
            pieces.append(f'<p class="small">{columns_words(first + 1, last, count).capitalize()} from the left:</p>')
        pieces.append(_piece(tuple(row[first:last] for row in rows), last - first))
    return "".join(pieces)


def _piece(rows: CellRows, columns: int) -> str:
    width, height = columns * _WIDE + 2, len(rows) * _HIGH + 2
    cells = "".join(
        _cell(cell, 1 + place * _WIDE, 1 + down * _HIGH)
        for down, row in enumerate(rows)
        for place, cell in enumerate(row)
        if cell is not None
    )
    box = f'width="{width}" height="{height}" viewBox="0 0 {width} {height}"'
    return f'<p><svg {box} font-family="sans-serif" text-anchor="middle">{cells}</svg></p>'


def _cell(cell: FaceCell, x: int, y: int) -> str:
    dashes = "" if cell.is_used else ' stroke-dasharray="3 2"'
    frame = f'<rect x="{x}" y="{y}" width="{_WIDE}" height="{_HIGH}" fill="none" stroke="#000"{dashes}/>'
    middle = x + _WIDE / 2
    number = f'<text x="{middle:g}" y="{y + _NUMBER_DOWN}" font-size="12" font-weight="bold">{cell.number}</text>'
    return f"{frame}{number}{_wire(cell, middle, y)}"


def _wire(cell: FaceCell, middle: float, y: int) -> str:
    colour = next((one for one in cell.colours if bands_of(one)), "")
    if not colour:
        sign = ("?" if cell.colours else "") if cell.is_used else UNUSED
        return f'<text x="{middle:g}" y="{y + _BAND_DOWN + _BAND_HIGH}" font-size="11">{sign}</text>' if sign else ""
    bands = bands_of(colour)
    left, top = middle - len(bands) * _BAND_WIDE / 2, y + _BAND_DOWN
    size = f'width="{len(bands) * _BAND_WIDE}" height="{_BAND_HIGH}"'
    frame = f'<rect x="{left:g}" y="{top}" {size} fill="none" stroke="#000"/>'
    paint = drawn_bands(bands, (left, top), (_BAND_WIDE, _BAND_HIGH))
    return f'<g role="img" aria-label="{colour_name(colour)}">{paint}{frame}</g>'
