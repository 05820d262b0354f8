"""The face of a plug as lines of text: its cavities as they lie, from the wire side or from the mating side."""

from __future__ import annotations

from enum import StrEnum

from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.metal import wires_at
from model.harness.points import resolve_point
from model.harness.records import Connector
from model.words import clean

UNUSED = "--"

Rows = tuple[tuple[int, ...], ...]


class View(StrEnum):
    """From where a face is looked at."""

    WIRE_SIDE = "wire side"
    MATING_SIDE = "mating side"


def face_lines(
    harness: Harness, part_id: str, *, half: str = "", view: View = View.WIRE_SIDE, cavity: int = 0
) -> tuple[str, ...]:
    """Draw the face of a connector's half, or of the plug of a part.

    A face is given from the wire side of the first half, or of the part's plug. The second half meets the first face to
    face: its wire side is the mirror of the first half's.

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
        place of the rows where the file gives no face.

    Raises
    ------
    KeyError
        Where there is no such part, or the connector has no such half.
    """
    part = harness.parts[part_id]
    head = _head(part, half, view)
    if not part.face:
        return (_without_face(part, half),)
    rows = seen_rows(part, half, view)
    used = used_cavities(harness, part, half)
    width = max(len(UNUSED), *(len(str(number)) for row in rows for number in row))
    lines = [head, *(_line(row, used, cavity, width) for row in rows)]
    if cavity and cavity not in {number for row in rows for number in row}:
        lines.append(f"Cavity {cavity} is not on this face.")
    elif cavity and cavity not in used:
        lines.append(f"No wire is in cavity {cavity}.")
    return tuple(lines)


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


def _without_face(part: Part, half: str) -> str:
    if isinstance(part, Connector):
        name = _half_of(part, half)
        return f"The file gives no face for {part.id}: read the cavity numbers on half {name} itself, not by its place."
    return f"The file gives no face for {part.id}: read the terminal numbers on the part itself."


def _line(row: tuple[int, ...], used: frozenset[int], cavity: int, width: int) -> str:
    cells = []
    for number in row:
        if not number:
            cells.append(" " * (width + 2))
        elif number == cavity:
            cells.append(f"{f'>{number}':>{width + 1}}<")
        else:
            cells.append(f" {number if number in used else UNUSED:>{width}} ")
    return " ".join(cells).rstrip()
