"""Everything of a harness but its wires as a parts list, from which the same harness is made again."""

from __future__ import annotations

from collections.abc import Iterator

from model.harness.fields import Part, Record
from model.harness.harness import ROW_TYPES, Harness
from model.harness.parts import Load
from model.harness.parts_list_read import WORD_LISTS, keys_of
from model.harness.wire_list import spelled
from model.harness.wire_list_cells import json_text, number_text
from model.harness.wire_list_kinds import KIND_TABLES

_ALWAYS = ("label", "location", "watts", "amps", "ohms", "volts", "note")
_WORDS = {table: word for word, table in KIND_TABLES.items()}


def parts_list(harness: Harness) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Give the headings of a parts list and a row for each part, for the build, its defaults, places and key states.

    Each key that the file uses has a column; what is more than a number or words stands as JSON in its cell.
    """
    rows = list(_rows(harness))
    used = {key for _, _, typed in rows for key in typed}
    keys = [key for key in _column_order() if key in used or key in _ALWAYS]
    headings = ("kind", "id", *(key.replace("_", " ") for key in keys))
    return headings, [
        (kind, spelled(name), *(_cell(key, typed.get(key)) for key in keys)) for kind, name, typed in rows
    ]


def _column_order() -> list[str]:
    """Order the columns: what most parts have first, then by the tables of the format."""
    tables = ("build", "defaults", *(table for table in ROW_TYPES if table != "wires"))
    keys = dict.fromkeys([*_ALWAYS, *(key for table in tables for key in keys_of(table))])
    return [key for key in keys if key not in ("id", "name", "kind")]


def _rows(harness: Harness) -> Iterator[tuple[str, str, dict[str, object]]]:
    yield "build", harness.build.name, _typed(harness.build)
    if harness.defaults.model_fields_set:
        yield "defaults", "", _typed(harness.defaults)
    for table in ROW_TYPES:
        if table == "wires":
            continue
        for record in getattr(harness, table):
            kind = str(record.kind) if isinstance(record, Load) else _WORDS[table]
            yield kind, record.id if isinstance(record, Part) else record.name, _typed(record)


def _typed(record: Record) -> dict[str, object]:
    """Give the keys that stand in the file; an empty text says nothing and is left out."""
    typed = record.model_dump(by_alias=True, exclude_unset=True, mode="json")
    skipped = ("id", "name", "kind")
    return {key: value for key, value in typed.items() if key not in skipped and value not in ("", None)}


def _cell(key: str, value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return number_text(float(value))
        case str():
            return spelled(value)
        case list() if key in WORD_LISTS and _is_plain(value):
            return "; ".join(str(one) for one in value)
    return json_text(_whole_numbers(value))


def _is_plain(words: list[object]) -> bool:
    """Tell whether words stand apart by a semicolon and are read back so."""
    return (
        bool(words)
        and all(
            isinstance(one, str) and one == spelled(one) and one and ";" not in one and "|" not in one for one in words
        )
        and not str(words[0]).startswith("[")
    )


def _whole_numbers(value: object) -> object:
    """Spell numbers without a fraction as whole ones, as a person types them."""
    match value:
        case float() if value == int(value) and abs(value) < 1e15:
            return int(value)
        case list() | tuple():
            return [_whole_numbers(one) for one in value]
        case dict():
            return {key: _whole_numbers(one) for key, one in value.items() if one is not None}
    return value
