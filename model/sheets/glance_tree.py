"""The loom at a glance as a tree of lines, for a terminal and for Markdown."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.harness import Harness
from model.review.glance import Glance, NodeKind
from model.sheets.columns import WIDTH, wrapped
from model.sheets.glance_words import Told, never_probed_words, told, tree_words
from model.sheets.review_markdown import review_markdown
from model.sheets.review_sheet import ReviewSheet
from model.sheets.review_text import review_text
from model.words import clean

_DEEPEST = 12
_MORE, _LAST, _BELOW, _ENDED = "├─ ", "└─ ", "│  ", "   "


def glance_sheet(harness: Harness, tree: Glance) -> ReviewSheet:
    """Give the head of the sheet: what it is, of which build, what is left out; the tree is added by each form."""
    build = harness.build
    date = f", {clean(build.date)}" if build.date else ""
    vehicle = f"{clean(build.name)}, revision {build.revision}{date}"
    return ReviewSheet(
        "the loom at a glance", vehicle, tree_words(harness, tree), (), cautions=never_probed_words(harness)
    )


def glance_text(harness: Harness, tree: Glance) -> str:
    """Give the sheet as text in lines of at most 80 columns."""
    return "\n".join((review_text(glance_sheet(harness, tree)), "", *tree_lines(harness, tree)))


def glance_markdown(harness: Harness, tree: Glance) -> str:
    """Give the sheet as Markdown, the tree as a block that is shown as it stands."""
    lines = (f"    {line}" for line in tree_lines(harness, tree))
    return "\n".join((review_markdown(glance_sheet(harness, tree)), "", *lines))


def tree_lines(harness: Harness, tree: Glance, cells: int = WIDTH) -> list[str]:
    """Draw the tree in lines of at most so many cells, a blank one between its roots."""
    lines: list[str] = []
    for node, block in zip(tree.nodes, tree_blocks(harness, tree, cells), strict=True):
        if node.depth == 0 and lines:
            lines.append("")
        lines += block
    return lines


def tree_blocks(harness: Harness, tree: Glance, cells: int = WIDTH) -> Iterator[list[str]]:
    """Draw each place of the tree in lines of at most so many cells; what is longer goes on below.

    Notes
    -----
    From the twelfth level on places are not set further in: they begin with the number of their level.
    """
    for node, (branch, below) in zip(tree.nodes, _prefixes(tree), strict=True):
        deep = f"level {node.depth + 1}: " if node.depth > _DEEPEST else ""
        words = f"{deep}{_words(told(harness, node), node.kind)}"
        yield wrapped(words, first=branch, rest=below, cells=cells) or [branch.rstrip()]


def _words(one: Told, kind: NodeKind) -> str:
    """Give a place as one phrase: ``F44 Stop lamps, 10 A red``."""
    names = (
        f"{one.title} {one.label}".rstrip()
        if kind not in (NodeKind.UNFED, NodeKind.GROUND)
        else f"{one.title}: {one.label}"
    )
    details = "; ".join(one.details)
    if kind is NodeKind.FUSE and details:
        return f"{names}, {' '.join(word for word in (one.figure, details) if word)}"
    return ", ".join(word for word in (names, one.figure, details) if word)


def _prefixes(tree: Glance) -> Iterator[tuple[str, str]]:
    """Give of each place what stands before its first line and before each further one."""
    last_children = {children[-1] for children in tree.children() if children}
    with_children = {node.parent for node in tree.nodes}
    below: list[str] = []
    for place, node in enumerate(tree.nodes):
        if node.depth == 0:
            branch, under = "", ""
        else:
            before = below[node.parent]
            if node.depth > _DEEPEST:
                before = before[: len(_BELOW) * (_DEEPEST - 1)]
            is_last = place in last_children
            branch, under = before + (_LAST if is_last else _MORE), before + (_ENDED if is_last else _BELOW)
        below.append(under)
        yield branch, under + (_BELOW if place in with_children else _ENDED)
