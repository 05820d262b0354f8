"""About how wide a text is drawn in a plain sans-serif face: never less than the common ones draw it.

Notes
-----
The greater advance width, in hundredths of the type size, of Liberation Sans 2 (which has the widths of Arial and
Helvetica) and DejaVu Sans 2.37, the widest of the faces that browsers fall back on, rounded up to five; read from the
fonts' own tables of advance widths.
"""

from __future__ import annotations

import unicodedata
from functools import cache

_REGULAR = {
    30: "'Iijl",
    35: " ,./:;\\f|",
    40: "!()-[]t",
    45: "r",
    50: '"*J`',
    55: "csz",
    60: "?L_kvxy",
    65: "$0123456789FTabdeghnopqu{}",
    70: "ABEKPSVXYZ",
    75: "CHNRU",
    80: "&DGOQ",
    85: "#+<=>^w~",
    90: "M",
    95: "%",
    100: "Wm",
    105: "@",
}
_BOLD = {
    35: " 'ijl",
    40: ",./:;I\\|",
    45: "-f",
    50: "!()[]`rt",
    55: '"*',
    60: "J_csz",
    65: "?Lvxy",
    70: "$0123456789EFTaeko",
    75: "CPSYZbdghnpqu{}",
    80: "ABKRVX",
    85: "#+<=>DGHNOQU^~",
    90: "&",
    95: "w",
    100: "%@M",
    105: "m",
    110: "W",
}
_LATIN, _OTHER, _WIDE = 100, 125, 110


def _by_character(widths: dict[int, str]) -> dict[str, int]:
    return {character: width for width, characters in widths.items() for character in characters}


_TABLES = {False: _by_character(_REGULAR), True: _by_character(_BOLD)}


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Give the width of a text in the unit of its type size."""
    return sum(_hundredths(character, bold) for character in text) * size / 100


@cache
def _hundredths(character: str, bold: bool) -> int:
    known = _TABLES[bold].get(character)
    if known is not None:
        return known
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    if unicodedata.east_asian_width(character) in ("W", "F"):
        return _WIDE
    return _LATIN if character < "ſ" else _OTHER


def fitted(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Break a text at its spaces into lines no wider than a width; a word that is wider is broken anywhere."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if text_width(longer, size, bold=bold) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _broken(word, width, size, bold=bold)
        lines += whole
    return [*lines, line] if line else lines


def _broken(word: str, width: float, size: float, *, bold: bool) -> list[str]:
    pieces = [""]
    taken = 0.0
    for character in word:
        wide = text_width(character, size, bold=bold)
        if pieces[-1] and taken + wide > width:
            pieces.append("")
            taken = 0.0
        pieces[-1] += character
        taken += wide
    return pieces
