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
from model.harness.row_words import row_faults
from model.harness.toml_edit import Value
from model.words import clean, nearest

_FIGURES = {
    "length": ("metres", "1.5"),
    "amps": ("amperes above zero", "10"),
    "start_amps": ("amperes above zero", "22"),
    "cold_amps": ("amperes above zero", "400"),
    "amp_hours": ("ampere hours above zero", "44"),
    "watts": ("watts above zero", "55"),
    "ohms": ("ohms above zero", "1.2"),
    "coil_ohms": ("ohms above zero", "85"),
    "volts": ("volts above zero", "14.2"),
    "emf": ("volts above zero", "12.7"),
    "charged_emf": ("volts above zero", "12.7"),
    "at": ("volts above zero", "13.2"),
}
"""What is counted, and an example, for keys that take a bare number."""


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
        reason = _misfit(table, key, fields[key], value)
        if not reason:
            return value
    is_told = key in _FIGURES or reason.startswith("it is one of")
    raise ArgumentError(
        f"“{clean(typed, 80)}” does not fit {key}: {reason}{'' if reason.endswith('?') else '.'}",
        do="Type it once more." if is_told else "demo_builds/README.md has each key with an example.",
    )


def _misfit(table: str, key: str, field: FieldInfo, value: Value) -> str:
    """Say what a field takes that a value does not fit; empty where it fits."""
    wanted: Any = Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation
    try:
        TypeAdapter(wanted).validate_python(value)
    except ValidationError as error:
        if key in _FIGURES:
            counted, example = _FIGURES[key]
            return f"it wants a number of {counted}, such as {example}"
        found = error.errors(include_url=False, include_input=False)
        for one in found:
            one["loc"] = (key, *one["loc"])
        return row_faults(table, {key: value}, found, {"": [key]})[0].right
    return ""


def _as_toml(typed: str) -> tuple[Value, ...]:
    """Read a value as TOML, with a decimal comma as a point; nothing where it is none."""
    for text in (typed, typed.replace(",", ".") if typed.count(",") == 1 else typed):
        try:
            return (tomllib.loads(f"value = {text}\n")["value"],)
        except (tomllib.TOMLDecodeError, RecursionError, ValueError):
            continue
    return ()
