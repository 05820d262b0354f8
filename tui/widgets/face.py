"""The face of a plug: its lines from one side or from both, cut to a window round the cavity asked for."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from tui.text import assembled, padded, width

Side = tuple[str, tuple[str, ...]]
"""From where the face is seen, and its lines, the cavity asked for as ``>6<``."""

_BETWEEN = 6


class FaceView(Widget):
    """Shows the face from the wire side and from the mating side: side by side where there is room, else in turn."""

    DEFAULT_CSS = "FaceView { height: auto; padding: 0 1; }"

    sides: reactive[tuple[Side, ...]] = reactive((), layout=True)
    first: reactive[int] = reactive(0, layout=True)
    most_lines: reactive[int] = reactive(8, layout=True)

    def render(self) -> Content:
        """Return the lines."""
        return Content("\n").join(self.drawn(self.content_size.width or self.app.size.width - 2))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """Return how many lines there are."""
        return len(self.drawn(width))

    def drawn(self, cells: int) -> list[Content]:
        """Return the lines as they are drawn in so many cells."""
        return face_block(self.sides, self.first, cells, self.most_lines)


def face_block(sides: Sequence[Side], first: int, cells: int, most_lines: int) -> list[Content]:
    """Return faces side by side where they fit, else the one asked for, at most so many lines with their head.

    One side alone is no face but the sentence that there is none: it is wrapped, and stands whole.
    """
    if not sides or most_lines < 2:
        return []
    if len(sides) == 1:
        head, sentences = sides[0]
        said = [line for sentence in sentences for line in assembled(sentence).wrap(max(cells, 8))]
        return [assembled((padded(head, cells), "$quiet")), *said]
    turned = [*sides[first % len(sides) :], *sides[: first % len(sides)]]
    windows = [(head, face_window(lines, cells, most_lines - 1)) for head, lines in turned]
    widths = [max(width(head), *(width(line) for line in lines)) for head, lines in windows]
    if sum(widths) + _BETWEEN * (len(widths) - 1) > cells:
        (head, lines), other = windows[0], windows[1 % len(windows)][0].rpartition(", ")[2]
        hint = f"{head}   f: {other}" if len(windows) > 1 else head
        windows = [(hint if width(hint) <= cells else head, lines)]
        widths = [min(max(width(one) for one in (windows[0][0], *lines)), cells)]
    gap = " " * _BETWEEN
    heads = [(padded(head, cell), "$quiet") for (head, _), cell in zip(windows, widths, strict=True)]
    drawn = [Content(gap).join([assembled(head) for head in heads])]
    for place in range(max(len(lines) for _, lines in windows)):
        parts = [
            _marked(padded(lines[place] if place < len(lines) else "", cell))
            for (_, lines), cell in zip(windows, widths, strict=True)
        ]
        drawn.append(Content(gap).join(parts))
    return drawn


def face_window(lines: Sequence[str], cells: int, most_lines: int) -> list[str]:
    """Return the part of a face that has room, the cavity asked for in it."""
    row, column = _asked(lines)
    top = min(max(row - most_lines // 2, 0), max(len(lines) - most_lines, 0))
    longest = max((width(line) for line in lines), default=0)
    left = min(max(column - cells // 2, 0), max(longest - cells, 0))
    return [line[left : left + cells] for line in lines[top : top + most_lines]]


def _asked(lines: Sequence[str]) -> tuple[int, int]:
    """Return line and column of the cavity asked for."""
    for row, line in enumerate(lines):
        if ">" in line:
            return row, line.index(">")
    return 0, 0


def _marked(line: str) -> Content:
    """Return a line with the cavity asked for in reverse video."""
    start, end = line.find(">"), line.find("<")
    if not 0 <= start < end:
        return assembled(line)
    return assembled(line[:start], (line[start : end + 1], "bold reverse"), line[end + 1 :])
