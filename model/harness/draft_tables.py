"""The tables of a harness document, those that stand in the wrong place or under a wrong name included."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from model.harness.draft import Complaint, shown
from model.harness.fields import Record
from model.harness.harness import ROW_TYPES
from model.harness.records import Build, Defaults
from model.harness.toml_lines import TomlPath
from model.words import clean, nearest

FORMAT = 1
TOP_KEYS = ("format", "build", "defaults", *ROW_TYPES)
TABLE_TYPES: dict[str, type[Record]] = {"build": Build, "defaults": Defaults, **ROW_TYPES}

_TOP_KEYS = frozenset(TOP_KEYS)


@dataclass(frozen=True, slots=True)
class Source:
    """A place of the document at which a table, or some rows of it, stand."""

    path: TomlPath
    value: object


def find_tables(document: dict[str, object], most: int) -> tuple[dict[str, list[Source]], list[Complaint]]:
    """Find each table of the format, wherever it stands.

    Parameters
    ----------
    document
        The document. What a header above it has swallowed is taken out of where it stands.
    most
        So many unknown tables are told, and one more.

    Returns
    -------
    tuple
        The sources of each table that there is, and a complaint for each that is not where or what it should be.
    """
    sources: dict[str, list[Source]] = {
        table: [Source((table,), document[table])] for table in TOP_KEYS if table in document
    }
    complaints = [*islice(_unknown_tables(document, sources), most + 1), *_swallowed_tables(document, sources)]
    complaints += _format_complaints(sources.get("format", []))
    return sources, complaints


def key_of(name: str, record: type[Record]) -> str:
    """Give a field of a record as it is typed in a file."""
    return record.model_fields[name].alias or name


def _unknown_tables(document: dict[str, object], sources: dict[str, list[Source]]) -> Iterator[Complaint]:
    """Complain of each unknown table; where one is known that it was meant to be, its rows are those of that one."""
    for table, value in document.items():
        if table in _TOP_KEYS:
            continue
        meant = nearest(clean(table, 60), TOP_KEYS)
        if meant and is_table(value):
            sources.setdefault(meant, []).append(Source((table,), value))
        right = (
            f"there is no such table; did you mean {meant}?" if meant else f"the tables are {', '.join(TOP_KEYS[1:])}"
        )
        yield Complaint((table,), clean(table, 60), "", "", f"a table {clean(table, 60)}", right)


def is_table(value: object) -> bool:
    """Tell whether a value is a table, or a list of rows."""
    return isinstance(value, dict) or (isinstance(value, list) and any(isinstance(row, dict) for row in value))


def _swallowed_tables(document: dict[str, object], sources: dict[str, list[Source]]) -> Iterator[Complaint]:
    """Take tables out of those that they stand in because a header above them opened these."""
    for outer in list(document):
        kind = TABLE_TYPES.get(outer)
        own = frozenset(key_of(name, kind) for name in kind.model_fields) if kind else None
        for holder, path, table in list(_swallowed(document[outer], (outer,), own)):
            value = holder.pop(table)
            sources.setdefault(table, []).append(Source((*path, table), value))
            found = f"{table} = {'...' if is_table(value) else shown(value)} below a header of {clean(outer, 60)}"
            right = f"what stands below a header belongs to it: move {table} up, above the first [header]"
            yield Complaint((*path, table), table, "", "", found, right)


def _swallowed(
    value: object, path: TomlPath, own: frozenset[str] | None
) -> Iterator[tuple[dict[str, object], TomlPath, str]]:
    """Give holder, path and name of each table that stands within another.

    Parameters
    ----------
    own
        The keys of the rows that are looked through; None within such a row, where only a whole table is one.
    """
    if isinstance(value, list):
        for number, row in enumerate(value):
            if isinstance(row, (dict, list)):
                yield from _swallowed(row, (*path, number), own)
    elif isinstance(value, dict):
        for key, inner in value.items():
            if key in _TOP_KEYS and (is_table(inner) if own is None else key not in own):
                yield value, path, key
            elif isinstance(inner, (dict, list)):
                yield from _swallowed(inner, (*path, key), None)


def _format_complaints(sources: list[Source]) -> Iterator[Complaint]:
    if not sources:
        yield Complaint((), "", "", "format", "no format", "the first line of a harness file is format = 1")
        return
    value = sources[0].value
    if value == FORMAT and isinstance(value, int) and not isinstance(value, bool):
        return
    is_newer = isinstance(value, int) and value > FORMAT
    right = "this program reads format 1; a newer program is needed" if is_newer else "this program reads format = 1"
    yield Complaint(sources[0].path, "", "", "format", f"format = {shown(value)}", right)
