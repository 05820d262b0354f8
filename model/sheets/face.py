"""The face of a plug as lines of text: its cavities as they lie, from the wire side or from the mating side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.metal import wires_at
from model.harness.points import resolve_point
from model.harness.records import Connector
from model.sheets.columns import WIDTH
from model.words import clean

UNUSED = "--"

Rows = tuple[tuple[int, ...], ...]


class View(StrEnum):
    """From where a face is looked at."""

    WIRE_SIDE = "wire side"
    MATING_SIDE = "mating side"


@dataclass(frozen=True, slots=True)
class FaceCell:
    """A cavity on a face.

    Attributes
    ----------
    is_used
        Whether a wire or joint is in it.
    is_asked
        Whether it is the cavity asked for.
    colours
        Of the wires in it, as codes; empty where the file gives none.
    """

    number: int
    is_used: bool
    is_asked: bool
    colours: tuple[str, ...]


CellRows = tuple[tuple[FaceCell | None, ...], ...]
"""The rows of a face as they are seen, left to right, all of one length, None for a gap."""


def face_cells(
    harness: Harness, part_id: str, *, half: str = "", view: View = View.WIRE_SIDE, cavity: int = 0
) -> CellRows:
    """Give the cavities of a face as they lie, from one of its sides.

    A face is given from the wire side of the first half, or of the part's plug. The second half meets the first face to
    face: its wire side is the mirror of the first half's.

    Parameters
    ----------
    half
        Of a connector the half; the first where none is given.
    cavity
        The cavity asked for; 0 for none.

    Raises
    ------
    KeyError
        Where there is no such part, or the connector has no such half.
    """
    part = harness.parts[part_id]
    used, colours = used_cavities(harness, part, half), _colours_in(harness, part, half)
    return tuple(
        tuple(
            FaceCell(number, number in used, number == cavity, colours.get(number, ())) if number else None
            for number in row
        )
        for row in seen_rows(part, half, view)
    )


def face_lines(
    harness: Harness, part_id: str, *, half: str = "", view: View = View.WIRE_SIDE, cavity: int = 0
) -> tuple[str, ...]:
    """Draw the face of a connector's half, or of the plug of a part, in lines of at most 80 columns.

    Parameters
    ----------
    half
        Of a connector the half; the first where none is given.
    cavity
        The cavity asked for, marked ``>6<``; 0 for none.

    Returns
    -------
    tuple of str
        A head line, then a line a row: cavity numbers, ``--`` for an unused cavity, blank for a gap; a sentence in
        place of the rows where the file gives no face. A face too wide for a line stands in pieces, each with the
        columns that it has in words.

    Raises
    ------
    KeyError
        Where there is no such part, or the connector has no such half.
    """
    part = harness.parts[part_id]
    head = _head(part, half, view)
    if not part.face:
        return (without_face(part, half),)
    rows = face_cells(harness, part_id, half=half, view=view, cavity=cavity)
    width = number_width(rows)
    return (head, *_pieces(rows, width), *cavity_remarks(rows, cavity))


def number_width(rows: CellRows) -> int:
    """Give how many signs the longest cavity number takes, or the sign of an unused cavity."""
    return max(len(UNUSED), *(len(str(cell.number)) for row in rows for cell in row if cell is not None), 0)


def cavity_remarks(rows: CellRows, cavity: int) -> tuple[str, ...]:
    """Say what is odd about the cavity asked for: that it is not on the face, or that nothing is in it."""
    if not cavity:
        return ()
    found = next((cell for row in rows for cell in row if cell is not None and cell.number == cavity), None)
    if found is None:
        return (f"Cavity {cavity} is not on this face.",)
    return () if found.is_used else (f"No wire is in cavity {cavity}.",)


def columns_words(first: int, last: int, count: int) -> str:
    """Say which columns of a face stand there, counted from the left: ``columns 1 to 15 of 20``."""
    return f"columns {first} to {last} of {count}" if last > first else f"column {first} of {count}"


def rows_words(first: int, last: int, count: int) -> str:
    """Say which rows of a face stand there, counted from the top: ``rows 2 to 3 of 9``."""
    return f"rows {first} to {last} of {count}" if last > first else f"row {first} of {count}"


def _pieces(rows: CellRows, width: int) -> Iterator[str]:
    """Draw the rows, a wide face in pieces one below the other."""
    count = max((len(row) for row in rows), default=0)
    at_once = max((WIDTH + 1) // (width + 3), 1)
    for first in range(0, count, at_once):
        if count > at_once:
            yield f"{columns_words(first + 1, min(first + at_once, count), count)} from the left:"
        yield from (_line(row[first : first + at_once], width) for row in rows)


def seen_rows(part: Part, half: str = "", view: View = View.WIRE_SIDE) -> Rows:
    """Give the rows of a face as they are seen, left to right, all of one length, 0 for a gap.

    Raises
    ------
    KeyError
        Where a connector has no such half.
    """
    is_second = isinstance(part, Connector) and _half_of(part, half) == part.halves[1]
    is_mirrored = is_second is (view is View.WIRE_SIDE)
    length = max((len(row) for row in part.face), default=0)
    rows = (row + (0,) * (length - len(row)) for row in part.face)
    return tuple(row[::-1] if is_mirrored else row for row in rows)


def used_cavities(harness: Harness, part: Part, half: str = "") -> frozenset[int]:
    """Give the cavities of a half, or of a part's plug, that a wire or joint is in.

    Where a part without pins of its own sits inside another, the cavities of the plug that no pin names may be its:
    they count as used.
    """
    taken = _ended_on(harness)
    if isinstance(part, Connector):
        name = _half_of(part, half)
        return frozenset(number for number in range(1, part.cavities + 1) if f"{part.id}.{name}.{number}" in taken)
    inner = [one for one in harness.each_part() if one.inside == part.id]
    pinned = [(one.id, pins) for one in (part, *inner) for pins in one.pins.items()]
    used = {
        cavity for part_id, (terminal, cavity) in pinned if resolve_point(harness, f"{part_id}.{terminal}") in taken
    }
    if any(not one.pins for one in inner):
        named = {cavity for _, (_, cavity) in pinned}
        used |= {number for row in part.face for number in row if number} - named
    return frozenset(used)


def _colours_in(harness: Harness, part: Part, half: str) -> dict[int, tuple[str, ...]]:
    """Map the cavities of a half, or of a part's plug, to the colours of the wires in them."""
    if isinstance(part, Connector):
        name = _half_of(part, half)
        points = {number: f"{part.id}.{name}.{number}" for number in range(1, part.cavities + 1)}
    else:
        inner = (one for one in harness.each_part() if one.inside == part.id)
        points = {
            cavity: resolve_point(harness, f"{one.id}.{terminal}")
            for one in (part, *inner)
            for terminal, cavity in one.pins.items()
        }
    ends = wires_at(harness)
    return {number: tuple(wire.colour for wire in ends.get(point, ())) for number, point in points.items()}


