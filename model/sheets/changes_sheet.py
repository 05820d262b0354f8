"""Two revisions of a loom compared, as a sheet."""

from __future__ import annotations

from typing import Any

from model.review.changes import Changes, KeyChange, RowChange, VoltsChange
from model.sheets.condition_words import condition_words
from model.sheets.plan_csv import csv_text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.words import clean, plural, volts_text

SHOWN_POINTS = 40
_LONGEST = 400
_CSV = ("what", "table", "name", "did", "key", "key state", "settings", "old", "new", "unit")


def changes_sheet(changes: Changes) -> ReviewSheet:
    """Lay out what differs between two revisions."""
    old, new = changes.old.build, changes.new.build
    about = [
        f"Revision {old.revision} beside revision {new.revision}: {plural(len(changes.rows), 'row')} of the file "
        f"and the volts of {plural(len(changes.points), 'point')} differ.",
        "Volts are computed from the two files, each point in the condition in which it differs most.",
    ]
    if changes.unlike:
        said = "; ".join(condition_words(changes.new, one) for one in changes.unlike[:4])
        about.append(f"Only one of the two can be so, and nothing is compared there: {said}.")
    return ReviewSheet(
        "changes",
        f"{clean(new.name)}, revision {old.revision} to {new.revision}",
        tuple(about),
        tuple(section for section in (_rows(changes), _loads(changes), _points(changes), _prove(changes)) if section),
    )


def _rows(changes: Changes) -> Section:
    if not changes.rows:
        return Section("In the file", words=("Nothing differs.",))
    columns = (
        Column("row", width_mm=22),
        Column("did", width_mm=20),
        Column("key", width_mm=24),
        Column("was"),
        Column("is"),
    )
    lines = [line for row in changes.rows for line in _row_lines(row)]
    parts = tuple(row.name for row in changes.rows for _ in (row.keys or (None,)))
    return Section("In the file", grid=Grid(columns, tuple(lines), parts))


def _row_lines(row: RowChange) -> list[tuple[str, ...]]:
    lines = [("", "", *_key_cells(key)) for key in row.keys] or [("", "", "", "", "")]
    return [(clean(row.name, 60), row.did, *lines[0][2:]), *lines[1:]]


def _key_cells(key: KeyChange) -> tuple[str, str, str]:
    return clean(key.key, 60), clean(key.old, _LONGEST), clean(key.new, _LONGEST)


def _loads(changes: Changes) -> Section | None:
    if not changes.loads:
        return None
    return Section("Volts across loads that differ", grid=_volts(changes, changes.loads))


def _points(changes: Changes) -> Section | None:
    if not changes.points:
        return None
    rest = len(changes.points) - SHOWN_POINTS
    notes = (f"{plural(rest, 'more point')} differ by less; the CSV has them all.",) if rest > 0 else ()
    return Section("Points that differ", grid=_volts(changes, changes.points[:SHOWN_POINTS]), notes=notes)


def _volts(changes: Changes, found: tuple[VoltsChange, ...]) -> Grid:
    columns = Column("where", width_mm=30), Column("was, V", True, 18), Column("is, V", True, 18), Column("with")
    rows = tuple(
        (one.name, _figure(one.old_volts), _figure(one.new_volts), condition_words(changes.new, one.condition))
        for one in found
    )
    return Grid(columns, rows, tuple(one.name for one in found))


def _figure(volts: float | None) -> str:
    return "none" if volts is None else volts_text(volts)


def _prove(changes: Changes) -> Section | None:
    if not changes.prove_again:
        return None
    names = ", ".join(changes.prove_again)
    return Section(
        "To be proven again",
        words=(f"{names}.", "The plans of continuity and of the loads have the rows; both are computed anew."),
    )


def changes_csv(changes: Changes) -> str:
    """Give all that differs as CSV, a line a key or point."""
    rows: list[tuple[str | float | None, ...]] = []
    for row in changes.rows:
        what = ("row", row.table, row.name, row.did)
        rows += [(*what, key.key, "", "", key.old, key.new, "") for key in row.keys or (KeyChange("", "", ""),)]
    for kind, found in (("load", changes.loads), ("point", changes.points)):
        for one in found:
            settings = "; ".join(f"{name}={value}" for name, value in one.condition.settings)
            volts = (one.condition.key, settings, one.old_volts, one.new_volts, "V")
            rows.append((kind, "", one.name, "", "", *volts))
    return csv_text(_CSV, rows)


def changes_json(changes: Changes) -> dict[str, Any]:
    """Give all that differs as one JSON object."""
    return {
        "format": "fusewalk changes",
        "vehicle": changes.new.build.name,
        "revisions": [changes.old.build.revision, changes.new.build.revision],
        "rows": [
            {
                "table": row.table,
                "name": row.name,
                "did": row.did,
                "keys": {key.key: {"was": key.old, "is": key.new} for key in row.keys},
            }
            for row in changes.rows
        ],
        "loads": [_volts_json(one) for one in changes.loads],
        "points": [_volts_json(one) for one in changes.points],
        "prove_again": list(changes.prove_again),
    }


def _volts_json(one: VoltsChange) -> dict[str, Any]:
    return {
        "name": one.name,
        "key": one.condition.key,
        "settings": dict(one.condition.settings),
        "was_volts": one.old_volts,
        "is_volts": one.new_volts,
    }
