"""The rows of a plan as a list: what is measured, what to expect, what was read and what comes of it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content

from model.plans.draw_words import coarse_words
from model.plans.judging import Standing, limit_at
from model.plans.leaning import as_read
from model.plans.plan import PlanRow
from model.plans.row_words import expect_words, limit_words, outside_words, value_words
from tui.plan_titles import short_titles
from tui.text import assembled, coloured, padded, signed, width
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from model.plans.kept import Kept

CANNOT_FAIL = "cannot fail"
TOO_COARSE = "too coarse"
ALREADY_OUT = "already out"
UNWRITTEN = "unwritten"

_GAP = "  "
_EXPECT, _READ, _VERDICT = 8, 9, 11
_LIMIT, _LONG_VERDICT = 18, 20
_EXPECT_FROM, _LIMIT_FROM, _LONG_VERDICT_FROM = 46, 86, 110
_SIGNS = {
    Standing.OPEN: "○",
    Standing.GOOD: "●",
    Standing.BAD: "▪",
    Standing.SKIPPED: "·",
    Standing.UNPROVEN: "·",
}
_STYLES = {
    Standing.OPEN: "",
    Standing.GOOD: "$ground",
    Standing.BAD: "bold $caution",
    Standing.SKIPPED: "$quiet",
    Standing.UNPROVEN: "$suspect",
}


@dataclass(frozen=True)
class RowsShown:
    """What the list of a plan shows.

    Attributes
    ----------
    rows
        Those shown, in the order of the plan.
    kept
        The answer that counts of each row that has one, by its key.
    unwritten
        Keys of rows whose answer is not on the disk.
    """

    rows: Sequence[PlanRow]
    kept: Mapping[str, Kept]
    unwritten: Collection[str] = ()


def standing_of(row: PlanRow, kept: Mapping[str, Kept]) -> Standing:
    """Tell how a row stands."""
    answer = kept.get(row.key)
    return Standing.OPEN if answer is None else answer.verdict.standing


def left_rows(rows: Sequence[PlanRow], kept: Mapping[str, Kept]) -> list[PlanRow]:
    """List the rows that are open, bad or skipped; once none is open those that are unproven too."""
    left = {standing_of(row, kept) for row in rows} & {Standing.OPEN, Standing.BAD, Standing.SKIPPED}
    if Standing.OPEN not in left:
        left.add(Standing.UNPROVEN)
    return [row for row in rows if standing_of(row, kept) in left]


def plan_heads(cells: int) -> Content:
    """Return the heads of the columns for a list so many cells wide."""
    columns = _Columns(cells)
    head = _joined(columns, _Words("what", "expect", "good", "read", "verdict"), "  ")
    return assembled(("  ", ""), (head.plain, "$quiet"))


def plan_rows(shown: RowsShown, cells: int) -> list[Row]:
    """Return the rows under the heads of their groups; each is drawn only once it comes into the window."""
    return list(_rows(shown, cells))


def plan_row(shown: RowsShown, row: PlanRow, cells: int) -> Row:
    """Return one row."""
    kept = shown.kept.get(row.key)
    titles = short_titles(tuple((one.group, one.title) for one in shown.rows), _Columns(cells).what)
    title = titles.get((row.group, row.title), row.title)
    return Row(partial(row_content, as_read(row, shown.kept), title, kept, row.key in shown.unwritten, cells), row.key)


def row_content(row: PlanRow, title: str, kept: Kept | None, is_unwritten: bool, cells: int) -> Content:
    """Return a row as it stands for a list so many cells wide.

    Parameters
    ----------
    title
        Of the row, so short that it fits.
    """
    standing = Standing.OPEN if kept is None else kept.verdict.standing
    limit = limit_at(row, None if kept is None else kept.taken.amps)
    good = "" if limit is None else limit_words(row, limit)
    words = _Words(
        title, expect_briefly(row), good, read_words(row, kept), verdict_words(row, kept, is_unwritten, cells)
    )
    return _joined(_Columns(cells), words, f"{_SIGNS[standing]} ", _STYLES[standing])


def expect_briefly(row: PlanRow) -> str:
    """Say what a sound loom shows in few cells: in words where they are few, else the value."""
    words = expect_words(row)
    if row.expect is None or width(words) <= _EXPECT:
        return words
    return value_words(row, row.expect)


def read_words(row: PlanRow, kept: Kept | None) -> str:
    """Say what was read in a row; empty where nothing was."""
    if kept is None or kept.taken.value is None:
        return ""
    return value_words(row, kept.taken.value)


def verdict_words(row: PlanRow, kept: Kept | None, is_unwritten: bool, cells: int) -> str:
    """Say how a row stands; nothing of one that is open, can fail and by its own file is within its limit."""
    if kept is None and not row.tells:
        return _cannot_fail(row, cells)
    if kept is None:
        limit = limit_at(row, None)
        return ALREADY_OUT if limit is not None and outside_words(row, limit) else ""
    standing = str(kept.verdict.standing)
    if not is_unwritten:
        return standing
    return f"{standing}, {UNWRITTEN}" if _Columns(cells).verdict > _VERDICT else UNWRITTEN


def _cannot_fail(row: PlanRow, cells: int) -> str:
    """Say that a row cannot fail, or of a fuse below what it is too coarse, in as many words as have room."""
    words = coarse_words(row)
    if not words:
        return CANNOT_FAIL
    room = _Columns(cells).verdict
    return next((one for one in (words, words.removeprefix("too ")) if width(one) <= room), TOO_COARSE)


@dataclass(frozen=True, slots=True)
class _Columns:
    """How wide the columns are in a list so many cells wide; a column of no cells is left out."""

    cells: int

    @property
    def expect(self) -> int:
        return _EXPECT if self.cells >= _EXPECT_FROM else 0

    @property
    def limit(self) -> int:
        return _LIMIT if self.cells >= _LIMIT_FROM else 0

    @property
    def verdict(self) -> int:
        return _LONG_VERDICT if self.cells >= _LONG_VERDICT_FROM else _VERDICT

    @property
    def what(self) -> int:
        others = [one for one in (self.expect, self.limit, _READ, self.verdict) if one]
        return max(self.cells - 2 - sum(others) - len(_GAP) * len(others), 4)


class _Words(NamedTuple):
    """What stands in the columns of one line."""

    what: str
    expect: str
    good: str
    read: str
    verdict: str


def _joined(columns: _Columns, words: _Words, sign: str, style: str = "") -> Content:
    with_swatch = signed(words.what)
    parts = [padded(with_swatch if width(with_swatch) <= columns.what else words.what, columns.what)]
    figures = [(words.expect, columns.expect, True), (words.good, columns.limit, False), (words.read, _READ, True)]
    figures = [one for one in figures if one[1]]
    if columns.expect and width(words.expect) > columns.expect:
        figures = _run_on(figures)
    parts += [padded(told, cells, right=is_right) for told, cells, is_right in figures]
    return assembled((sign, style), coloured(_GAP.join(parts)), _GAP, (padded(words.verdict, columns.verdict), style))


def _run_on(figures: list[tuple[str, int, bool]]) -> list[tuple[str, int, bool]]:
    """Let the words of the first column run on into those behind it that have none: words, cells, right or left."""
    (words, cells, _), *others = figures
    while others and not others[0][0]:
        cells += len(_GAP) + others.pop(0)[1]
    return [(words, cells, False), *others]


def _rows(shown: RowsShown, cells: int) -> Iterator[Row]:
    group: str | None = None
    for row in shown.rows:
        if row.group != group:
            group = row.group
            yield Row(partial(_head, group), can_be_marked=False)
        yield plan_row(shown, row, cells)


def _head(group: str) -> Content:
    return assembled((group or "place not given", "bold $feed"))
