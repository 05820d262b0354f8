"""A plan as comma-separated values (RFC 4180): a row a measurement, for a spreadsheet or a script."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable
from io import StringIO

from model.harness.wire_list_cells import FORMULA_STARTS
from model.plans.judging import Standing
from model.plans.kept import Kept
from model.plans.plan import Plan, PlanRow
from model.sheets.plan_sheet import PlanSheet, SheetRow
from model.words import clean

Cell = str | float | int | None

COLUMNS = (
    "plan",
    "state of the loom",
    "row",
    "key of the row",
    "group",
    "title",
    "key state",
    "settings",
    "measure",
    "unit",
    "red",
    "black",
    "others",
    "red in words",
    "black in words",
    "place of red",
    "place of black",
    "expect, in unit",
    "expect in words",
    "low limit, in unit",
    "high limit, in unit",
    "limit source",
    "limit source kind",
    "limit computed from",
    "at, A",
    "covers",
    "can fail",
    "remark",
    "take apart first",
    "before",
    "cautions",
    "read, in unit",
    "read at, A",
    "verdict",
    "why",
    "when",
    "who",
    "meter",
    "ambient, °C",
    "revision",
)

_LONGEST = 4000


def plan_csv(sheet: PlanSheet) -> str:
    """Give a plan as CSV, lines ended by CR LF, with what the record has for each row."""
    return csv_text(COLUMNS, (_cells(sheet.plan, row, sheet.kept.get(row.row.key)) for row in sheet.rows))


def csv_text(columns: Iterable[str], rows: Iterable[Iterable[Cell]]) -> str:
    """Write CSV of RFC 4180: a line of names, then the rows; text that a spreadsheet would run is disarmed."""
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_shown(one) for one in row] for row in rows)
    return stream.getvalue()


def disarmed(words: str) -> str:
    """Give text so that a spreadsheet takes it for text: before what it would take for a formula an apostrophe."""
    return f"'{words}" if words.lstrip().startswith(FORMULA_STARTS) else words


def number(value: float | None) -> Cell:
    """Give a number for a cell: the word ``open`` where it is infinite."""
    return "open" if value is not None and math.isinf(value) else value


def _shown(one: Cell) -> str:
    match one:
        case None:
            return ""
        case str():
            return disarmed(clean(one, _LONGEST))
        case int():
            return str(one)
    return f"{one:.6g}"


def _cells(plan: Plan, row: SheetRow, kept: Kept | None) -> tuple[Cell, ...]:
    return (*_what(plan, row), *_limit(row.row), *_can(row), *_answer(plan, kept))


def _what(plan: Plan, row: SheetRow) -> tuple[Cell, ...]:
    one = row.row
    settings = "; ".join(f"{name}={value}" for name, value in one.condition.by_name.items())
    where = (row.red, row.black, one.place, one.far_place)
    return (
        str(plan.kind),
        "" if plan.state is None else str(plan.state),
        row.number,
        one.key,
        one.group,
        row.title,
        one.condition.key,
        settings,
        str(one.measure),
        one.unit,
        one.red,
        one.black,
        "; ".join(one.others),
        *where,
    )


def _limit(row: PlanRow) -> tuple[Cell, ...]:
    expect: tuple[Cell, ...] = (number(row.expect), row.expect_words)
    limit = row.limit
    if limit is None:
        return (*expect, None, None, "", "", "", row.amps)
    source = (limit.source, str(limit.source_kind), limit.computed_from)
    return (*expect, number(limit.low), number(limit.high), *source, row.amps)


def _can(row: SheetRow) -> tuple[Cell, ...]:
    one = row.row
    return (
        "; ".join(one.covers),
        "yes" if one.tells else "no",
        one.blind,
        "; ".join(one.opens),
        " ".join(one.before),
        " ".join(one.cautions),
    )


def _answer(plan: Plan, kept: Kept | None) -> tuple[Cell, ...]:
    if kept is None:
        return (None, None, str(Standing.OPEN), "", "", "", "", None, plan.revision)
    entry, verdict = kept.entry, kept.verdict
    read: tuple[Cell, ...] = (number(kept.taken.value), entry.at_amps, str(verdict.standing), verdict.why)
    by: tuple[Cell, ...] = (entry.when.isoformat(), entry.who, entry.meter, entry.ambient_celsius)
    return (*read, *by, plan.revision if entry.revision is None else entry.revision)
