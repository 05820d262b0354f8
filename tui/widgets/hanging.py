"""Paragraphs whose lines begin with a sign or a figure, set in behind it from the second line on."""

from __future__ import annotations

import re
from collections.abc import Sequence

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from tui.text import assembled, wrapped_lines

_BEGINS = re.compile(r" *(?:·|\d+\.|<?\d+ %) +")
_LEAST_CELLS = 8


class Hanging(Widget):
    """Shows paragraphs wrapped for the width there is.

    Parameters
    ----------
    told
        One content each, without a new line in it.
    """

    DEFAULT_CSS = "Hanging { height: auto; }"

    told: reactive[tuple[Content, ...]] = reactive((), layout=True)

    def __init__(self, told: Sequence[Content] = (), *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.set_reactive(Hanging.told, tuple(told))

    def render(self) -> Content:
        """Return the lines."""
        return Content("\n").join(hung_lines(self.told, self.content_size.width))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """Return how many lines it takes."""
        return len(hung_lines(self.told, width))


def hung_lines(told: Sequence[Content], cells: int) -> list[Content]:
    """Return paragraphs in lines of at most so many cells, set in behind ``·``, ``3.`` or ``50 %``."""
    return [line for paragraph in told for line in _hung(paragraph, max(cells, _LEAST_CELLS))]


def _hung(paragraph: Content, cells: int) -> list[Content]:
    begins = _BEGINS.match(paragraph.plain)
    set_in = begins.end() if begins is not None else 0
    if set_in == 0 or paragraph.cell_length <= cells or set_in > cells // 2:
        return wrapped_lines(paragraph, cells)
    first, *rest = wrapped_lines(paragraph[set_in:], cells - set_in)
    return [paragraph[:set_in] + first, *(assembled(" " * set_in, line) for line in rest)]
