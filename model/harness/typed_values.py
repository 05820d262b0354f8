"""What somebody types for a key of a row, as the value that the file is to have."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from typing import Annotated, Any

from pydantic import TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from model.errors import ArgumentError
from model.harness.draft_tables import key_of
from model.harness.fields import Record
from model.harness.harness import ROW_TYPES
from model.harness.toml_edit import Value
from model.words import clean, nearest


def typed_values(table: str, typed: Iterable[str]) -> dict[str, Value | None]:
    """Read ``key=value`` for a row of a table: what fits the key as TOML, else its text; nothing behind ``=`` is None.

    Raises
    ------
    ArgumentError
        Where a row of the table has no such key, or the value does not fit it.
    """
    found: dict[str, Value | None] = {}
    for one in typed:
        key, sign, value = one.partition("=")
        if not sign:
            raise ArgumentError(f"“{clean(one, 80)}” names no value.", do="Write it as key=value: size=1.5.")
        found[key.strip()] = _value(table, key.strip(), value.strip())
    return found


def _value(table: str, key: str, typed: str) -> Value | None:
    kind: type[Record] = ROW_TYPES[table]
    fields = {key_of(name, kind): field for name, field in kind.model_fields.items()}
    if key not in fields:
        near = nearest(key, fields)
        do = f"Did you mean {near}?" if near else f"It has {', '.join(fields)}."
        raise ArgumentError(f"A row of {table} has no key {clean(key, 60)}.", do=do)
    if not typed:
        return None
    reason = ""
    for value in (*_as_toml(typed), typed):
        reason = _misfit(fields[key], value)
        if not reason:
            return value
    raise ArgumentError(
        f"“{clean(typed, 80)}” does not fit {key} of {table}: {clean(reason)}.",
        do="Type it as it would stand in the file; demo_builds/README.md has each key with an example.",
    )


def _misfit(field: FieldInfo, value: Value) -> str:
    """Say why a value does not fit a field; empty where it does."""
    wanted: Any = Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation
    try:
        TypeAdapter(wanted).validate_python(value)
    except ValidationError as error:
        return str(error.errors()[0]["msg"])
    return ""


def _as_toml(typed: str) -> tuple[Value, ...]:
    """Read a value as TOML, with a decimal comma as a point; nothing where it is none."""
    for text in (typed, typed.replace(",", ".") if typed.count(",") == 1 else typed):
        try:
            return (tomllib.loads(f"value = {text}\n")["value"],)
        except (tomllib.TOMLDecodeError, RecursionError, ValueError):
            continue
    return ()
