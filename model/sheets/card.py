"""The card of a part: what it is, where, what hurts there, what ends on it, its face, and the volts it was given."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from model.cautions import Caution, cautions_for
from model.circuit.condition import Condition
from model.harness.derived import once_per_harness
from model.harness.fields import Part
from model.harness.harness import CHASSIS, Harness
from model.harness.hazards import Refusal, may_be_probed
from model.harness.metal import metal_joins, wire_points, wires_at
from model.harness.part_picture import picture_of
from model.harness.parts import Fuse
from model.harness.places import BODY_PLACE, end_place, place_words, point_place
from model.harness.points import points_of, resolve_point
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.harness.superseded import in_place_of
from model.harness.wire_words import colour_code, size_words
from model.sheets.face import face_lines, used_cavities
from model.sheets.part_facts import Fact, assumptions, facts, listed, named, place_facts
from model.words import clean, colour_words

WIDTH = 80

Volts = Mapping[str, Mapping[str, str]]
"""Point → key state → the volts there as text, or the word that stands for them."""


@dataclass(frozen=True, slots=True)
class EndRow:
    """What ends on a point of the part: a wire, a joint, or nothing.

    Attributes
    ----------
    point, terminal, cavity
        The point, its terminal or half and cavity as shown, and the cavity of the part's plug; 0 where it has none.
    wire
        Id of the wire or joint; empty where nothing ends there, or bare metal is bolted on.
    colour, colour_words, size
        Of the wire; empty for a joint.
    other_end, other_place
        The point at its other end, and where that is.
    """

    point: str
    terminal: str
    cavity: int = 0
    wire: str = ""
    colour: str = ""
    colour_words: str = ""
    size: str = ""
    other_end: str = ""
    other_place: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """All that is to be said of one part.

    Attributes
    ----------
    title
        Id and label.
    rows
        What ends on its points, point by point.
    volts
        Point → text in each of the key states of `keys`, for the points that volts were given for.
    assumed
        Sentences on what the file leaves out.
    """

    id: str
    title: str
    facts: tuple[Fact, ...]
    refusals: tuple[Refusal, ...]
    cautions: tuple[Caution, ...]
    rows: tuple[EndRow, ...]
    face: tuple[str, ...]
    keys: tuple[str, ...]
    volts: tuple[tuple[str, tuple[str, ...]], ...]
    note: str
    picture: str
    assumed: tuple[str, ...]


def part_card(
    harness: Harness,
    part_id: str,
    *,
    at: str = "",
    volts: Volts | None = None,
    condition: Condition | None = None,
    history: Sequence[str] = (),
) -> Card:
    """Make the card of a part; it solves nothing.

    Parameters
    ----------
    at
        The point that was asked for: its cavity is marked, and a connector's face is that of its half.
    volts
        Volts to show, worked out elsewhere; points of other parts are left out.
    condition
        What the cautions are chosen for; the first key state, nothing set, where none is given.
    history
        What was changed about the part, a sentence an amendment.

    Raises
    ------
    KeyError
        Where there is no such part.
    """
    is_chassis = part_id == CHASSIS and part_id not in harness.parts
    part = None if is_chassis else harness.parts[part_id]
    points = (CHASSIS,) if part is None else card_points(harness, part)
    shown = tuple(point for point in (*points, *old_points(harness, part)) if volts and point in volts)
    keys = tuple(key for key in harness.key_names if any(key in (volts or {})[point] for point in shown))
    refused = (may_be_probed(harness, point) for point in points)
    return Card(
        part_id,
        named(harness, part_id),
        (*_facts(harness, part), *(Fact("amended", words) for words in history)),
        tuple(refusal for refusal in refused if refusal is not None),
        cautions_for(harness, points, condition or Condition(harness.key_names[0])),
        tuple(_rows(harness, part, points)),
        () if part is None else _face(harness, part, at),
        tuple(clean(key, 40) for key in keys),
        tuple((point, tuple(clean((volts or {})[point].get(key, ""), 40) for key in keys)) for point in shown),
        "" if part is None else clean(part.note, 1000),
        clean(picture_of(harness, part_id), 400),
        () if part is None else tuple(assumptions(harness, part)),
    )


def card_points(harness: Harness, part: Part) -> tuple[str, ...]:
    """Name the points of a part's card: of a wire or joint its ends, of a connector the cavities in use."""
    match part:
        case Wire():
            return wire_points(harness, part)
        case Joint():
            return resolve_point(harness, part.from_point), resolve_point(harness, part.to_point)
        case Connector():
            used = {half: used_cavities(harness, part, half) for half in part.halves}
            return tuple(point.name for point in points_of(part) if point.cavity in used[point.half])
        case Fuse() if part.bus:
            return part.bus, f"{part.id}.out"
    return tuple(point.name for point in points_of(part))


