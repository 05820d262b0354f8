"""The last gate before the terminal: filters that every line drawn passes through."""

import re
from functools import lru_cache

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from tui.glyphs import ascii_cell
from tui.text import FRAME_LEFT, FRAME_RIGHT, PAINT

_SWATCH = re.compile(f"([{FRAME_LEFT}{PAINT}{FRAME_RIGHT}]+)")
_COLUMN_GAP = "  "
_OBEYED = [
    *range(0x20),
    *range(0x7F, 0xA0),
    0x061C,
    0x200E,
    0x200F,
    0x2028,
    0x2029,
    *range(0x202A, 0x202F),
    *range(0x2066, 0x206A),
]
_DISARM: dict[int, str | None] = {
    **{code: " " * cell_len(chr(code)) for code in _OBEYED},
    **dict.fromkeys(range(0xD800, 0xE000), "\ufffd"),
}


@lru_cache(4096)
def disarmed(text: str) -> str:
    """Return a text without the characters that a terminal obeys; its width stays."""
    return text.translate(_DISARM)


@lru_cache(4096)
def in_ascii(text: str) -> str:
    """Return a text in ASCII that takes exactly as many cells."""
    if text.isascii():
        return text
    return "".join(c if c.isascii() else ascii_cell(c) * cell_len(c) for c in text)


class Disarm(LineFilter):
    """Takes from every line what a terminal would obey, wherever the text came from."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments with their text disarmed."""
        return [Segment(disarmed(text), style, None) for text, style, _ in segments]


class Unpainted(LineFilter):
    """Leaves the swatches of wires out where their colours cannot be shown: the codes behind them say it all.

    What follows moves up to the code as far as the next gap, which grows by as much, so that columns stay.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments without swatches, as wide as before."""
        if not any(_SWATCH.search(text) for text, _, _ in segments):
            return segments
        shown: list[Segment] = []
        owed = 0
        for text, style, _ in segments:
            kept = ""
            for piece in _SWATCH.split(text):
                if _SWATCH.fullmatch(piece):
                    owed += len(piece)
                elif owed and _COLUMN_GAP in piece:
                    head, gap, tail = piece.partition(_COLUMN_GAP)
                    kept, owed = f"{kept}{head}{' ' * owed}{gap}{tail}", 0
                else:
                    kept += piece
            if kept:
                shown.append(Segment(kept, style, None))
        return [*shown, Segment(" " * owed, shown[-1].style if shown else None, None)] if owed else shown


class AsciiOnly(LineFilter):
    """Puts the ASCII twin in the place of every other character."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments with their text in ASCII."""
        return [Segment(in_ascii(text), style, None) for text, style, _ in segments]
