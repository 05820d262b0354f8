"""Text in columns: what a terminal shows of it in cells, padded and wrapped by those."""

from __future__ import annotations

import unicodedata
from functools import cache

WIDTH = 80


def cell_width(text: str) -> int:
    """Give how many cells of a terminal a cleaned text takes: two for a wide character, none for a combining one.

    Notes
    -----
    Wide and fullwidth by Unicode Standard Annex #11, East Asian Width.
    """
    # most text is ASCII once cleaned, and long sheets are measured word by word
    return len(text) if text.isascii() else sum(_cells(character) for character in text)


@cache
def _cells(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def padded(text: str, cells: int, *, right: bool = False) -> str:
    """Fill a text up with spaces to so many cells, on its left where it is to stand on the right."""
    spaces = " " * max(cells - cell_width(text), 0)
    return spaces + text if right else text + spaces


def wrapped(text: str, *, first: str = "", rest: str = "", cells: int = WIDTH) -> list[str]:
    """Break a text at its spaces into lines of at most so many cells; a word longer than a line is broken anywhere.

    Parameters
    ----------
    first, rest
        What stands before the first line and before each further one.
    """
    lines: list[str] = []
    line, taken, filled = first, cell_width(first), False
    for word in _fitting(text.split(), cells - max(cell_width(first), cell_width(rest))):
        width = cell_width(word)
        if filled and taken + 1 + width > cells:
            lines.append(line)
            line, taken, filled = rest, cell_width(rest), False
        line += f" {word}" if filled else word
        taken += width + filled
        filled = True
    return [*lines, line] if filled else lines


def _fitting(words: list[str], cells: int) -> list[str]:
    """Break words that are longer than a line."""
    found: list[str] = []
    for word in words:
        if cell_width(word) <= cells:
            found.append(word)
            continue
        piece = ""
        for character in word:
            if piece and cell_width(piece) + _cells(character) > max(cells, 2):
                found.append(piece)
                piece = ""
            piece += character
        found.append(piece)
    return found
