"""The boxes of the picture of a loom: places in a row are one; loads and their switches are none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from model.harness.harness import Harness
from model.review.glance import Glance, Node, NodeKind
from model.sheets.glance_blocks import Leaf, Strip, leaf_of, reference, strip_of
from model.sheets.glance_words import told

BOX_GAP, LEAF_GAP = 9.0, 4.0
ENTRY_Y, LEAF_Y = 10.0, 6.0
"""Where a line meets a strip and a load, below their upper edges."""

_STRIPS_AT_MOST = 4
_ROOTS = frozenset({NodeKind.SOURCE, NodeKind.UNFED, NodeKind.GROUND})
_MAIN = _ROOTS | {NodeKind.BAR, NodeKind.FUSE}
_BRANCHING = frozenset({NodeKind.GATE, NodeKind.OUTLET})


@dataclass(eq=False)
class Box:
    """Places that follow one another without a branch, drawn as strips of one box.

    Attributes
    ----------
    parts
        Loads and boxes that hang on it, from top to bottom.
    cut
        What it is called where it stands on a sheet of its own, and once all sheets are known, where it comes from.
    """

    strips: list[Strip]
    parts: list[Leaf | Box] = field(default_factory=list)
    x: float = 0.0
    y: float = 0.0
    cut: str = ""

    @property
    def height(self) -> float:
        """Height of the box alone."""
        return sum(strip.height for strip in self.strips)


def boxes_of(harness: Harness, tree: Glance) -> list[Box]:
    """Make the boxes of a tree; those of the roots are given."""
    children = tree.children()
    leads_on = _leading_to_fuses(tree)
    inside: dict[int, tuple[Box, Leaf | None]] = {}
    tops: list[Box] = []
    for place, node in enumerate(tree.nodes):
        words = told(harness, node)
        above, heading = inside.get(node.parent, (None, None))
        follows = above is not None and heading is None and len(children[node.parent]) == 1
        if node.kind in _MAIN or (node.kind in _BRANCHING and (place in leads_on or follows)):
            strip = strip_of(words, node.kind, is_empty=not children[place] and _feeds(tree, node))
            if above is not None and follows and len(above.strips) < _STRIPS_AT_MOST:
                above.strips.append(strip)
                inside[place] = (above, None)
                continue
            box = Box([strip])
            (tops if above is None else above.parts).append(box)
            inside[place] = (box, None)
        elif above is not None:
            leaf = leaf_of(words, node.kind, heading)
            above.parts.append(leaf)
            inside[place] = (above, leaf)
    return tops


def _feeds(tree: Glance, node: Node) -> bool:
    """Tell whether a place is there to feed something: neither a ground side nor a fuse in it is."""
    above = node if node.parent < 0 else tree.nodes[node.parent]
    return above.kind is not NodeKind.GROUND


def _leading_to_fuses(tree: Glance) -> set[int]:
    """Give the places behind which a fuse or bar stands."""
    found: set[int] = set()
    for place in range(len(tree.nodes) - 1, -1, -1):
        node = tree.nodes[place]
        if node.parent >= 0 and (node.kind in _MAIN or place in found):
            found.add(node.parent)
    return found


def each_box(top: Box) -> list[Box]:
    """List a box and those that hang on it, parents first, those on other sheets left out."""
    found, waiting = [], [top]
    while waiting:
        box = waiting.pop()
        found.append(box)
        waiting += [part for part in reversed(box.parts) if isinstance(part, Box) and not part.cut]
    return found


def heights_of(top: Box) -> dict[Box, float]:
    """Give of a box and of each on it how high it is with all that hangs on it."""
    heights: dict[Box, float] = {}
    for box in reversed(each_box(top)):
        heights[box] = height_of(box, heights)
    return heights


def height_of(box: Box, heights: Mapping[Box, float]) -> float:
    """Give how high a box is with all that hangs on it; what is on another sheet is a reference here."""
    return max(box.height, first_drop(box) + sum(part_height(part, heights) for part in box.parts))


def first_drop(box: Box) -> float:
    """Give how far down the first part stands: a load so that the line to it goes straight."""
    return ENTRY_Y - LEAF_Y if box.parts and isinstance(box.parts[0], Leaf) else 0.0


def part_height(part: Leaf | Box, heights: Mapping[Box, float]) -> float:
    """Give the height that a part takes with the gap below it."""
    if isinstance(part, Leaf):
        return part.height + LEAF_GAP
    if part.cut:
        return reference(part.cut, part.strips, "below").height + LEAF_GAP
    return heights[part] + BOX_GAP