def old_points(harness: Harness, part: Part | None) -> tuple[str, ...]:
    """Name the ends of the wires whose work a wire does now, as far as they are not its own."""
    if not isinstance(part, Wire):
        return ()
    own = wire_points(harness, part)
    ends = (point for wire in in_place_of(harness).get(part.id, ()) for point in wire_points(harness, wire))
    return tuple(dict.fromkeys(point for point in ends if point not in own))


def card_lines(card: Card) -> list[str]:
    """Give a card as lines of text of at most eighty characters where words allow it; cautions before all figures."""
    lines = [card.title, ""]
    lines += _paragraphs(_refusal_words(card.refusals))
    lines += _paragraphs([f"Caution: {caution.text}" for caution in card.cautions])
    if len(lines) > 2:
        lines.append("")
    head_width = max(len(fact.head) for fact in card.facts)
    for fact in card.facts:
        indent = " " * (head_width + 2)
        text = f"{fact.head:<{head_width}}  {fact.text}"
        lines += textwrap.wrap(text, WIDTH, subsequent_indent=indent, break_on_hyphens=False)
    lines += _paragraphs(card.assumed)
    if card.rows:
        lines += ["", *_row_lines(card.rows)]
    if card.volts:
        lines += ["", *_volts_lines(card)]
    if card.face:
        lines += ["", *(part for line in card.face for part in _face_part(line))]
    if card.note:
        lines += ["", *_paragraphs([f"Note: {card.note}"])]
    if card.picture:
        lines += ["", f"Picture: {card.picture}"]
    return [line.rstrip() for line in lines]


def _facts(harness: Harness, part: Part | None) -> Iterator[Fact]:
    if part is None:
        yield Fact("is", "the body of the vehicle")
        yield from place_facts(BODY_PLACE)
        return
    yield from facts(harness, part)
    hanging = [fuse.id for fuse in harness.fuses if fuse.bus == part.id]
    if hanging:
        yield Fact("feeds", f"fuses {listed(hanging)}")
    if isinstance(part, Connector):
        for half in part.halves:
            used = used_cavities(harness, part, half)
            unused = [str(number) for number in range(1, part.cavities + 1) if number not in used]
            if unused:
                yield Fact("unused", f"half {half}: {listed(unused)}")


def _rows(harness: Harness, part: Part | None, points: Sequence[str]) -> Iterator[EndRow]:
    if isinstance(part, Wire | Joint):
        return
    own = part.id if part is not None else CHASSIS
    for point in points:
        if point != own and not point.startswith(f"{own}."):
            yield EndRow(point, "in", other_end=point, other_place=place_words(point_place(harness, point)))
            continue
        terminal = point.removeprefix(own).removeprefix(".") or own
        cavity = part.pins.get(terminal, 0) if part is not None else 0
        ending = list(_ending(harness, point, terminal, cavity))
        yield from ending or [EndRow(point, terminal, cavity)]


def _ending(harness: Harness, point: str, terminal: str, cavity: int) -> Iterator[EndRow]:
    """Give a row for each wire, joint or ground point on a point."""
    for wire in wires_at(harness).get(point, ()):
        ends = wire_points(harness, wire)
        is_from = ends[0] == point
        yield EndRow(
            point,
            terminal,
            cavity,
            wire.id,
            colour_code(wire),
            clean(colour_words(wire.colour)),
            size_words(harness, wire),
            ends[1] if is_from else ends[0],
            place_words(end_place(harness, wire, "b" if is_from else "a")),
        )
    for name, far in _touching(harness).get(point, ()):
        yield EndRow(point, terminal, cavity, name, other_end=far, other_place=place_words(point_place(harness, far)))


