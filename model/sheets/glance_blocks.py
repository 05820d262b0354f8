"""The blocks of the picture of a loom, each as high as its lines want: strips of boxes, and loads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from model.review.glance import NodeKind
from model.sheets.glance_words import Told
from model.sheets.text_widths import fitted, text_width

BOX_WIDTH = 160.0
LEAF_WIDTH = 446.0
INDENT = 16.0
SIZE, SMALL = 11.0, 9.0
"""Type sizes."""

_LINE, _SMALL_LINE = 13.0, 11.0
_PAD = 5.0
_SIGN_WIDTH = 24.0
_FIGURE_WIDTH = 58.0
_TITLE_WIDTH = 96.0
_LEVELS_SHOWN = 6
_BETWEEN = 8.0


@dataclass(frozen=True, slots=True)
class Line:
    """A line of text.

    Attributes
    ----------
    x, y
        Of its base line, from the upper left corner of its block; where it ends on the right, of its end.
    """

    words: str
    x: float
    y: float
    size: float = SIZE
    bold: bool = False
    ends: bool = False

    @property
    def width(self) -> float:
        """About how wide it is drawn."""
        return text_width(self.words, self.size, bold=self.bold)


@dataclass(frozen=True, slots=True)
class Strip:
    """A place that leads further: a fuse, a bar, a switch."""

    kind: NodeKind
    title: str
    lines: tuple[Line, ...]
    height: float


@dataclass(eq=False)
class Leaf:
    """A line of the last column: a load, a coil, a charger, a reference, or what several of these hang on.

    Attributes
    ----------
    under
        What it hangs on in the same column; None where a box feeds it.
    """

    kind: NodeKind
    title: str
    lines: tuple[Line, ...]
    height: float
    under: Leaf | None = None
    x: float = 0.0
    y: float = 0.0

    @property
    def level(self) -> int:
        """How many stand above it in its column."""
        return 0 if self.under is None else self.under.level + 1


class _Lines:
    """Lines of a block as they are set one below another."""

    def __init__(self) -> None:
        self.lines: list[Line] = []
        self.y = _PAD - 1.0

    def add(self, words: str, x: float, width: float, *, small: bool = False, bold: bool = False) -> None:
        """Set a text, broken where it is too wide."""
        size, step = (SMALL, _SMALL_LINE) if small else (SIZE, _LINE)
        for line in fitted(words, width, size, bold=bold):
            self.y += step
            self.lines.append(Line(line, x, self.y - 3.0, size, bold))

    def beside(self, words: str, right_x: float) -> bool:
        """Set a phrase at the right end of the last line where there is room; tell whether there was."""
        last = self.lines[-1]
        ends_at = max(line.x + (0.0 if line.ends else line.width) for line in self.lines if line.y == last.y)
        if last.bold or last.ends or ends_at + _BETWEEN + text_width(words, SMALL) > right_x:
            return False
        self.lines.append(Line(words, right_x, last.y, SMALL, False, True))
        return True

    @property
    def height(self) -> float:
        """Height of the block."""
        return self.y + _PAD - 1.0


def strip_of(words: Told, kind: NodeKind, *, is_empty: bool) -> Strip:
    """Set a place that leads further: sign and ids, its rating on the right, below them its label and phrases."""
    block = _Lines()
    width = BOX_WIDTH - 2 * _PAD
    room = width - _SIGN_WIDTH - (text_width(words.figure, SIZE, bold=True) + 6.0 if words.figure else 0.0)
    block.add(words.title, _PAD + _SIGN_WIDTH, max(room, _FIGURE_WIDTH), bold=True)
    if words.figure:
        block.lines.append(Line(words.figure, BOX_WIDTH - _PAD, block.lines[0].y, SIZE, True, True))
    block.add(words.label, _PAD, width)
    for number, phrase in enumerate((*words.details, *(("nothing behind it in the file",) if is_empty else ()))):
        if number or not block.beside(phrase, BOX_WIDTH - _PAD):
            block.add(phrase, _PAD, width, small=True)
    return Strip(kind, words.title, tuple(block.lines), block.height)


def leaf_of(words: Told, kind: NodeKind, under: Leaf | None = None) -> Leaf:
    """Set a line of the last column: ids, label, amperes on the right, below them its phrases."""
    block = _Lines()
    indent = 0.0 if under is None else min(under.level + 1, _LEVELS_SHOWN) * INDENT
    room = LEAF_WIDTH - indent - _FIGURE_WIDTH
    block.y = 0.0
    block.add(words.title, indent, room, bold=True)
    if words.figure:
        block.lines.append(Line(words.figure, LEAF_WIDTH, block.lines[0].y, SIZE, False, True))
    label_x = indent + _TITLE_WIDTH
    if text_width(words.title, SIZE, bold=True) <= _TITLE_WIDTH - 8.0:
        block.y -= _LINE
    block.add(words.label, label_x, room - _TITLE_WIDTH)
    phrases = "; ".join(words.details)
    if phrases and not words.label:
        block.y += _LINE - _SMALL_LINE
    block.add(phrases, label_x, room - _TITLE_WIDTH, small=True)
    return Leaf(kind, words.title, tuple(block.lines), max(block.y, _LINE), under)


def reference(cut: str, strips: Sequence[Strip], where: str) -> Leaf:
    """Set what stands in the place of a box that is drawn elsewhere: ``below``, ``on sheet 3``."""
    label = " ".join(line.words for line in strips[-1].lines if not line.bold and line.size == SIZE)
    return leaf_of(Told(cut, label, "", (f"drawn {where}",)), NodeKind.SEE)
