"""What a harness made from a list still needs, each as a question, and what an answer changes in the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from model.harness.fields import Part
from model.harness.harness import ROW_TYPES, Harness
from model.harness.parts import Battery, Charger, Fuse, Load, LoadKind, Module, Relay, ResistorPack, Switch
from model.harness.points import points_of
from model.harness.records import Connector, GroundPoint, Joint, Splice, Wire
from model.harness.supply import wire_length_m, wire_size
from model.harness.wire_list_cells import json_text, number_text
from model.harness.wire_list_marks import marks_of
from model.words import clean

FUSE_RATINGS = ("1", "2", "3", "5", "7.5", "10", "15", "20", "25", "30", "40", "50", "60", "80", "100")
"""Ratings of blade fuses and links in common use (ISO 8820-3, ISO 8820-5)."""
YES, NO = "yes", "no"
BOLTED, ISOLATED = "bolted to the body", "isolated"
"""How a bar or post for grounds sits: the latter has only wires to the body."""

AT_REST = "at rest"
"""The key state of a build of which no key is known."""

SIGNAL, TO_GROUND, PASSES_ON = "a signal only", "pulls to ground in", "passes its feed on in"
"""What a terminal of a control unit does; behind the last two stand the key states in which."""


@dataclass(frozen=True, slots=True)
class Question:
    """One thing that a harness made from a list still needs.

    Attributes
    ----------
    id
        Table, row and key: ``fuses.F3.amps``. It is the key of the answer.
    table, part, key
        Where the answer goes; `part` is the id of the row, empty for the build and the defaults.
    asks
        The question as a sentence.
    line
        Line of the wire list that it comes from; 0 where none is known.
    choices
        Words to choose from; empty where anything may be typed. Others than these may be typed too.
    assumed
        What stands in the file until it is answered; empty where nothing does.
    row
        The row as it now stands, with the mark of what is assumed in its note.
    others
        Of a question asked once for several parts the rows of the others, by id.
    stands
        Names of the rows that an answer takes the place of.
    """

    id: str
    table: str
    part: str
    key: str
    asks: str
    line: int = 0
    choices: tuple[str, ...] = ()
    assumed: str = ""
    row: Mapping[str, object] | None = None
    others: Mapping[str, Mapping[str, object]] = field(default_factory=dict)
    stands: tuple[str, ...] = ()


def questions(harness: Harness, lines: Mapping[str, int] | None = None) -> tuple[Question, ...]:
    """List what a harness still needs: of the vehicle, of its parts, then of its wires.

    Parameters
    ----------
    lines
        Line of the wire list by the id of a part or wire.

    Notes
    -----
    An answer changes the row that other questions carry: ask for the questions anew after each.
    """
    by_part = lines or {}
    of_parts = list(_of_parts(harness, by_part))
    return (*_of_build(harness), *_of_bars(harness, of_parts), *_of_wires(harness, by_part))


def _of_bars(harness: Harness, found: list[Question]) -> Iterator[Question]:
    """Ask once of all fuses that are taken to sit on one bar."""
    by_bar: dict[object, list[Question]] = {}
    for one in found:
        if one.table == "fuses" and one.key == "bus":
            by_bar.setdefault((one.row or {}).get("bus"), []).append(one)
    asked = {several[0].id: _of_bar(harness, several) for several in by_bar.values()}
    left_out = {one.id for several in by_bar.values() for one in several[1:]}
    yield from (asked.get(one.id, one) for one in found if one.id not in left_out)


def _of_bar(harness: Harness, several: list[Question]) -> Question:
    first, *rest = several
    fuse = harness.parts[first.part]
    if not rest or not isinstance(fuse, Fuse):
        return first
    ids = [one.part for one in several]
    asks = f"Do the fuses {', '.join(ids[:-1])} and {ids[-1]} sit on {_bar_name(harness, fuse)}? No wire feeds them."
    return replace(first, asks=asks, others={one.part: one.row or {} for one in rest})


def _of_build(harness: Harness) -> Iterator[Question]:
    row = harness.build.model_dump(by_alias=True, exclude_unset=True, mode="json")
    for key in marks_of(harness.build.note):
        match key:
            case "nominal_volts":
                asks = "How many volts has the vehicle?"
                choices: tuple[str, ...] = ("6", "12", "24", "48")
                assumed = number_text(harness.build.nominal_volts)
            case "key_states" if harness.key_switch is None and harness.key_names[0] == AT_REST:
                asks, assumed = "Has it a key? Then name its positions, in the order in which it turns.", NO
                choices = (NO, "off, ignition", "off, accessory, ignition")
            case "key_states":
                asks, choices = "Are these the positions of the key, in the order in which it turns?", (YES,)
                assumed = ", ".join(harness.key_names)
            case _:
                continue
        stands = harness.key_names if key == "key_states" else ()
        yield Question(f"build.{key}", "build", "", key, asks, 0, choices, assumed, row, stands=stands)


def _of_parts(harness: Harness, lines: Mapping[str, int]) -> Iterator[Question]:
    for table, kind in ROW_TYPES.items():
        if not issubclass(kind, Part):
            continue
        for part in getattr(harness, table):
            marks = marks_of(part.note)
            if not marks:
                continue
            row = part.model_dump(by_alias=True, exclude_unset=True, mode="json")
            line = lines.get(part.id, 0)
            for key in marks:
                asks, choices, assumed = _asked(harness, part, key, row)
                if asks:
                    yield Question(f"{table}.{part.id}.{key}", table, part.id, key, asks, line, choices, assumed, row)


def _asked(harness: Harness, part: Part, key: str, row: Mapping[str, object]) -> tuple[str, tuple[str, ...], str]:
    """Give sentence, choices and what is assumed for one key of a part."""
    name = clean(f"{part.id} ({part.label})" if part.label else part.id, 120)
    stands = row.get(key)
    assumed = number_text(stands) if isinstance(stands, float) else str(stands) if isinstance(stands, str) else ""
    if key == "hazard":
        asks = f"Is {name} part of what its label suggests: {part.hazard}? Until it is answered it is kept as that."
        return asks, (YES, NO), YES
    match part, key.partition("."):
        case Fuse(), ("amps", _, _):
            return f"What is the rating of fuse {name}, in amperes?", FUSE_RATINGS, assumed
        case Fuse(), ("bus", _, _):
            return f"Does fuse {name} sit on {_bar_name(harness, part)}? No wire feeds it.", (YES, NO), YES
        case ((Load() | ResistorPack() | Module()), (("elements" | "feeds" | "drivers") as inner, _, terminal)):
            return _asked_inside(name, inner, terminal, row, harness.key_names)
        case GroundPoint(), ("bonded", _, _):
            asks = f"Is {name} bolted to the body, or isolated, so that only wires lead from it?"
            return asks, (BOLTED, ISOLATED), BOLTED
        case Load(), ("kind", _, _):
            return f"What is {name}?", tuple(str(kind) for kind in LoadKind), assumed
        case Load(), (("watts" | "amps") as unit, _, _):
            figure = f"{assumed} {'W' if unit == 'watts' else 'A'}"
            return f"What does {name} use, in watts (55 W), amperes (4 A) or ohms (3 ohm)?", (figure,), figure
        case Switch(), ("positions", _, _):
            words = positions_text(part)
            return f"Which terminals does {name} join in each of its positions?", (words,), words
        case Switch(), ("momentary", _, _):
            return f"Does {name} spring back when it is let go?", (YES, NO), YES
        case Wire(), (("from" | "to") as side, _, _):
            point = str(row.get(side))
            return f"On which point does {_wire_name(part)} end ({side})?", _near_points(harness, point), point
        case Battery(), ("joined", _, _):
            return f"On which point does the + of {name} sit? The list names no battery.", _feeding(harness), "on none"
    return _asked_else(name, key, assumed, row, part)


def _bar_name(harness: Harness, fuse: Fuse) -> str:
    bar = harness.parts.get(fuse.bus or "")
    return clean(f"{fuse.bus} ({bar.label})" if bar and bar.label else fuse.bus or "", 120)


def _feeding(harness: Harness) -> tuple[str, ...]:
    """Name the points that a battery may sit on: bars, and fuses without one."""
    return (*(bar.id for bar in harness.busbars), *(f"{fuse.id}.in" for fuse in harness.fuses if not fuse.bus))


def _near_points(harness: Harness, point: str) -> tuple[str, ...]:
    """Name the points of the part that one belongs to."""
    part = harness.parts.get(point.partition(".")[0])
    return tuple(one.name for one in points_of(part)) if part else ()


def _asked_else(
    name: str, key: str, assumed: str, row: Mapping[str, object], part: Part
) -> tuple[str, tuple[str, ...], str]:
    match part, key:
        case Joint(), "from":
            return f"Is this so: {part.label}? The list has no wire from {part.from_point} to ground.", (YES, NO), YES
        case Charger(), "volts":
            return f"At how many volts does {name} charge?", ("7.2", "14.2", "28.2"), assumed
        case Connector(), "cavities":
            return f"How many cavities has {name}?", ("2", "3", "4", "6", "8", "13"), str(part.cavities)
        case Splice(), "kind":
            return f"Is {name} a splice? The list does not say what it is.", (YES,), "a splice"
        case Relay(), "pins":
            return f"Which terminals sit in the cavities of {name}?", (_pins_text(row),), _pins_text(row)
        case Relay(), "inside":
            asks = f"Does {name} sit on the starter {part.inside}, so that 50 pulls it in and it joins 30 to the motor?"
            return asks, (YES, NO), YES
        case Relay(), "contacts" | "coils":
            stands = json_text(row.get(key, ""))
            return f"Are the {key} of {name} as they stand in the file?", (YES,), stands
    return f"What is right for {clean(key, 40)} of {name}?", (), assumed


def _pins_text(row: Mapping[str, object]) -> str:
    pins = row.get("pins")
    return " ".join(f"{name}={cavity}" for name, cavity in pins.items()) if isinstance(pins, dict) else ""


def _asked_inside(
    name: str, inner: str, terminal: str, row: Mapping[str, object], key_names: tuple[str, ...]
) -> tuple[str, tuple[str, ...], str]:
    """Ask about an element, a feed or a driver of a part."""
    listed = row.get(inner)
    found = next((one for one in listed if _named(one) == terminal), None) if isinstance(listed, list) else None
    if not isinstance(found, dict):
        return "", (), ""
    if inner == "drivers":
        turned = ", ".join(key_names[1:] or key_names)
        choices = (SIGNAL, f"{TO_GROUND}: {turned}", f"{PASSES_ON}: {turned}")
        return f"What does {name} do on its terminal {terminal}?", choices, choices[0]
    unit = next((key for key in ("watts", "amps", "ohms") if key in found), "amps")
    value = found.get(unit)
    sign = {"watts": "W", "amps": "A", "ohms": "ohm"}[unit]
    figure = f"{number_text(float(value))} {sign}" if isinstance(value, int | float) else ""
    asks = (
        f"How many ohms has {name} at rest on {terminal}?" if unit == "ohms" else f"What does {name} use on {terminal}?"
    )
    return asks, (figure,) if figure else (), figure


def _named(one: object) -> object:
    return one.get("name", one.get("terminal")) if isinstance(one, dict) else None


def _wire_name(part: Part) -> str:
    return f"the wire {part.id}" + (f" ({clean(part.label, 60)})" if part.label else "")


def _of_wires(harness: Harness, lines: Mapping[str, int]) -> Iterator[Question]:
    """Ask what a file may leave out of a wire and the volts depend on; one size for all where none has one."""
    no_size = harness.defaults.size is None
    if no_size and len(harness.wires) > 1 and all(wire.size is None for wire in harness.wires):
        asks = "What size are wires of which the list says nothing, in mm² or as AWG 16?"
        yield Question("defaults..size", "defaults", "", "size", asks, 0, ("0.75", "1", "1.5", "2.5", "AWG 16"), "1")
        no_size = False
    for wire in harness.wires:
        asked = list(_of_wire(harness, wire, no_size))
        row = wire.model_dump(by_alias=True, exclude_unset=True, mode="json") if asked else {}
        line = lines.get(wire.id, 0)
        for key, asks, assumed in asked:
            yield Question(f"wires.{wire.id}.{key}", "wires", wire.id, key, asks, line, (), assumed, row)


def _of_wire(harness: Harness, wire: Wire, no_size: bool) -> Iterator[tuple[str, str, str]]:
    """Give key, sentence and what is assumed for each thing that is asked of a wire."""
    name = _wire_name(wire)
    if wire.size is None and no_size:
        yield "size", f"What size is {name}, in mm² or as AWG 16?", str(wire_size(harness, wire))
    if wire.length is None and not _is_measured(harness, wire):
        yield "length", f"How long is {name}, in metres?", number_text(wire_length_m(harness, wire))
    if not wire.colour:
        yield "colour", f"What colour is {name}, as a code such as GN/WH?", ""


def _is_measured(harness: Harness, wire: Wire) -> bool:
    """Tell whether all trunks of a wire have a length: then it is as long as they are."""
    return bool(wire.via) and all(harness.trunks_by_name[name].length is not None for name in wire.via)


def positions_text(switch: Switch) -> str:
    """Spell the positions of a switch so that they are read back: ``off; on: 1-2``."""
    pieces = []
    for name, groups in switch.positions.items():
        joined = ", ".join("-".join(group) for group in groups)
        pieces.append(f"{name}: {joined}" if joined else name)
    return "; ".join(pieces)
