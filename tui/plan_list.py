"""The list of plans: how each stands, row by row counted, and the record."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content

from model.errors import FusewalkError
from model.plans.judging import Standing
from model.plans.kept import counts
from model.plans.plan import LoomState, Plan, PlanKind
from model.record_entries import Measured, Reading
from model.words import plural
from tui.plan_keeper import PlanKeeper
from tui.plan_making import PlansMade
from tui.text import assembled, padded
from tui.widgets.rows import Row

RECORD_KEY = "record"
_NAME = 16
_COUNTED = (Standing.OPEN, Standing.GOOD, Standing.BAD, Standing.SKIPPED, Standing.UNPROVEN)
_MORE = "o: more"
_SENTENCE_ENDS = re.compile(r"(?<=[.!?]) +(?=[A-Z])")
_GAP = " "
_ALL_FROM = 53
_FEW = 3


@dataclass(frozen=True)
class PlanLine:
    """One plan in the list.

    Attributes
    ----------
    state
        Of the loom; None of a plan that knows none.
    plan
        None while it is being made, and where it cannot be.
    counts
        Rows by how they stand; None where there is no plan.
    trouble
        Why it cannot be made; empty where it can.
    """

    kind: PlanKind
    state: LoomState | None
    plan: Plan | None = None
    counts: dict[Standing, int] | None = None
    trouble: str = ""


def plan_lines(made: PlansMade, keeper: PlanKeeper, state: LoomState) -> list[PlanLine]:
    """List the plans in working order as far as they have been made, counted beside the record."""
    return [_line(made, keeper, kind, state) for kind in PlanKind]


def _line(made: PlansMade, keeper: PlanKeeper, kind: PlanKind, state: LoomState) -> PlanLine:
    own = state if kind is PlanKind.CONTINUITY else None
    plan = made.kept(kind, state)
    if plan is None:
        return PlanLine(kind, own)
    if isinstance(plan, FusewalkError):
        return PlanLine(kind, own, trouble=f"{plan.what} {plan.do}".rstrip())
    if isinstance(plan, Exception):
        return PlanLine(kind, own, trouble="a fault of the program itself; Enter keeps a note of it.")
    return PlanLine(kind, own, plan, counts(plan, keeper.answers(plan)))


def list_heads(cells: int) -> Content:
    """Return the heads of the columns for a list so many cells wide."""
    heads = _GAP.join(padded(head, _cells(head), right=True) for head in _heads(cells))
    return assembled((f"  {padded('plan', _NAME)}{_GAP}{heads}", "$quiet"))


def list_rows(lines: Sequence[PlanLine], entries: Sequence[object], cells: int) -> list[Row]:
    """Return the plans in working order, then the record, for a list so many cells wide."""
    rows: list[Row] = []
    for line in lines:
        rows.append(Row(_content(line, cells), str(line.kind)))
        if line.state is not None:
            rows.append(Row(assembled((f"  {line.state}", "$quiet")), can_be_marked=False))
    rows.append(Row(assembled(f"{padded('record', _NAME)}{_GAP}", _entries_words(entries)), RECORD_KEY))
    return rows


def line_words(line: PlanLine) -> str:
    """Say what a plan proves, or why there is none."""
    if line.trouble:
        return line.trouble
    if line.plan is None:
        return "It is being worked out."
    if not line.plan.rows and not line.plan.about:
        return "There is nothing to prove in it."
    return " ".join(line.plan.about)


def whole_sentences(words: str, cells: int, height: int) -> str:
    """Return as many whole sentences as have room, with the key that shows the rest; of one too long its begin."""
    sentences = _SENTENCE_ENDS.split(words)
    for count in range(len(sentences), 0, -1):
        shown = " ".join(sentences[:count])
        told = shown if count == len(sentences) else f"{shown} {_MORE}"
        if len(assembled(told).wrap(max(cells, 8))) <= height:
            return told
    return words


def list_page(lines: Sequence[PlanLine], entries: Sequence[object]) -> str:
    """Return the list as text."""
    rows = list_rows(lines, entries, _ALL_FROM)
    told = [list_heads(_ALL_FROM).plain.rstrip(), *(row.content.plain.rstrip() for row in rows)]
    return "\n".join(told) + "\n"


def _heads(cells: int) -> tuple[str, ...]:
    """Name the columns of figures that there is room for."""
    counted = tuple(str(standing) for standing in _COUNTED)
    return ("rows", *counted) if cells >= _ALL_FROM else counted[:_FEW]


def _content(line: PlanLine, cells: int) -> Content:
    name = (f"{padded(str(line.kind), _NAME)}{_GAP}", "bold")
    if line.trouble:
        return assembled(name, (f"cannot be made: {line.trouble}", "$caution"))
    if line.plan is None or line.counts is None:
        return assembled(name, ("being worked out", "$quiet"))
    if not line.plan.rows:
        return assembled(name, "nothing to prove")
    counted = {"rows": len(line.plan.rows), **{str(one): line.counts[one] for one in _COUNTED}}
    return assembled(name, _GAP.join(padded(str(counted[head]), _cells(head), right=True) for head in _heads(cells)))


def _cells(head: str) -> int:
    return max(len(head), 4)


def _entries_words(entries: Sequence[object]) -> str:
    rows = sum(isinstance(entry, Measured) for entry in entries)
    last = next((one.when for one in reversed(entries) if isinstance(one, Measured | Reading)), None)
    if last is None:
        return "nothing measured yet"
    traced = sum(isinstance(entry, Reading) for entry in entries)
    if not rows:
        return f"{plural(traced, 'reading')} in traces, last {last:%d %b %H:%M}"
    beside = f", {traced} in traces" if traced else " measured"
    return f"{plural(rows, 'row')}{beside}, last {last:%d %b %H:%M}"
