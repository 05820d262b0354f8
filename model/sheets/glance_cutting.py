"""How the picture of a large loom is cut into sheets: at boxes, and where one feeds too much, between what it feeds."""

from __future__ import annotations

from collections.abc import Iterable

from model.sheets.glance_blocks import Leaf, reference
from model.sheets.glance_boxes import Box, each_box, height_of, heights_of, part_height

_COLUMNS_AT_MOST = 4
_WORTH_A_SHEET = 0.2
"""A box that fills less of a sheet than this is not put on another one."""


def sheets_of_boxes(tops: Iterable[Box], height: float, head: float, gap: float) -> list[list[Box]]:
    """Cut trees of boxes so that each fits a sheet, and put them on sheets in their order.

    Parameters
    ----------
    height
        Of a sheet.
    head
        Room above a box that was cut off.
    gap
        Between two trees on one sheet.
    """
    sheets: list[list[Box]] = []
    room = 0.0
    for top in tops:
        for box in _cut_to_fit(top, height - head):
            taken = heights_of(box)[box] + (head if box.cut else 0.0)
            if not sheets or taken > room:
                sheets.append([])
                room = height
            sheets[-1].append(box)
            room -= taken + gap
    return sheets


def name_sheets(sheets: list[list[Box]]) -> None:
    """Put a reference where a box was cut off, and say at the box where it comes from."""
    number = {top: place for place, tops in enumerate(sheets, 1) for top in tops}
    for place, tops in enumerate(sheets, 1):
        for box in [box for top in tops for box in each_box(top)]:
            for at, part in enumerate(box.parts):
                if isinstance(part, Box) and part.cut:
                    is_here = number[part] == place
                    where = "below" if is_here else f"on sheet {number[part]}"
                    box.parts[at] = reference(part.cut, part.strips, where)
                    part.cut = f"from {box.strips[-1].title}, {'above' if is_here else f'sheet {place}'}"


def _cut_to_fit(top: Box, height: float) -> list[Box]:
    """Cut a tree where it is too high or too deep; what is cut off follows in the order of the tree."""
    every = each_box(top)
    order: dict[Box, tuple[int, int]] = {box: (number, 0) for number, box in enumerate(every)}
    heights: dict[Box, float] = {}
    depth: dict[Box, int] = {}
    cut: list[Box] = []
    for box in reversed(every):
        for part in box.parts:
            if isinstance(part, Box) and depth[part] >= _COLUMNS_AT_MOST:
                _cut(part, cut)
        _cut_the_largest(box, heights, height, cut)
        first = order[box][0]
        for number, further in enumerate(_split(box, heights, height), 1):
            order[further] = (first, number)
            cut.append(further)
        heights[box] = height_of(box, heights)
        kept = [part for part in box.parts if isinstance(part, Box) and not part.cut]
        depth[box] = 1 + max((depth[part] for part in kept), default=0)
    return [top, *sorted(cut, key=order.__getitem__)]


def _cut(box: Box, cut: list[Box]) -> None:
    first, last = box.strips[0].title, box.strips[-1].title
    box.cut = first if len(box.strips) == 1 else f"{first} to {last}"
    cut.append(box)


def _cut_the_largest(box: Box, heights: dict[Box, float], height: float, cut: list[Box]) -> None:
    """Cut off those boxes with more boxes on them that take most room, until the rest fits."""
    bars = (part for part in box.parts if isinstance(part, Box) and any(isinstance(one, Box) for one in part.parts))
    worth = [part for part in bars if not part.cut and heights[part] > _WORTH_A_SHEET * height]
    taken = height_of(box, heights)
    for part in sorted(worth, key=lambda part: heights[part], reverse=True):
        if taken <= height:
            return
        taken -= part_height(part, heights)
        _cut(part, cut)
        taken += part_height(part, heights)


def _split(box: Box, heights: dict[Box, float], height: float) -> list[Box]:
    """Leave with a box what fits a sheet, and give boxes that go on with the rest, one a sheet."""
    if height_of(box, heights) <= height:
        return []
    runs: list[list[Leaf | Box]] = [[]]
    taken = 0.0
    for part in box.parts:
        needed = part_height(part, heights)
        hangs = isinstance(part, Leaf) and part.under is not None
        if taken + needed > height - _ROOM_TO_GO_ON and runs[-1] and not hangs:
            runs.append([])
            taken = 0.0
        runs[-1].append(part)
        taken += needed
    box.parts = runs[0]
    further = [Box([box.strips[-1]], run, cut=f"{box.strips[-1].title}, goes on") for run in runs[1:]]
    for before, after in zip((box, *further), further, strict=False):
        before.parts.append(after)
        heights[after] = 0.0
    return further


_ROOM_TO_GO_ON = 40.0
