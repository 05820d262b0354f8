"""A plan as one JSON object."""

from __future__ import annotations

import math
from typing import Any

from model.plans.judging import Standing
from model.plans.kept import Kept, counts
from model.plans.plan import Limit
from model.sheets.plan_sheet import PlanSheet, SheetRow
from model.words import clean

FORMAT = "fusewalk plan 1"

_LONGEST = 4000


def plan_json(sheet: PlanSheet) -> dict[str, Any]:
    """Give a plan as one JSON object; what is infinite is the word ``open``, what is not there null."""
    plan, kept = sheet.plan, sheet.kept
    found = {
        "format": FORMAT,
        "plan": str(plan.kind),
        "vehicle": sheet.vehicle,
        "revision": plan.revision,
        "state": None if plan.state is None else str(plan.state),
        "about": plan.about,
        "cautions": sheet.cautions,
        "counts": {str(standing): number for standing, number in counts(plan, dict(kept)).items()},
        "rows": [_row(row, kept.get(row.row.key)) for row in sheet.rows],
        "left_out": plan.left_out,
        "undetected": plan.undetected,
    }
    return {name: plain(value) for name, value in found.items()}


def plain(value: object) -> object:
    """Give a value as JSON can hold it and a terminal may show it: text cleaned, infinite numbers as a word."""
    match value:
        case str():
            return clean(value, _LONGEST)
        case float() if math.isinf(value):
            return "open"
        case float() if math.isnan(value):
            return None
        case dict():
            return {clean(str(name)): plain(one) for name, one in value.items()}
        case tuple() | list():
            return [plain(one) for one in value]
    return value


def _row(sheet_row: SheetRow, kept: Kept | None) -> dict[str, Any]:
    row = sheet_row.row
    return {
        "row": sheet_row.number,
        "key": row.key,
        "group": row.group,
        "title": row.title,
        "measure": str(row.measure),
        "unit": row.unit,
        "key_state": row.condition.key,
        "settings": row.condition.by_name,
        "red": row.red,
        "black": row.black,
        "others": row.others,
        "red_words": sheet_row.red,
        "black_words": sheet_row.black,
        "meter": sheet_row.meter,
        "place": row.place,
        "far_place": row.far_place,
        "expect": row.expect,
        "expect_words": row.expect_words,
        "amps": row.amps,
        "limit": None if row.limit is None else _limit(row.limit),
        "covers": row.covers,
        "tells": row.tells,
        "blind": row.blind,
        "opens": row.opens,
        "cold_ohms": None if row.fuse is None else row.fuse.cold_ohms,
        "after": row.after,
        "wait_minutes": row.wait_minutes,
        "before": row.before,
        "cautions": row.cautions,
        "verdict": str(Standing.OPEN) if kept is None else str(kept.verdict.standing),
        "answer": None if kept is None else _answer(kept),
    }


def _limit(limit: Limit) -> dict[str, Any]:
    return {
        "low": limit.low,
        "high": limit.high,
        "source": limit.source,
        "source_kind": str(limit.source_kind),
        "computed_from": limit.computed_from,
    }


def _answer(kept: Kept) -> dict[str, Any]:
    entry = kept.entry
    return {
        "value": kept.taken.value,
        "word": entry.word or None,
        "at_amps": entry.at_amps,
        "why": kept.verdict.why,
        "verdict_of_its_day": entry.verdict or None,
        "when": entry.when.isoformat(),
        "who": entry.who,
        "meter": entry.meter,
        "ambient_celsius": entry.ambient_celsius,
        "revision": entry.revision,
    }
