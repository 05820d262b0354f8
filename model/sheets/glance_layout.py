"""Where everything of the picture of a loom stands: boxes in columns from the sources on, loads in one column at last.

Lengths are in units of the picture, some 0.23 mm on A4 paper laid across; y goes downward.
"""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.harness import Harness
from model.review.glance import Glance
from model.sheets.glance_blocks import BOX_WIDTH, LEAF_WIDTH, Leaf
from model.sheets.glance_boxes import BOX_GAP, LEAF_GAP, Box, boxes_of, each_box, first_drop, heights_of
from model.sheets.glance_cutting import name_sheets, sheets_of_boxes

GAP = 28.0
"""Between two columns: the lines go there."""
HEAD = 20.0
"""Above a box that was cut off: it is said there where that was."""

SHEET_GAP = 26.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: the boxes at its left edge, and its size.

    Attributes
    ----------
    leaves_x
        Where the column of the loads begins.
    """

    tops: tuple[Box, ...]
    width: float
    height: float
    leaves_x: float

    def boxes(self) -> list[Box]:
        """List every box on it, parents first."""
        return [box for top in self.tops for box in each_box(top)]


def sheets_of(harness: Harness, tree: Glance, height: float) -> tuple[Sheet, ...]:
    """Lay a tree out on sheets that are no higher than asked for, as far as a single fuse with its loads lets them.

    A tree that is higher, or has more than four boxes in a row, is cut at boxes: these go on sheets of their own, and
    where they were their sheet is named.
    """
    grouped = sheets_of_boxes(boxes_of(harness, tree), height, HEAD, SHEET_GAP)
    name_sheets(grouped)
    columns = max((depth for tops in grouped for top in tops for depth in _columns(top)), default=1)
    leaves_x = columns * (BOX_WIDTH + GAP)
    found = []
    for tops in grouped:
        y = -SHEET_GAP
        for top in tops:
            y = _place(top, y + SHEET_GAP, leaves_x)
        found.append(Sheet(tuple(tops), leaves_x + LEAF_WIDTH, max(y, 0.0), leaves_x))
    return tuple(found)


def _columns(top: Box) -> list[int]:
    """Give the column of every box, the first is 1."""
    column = {top: 1}
    for box in each_box(top):
        column.update((part, column[box] + 1) for part in box.parts if isinstance(part, Box))
    return list(column.values())


def _place(top: Box, y: float, leaves_x: float) -> float:
    """Place a box and all that hangs on it, and give where that ends."""
    top.x, top.y = 0.0, y + (HEAD if top.cut else 0.0)
    heights = heights_of(top)
    waiting: list[Box] = [top]
    while waiting:
        box = waiting.pop()
        at = box.y + first_drop(box)
        for part in box.parts:
            part.y = at
            if isinstance(part, Leaf):
                part.x = leaves_x
                at += part.height + LEAF_GAP
            else:
                part.x = box.x + BOX_WIDTH + GAP
                at += heights[part] + BOX_GAP
                waiting.append(part)
    return top.y + heights[top]
