"""The loom at a glance as rows of a screen: the tree, each place leading to its part."""

from __future__ import annotations

from functools import partial

from model.harness.harness import Harness
from model.review.glance import Glance, Node, NodeKind
from model.sheets.glance_tree import glance_markdown, glance_sheet, tree_blocks
from model.words import plural
from tui.review_making import Reviewed
from tui.review_rows import Laid, Told, lay_out
from tui.text import assembled
from tui.widgets.rows import Row

_BRANCHES = "│├└─ "


def glance_reviewed(harness: Harness, tree: Glance) -> Reviewed:
    """Give the tree of a loom."""
    sheet = glance_sheet(harness, tree)
    return Reviewed(
        sheet.title, glance_outcome(tree), partial(_lay, harness, tree), partial(glance_markdown, harness, tree)
    )


def glance_outcome(tree: Glance) -> str:
    """Count what stands in the tree."""
    kinds = [node.kind for node in tree.nodes]
    return ", ".join(
        (
            plural(kinds.count(NodeKind.SOURCE), "source"),
            plural(kinds.count(NodeKind.FUSE), "fuse"),
            plural(kinds.count(NodeKind.TAKER), "load circuit"),
        )
    )


def _lay(harness: Harness, tree: Glance, cells: int, height: int) -> Laid:
    """Lay the tree out behind what it shows and leaves out."""
    rows = [*lay_out(glance_sheet(harness, tree), cells, height).rows, Row(assembled(""), can_be_marked=False)]
    told: dict[str, Told] = {}
    for place, (node, lines) in enumerate(zip(tree.nodes, tree_blocks(harness, tree, cells), strict=True)):
        key = f"{_part_of(node)} {place}"
        told[key] = Told(_part_of(node), (("", " ".join(line.lstrip(_BRANCHES) for line in lines)),))
        if node.depth == 0 and place:
            rows.append(Row(assembled(""), can_be_marked=False))
        rows += [Row(assembled(line), key, can_be_marked=number == 0) for number, line in enumerate(lines)]
    return Laid(tuple(rows), told)


def _part_of(node: Node) -> str:
    return next(iter(node.part_ids), node.name.partition(":")[0])