def _ended_on(harness: Harness) -> frozenset[str]:
    joints = (point for joint in harness.joints for point in (joint.from_point, joint.to_point))
    return frozenset((*wires_at(harness), *(resolve_point(harness, point) for point in joints)))


def _half_of(part: Connector, half: str) -> str:
    if half and half not in part.halves:
        raise KeyError(f"{part.id}.{half}")
    return half or part.halves[0]


def _name(part: Part) -> str:
    return f"{part.id} {clean(part.label, 60)}".rstrip()


def _head(part: Part, half: str, view: View) -> str:
    if isinstance(part, Connector):
        return f"{_name(part)}, half {_half_of(part, half)}, seen from its {view}"
    return f"{_name(part)}, plug on the loom, seen from its {view}"


def without_face(part: Part, half: str) -> str:
    """Say that the file gives no face for a part, and where its numbers are read then."""
    if isinstance(part, Connector):
        name = _half_of(part, half)
        return f"The file gives no face for {part.id}: read the cavity numbers on half {name} itself, not by its place."
    return f"The file gives no face for {part.id}: read the terminal numbers on the part itself."


def _line(row: Sequence[FaceCell | None], width: int) -> str:
    cells = []
    for cell in row:
        if cell is None:
            cells.append(" " * (width + 2))
        elif cell.is_asked:
            cells.append(f"{f'>{cell.number}':>{width + 1}}<")
        else:
            cells.append(f" {cell.number if cell.is_used else UNUSED:>{width}} ")
    return " ".join(cells).rstrip()
