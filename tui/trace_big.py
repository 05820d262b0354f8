"""Letters three rows high: five dots in a cell's two halves, three dots wide; in ASCII one dot a cell."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from model.words import clean

_DOTS_HIGH = 5
_ROWS = 3
_UPPER, _LOWER, _BOTH = "▀", "▄", "█"

_DRAWN = """
0 ### #.# #.# #.# ###
1 .#. ##. .#. .#. ###
2 ### ..# ### #.. ###
3 ### ..# .## ..# ###
4 #.# #.# ### ..# ..#
5 ### #.. ### ..# ###
6 ### #.. ### #.# ###
7 ### ..# ..# .#. .#.
8 ### #.# ### #.# ###
9 ### #.# ### ..# ###
A .#. #.# ### #.# #.#
B ##. #.# ##. #.# ##.
C .## #.. #.. #.. .##
D ##. #.# #.# #.# ##.
E ### #.. ##. #.. ###
F ### #.. ##. #.. #..
G .## #.. #.# #.# .##
H #.# #.# ### #.# #.#
I ### .#. .#. .#. ###
J ..# ..# ..# #.# .#.
K #.# #.# ##. #.# #.#
L #.. #.. #.. #.. ###
M #...# ##.## #.#.# #...# #...#
N #..# ##.# #.## #..# #..#
O .#. #.# #.# #.# .#.
P ##. #.# ##. #.. #..
Q .#. #.# #.# .#. ..#
R ##. #.# ##. #.# #.#
S .## #.. .#. ..# ##.
T ### .#. .#. .#. .#.
U #.# #.# #.# #.# ###
V #.# #.# #.# #.# .#.
W #...# #...# #.#.# ##.## #...#
X #.# #.# .#. #.# #.#
Y #.# #.# .#. .#. .#.
Z ### ..# .#. #.. ###
. . . . . #
, .. .. .. .# #.
: . # . # .
- ... ... ### ... ...
+ ... .#. ### .#. ...
/ ..# ..# .#. #.. #..
( .# #. #. #. .#
) #. .# .# .# #.
' # # . . .
? ### ..# .## ... .#.
_ ... ... ... ... ###
> #.. .#. ..# .#. #..
m ..... ..... ##.#. #.#.# #.#.#
k #.. #.. #.# ##. #.#
Ω .###. #...# #...# .#.#. ##.##
"""

_LETTERS = {line.split()[0]: tuple(line.split()[1:]) for line in _DRAWN.strip().splitlines()}
_IN_SMALL = frozenset({"mV", "mA", "mΩ", "kΩ"})
"""Units that are others in capitals: a thousandth is no million."""

_SPACE = ("..",) * _DOTS_HIGH
_OTHER = _LETTERS["?"]


def big_block(told: Sequence[str], cells: int, height: int, in_ascii: bool = False) -> Content:
    """Return lines in big letters, one below the other, those that have no room left out, the last ones first.

    A line that is too long is broken at spaces, a word that is too long within it.
    """
    rows_each = _DOTS_HIGH + 1 if in_ascii else _ROWS
    drawn: list[str] = []
    for line in told:
        for part in _broken(_in_capitals(line), cells):
            if len(drawn) + rows_each > height + in_ascii:
                return Content("\n".join(drawn))
            drawn += big_rows(part, in_ascii)
    return Content("\n".join(drawn))


def big_rows(words: str, in_ascii: bool = False) -> list[str]:
    """Return the rows that a line of big letters is made of: three, in ASCII six."""
    dots = [".".join(_letter(sign)[row] for sign in words) for row in range(_DOTS_HIGH)]
    if in_ascii:
        return [*(row.replace(".", " ") for row in dots), ""]
    dots.append("." * len(dots[0]))
    return [_halves(dots[row], dots[row + 1]) for row in range(0, 2 * _ROWS, 2)]


def big_width(words: str) -> int:
    """Return how many cells a line of big letters takes."""
    return sum(len(_letter(sign)[0]) + 1 for sign in words) - 1 if words else 0


def _in_capitals(line: str) -> str:
    return " ".join(word if word in _IN_SMALL else word.upper() for word in clean(line).split())


def _letter(sign: str) -> tuple[str, ...]:
    return _SPACE if sign.isspace() else _LETTERS.get(sign, _OTHER)


def _halves(upper: str, lower: str) -> str:
    signs = {("#", "#"): _BOTH, ("#", "."): _UPPER, (".", "#"): _LOWER}
    return "".join(signs.get((one, other), " ") for one, other in zip(upper, lower, strict=True))


def _broken(words: str, cells: int) -> list[str]:
    """Break a line so that each part fits, at spaces where there are any."""
    parts: list[str] = []
    now = ""
    for word in words.split():
        while big_width(word) > cells and len(word) > 1:
            fits = next((end for end in range(len(word), 1, -1) if big_width(word[:end]) <= cells), 1)
            parts += [now] if now else []
            now, parts, word = "", [*parts, word[:fits]], word[fits:]
        joined = f"{now} {word}".strip()
        if big_width(joined) <= cells:
            now = joined
        else:
            parts.append(now)
            now = word
    return [part for part in [*parts, now] if part]
