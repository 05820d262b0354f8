"""The kinds of amendments: each gives the changes to the file that say what was done to the loom."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from model.errors import ArgumentError
from model.harness.amended_parts import (
    ENDS,
    listed,
    part_named,
    point_at,
    table_of,
    taken_off,
    wire_named,
)
from model.harness.amendments import Amendment, AmendmentKind, OldEnd
from model.harness.applied_changes import AddRow, Change, DropKey, DropRow, SetKey
from model.harness.harness import CHASSIS, ROW_TYPES, Harness
from model.harness.places import end_place
from model.harness.records import GroundPoint, Wire
from model.harness.supply import wire_length_m
from model.harness.toml_edit import Value, value_text
from model.harness.wire_list_marks import marks_of, with_marks, without_answered
from model.words import clean, did_you_mean, nearest

_OF_BOTH_PIECES = (
    *("label", "hazard", "inside", "to", "to_location"),
    *("colour", "size", "via", "spare", "superseded_by"),
)
"""What the second piece of a wire that was cut has of it."""


def spliced(harness: Harness, wire_id: str, splice_id: str, *, from_end_m: float | None = None) -> Amendment:
    """Cut a wire and join it again by a splice.

    Parameters
    ----------
    from_end_m
        How far from the wire's ``from`` end the splice sits, in metres; half way where nobody measured.

    Raises
    ------
    ArgumentError
        Where the wire is not there, the id is taken, or the splice would sit beyond the wire.
    """
    wire = wire_named(harness, wire_id)
    _refuse_taken(harness, splice_id)
    first_m, second_m = _piece_lengths_m(harness, wire, from_end_m)
    is_assumed = wire.length is None
    second: dict[str, Value] = {"id": _free_id(harness, wire_id), "from": splice_id, **_row(wire, _OF_BOTH_PIECES)}
    changes: list[Change] = [AddRow("splices", {"id": splice_id}), SetKey("wires", wire_id, "to", splice_id)]
    if wire.to_location:
        changes.append(DropKey("wires", wire_id, "to_location"))
    changes.append(SetKey("wires", wire_id, "length", first_m))
    if is_assumed and from_end_m is None:
        changes.append(SetKey("wires", wire_id, "note", _with_length_assumed(wire.note)))
    if second_m is not None:
        second |= {"length": second_m} | ({"note": _with_length_assumed("")} if is_assumed else {})
    return Amendment(
        AmendmentKind.SPLICED,
        f"{wire_id} is cut and joined by the splice {splice_id}; from there on it is {second['id']}.",
        (*changes, AddRow("wires", second)),
        (wire_id, splice_id, str(second["id"]), *_points_parts(wire)),
        remarks=tuple(_splice_remarks(wire, is_measured=from_end_m is not None)),
    )


def _splice_remarks(wire: Wire, *, is_measured: bool) -> Iterator[str]:
    if not is_measured:
        yield "How far along it the splice sits was not measured: half way is assumed."
    if wire.length is None:
        yield f"The file did not say how long {wire.id} was: mend the lengths of both pieces once measured."
    if wire.via:
        yield f"Both pieces are taken to run through {listed(wire.via)}: mend that where one does not."


def _piece_lengths_m(harness: Harness, wire: Wire, from_end_m: float | None) -> tuple[float, float | None]:
    """Give the lengths of the two pieces of a wire, in metres: together what the wire had, assumed or not.

    None of the second where the file does not say how long the wire was and the first is as long as was assumed.
    """
    length_m = wire_length_m(harness, wire)
    first_m = length_m / 2 if from_end_m is None else from_end_m
    if first_m < 0 or (first_m > length_m and wire.length is not None):
        raise ArgumentError(
            f"{wire.id} is {length_m:g} m long: a splice at {first_m:g} m lies beyond it.",
            do=f"Give metres from its first end, 0 to {length_m:g}.",
        )
    return round(first_m, 3), round(length_m - first_m, 3) if first_m < length_m or wire.length is not None else None


def _with_length_assumed(note: str) -> str:
    return with_marks(note, (*marks_of(note), "length"))


def replaced(harness: Harness, part_id: str, values: Mapping[str, Value | None]) -> Amendment:
    """Put a new part or wire in the place of an old one: what it has now; None takes a key out.

    Raises
    ------
    ArgumentError
        Where there is no such part.
    """
    return _with_values(harness, part_id, values, AmendmentKind.REPLACED, "is replaced")


def found_different(harness: Harness, part_id: str, values: Mapping[str, Value | None]) -> Amendment:
    """Mend the file where the loom is not as it says: what the part really has; None takes a key out.

    Raises
    ------
    ArgumentError
        Where there is no such part, or nothing to mend.
    """
    if not values:
        raise ArgumentError(
            f"Nothing of {part_id} is said to be different.",
            do="Say what it really has: colour=GN/BU, size=1.5, to=X2.rear.4.",
        )
    return _with_values(harness, part_id, values, AmendmentKind.DIFFERS, "is not as the file had it")


def ground_moved(harness: Harness, part_id: str, to: str) -> Amendment:
    """Move a ground point to another place, or the ground end of a wire to another ground.

    Parameters
    ----------
    part_id
        A ground point, or a wire that ends on one or on a body.
    to
        Of a ground point its new place; of a wire the ground point or body that it ends on now.

    Raises
    ------
    ArgumentError
        Where there is no such ground or wire, or the wire does not end on a ground.
    """
    part = harness.parts.get(part_id)
    if isinstance(part, GroundPoint):
        change: Change = SetKey("grounds", part_id, "location", to)
        return Amendment(AmendmentKind.GROUND_MOVED, f"{part_id} sits at {to} now.", (change,), (part_id,))
    wire = wire_named(harness, part_id)
    grounds = {ground.id for ground in harness.grounds} | {body.id for body in harness.bodies} | {CHASSIS}
    ends = [end for end in ENDS if point_at(wire, end) in grounds]
    if not ends:
        raise ArgumentError(
            f"{part_id} ends on no ground point and on no body.",
            do="Name the wire that does, or the ground point itself.",
        )
    if to not in grounds:
        near = nearest(to, sorted(grounds))
        raise ArgumentError(
            f"There is no ground {clean(to, 60)}.", do=f"Did you mean {near}?" if near else "Add it first."
        )
    end = ends[-1]
    before = str(point_at(wire, end))
    changes = (SetKey("wires", part_id, ENDS[end], to),)
    sentence = f"The ground end of {part_id} is moved from {before} to {to}."
    return Amendment(AmendmentKind.GROUND_MOVED, sentence, changes, (part_id, before, to))


def added(harness: Harness, table: str, row: Mapping[str, Value]) -> Amendment:
    """Add a part or a wire.

    Raises
    ------
    ArgumentError
        Where there is no such table, the row has no id, or its id is taken.
    """
    if table not in ROW_TYPES:
        do = did_you_mean(table, ROW_TYPES, f"There are: {', '.join(ROW_TYPES)}.")
        raise ArgumentError(f"There is no table {clean(table, 60)}.", do=do)
    row_id = str(row.get("id", row.get("name", "")))
    if not row_id:
        raise ArgumentError(f"A row of {table} needs an id.", do="Give one that no other part has, such as id=W190.")
    _refuse_taken(harness, row_id)
    named = tuple(dict.fromkeys(str(row[key]).partition(".")[0] for key in ("from", "to") if key in row))
    parts = (row_id, *(one for one in named if one in harness.parts))
    return Amendment(AmendmentKind.ADDED, f"{row_id} is added.", (AddRow(table, row),), parts)


def removed(harness: Harness, part_id: str) -> Amendment:
    """Take a part or wire out; the wires that ended on it hang free, joints on it go with it.

    Raises
    ------
    ArgumentError
        Where there is no such part.
    """
    table = table_of(harness, part_id)
    changes: list[Change] = []
    ends: list[OldEnd] = []
    for wire in harness.wires:
        for end in ENDS:
            point = point_at(wire, end)
            if point is not None and wire.id != part_id and point.partition(".")[0] == part_id:
                changes += taken_off(harness, wire, end)
                ends.append(OldEnd(wire.id, f"{wire.id}.{end}", end_place(harness, wire, end).name, is_off=True))
        if wire.superseded_by == part_id:
            changes.append(DropKey("wires", wire.id, "superseded_by"))
    for joint in harness.joints:
        if joint.id != part_id and part_id in {point.partition(".")[0] for point in (joint.from_point, joint.to_point)}:
            changes.append(DropRow("joints", joint.id))
    changes += [
        DropKey(table_of(harness, one.id), one.id, "inside") for one in harness.each_part() if one.inside == part_id
    ]
    changes.append(DropRow(table, part_id))
    touched = (part_id, *dict.fromkeys(end.wire_id for end in ends))
    return Amendment(AmendmentKind.REMOVED, f"{part_id} is taken out.", tuple(changes), touched, {}, tuple(ends))


def _with_values(
    harness: Harness, part_id: str, values: Mapping[str, Value | None], kind: AmendmentKind, does: str
) -> Amendment:
    table = table_of(harness, part_id)
    note = part_named(harness, part_id).note
    left = without_answered(note, values)
    noted = {} if "note" in values or left == note else {"note": left or None}
    changes: list[Change] = [
        DropKey(table, part_id, key) if value is None else SetKey(table, part_id, key, value)
        for key, value in (*values.items(), *noted.items())
    ]
    said = listed([f"{key} {'left out' if value is None else _shown(value)}" for key, value in values.items()])
    sentence = f"{part_id} {does}{f': {said}' if said else ' by one of its kind'}."
    return Amendment(kind, sentence, tuple(changes), (part_id,))


def _shown(value: Value) -> str:
    return clean(value if isinstance(value, str) else value_text(value), 80)


def _points_parts(wire: Wire) -> tuple[str, ...]:
    points = (point_at(wire, end) for end in ENDS)
    return tuple(dict.fromkeys(point.partition(".")[0] for point in points if point))


def _row(wire: Wire, keys: Iterable[str]) -> dict[str, Value]:
    typed = wire.model_dump(by_alias=True, exclude_unset=True)
    return {key: list(typed[key]) if isinstance(typed[key], tuple) else typed[key] for key in keys if key in typed}


def _refuse_taken(harness: Harness, part_id: str) -> None:
    if part_id in harness.parts:
        raise ArgumentError(f"There is a part {clean(part_id, 60)} already.", do="Choose another id.")


def _free_id(harness: Harness, wire_id: str) -> str:
    """Give a wire's id with the next letter that is not taken: W9b."""
    letters = (f"{wire_id}{letter}" for letter in "bcdefghijklmnopqrstuvwxyz")
    numbers = (f"{wire_id}_{number}" for number in range(2, 10_000))
    return next(one for one in (*letters, *numbers) if one not in harness.parts)
