"""From a TOML document to a draft: each row becomes a record by itself, so that a wrong row hides no other."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import TypeVar

from pydantic import ValidationError

from model.harness.draft import Complaint, Draft, Row, shown, value_at
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
from model.words import clean, nearest

R = TypeVar("R", bound=Record)

FORMAT = 1
TOP_KEYS = ("format", "build", "defaults", *ROW_TYPES)

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


def read_draft(document: dict[str, object]) -> tuple[Draft, list[Complaint]]:
    """Read every row of a document by itself.

    Parameters
    ----------
    document
        What `tomllib` gave, its texts cleaned.

    Returns
    -------
    tuple
        The draft, and a complaint for each thing in it that no record takes.
    """
    complaints: list[Complaint] = []
    tables = dict(_tables(document, complaints))
    complaints.extend(_unknown_tables(document))
    complaints.extend(_format_complaints(tables))
    build = _single(tables, "build", Build, complaints)
    defaults = _single(tables, "defaults", Defaults, complaints)
    draft = Draft(build, defaults, {}, {table: path for table, (path, _) in tables.items()})
    for table, kind in ROW_TYPES.items():
        path, value = tables.get(table, ((), None))
        rows = list(_rows(table, path, value, draft, complaints))
        draft.rows[table] = [_row(table, (*path, *where), typed, kind, complaints) for where, typed in rows]
    return draft, complaints


def _tables(document: dict[str, object], complaints: list[Complaint]) -> Iterator[tuple[str, tuple[TomlPath, object]]]:
    """Give each table of the format with its path; one that a header above it swallowed is taken out of it."""
    for table in TOP_KEYS:
        if table in document:
            yield table, ((table,), document[table])
    for table, meant in _misspelled(document):
        yield meant, ((table,), document[table])
    for outer, holder, path in list(_holders(document)):
        own = set(_keys_by_place(_type_of(outer))[""])
        for key in [key for key in holder if key in TOP_KEYS and key not in own]:
            value = holder.pop(key)
            complaints.append(
                Complaint(
                    (*path, key),
                    key,
                    "",
                    "",
                    f"{key} = {'...' if isinstance(value, (dict, list)) else shown(value)} within {outer}",
                    f"it belongs to the table above it; move it up, above the first [header] (here that of {outer})",
                )
            )
            if key not in document:
                yield key, ((*path, key), value)


def _holders(document: dict[str, object]) -> Iterator[tuple[str, dict[str, object], TomlPath]]:
    """Give each table and row that may have swallowed what stands below it."""
    for table in TOP_KEYS[1:]:
        value = document.get(table)
        if isinstance(value, dict):
            yield table, value, (table,)
        elif isinstance(value, list) and value and isinstance(value[-1], dict):
            yield table, value[-1], (table, len(value) - 1)


def _type_of(table: str) -> type[Record]:
    if table == "build":
        return Build
    return Defaults if table == "defaults" else ROW_TYPES[table]


def _misspelled(document: dict[str, object]) -> Iterator[tuple[str, str]]:
    """Give each unknown table whose name is near that of one which the document lacks, and that name."""
    for table in document:
        meant = None if table in TOP_KEYS else nearest(clean(table, 60), TOP_KEYS)
        if meant and meant not in document:
            yield table, meant


def _unknown_tables(document: dict[str, object]) -> Iterator[Complaint]:
    for key in document:
        if key in TOP_KEYS:
            continue
        near = nearest(clean(key, 60), TOP_KEYS)
        right = f"there is no such table; did you mean {near}?" if near else f"the tables are {', '.join(TOP_KEYS[1:])}"
        yield Complaint((key,), clean(key, 60), "", "", f"a table {clean(key, 60)}", right)


def _format_complaints(tables: dict[str, tuple[TomlPath, object]]) -> Iterator[Complaint]:
    if "format" not in tables:
        yield Complaint((), "", "", "format", "no format", "the first line of a harness file is format = 1")
        return
    path, value = tables["format"]
    if value == FORMAT and isinstance(value, int) and not isinstance(value, bool):
        return
    is_newer = isinstance(value, int) and value > FORMAT
    right = "this program reads format 1; a newer program is needed" if is_newer else "this program reads format = 1"
    yield Complaint(path, "", "", "format", f"format = {shown(value)}", right)


def _single(
    tables: dict[str, tuple[TomlPath, object]], table: str, kind: type[R], complaints: list[Complaint]
) -> Row[R]:
    path, value = tables.get(table, ((table,), {}))
    if table not in tables and table == "build":
        complaints.append(
            Complaint((), table, "", "", "no build", 'a file has build = { name = "...", nominal_volts = 12 }')
        )
    elif not isinstance(value, dict):
        right = f"{table} is one table: [{table}], or {table} = {{ ... }}"
        complaints.append(Complaint(path, table, "", "", f"{table} = {shown(value)}", right))
    else:
        return _row(table, path, value, kind, complaints)
    return _row(table, path, {}, kind, [])


def _rows(
    table: str, path: TomlPath, value: object, draft: Draft, complaints: list[Complaint]
) -> Iterator[tuple[TomlPath, dict[str, object]]]:
    """Give the rows of a table with their paths below it; a table that is no list of rows is told."""
    if value is None:
        return
    if isinstance(value, dict):
        right = f"{table} is a list of rows: [[{table}]] with two brackets, or {table} = [ {{ ... }}, ]"
        complaints.append(Complaint(path, table, "", "", f"one table {table}", right))
        inner = [one for one in value.items() if isinstance(one[1], dict)]
        if "id" in value or "name" in value or not inner:
            yield (), value
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
            yield (number,), row
        else:
            complaints.append(
                Complaint((*path, number), table, f"row {number + 1}", "", shown(row), "a row is a table: { id = ... }")
            )
            draft.unread.add(table)


def _row(table: str, path: TomlPath, typed: dict[str, object], kind: type[R], complaints: list[Complaint]) -> Row[R]:
    """Make the record of a row; where the row is wrong, of what is left when the wrong things are taken out."""
    name = typed.get("id" if issubclass(kind, Part) else "name", "") if table in ROW_TYPES else ""
    row_id = name if isinstance(name, str) else ""
    try:
        return Row(table, path, row_id, kind.model_validate(typed), typed)
    except ValidationError as error:
        errors = error.errors(include_url=False, include_context=True, include_input=False)
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
    return [field.alias or name for name, field in kind.model_fields.items() if field.is_required()]


def _keys_by_place(kind: type[Record]) -> dict[str, list[str]]:
    """Give the keys of a row under "", and those of its inner rows under the key that holds them."""
    places = {"": [field.alias or name for name, field in kind.model_fields.items()]}
    inner = {**_INNER, "elements": LoadElement if kind is Load else ResistorElement}
    for key in places[""]:
        if key in inner:
            fields = inner[key].model_fields.items()
            places[key] = [field.alias or name for name, field in fields]
    return places
