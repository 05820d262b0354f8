"""From a TOML document to a draft: each row becomes a record by itself, so that a wrong row hides no other."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import TypeVar

from pydantic import ValidationError

from model.harness.draft import Complaint, Draft, Row, shown, value_at
from model.harness.draft_tables import Source, find_tables, key_of
from model.harness.fields import Part, Record
from model.harness.harness import ROW_TYPES
from model.harness.parts import (
    Coil,
    ContactGroups,
    Driver,
    Exciter,
    Feed,
    Load,
    LoadElement,
    Output,
    ResistorElement,
)
from model.harness.records import Build, Defaults
from model.harness.row_words import row_faults
from model.harness.toml_lines import TomlPath

R = TypeVar("R", bound=Record)

_STAND_INS: dict[str, object] = {
    "id": "UNNAMED",
    "name": "unnamed",
    "nominal_volts": 12.0,
    "kind": "lamp",
    "volts": 12.0,
    "amps": 1.0,
    "ohms": 1.0,
    "from": "1",
    "to": "2",
    "terminal": "unnamed",
    "pulls": "ground",
    "when": [],
    "cavities": 10_000,
    "feeds": [{"terminal": "unnamed", "amps": 1.0}],
    "elements": [{"name": "unnamed", "from": "1", "to": "2", "ohms": 1.0}],
}
"""Taken for a required key that is missing or wrong, so that the rest of its row can be read."""

_INNER: dict[str, type[Record]] = {
    "coils": Coil,
    "contacts": ContactGroups,
    "drivers": Driver,
    "exciter": Exciter,
    "feeds": Feed,
    "outputs": Output,
}

_MENDING_PASSES = 6
_MOST_FAULTS = 1000
"""So many things are told of one row."""


def read_draft(document: dict[str, object], most: int) -> tuple[Draft, list[Complaint]]:
    """Read every row of a document by itself.

    Parameters
    ----------
    document
        What `tomllib` gave, its texts cleaned.
    most
        With more complaints than this the rows that are left are not read.

    Returns
    -------
    tuple
        The draft, and a complaint for each thing in it that no record takes.
    """
    sources, complaints = find_tables(document, most)
    build = _single(sources, "build", Build, complaints)
    defaults = _single(sources, "defaults", Defaults, complaints)
    draft = Draft(build, defaults, {}, {table: found[0].path for table, found in sources.items()})
    for table, kind in ROW_TYPES.items():
        rows = [row for source in sources.get(table, ()) for row in _rows(table, source, draft, complaints)]
        draft.rows[table] = []
        for path, typed in rows:
            if len(complaints) > most:
                return draft, complaints
            draft.rows[table].append(_row(table, path, typed, kind, complaints))
    return draft, complaints


def _single(sources: dict[str, list[Source]], table: str, kind: type[R], complaints: list[Complaint]) -> Row[R]:
    if table not in sources:
        if table == "build":
            right = 'a file has build = { name = "...", nominal_volts = 12 }'
            complaints.append(Complaint((), table, "", "", "no build", right))
        return _row(table, (table,), {}, kind, [])
    source = sources[table][0]
    if isinstance(source.value, dict):
        return _row(table, source.path, source.value, kind, complaints)
    right = f"{table} is one table: [{table}], or {table} = {{ ... }}"
    complaints.append(Complaint(source.path, table, "", "", f"{table} = {shown(source.value)}", right))
    return _row(table, source.path, {}, kind, [])


def _rows(
    table: str, source: Source, draft: Draft, complaints: list[Complaint]
) -> Iterator[tuple[TomlPath, dict[str, object]]]:
    """Give the rows of a table with their paths; a table that is no list of rows is told."""
    path, value = source.path, source.value
    if isinstance(value, dict):
        right = f"{table} is a list of rows: [[{table}]] with two brackets, or {table} = [ {{ ... }}, ]"
        complaints.append(Complaint(path, table, "", "", f"one table {table}", right))
        if "id" in value or "name" in value or not any(isinstance(inner, dict) for inner in value.values()):
            yield path, value
        else:
            draft.unread.add(table)
        return
    if not isinstance(value, list):
        right = f"{table} is a list of rows: {table} = [ {{ ... }}, ]"
        complaints.append(Complaint(path, table, "", "", f"{table} = {shown(value)}", right))
        draft.unread.add(table)
        return
    for number, row in enumerate(value):
        if isinstance(row, dict):
            yield (*path, number), row
            continue
        right = "a row is a table: { id = ... }"
        complaints.append(Complaint((*path, number), table, f"row {number + 1}", "", shown(row), right))
        draft.unread.add(table)


def _row(table: str, path: TomlPath, typed: dict[str, object], kind: type[R], complaints: list[Complaint]) -> Row[R]:
    """Make the record of a row; where the row is wrong, of what is left when the wrong things are taken out."""
    name = typed.get("id" if issubclass(kind, Part) else "name", "") if table in ROW_TYPES else ""
    row_id = name if isinstance(name, str) else ""
    try:
        return Row(table, path, row_id, kind.model_validate(typed), typed)
    except ValidationError as error:
        errors = error.errors(include_url=False, include_context=True, include_input=False)[:_MOST_FAULTS]
    faults = list(row_faults(table, typed, errors, _keys_by_place(kind)))
    dropped = tuple(_drop_path(fault.path) for fault in faults)
    meant = tuple(fault.meant for fault in faults if fault.meant)
    row = Row(table, path, row_id, _mended(typed, kind, dropped), typed, dropped + meant)
    complaints.extend(row.complain(fault.path, fault.right, fault.found) for fault in faults)
    return row


def _drop_path(path: TomlPath) -> TomlPath:
    """Cut a path down to the innermost key of a table: an element of a list cannot be left out by itself."""
    while path and not isinstance(path[-1], str):
        path = path[:-1]
    return path


def _mended(typed: dict[str, object], kind: type[R], dropped: tuple[TomlPath, ...]) -> R:
    mended = deepcopy(typed)
    for path in dropped:
        _mend(mended, path)
    for _ in range(_MENDING_PASSES):
        try:
            return kind.model_validate(mended)
        except ValidationError as error:
            for detail in error.errors(include_url=False, include_context=False, include_input=False):
                _stand_in(mended, detail["loc"], detail["type"] == "missing")
    stand_ins = {name: _STAND_INS[name] for name in _required(kind)}
    return kind.model_validate(stand_ins)


def _mend(mended: dict[str, object], path: TomlPath) -> None:
    """Take out what stands at a path, unless it went with what was around it."""
    holder = value_at(mended, path[:-1])
    if isinstance(holder, dict):
        holder.pop(path[-1], None)


def _stand_in(mended: dict[str, object], loc: TomlPath, is_missing: bool) -> None:
    """Fill in what is still missing; take out the whole of what is still wrong."""
    if not is_missing:
        mended.pop(str(loc[0]), None)
        return
    holder = value_at(mended, loc[:-1])
    if isinstance(holder, dict):
        holder[str(loc[-1])] = deepcopy(_STAND_INS[str(loc[-1])])


def _required(kind: type[Record]) -> list[str]:
    return [key_of(name, kind) for name, field in kind.model_fields.items() if field.is_required()]


def _keys_by_place(kind: type[Record]) -> dict[str, list[str]]:
    """Give the keys of a row under "", and those of its inner rows under the key that holds them."""
    places = {"": [key_of(name, kind) for name in kind.model_fields]}
    inner = {**_INNER, "elements": LoadElement if kind is Load else ResistorElement}
    for key in places[""]:
        if key in inner:
            places[key] = [key_of(name, inner[key]) for name in inner[key].model_fields]
    return places
