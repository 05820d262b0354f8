"""A table for each connector and each plugged part: its face from both sides, and what is in each cavity."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from model.errors import ArgumentError
from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.metal import wire_points, wires_at
from model.harness.places import NO_PLACE_WORDS, end_place, place_of, place_words
from model.harness.records import Connector, Wire
from model.harness.wire_words import colour_code, size_words
from model.sheets.face import CellRows, View, face_cells, face_lines
from model.sheets.plan_csv import csv_text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.tracing.names import id_and_label
from model.words import FIND_PART, clean, colour_words, did_you_mean

COLUMNS = ("plug", "half", "cavity", "terminal", "wire", "colour", "colour in words", "size", "goes to", "no probe")


@dataclass(frozen=True, slots=True)
class CavityRow:
    """What is in a cavity: a row a wire, one row where there is none."""

    half: str
    cavity: int
    terminal: str
    point: str
    wire_id: str = ""
    colour: str = ""
    colour_words: str = ""
    size: str = ""
    goes_to: str = ""
    refusal: str = ""


@dataclass(frozen=True, slots=True)
class Plug:
    """A half of a connector, or the plug of a part."""

    part: Part
    half: str
    rows: tuple[CavityRow, ...]


def plugs_of(harness: Harness, part_ids: Sequence[str] = ()) -> tuple[Plug, ...]:
    """Give the plugs of a harness, of each connector both halves, in the order of the file.

    Parameters
    ----------
    part_ids
        Only those; all where there are none.

    Raises
    ------
    ArgumentError
        Where there is no such part, or it has no plug.
    """
    for part_id in part_ids:
        _refuse_without_plug(harness, part_id)
    parts = [part for part in harness.each_part() if _is_plugged(part) and (not part_ids or part.id in part_ids)]
    return tuple(plug for part in parts for plug in _plugs(harness, part))


def _is_plugged(part: Part) -> bool:
    return isinstance(part, Connector) or bool(part.pins)


def _refuse_without_plug(harness: Harness, part_id: str) -> None:
    part = harness.parts.get(part_id)
    if part is None:
        do = did_you_mean(part_id, harness.parts, FIND_PART)
        raise ArgumentError(f"There is no part {clean(part_id, 60)}.", do=do)
    if not _is_plugged(part):
        raise ArgumentError(f"{part_id} has no plug in the file.", do="A part has one where it has pins.")


def _plugs(harness: Harness, part: Part) -> Iterator[Plug]:
    if isinstance(part, Connector):
        for half in part.halves:
            cavities = range(1, part.cavities + 1)
            rows = [
                row for cavity in cavities for row in _rows(harness, half, cavity, "", f"{part.id}.{half}.{cavity}")
            ]
            yield Plug(part, half, tuple(rows))
        return
    pins = sorted(part.pins.items(), key=lambda pin: (pin[1], pin[0]))
    found = [row for name, cavity in pins for row in _rows(harness, "", cavity, name, f"{part.id}.{name}")]
    yield Plug(part, "", tuple(found))


def _rows(harness: Harness, half: str, cavity: int, terminal: str, point: str) -> Iterator[CavityRow]:
    refusal = may_be_probed(harness, point)
    refused = "" if refusal is None else clean(refusal.reason, 400)
    wires = wires_at(harness).get(point, ())
    for wire in wires:
        ends = wire_points(harness, wire)
        yield CavityRow(
            half,
            cavity,
            terminal,
            point,
            wire.id,
            colour_code(wire),
            clean(colour_words(wire.colour)) if wire.colour else "",
            size_words(harness, wire),
            _far_end(harness, wire, ends, point),
            refused,
        )
    if not wires:
        yield CavityRow(half, cavity, terminal, point, refusal=refused)


def _far_end(harness: Harness, wire: Wire, ends: tuple[str, str], point: str) -> str:
    """Name the point at the other end of a wire; a free end with its place."""
    end = "b" if ends[0] == point else "a"
    there = ends[1] if end == "b" else ends[0]
    if there != f"{wire.id}.{end}":
        return there
    return f"free end, {clean(end_place(harness, wire, end).name, 60) or NO_PLACE_WORDS}"


def plug_tables(harness: Harness, part_ids: Sequence[str] = ()) -> ReviewSheet:
    """Lay out the plugs: each with its face from the wire side and from the mating side, then cavity by cavity.

    Raises
    ------
    ArgumentError
        Where there is no such part, or it has no plug.
    """
    plugs = plugs_of(harness, part_ids)
    about = (
        "The wire side is the side that the wires go in; the mating side is the one that meets the other half, and is "
        "its mirror image. Trust the cavity number moulded into the housing, then the colour.",
    )
    sections = tuple(_section(harness, plug) for plug in plugs)
    return ReviewSheet(
        "connectors",
        f"{clean(harness.build.name)}, revision {harness.build.revision}",
        about,
        sections or (Section(words=("No connector and no plugged part is in this file.",)),),
    )


def _section(harness: Harness, plug: Plug) -> Section:
    part = plug.part
    half = f", half {plug.half}" if plug.half else ""
    place = place_words(place_of(harness, part.id))
    faces = [face_lines(harness, part.id, half=plug.half, view=view) for view in View] if part.face else []
    columns = (
        Column("cavity", True, 16),
        *(() if plug.half else (Column("terminal", width_mm=20),)),
        Column("wire", width_mm=22),
        Column("colour, size", width_mm=34),
        Column("goes to"),
    )
    refusals = tuple(dict.fromkeys(row.refusal for row in plug.rows if row.refusal))
    return Section(
        f"{id_and_label(harness, part.id)}{half}, {place}",
        cautions=refusals,
        words=() if part.face else face_lines(harness, part.id, half=plug.half),
        drawing=tuple(line for face in faces for line in face),
        faces=_faces(harness, plug),
        grid=Grid(
            columns,
            tuple(_cells(row, has_terminal=not plug.half) for row in plug.rows),
            tuple(row.point for row in plug.rows),
        ),
    )


def _faces(harness: Harness, plug: Plug) -> tuple[tuple[str, CellRows], ...]:
    if not plug.part.face:
        return ()
    return tuple(
        (f"Seen from its {view}", face_cells(harness, plug.part.id, half=plug.half, view=view)) for view in View
    )


def _cells(row: CavityRow, *, has_terminal: bool) -> tuple[str, ...]:
    terminal = (row.terminal,) if has_terminal else ()
    wire = (row.wire_id, f"{row.colour} {row.size}", row.goes_to) if row.wire_id else ("none", "", "")
    return (str(row.cavity), *terminal, *wire)


def plug_tables_csv(harness: Harness, part_ids: Sequence[str] = ()) -> str:
    """Give the plugs as CSV, a row a wire in a cavity."""
    return csv_text(
        COLUMNS,
        (
            (
                plug.part.id,
                row.half,
                row.cavity,
                row.terminal,
                row.wire_id,
                row.colour,
                row.colour_words,
                row.size,
                row.goes_to,
                row.refusal,
            )
            for plug in plugs_of(harness, part_ids)
            for row in plug.rows
        ),
    )


def plug_tables_json(harness: Harness, part_ids: Sequence[str] = ()) -> dict[str, object]:
    """Give the plugs as one JSON object."""
    return {
        "format": "fusewalk connectors",
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "plugs": [
            {
                "part": plug.part.id,
                "half": plug.half or None,
                "cavities": [
                    {
                        "cavity": row.cavity,
                        "terminal": row.terminal or None,
                        "point": row.point,
                        "wire": row.wire_id or None,
                        "colour": row.colour or None,
                        "size": row.size or None,
                        "goes_to": row.goes_to or None,
                        "no_probe": row.refusal or None,
                    }
                    for row in plug.rows
                ],
            }
            for plug in plugs_of(harness, part_ids)
        ],
    }
