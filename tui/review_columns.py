"""How wide the columns of a review are in a window, and which of them go from the rows into the line below."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from model.sheets.review_sheet import Column, Grid
from tui.text import width

GAP = 2
_LEAST = 10
_WORD_MOST = 18
_HEAD_MOST = 24


def fit_columns(grids: Sequence[Grid], cells: int) -> tuple[int, ...]:
    """Give the widths of the columns that all these tables share; 0 for a column that has no room, or says nothing.

    Figures keep all their cells, words wrap; where even that is too much the last column of words goes first, and the
    first column stays.
    """
    columns = grids[0].columns
    cells_of = [{row[place] for grid in grids for row in grid.rows} for place in range(len(columns))]
    needs = [_need(column, words) for column, words in zip(columns, cells_of, strict=True)]
    least = [_least(column, words, need) for column, words, need in zip(columns, cells_of, needs, strict=True)]
    kept = [place for place, need in enumerate(needs) if need]
    while len(kept) > 1 and _taken(least[place] for place in kept) > cells:
        words = [place for place in kept[1:] if not columns[place].is_figure]
        kept.remove(words[-1] if words else kept[-1])
    widths = [least[place] if place in kept else 0 for place in range(len(columns))]
    _share_out(widths, needs, kept, cells)
    return tuple(widths)


def _need(column: Column, words: Collection[str]) -> int:
    """Give the cells that a column takes unwrapped; none where no row says anything in it."""
    longest = max(map(width, words), default=0)
    return max(longest, width(column.head)) if longest else 0


def _least(column: Column, words: Collection[str], need: int) -> int:
    """Give the cells that a column takes wrapped."""
    if column.is_figure:
        return need
    longest = max(map(width, {word for text in (column.head, *words) for word in text.split()}), default=0)
    return min(need, max(min(longest, _WORD_MOST), min(width(column.head), _HEAD_MOST), _LEAST))


def _taken(widths: Iterable[int]) -> int:
    taken = list(widths)
    return sum(taken) + GAP * (len(taken) - 1)


def _share_out(widths: list[int], needs: Sequence[int], kept: Sequence[int], cells: int) -> None:
    """Give what room is left to the columns that wrap, so that as many as can be do so no more."""
    left = max(cells - _taken(widths[place] for place in kept), 0)
    if len(kept) == 1:
        widths[kept[0]] = min(widths[kept[0]], cells)
    wanting = sorted(kept, key=lambda place: needs[place] - widths[place])
    for count, place in enumerate(wanting):
        share = min(needs[place] - widths[place], left // (len(wanting) - count))
        widths[place] += share
        left -= share
