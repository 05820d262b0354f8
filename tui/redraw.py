"""What stands on the terminal, so that only what differs is sent: a slow link carries some bytes a key, not a screen.

What is to be written comes as places, each with the pieces of text that begin there; every piece has its style before
it and none behind. Whatever else comes goes through as it is.
"""

from __future__ import annotations

import re
from itertools import groupby

from rich.cells import cell_len

_PLACE = re.compile(r"\x1b\[(\d+);(\d+)H")
_STYLED = re.compile(r"\x1b\[([\d;]*)m")
_OTHER_SCREEN = "\x1b[?1049"
_BRIDGED_CELLS = 6
"""So many cells that stay are sent again rather than passed over: placing the cursor anew takes about as much."""

_BEYOND = 1 << 30
"""Behind every place of a line: so far may a text reach of which nobody knows where it ends."""

Cell = tuple[str, str]
"""The style of a sign, as its sequence has it, and the sign."""


class Drawn:
    """What has been sent to a terminal, line by line."""

    def __init__(self) -> None:
        self._cells: dict[int, dict[int, Cell]] = {}
        self._texts: dict[int, dict[int, tuple[str, int]]] = {}
        self._cursor = ("", "")

    def forget(self) -> None:
        """Take nothing for granted: what is drawn next is sent whole."""
        self._cells.clear()
        self._texts.clear()
        self._cursor = ("", "")

    def reaches_beyond(self, columns: int, lines: int) -> bool:
        """Tell whether something has been sent to a place that a window of this size does not have."""
        if max(self._cells, default=0) > lines:
            return True
        return any(max(cells, default=0) > columns for cells in self._cells.values())

    def changed(self, written: str) -> str:
        """Return what has to be sent for the terminal to show what was written, and take it as sent."""
        before, *placed = _PLACE.split(written)
        if _OTHER_SCREEN in before:
            self.forget()
        if not placed:
            return before
        pieces = [
            self._piece(int(line), int(column), text.rstrip("\n"))
            for line, column, text in zip(placed[0::3], placed[1::3], placed[2::3], strict=True)
        ]
        cursor = (placed[-3], placed[-2])
        if any(pieces) or cursor != self._cursor:
            pieces.append(_place(*cursor))
        self._cursor = cursor
        return before + "".join(pieces)

    def _piece(self, line: int, column: int, text: str) -> str:
        """Return what has to be sent of the pieces that begin at one place."""
        texts, known = self._texts.setdefault(line, {}), self._cells.setdefault(line, {})
        if texts.get(column, ("", 0))[0] == text:
            return ""
        cells = _cells(text)
        if cells is None:
            # where a sign is not one cell wide, terminals differ in where the next one stands, and in where all ends
            known.clear()
            texts.clear()
            texts[column] = text, _BEYOND
            return f"{_place(line, column)}{text}"
        end = column + len(cells)
        for begin in [begin for begin, (_, behind) in texts.items() if begin < end and behind > column]:
            del texts[begin]
        sent = [
            f"{_place(line, column + first)}{_drawn(cells[first : last + 1])}"
            for first, last in _spans([known.get(column + place) != cell for place, cell in enumerate(cells)])
        ]
        known.update(enumerate(cells, column))
        texts[column] = text, end
        return "".join(sent)


def _cells(text: str) -> list[Cell] | None:
    """Return the cells that a text takes; None where a sign takes none or two, or anything else than style is in it."""
    head, *styled = _STYLED.split(text)
    cells = [("", sign) for sign in head]
    for style, signs in zip(styled[0::2], styled[1::2], strict=True):
        cells += [("" if style == "0" else style, sign) for sign in signs]
    signs = "".join(sign for _, sign in cells)
    return cells if signs.isprintable() and cell_len(signs) == len(signs) and _all_narrow(signs) else None


def _all_narrow(signs: str) -> bool:
    return signs.isascii() or all(cell_len(sign) == 1 for sign in signs)


def _spans(is_new: list[bool]) -> list[tuple[int, int]]:
    """Return the first and the last place of each span that is to be sent; short gaps are sent with it."""
    spans: list[tuple[int, int]] = []
    for place in (place for place, new in enumerate(is_new) if new):
        if spans and place - spans[-1][1] <= _BRIDGED_CELLS:
            spans[-1] = (spans[-1][0], place)
        else:
            spans.append((place, place))
    return spans


def _drawn(cells: list[Cell]) -> str:
    """Return cells as they are sent, each style once for the signs that have it."""
    runs = [(style, "".join(sign for _, sign in run)) for style, run in groupby(cells, key=lambda cell: cell[0])]
    return "".join(f"\x1b[{style}m{signs}\x1b[0m" if style else signs for style, signs in runs)


def _place(line: int | str, column: int | str) -> str:
    return f"\x1b[{line};{column}H"
