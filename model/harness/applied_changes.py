"""Changes of rows put into the text of a harness file: what a list, an answer and an amendment change alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import assert_never

from model.harness.toml_edit import HarnessText


@dataclass(frozen=True, slots=True)
class SetKey:
    """A key of a row gets a value.

    Attributes
    ----------
    row
        The row by its id, or its name; empty for the build and the defaults, which are one row each.
    """

    table: str
    row: str
    key: str
    value: object


@dataclass(frozen=True, slots=True)
class DropKey:
    """A key of a row goes."""

    table: str
    row: str
    key: str


@dataclass(frozen=True, slots=True)
class AddRow:
    """A row comes at the end of its table."""

    table: str
    row: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class DropRow:
    """A row goes."""

    table: str
    row: str


Change = SetKey | DropKey | AddRow | DropRow


def applied_text(text: str, changes: Iterable[Change], build: Mapping[str, object] | None = None) -> str:
    """Give the text of a harness file with changes made, and then values put into its build.

    Raises
    ------
    FusewalkError
        Where a row that is to change is not there.
    """
    file = HarnessText(text)
    for change in changes:
        _apply(file, change)
    for key, value in (build or {}).items():
        file.set_build(key, value)
    return file.text


def _apply(file: HarnessText, change: Change) -> None:
    match change:
        case SetKey("build", _, key, value):
            file.set_build(key, value)
        case SetKey("defaults", _, key, value):
            file.set_default(key, value)
        case SetKey(table, row, key, value):
            file.set(table, row, key, value)
        case DropKey("build", _, key):
            file.unset_build(key)
        case DropKey(table, row, key):
            file.unset(table, row, key)
        case AddRow(table, new):
            file.add(table, new)
        case DropRow(table, row):
            file.remove(table, row)
        case _:
            assert_never(change)