@once_per_harness
def _touching(harness: Harness) -> Mapping[str, list[tuple[str, str]]]:
    """Index joints by their points, with the other one; ground points and bodies bolted together under no name."""
    found: dict[str, list[tuple[str, str]]] = {}
    for name, one, other in metal_joins(harness):
        part = harness.parts.get(name)
        if isinstance(part, Joint | GroundPoint):
            shown = name if isinstance(part, Joint) else ""
            found.setdefault(one, []).append((shown, other))
            found.setdefault(other, []).append((shown, one))
    return found


def _face(harness: Harness, part: Part, at: str) -> tuple[str, ...]:
    if not (part.face or isinstance(part, Connector)):
        return ()
    rest = at.removeprefix(f"{part.id}.") if at.startswith(f"{part.id}.") else ""
    if not isinstance(part, Connector):
        return face_lines(harness, part.id, cavity=part.pins.get(rest, 0))
    half, _, cavity = rest.rpartition(".")
    if half in part.halves and cavity.isdecimal():
        return face_lines(harness, part.id, half=half, cavity=int(cavity))
    return (*face_lines(harness, part.id, half=part.halves[0]), *face_lines(harness, part.id, half=part.halves[1]))


def _refusal_words(refusals: Sequence[Refusal]) -> list[str]:
    """Say each reason once, and the other points that it holds for."""
    by_origin: dict[str, list[Refusal]] = {}
    for refusal in refusals:
        by_origin.setdefault(refusal.origin, []).append(refusal)
    words = []
    for first, *others in by_origin.values():
        rest = f" The same holds for {listed(one.point for one in others)}." if others else ""
        words.append(f"No probe: {first.reason}{rest}")
    return words


def _paragraphs(texts: Sequence[str]) -> list[str]:
    return [line for text in texts for line in textwrap.wrap(text, WIDTH, break_on_hyphens=False)]


def _face_part(line: str) -> list[str]:
    """Wrap what is said about a face, never a row of its cavities."""
    return textwrap.wrap(line, WIDTH, break_on_hyphens=False) if line[:1].isalpha() else [line]


def _row_lines(rows: Sequence[EndRow]) -> list[str]:
    heads = ("terminal", "pin", "wire", "colour", "size", "goes to")
    cells = [_cells(row) for row in rows]
    kept = [column for column, _ in enumerate(heads) if column != 1 or any(row.cavity for row in rows)]
    widths = {column: max(len(heads[column]), *(len(line[column]) for line in cells)) for column in kept}
    lines = ["  ".join(f"{heads[column]:<{widths[column]}}" for column in kept)]
    indent = " " * (widths[0] + 2)
    for row, line in zip(rows, cells, strict=True):
        lines.append("  ".join(f"{line[column]:<{widths[column]}}" for column in kept))
        beneath = "; ".join(text for text in (row.colour_words, row.other_place) if text)
        lines += textwrap.wrap(beneath, WIDTH, initial_indent=indent, subsequent_indent=indent)
    return lines


def _cells(row: EndRow) -> tuple[str, ...]:
    wire = row.wire or ("" if row.other_end else "nothing")
    return row.terminal, str(row.cavity or ""), wire, row.colour, row.size, row.other_end


def _volts_lines(card: Card) -> list[str]:
    """Give the volts as a table, the figures on the right."""
    first = max(len("expect, V"), *(len(point) for point, _ in card.volts))
    widths = [max(len(key), *(len(texts[column]) for _, texts in card.volts)) for column, key in enumerate(card.keys)]
    lines = [
        f"{'expect, V':<{first}}" + "".join(f"  {key:>{width}}" for key, width in zip(card.keys, widths, strict=True))
    ]
    for point, texts in card.volts:
        lines.append(
            f"{point:<{first}}" + "".join(f"  {text:>{width}}" for text, width in zip(texts, widths, strict=True))
        )
    return lines
