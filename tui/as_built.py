"""What stands in the record of a loom beside what is computed of a walk."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.circuit.condition import Condition
    from model.harness.harness import Harness
    from model.record_entries import AnyEntry
    from model.sheets.walk_as_built import AsBuilt
    from model.tracing.rows import ToldWalk


def record_entries(path: Path) -> tuple[AnyEntry, ...]:
    """Return what the record of a harness file holds; nothing where it cannot be read: a walk needs none."""
    from model.errors import RecordError
    from model.record import read_record

    try:
        return read_record(path).entries
    except RecordError:
        return ()


def as_built_now(
    harness: Harness, told: ToldWalk | None, condition: Condition, entries: tuple[AnyEntry, ...]
) -> AsBuilt:
    """Return what was read of a walk while the loom was proven, as it is set now."""
    from model.sheets.walk_as_built import NOT_READ, walk_as_built

    if told is None or not entries:
        return NOT_READ
    return walk_as_built(harness, replace(told, condition=condition), entries)
