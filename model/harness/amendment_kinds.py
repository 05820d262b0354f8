"""The kinds of amendments: each gives the changes to the file that say what was done to the loom."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from model.errors import ArgumentError
from model.harness.amendments import Amendment, AmendmentKind, OldEnd
from model.harness.applied_changes import AddRow, Change, DropKey, DropRow, SetKey
from model.harness.conductor_chains import Chain, chain_of
from model.harness.fields import Part
from model.harness.harness import CHASSIS, ROW_TYPES, Harness
from model.harness.places import end_place
from model.harness.records import GroundPoint, Wire
from model.harness.supply import wire_length_m, wire_size
from model.harness.toml_edit import Value, value_text
from model.harness.wire_list_marks import marks_of, with_marks, without_answered
from model.units import parse_size
from model.words import FIND_PART, clean, did_you_mean, nearest, size_text

ENDS = {"a": "from", "b": "to"}
"""An end of a wire, and the key of its row that holds its point."""

_OF_BOTH_PIECES = (
    *("label", "hazard", "inside", "to", "to_location"),
    *("colour", "size", "via", "spare", "superseded_by"),
)
"""What the second piece of a wire that was cut has of it."""


def moved_to_spare(
    harness: Harness, old_ids: Sequence[str], spare_ids: Sequence[str], *, left_on: Iterable[str] = ()
) -> Amendment:
    """Move the work of a conductor to spare ones.

    Parameters
    ----------
    old_ids
        The wires that have failed, in the order in which plugs join them; their outer ends are moved.
    spare_ids
        The spare wires that do the work now, in order. Between the first and the last their plugs join them.
    left_on
        Outer ends of the old conductor that stay on their terminals: ``W9.a``. The others come off.

    Raises
    ------
    ArgumentError
        Where a wire is not there, is no spare, or the wires do not follow one on another.
    """
    old = chain_of(harness, [_wire(harness, one) for one in old_ids])
    spares = chain_of(harness, [_spare(harness, one) for one in spare_ids])
    spares = spares if _places_agree(harness, old, spares) else spares.turned()
    changes: list[Change] = []
    ends: list[OldEnd] = []
    kept = frozenset(left_on)
    _refuse_unknown(kept, (f"{wire.id}.{end}" for wire, end in old.outer))
    for (old_wire, old_end), (new_wire, new_end) in zip(old.outer, spares.outer, strict=True):
        point = _point_at(old_wire, old_end)
        if point is None:
            raise ArgumentError(
                f"{old_wire.id}.{old_end} ends nowhere: there is no work to move.",
                do="Name a wire that ends on a part or in a plug.",
            )
        changes.append(SetKey("wires", new_wire.id, ENDS[new_end], point))
        changes.append(DropKey("wires", new_wire.id, f"{ENDS[new_end]}_location"))
        place = end_place(harness, old_wire, old_end).name
        is_off = f"{old_wire.id}.{old_end}" not in kept
        if is_off:
            changes += _off(harness, old_wire, old_end)
        ends.append(OldEnd(old_wire.id, f"{old_wire.id}.{old_end}" if is_off else point, place, is_off))
    changes += [SetKey("wires", wire.id, "spare", value=False) for wire in spares.wires]
    changes += _hazard_passed_on(old, spares)
    supersedes = {wire.id: spares.wires[min(place, len(spares.wires) - 1)].id for place, wire in enumerate(old.wires)}
    changes += [SetKey("wires", one, "superseded_by", other) for one, other in supersedes.items()]
    names = _listed([wire.id for wire in old.wires]), _listed([wire.id for wire in spares.wires])
    return Amendment(
        AmendmentKind.TO_SPARE,
        f"The work of {names[0]} is done by {names[1]} now.",
        tuple(changes),
        (*(wire.id for wire in (*old.wires, *spares.wires)), *_ended_on(old)),
        supersedes,
        tuple(ends),
        (*_thinner(harness, old, spares), *_elsewhere(harness, old, spares)),
    )


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
    wire = _wire(harness, wire_id)
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
        yield f"Both pieces are taken to run through {_listed(wire.via)}: mend that where one does not."


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
    wire = _wire(harness, part_id)
    grounds = {ground.id for ground in harness.grounds} | {body.id for body in harness.bodies} | {CHASSIS}
    ends = [end for end in ENDS if _point_at(wire, end) in grounds]
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
    before = str(_point_at(wire, end))
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
            point = _point_at(wire, end)
            if point is not None and wire.id != part_id and point.partition(".")[0] == part_id:
                changes += _off(harness, wire, end)
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


def _hazard_passed_on(old: Chain, spares: Chain) -> Iterator[Change]:
    """Give the spares the hazard that the file gives a wire whose work they do."""
    hazard = next((wire.hazard for wire in old.wires if wire.hazard is not None), None)
    if hazard is not None:
        yield from (SetKey("wires", wire.id, "hazard", str(hazard)) for wire in spares.wires if wire.hazard is None)


def _thinner(harness: Harness, old: Chain, spares: Chain) -> Iterator[str]:
    """Say which spares are thinner than the thinnest wire whose work they do."""
    least = min(old.wires, key=lambda wire: _area_mm2(harness, wire))
    for spare in spares.wires:
        if _area_mm2(harness, spare) < _area_mm2(harness, least):
            sizes = [size_text(_area_mm2(harness, wire)) for wire in (spare, least)]
            yield (
                f"{spare.id} has {sizes[0]} mm², {least.id} had {sizes[1]}: the fuse before it must be no larger than "
                f"the thinner one bears."
            )


def _elsewhere(harness: Harness, old: Chain, spares: Chain) -> Iterator[str]:
    """Say which spares end in another place than the terminal that they are to reach."""
    for (old_wire, old_end), (spare, end) in zip(old.outer, spares.outer, strict=True):
        wanted, given = end_place(harness, old_wire, old_end).name, end_place(harness, spare, end).name
        if wanted and given and wanted != given:
            yield f"{spare.id} ends at {given} by the file, the terminal is at {wanted}: it has to reach that far."


def _area_mm2(harness: Harness, wire: Wire) -> float:
    return parse_size(wire_size(harness, wire)).area_mm2


def _with_values(
    harness: Harness, part_id: str, values: Mapping[str, Value | None], kind: AmendmentKind, does: str
) -> Amendment:
    table = table_of(harness, part_id)
    note = _part(harness, part_id).note
    left = without_answered(note, values)
    noted = {} if "note" in values or left == note else {"note": left or None}
    changes: list[Change] = [
        DropKey(table, part_id, key) if value is None else SetKey(table, part_id, key, value)
        for key, value in (*values.items(), *noted.items())
    ]
    said = _listed([f"{key} {'left out' if value is None else _shown(value)}" for key, value in values.items()])
    sentence = f"{part_id} {does}{f': {said}' if said else ' by one of its kind'}."
    return Amendment(kind, sentence, tuple(changes), (part_id,))


def _listed(names: Iterable[str]) -> str:
    return ", ".join(clean(name, 80) for name in names)


def _shown(value: Value) -> str:
    return clean(value if isinstance(value, str) else value_text(value), 80)


def _off(harness: Harness, wire: Wire, end: str) -> list[Change]:
    """Take an end of a wire off its terminal; where it hangs is kept."""
    place = end_place(harness, wire, end).name
    changes: list[Change] = [DropKey("wires", wire.id, ENDS[end])]
    if place and place in harness.locations_by_name:
        changes.append(SetKey("wires", wire.id, f"{ENDS[end]}_location", place))
    return changes


def _places_agree(harness: Harness, old: Chain, spares: Chain) -> bool:
    """Tell whether a chain of spares lies as the old one does, by the places of their outer ends."""
    mine, theirs = ([end_place(harness, wire, end).name for wire, end in chain.outer] for chain in (old, spares))
    straight = sum(one == other for one, other in zip(mine, theirs, strict=True) if one)
    crossed = sum(one == other for one, other in zip(mine, reversed(theirs), strict=True) if one)
    return straight >= crossed


def _point_at(wire: Wire, end: str) -> str | None:
    return wire.from_point if end == "a" else wire.to_point


def _ended_on(chain: Chain) -> tuple[str, ...]:
    points = (_point_at(wire, end) for wire, end in chain.outer)
    return tuple(dict.fromkeys(point.partition(".")[0] for point in points if point))


def _points_parts(wire: Wire) -> tuple[str, ...]:
    points = (_point_at(wire, end) for end in ENDS)
    return tuple(dict.fromkeys(point.partition(".")[0] for point in points if point))


def _row(wire: Wire, keys: Iterable[str]) -> dict[str, Value]:
    typed = wire.model_dump(by_alias=True, exclude_unset=True)
    return {key: list(typed[key]) if isinstance(typed[key], tuple) else typed[key] for key in keys if key in typed}


def table_of(harness: Harness, part_id: str) -> str:
    """Name the table of a part.

    Raises
    ------
    ArgumentError
        Where there is no such part.
    """
    kind = type(_part(harness, part_id))
    return next(table for table, row_type in ROW_TYPES.items() if row_type is kind)


def _part(harness: Harness, part_id: str) -> Part:
    part = harness.parts.get(part_id)
    if part is None:
        do = did_you_mean(part_id, harness.parts, FIND_PART)
        raise ArgumentError(f"There is no part {clean(part_id, 60)}.", do=do)
    return part


def _wire(harness: Harness, wire_id: str) -> Wire:
    part = _part(harness, wire_id)
    if not isinstance(part, Wire):
        raise ArgumentError(f"{wire_id} is no wire.", do="Name a wire; fusewalk wirelist FILE lists them.")
    return part


def _spare(harness: Harness, wire_id: str) -> Wire:
    wire = _wire(harness, wire_id)
    if not wire.spare:
        raise ArgumentError(
            f"{wire_id} is no spare: it does work of its own.", do="The file marks spares with spare = true."
        )
    return wire


def _refuse_unknown(ends: frozenset[str], known: Iterable[str]) -> None:
    there = tuple(known)
    for end in sorted(ends.difference(there)):
        raise ArgumentError(
            f"{clean(end, 60)} is none of the ends that could stay on.", do=f"They are {_listed(there)}."
        )


def _refuse_taken(harness: Harness, part_id: str) -> None:
    if part_id in harness.parts:
        raise ArgumentError(f"There is a part {clean(part_id, 60)} already.", do="Choose another id.")


def _free_id(harness: Harness, wire_id: str) -> str:
    """Give a wire's id with the next letter that is not taken: W9b."""
    letters = (f"{wire_id}{letter}" for letter in "bcdefghijklmnopqrstuvwxyz")
    numbers = (f"{wire_id}_{number}" for number in range(2, 10_000))
    return next(one for one in (*letters, *numbers) if one not in harness.parts)
