"""The record of a loom for scripts and spreadsheets: every entry as JSON, what was measured as CSV."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from model.record_entries import Answer, AnyEntry, Measured, Reading, TakenBack
from model.sheets.plan_csv import Cell, csv_text, number
from model.sheets.plan_json import plain
from model.sheets.record_sheet import RecordRow, RecordSheet, later_words

FORMAT = "fusewalk record 1"

COLUMNS = (
    "plan",
    "state of the loom",
    "row",
    "measure",
    "key state",
    "settings",
    "red",
    "black",
    "others",
    "read",
    "least, in unit",
    "most, in unit",
    "unit",
    "at, A",
    "expect, in unit",
    "low limit, in unit",
    "high limit, in unit",
    "limit source",
    "limit computed from",
    "verdict",
    "why",
    "later",
    "when",
    "who",
    "meter",
    "ambient, °C",
    "revision",
)


def record_csv(sheet: RecordSheet) -> str:
    """Give a record as CSV of RFC 4180, a row a reading; of traces the readings and repairs."""
    rows = (row for section in sheet.sections for row in section.rows)
    return csv_text(COLUMNS, (_cells(row) for row in rows))


def record_json(sheet: RecordSheet) -> dict[str, Any]:
    """Give a record as one JSON object with every entry in full; what is infinite is the word ``open``."""
    later = later_words(sheet.entries)
    return {
        "format": FORMAT,
        "vehicle": sheet.vehicle,
        "revision": sheet.revision,
        "held_by": sheet.held_by or None,
        "trouble": list(sheet.trouble),
        "entries": [_entry(entry, said) for entry, said in zip(sheet.entries, later, strict=True)],
    }


def _entry(entry: AnyEntry, later: str) -> dict[str, Any]:
    dumped = entry.model_dump(by_alias=True)
    found: dict[str, Any] = {name: plain(_timed(value)) for name, value in dumped.items()}
    return found | {"later": later or None}


def _timed(value: object) -> object:
    return value.isoformat() if isinstance(value, datetime) else value


def _cells(row: RecordRow) -> tuple[Cell, ...]:
    entry = row.entry
    by: tuple[Cell, ...] = (entry.when.isoformat(), entry.who, entry.meter, entry.ambient_celsius, entry.revision)
    return (*_what(row), *_read(entry, row), *_limit(entry), row.verdict, row.why, row.later, *by)


def _what(row: RecordRow) -> tuple[Cell, ...]:
    entry = row.entry
    if isinstance(entry, TakenBack):
        return (entry.plan, entry.state, entry.row, "", "", "", "", "", "")
    if not isinstance(entry, Answer):
        return (entry.plan, "", row.what, entry.kind, "", "", "", "", "")
    settings = "; ".join(f"{name}={value}" for name, value in entry.settings.items())
    state, name, others = ("", row.what, "")
    if isinstance(entry, Measured):
        state, name, others = entry.state, entry.row, "; ".join(entry.others)
    return (entry.plan, state, name, entry.check, entry.key, settings, entry.red, entry.black, others)


def _read(entry: AnyEntry, row: RecordRow) -> tuple[Cell, ...]:
    if not isinstance(entry, Answer) or entry.word:
        return (row.read, None, None, "", None)
    least, most = entry.span
    units = ((entry.volts, "V"), (entry.ohms, "Ω"), (entry.amps, "A"), (entry.millivolts, "mV"))
    unit = next(name for value, name in units if value is not None)
    return (row.read, number(least), number(most), unit, entry.at_amps if isinstance(entry, Measured) else None)


def _limit(entry: AnyEntry) -> tuple[Cell, ...]:
    match entry:
        case Measured():
            expect = entry.expect[0] if isinstance(entry.expect, tuple) else entry.expect
            source = (entry.limit_source, entry.computed_from)
            return (number(expect), number(entry.low), number(entry.high), *source)
        case Reading():
            return (number(entry.healthy), number(entry.low), number(entry.high), "", "")
    return (None, None, None, "", "")
