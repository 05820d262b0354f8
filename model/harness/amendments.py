"""What was changed on a finished loom, as changes to the rows of its file; it touches no disk."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import assert_never

from model.harness.applied_changes import applied_text
from model.harness.toml_edit import Value


class AmendmentKind(StrEnum):
    """What kind of work was done, or was found done."""

    TO_SPARE = "moved to a spare"
    SPLICED = "spliced"
    REPLACED = "replaced"
    GROUND_MOVED = "ground moved"
    ADDED = "added"
    REMOVED = "removed"
    DIFFERS = "found different"


@dataclass(frozen=True, slots=True)
class SetKey:
    """A key of a row gets a value; the row is named by its id, or its name."""

    table: str
    row: str
    key: str
    value: Value


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
    row: Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class DropRow:
    """A row goes."""

    table: str
    row: str


Change = SetKey | DropKey | AddRow | DropRow


@dataclass(frozen=True, slots=True)
class OldEnd:
    """An end of a conductor whose work another does now.

    Attributes
    ----------
    point
        ``W9.a`` of an end that is off its terminal, else the point that it is still on.
    place
        Where it is; empty where the file does not say.
    is_off
        True where it is off its terminal, to be capped.
    """

    wire_id: str
    point: str
    place: str
    is_off: bool


@dataclass(frozen=True, slots=True)
class Amendment:
    """One change of a loom.

    Attributes
    ----------
    sentence
        What was done, with ids.
    parts
        Ids of the parts and wires that it touches.
    supersedes
        Old wire → the wire that does its work now.
    old_ends
        Where the ends of the old conductors are now.
    remarks
        What the file cannot know and somebody should look at.
    """

    kind: AmendmentKind
    sentence: str
    changes: tuple[Change, ...]
    parts: tuple[str, ...]
    supersedes: Mapping[str, str] = field(default_factory=dict)
    old_ends: tuple[OldEnd, ...] = ()
    remarks: tuple[str, ...] = ()


def amended_text(text: str, changes: Iterable[Change], revision: int, date: str) -> str:
    """Give the text of a harness file with changes made and a new revision and date.

    Raises
    ------
    FusewalkError
        Where a row that is to change is not there.
    """
    return applied_text(text, map(_row_change, changes), {"revision": revision, "date": date})


@dataclass(frozen=True, slots=True)
class _RowChange:
    table: str
    id: str
    key: str
    value: Value | None


def _row_change(change: Change) -> _RowChange:
    match change:
        case SetKey(table, row, key, value):
            return _RowChange(table, row, key, value)
        case DropKey(table, row, key):
            return _RowChange(table, row, key, None)
        case AddRow(table, new):
            return _RowChange(table, "", "", new)
        case DropRow(table, row):
            return _RowChange(table, row, "", None)
        case _:
            assert_never(change)
