"""What is asked of somebody who amends a part: the kinds of work that fit it, and the answers as an amendment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import assert_never

from model.errors import ArgumentError
from model.harness.amended_parts import table_of
from model.harness.amendment_kinds import found_different, ground_moved, removed, replaced, spliced
from model.harness.amendment_spare import moved_to_spare, whole_way
from model.harness.amendments import Amendment, AmendmentKind
from model.harness.harness import CHASSIS, Harness
from model.harness.parts_list_read import keys_of
from model.harness.records import GroundPoint, Wire
from model.harness.toml_edit import Value, value_text
from model.harness.typed_values import typed_values
from model.tracing.spare import spares_for
from model.units import number_typed
from model.words import clean

DOES: Mapping[AmendmentKind, str] = {
    AmendmentKind.TO_SPARE: "a spare conductor does its work now",
    AmendmentKind.SPLICED: "it is cut and joined again by a splice",
    AmendmentKind.REPLACED: "a new one is in its place; change what differs",
    AmendmentKind.GROUND_MOVED: "its ground is moved",
    AmendmentKind.DIFFERS: "it is not as the file says; change what is different",
    AmendmentKind.REMOVED: "it is taken out; the wires that end on it hang free",
}
"""Kinds of work on a part that is there, in words."""

_ROW_WORDS = "what it has now; emptied it is left out of the file"
_NOT_CHANGED = frozenset({"id", "superseded_by"})
_FIGURES = frozenset({"size", "length", "amps", "watts", "ohms", "volts"})
_UNITS = {
    "size": "mm²",
    "length": "m",
    "at": "V",
    "emf": "V",
    "charged_emf": "V",
    **dict.fromkeys(("pull_in", "drop_out", "cut_out", "cut_in", "starts_at"), "share"),
}
"""Units of figures whose key does not name them; a share is one of the rated volts."""

_RATINGS = ("watts", "amps", "ohms")
_NO_PLUG = frozenset({"pins", "face"})
_FOLDED = {
    "wires": frozenset({"location", "inside", "picture"}) | _NO_PLUG,
    "joints": frozenset({"location", "inside", "picture"}) | _NO_PLUG,
    "splices": frozenset({"inside", "picture"}) | _NO_PLUG,
    "grounds": frozenset({"inside"}) | _NO_PLUG,
    "bodies": frozenset({"inside"}) | _NO_PLUG,
    "busbars": _NO_PLUG,
    "fuses": _NO_PLUG,
}
"""Keys that say nothing of a kind of part, by its table: they are asked only where the file has them."""


@dataclass(frozen=True, slots=True)
class AmendField:
    """One thing that is asked.

    Attributes
    ----------
    words
        What it is.
    value
        What stands there now, as it would be typed; empty where nothing does.
    choices
        To choose from; empty where it is typed.
    unit
        Of a figure whose key does not name it.
    """

    key: str
    words: str
    value: str = ""
    choices: tuple[str, ...] = ()
    unit: str = ""


@dataclass(frozen=True, slots=True)
class AmendForm:
    """What is asked for one kind of work on one part.

    Attributes
    ----------
    is_row
        True where the fields are the keys of the part's row: only what is changed goes into the file.
    """

    kind: AmendmentKind
    part_id: str
    fields: tuple[AmendField, ...]
    is_row: bool = False

    def filled(self, values: Mapping[str, str]) -> AmendForm:
        """Give the form with other values in some of its fields."""
        return replace(self, fields=tuple(replace(one, value=values.get(one.key, one.value)) for one in self.fields))


def kinds_for(harness: Harness, part_id: str) -> tuple[AmendmentKind, ...]:
    """List the kinds of work that fit a part, the most particular first."""
    part = harness.parts.get(part_id)
    if part is None:
        return ()
    kinds: list[AmendmentKind] = []
    if isinstance(part, Wire):
        if not part.spare and any(wire.spare for wire in harness.wires):
            kinds.append(AmendmentKind.TO_SPARE)
        kinds.append(AmendmentKind.SPLICED)
    if isinstance(part, GroundPoint) or (isinstance(part, Wire) and _ends_on_ground(harness, part)):
        kinds.append(AmendmentKind.GROUND_MOVED)
    return (*kinds, AmendmentKind.REPLACED, AmendmentKind.DIFFERS, AmendmentKind.REMOVED)


def form_of(harness: Harness, kind: AmendmentKind, part_id: str) -> AmendForm:
    """Give what is asked for a kind of work on a part, with what is there or proposed.

    Raises
    ------
    ArgumentError
        Where there is no such part, or the work does not fit it.
    """
    table_of(harness, part_id)
    if kind not in kinds_for(harness, part_id):
        raise ArgumentError(f"{part_id} cannot be {kind}.", do=f"It can be: {', '.join(kinds_for(harness, part_id))}.")
    part = harness.parts[part_id]
    match kind:
        case AmendmentKind.TO_SPARE:
            assert isinstance(part, Wire)
            return AmendForm(kind, part_id, tuple(_spare_fields(harness, part)))
        case AmendmentKind.SPLICED:
            place = AmendField("at", "metres from its from end; half way where nobody measured")
            return AmendForm(kind, part_id, (AmendField("splice", "id of the splice", _free_splice(harness)), place))
        case AmendmentKind.GROUND_MOVED:
            return AmendForm(kind, part_id, (_ground_field(harness, part),))
        case AmendmentKind.REPLACED | AmendmentKind.DIFFERS:
            return AmendForm(kind, part_id, tuple(_row_fields(harness, part_id)), is_row=True)
        case AmendmentKind.REMOVED | AmendmentKind.ADDED:
            return AmendForm(kind, part_id, ())
        case _:
            assert_never(kind)


def amendment_of(harness: Harness, form: AmendForm) -> Amendment:
    """Give what somebody has filled in as an amendment.

    Raises
    ------
    ArgumentError
        Where something cannot be read or does not fit.
    """
    typed = {one.key: one.value.strip() for one in form.fields}
    part_id = form.part_id
    match form.kind:
        case AmendmentKind.TO_SPARE:
            return moved_to_spare(
                harness, _listed(typed["old"]), _listed(typed["spares"]), left_on=_listed(typed["left_on"])
            )
        case AmendmentKind.SPLICED:
            if not typed["splice"]:
                raise ArgumentError("The splice needs an id.", do="Such as J7.")
            return spliced(harness, part_id, typed["splice"], from_end_m=_metres(typed["at"]))
        case AmendmentKind.GROUND_MOVED:
            if not typed["to"]:
                raise ArgumentError("Where does it sit now?", do="Type its new ground or place.")
            return ground_moved(harness, part_id, typed["to"])
        case AmendmentKind.REPLACED:
            return replaced(harness, part_id, _changed(harness, form))
        case AmendmentKind.DIFFERS:
            return found_different(harness, part_id, _changed(harness, form))
        case AmendmentKind.REMOVED:
            return removed(harness, part_id)
        case AmendmentKind.ADDED:
            raise ArgumentError(
                "A part is added by its row.", do="Use fusewalk amend FILE add TABLE id=…, with its keys."
            )
        case _:
            assert_never(form.kind)


def shown_value(value: object) -> str:
    """Spell a value of a row as it would be typed: words as they are, anything else as TOML."""
    if isinstance(value, str):
        return value
    if isinstance(value, float) and value.is_integer():
        return f"{value:g}"
    return value_text(value)


def _changed(harness: Harness, form: AmendForm) -> dict[str, Value | None]:
    """Give the keys whose values are no longer those of the file."""
    stood = {one.key: one.value for one in _row_fields(harness, form.part_id)}
    typed = [f"{one.key}={one.value.strip()}" for one in form.fields if one.value.strip() != stood.get(one.key)]
    return typed_values(table_of(harness, form.part_id), typed)


def _spare_fields(harness: Harness, wire: Wire) -> Iterator[AmendField]:
    fit = [one.wire.id for one in spares_for(harness, wire)]
    others = [one.id for one in harness.wires if one.spare and one.id not in fit and one.id != wire.id]
    whole = next(filter(None, (whole_way(harness, wire.id, one) for one in fit)), None)
    old, spares = (", ".join(one) for one in whole) if whole is not None else ("", "")
    told = f"; {old} by {spares} leave every pin in its cavity" if old else ""
    yield AmendField("old", f"the wires that failed, in order{told}", wire.id, (wire.id, old) if old else ())
    choices = (*fit, *([spares] if spares else []), *others)
    yield AmendField("spares", f"the spares that do their work now, in order{told}", fit[0] if fit else "", choices)
    ends = (f"{wire.id}.a", f"{wire.id}.b", f"{wire.id}.a, {wire.id}.b")
    yield AmendField("left_on", "old ends that stay on their terminals; none is best", "", ("", *ends))


def _ground_field(harness: Harness, part: object) -> AmendField:
    if isinstance(part, GroundPoint):
        places = tuple(place.name for place in harness.locations)
        return AmendField("to", "the place where it sits now", part.location or "", places)
    assert isinstance(part, Wire)
    grounds = tuple(_grounds(harness))
    before = next((point for point in (part.to_point, part.from_point) if point in grounds), "") or ""
    return AmendField("to", "the ground on which it ends now", before, grounds)


def _row_fields(harness: Harness, part_id: str) -> Iterator[AmendField]:
    """Give the keys of a row, those that have a value first, each as it stands."""
    table = table_of(harness, part_id)
    row = harness.parts[part_id].model_dump(by_alias=True, exclude_unset=True, mode="json")
    left_out = _NOT_CHANGED | (_FOLDED.get(table, frozenset()) - row.keys())
    keys = [key for key in keys_of(table) if key not in left_out]
    for key in sorted(keys, key=lambda key: (key not in row, key not in _FIGURES)):
        choices = ("true", "false") if isinstance(row.get(key), bool) else ()
        words = f"one of watts, amps and ohms will do; {_ROW_WORDS}" if _is_rating(table, key) else _ROW_WORDS
        yield AmendField(key, words, shown_value(row[key]) if key in row else "", choices, _UNITS.get(key, ""))


def _is_rating(table: str, key: str) -> bool:
    return table == "loads" and key in _RATINGS


def _ends_on_ground(harness: Harness, wire: Wire) -> bool:
    return not {wire.from_point, wire.to_point}.isdisjoint(_grounds(harness))


def _grounds(harness: Harness) -> Iterator[str]:
    yield from (ground.id for ground in harness.grounds)
    yield from (body.id for body in harness.bodies)
    yield CHASSIS


def _free_splice(harness: Harness) -> str:
    taken = {part_id.casefold() for part_id in harness.parts}
    return next(f"J{number}" for number in range(1, 100_000) if f"j{number}" not in taken)


def _listed(typed: str) -> list[str]:
    return [one.strip() for one in typed.split(",") if one.strip()]


def _metres(typed: str) -> float | None:
    if not typed:
        return None
    try:
        return number_typed(typed.removesuffix("m"))
    except ValueError:
        raise ArgumentError(f"“{clean(typed, 60)}” is no number of metres.", do="Write it as 0.4.") from None
