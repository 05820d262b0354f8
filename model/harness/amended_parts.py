"""What the kinds of amendments have in common: parts by their ids, and the ends of wires."""

from __future__ import annotations

from collections.abc import Iterable

from model.errors import ArgumentError
from model.harness.applied_changes import Change, DropKey, SetKey
from model.harness.fields import Part
from model.harness.harness import ROW_TYPES, Harness
from model.harness.places import end_place
from model.harness.records import Wire
from model.words import FIND_PART, clean, did_you_mean

ENDS = {"a": "from", "b": "to"}
"""An end of a wire, and the key of its row that holds its point."""


def table_of(harness: Harness, part_id: str) -> str:
    """Name the table of a part.

    Raises
    ------
    ArgumentError
        Where there is no such part.
    """
    kind = type(part_named(harness, part_id))
    return next(table for table, row_type in ROW_TYPES.items() if row_type is kind)


def part_named(harness: Harness, part_id: str) -> Part:
    """Give a part by its id.

    Raises
    ------
    ArgumentError
        Where there is none.
    """
    part = harness.parts.get(part_id)
    if part is None:
        do = did_you_mean(part_id, harness.parts, FIND_PART)
        raise ArgumentError(f"There is no part {clean(part_id, 60)}.", do=do)
    return part


def wire_named(harness: Harness, wire_id: str) -> Wire:
    """Give a wire by its id.

    Raises
    ------
    ArgumentError
        Where there is none, or it is another kind of part.
    """
    part = part_named(harness, wire_id)
    if not isinstance(part, Wire):
        raise ArgumentError(f"{wire_id} is no wire.", do="Name a wire; fusewalk wirelist FILE lists them.")
    return part


def listed(names: Iterable[str]) -> str:
    """Name several, cleaned, with commas between."""
    return ", ".join(clean(name, 80) for name in names)


def taken_off(harness: Harness, wire: Wire, end: str) -> list[Change]:
    """Take an end of a wire off its terminal; where it hangs is kept."""
    place = end_place(harness, wire, end).name
    changes: list[Change] = [DropKey("wires", wire.id, ENDS[end])]
    if place and place in harness.locations_by_name:
        changes.append(SetKey("wires", wire.id, f"{ENDS[end]}_location", place))
    return changes


def point_at(wire: Wire, end: str) -> str | None:
    """Give the point that an end of a wire is on, None where it hangs free."""
    return wire.from_point if end == "a" else wire.to_point


def refuse_unknown_ends(ends: frozenset[str], known: Iterable[str]) -> None:
    """Refuse ends that are none of those that there are.

    Raises
    ------
    ArgumentError
        With those that there are.
    """
    there = tuple(known)
    for end in sorted(ends.difference(there)):
        raise ArgumentError(
            f"{clean(end, 60)} is none of the ends that could stay on.", do=f"They are {listed(there)}."
        )
