"""A sheet of a review: sections of sentences and tables, which its printers lay out alike."""

from __future__ import annotations

from dataclasses import dataclass

from model.sheets.face import CellRows

COLOUR, IN_WORDS = "colour", "in words"
"""What a column of wire colours has in its head, and the head of the column that names them."""

HEAD = "Fusewalk sheet"
"""The first words of a sheet as text."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    Attributes
    ----------
    is_figure
        Its cells stand to the right.
    width_mm
        Width on paper; 0 shares what the others leave.
    """

    head: str
    is_figure: bool = False
    width_mm: int = 0


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: every row has a cell for each column, an empty one where there is nothing to say.

    Attributes
    ----------
    parts
        The part or point that each row tells of, so that a screen can go there; empty where the rows tell of none.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """What stands under one head; cautions before everything else.

    Attributes
    ----------
    words
        Sentences, a paragraph each, before the table.
    items
        Sentences of a list, before the table.
    item_parts
        The part that each sentence of the list tells of; empty where they tell of none.
    drawing
        Lines of equal pitch, such as the face of a plug, before the table.
    faces
        The same as plugs with the colours of their wires, each under its head, for paper that can draw.
    notes
        Small print after the table: sources, what a figure is computed from.
    """

    head: str = ""
    cautions: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    item_parts: tuple[str, ...] = ()
    drawing: tuple[str, ...] = ()
    faces: tuple[tuple[str, CellRows], ...] = ()
    grid: Grid | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReviewSheet:
    """A sheet.

    Attributes
    ----------
    title
        What it is, in the words of its command: “live points”, “draw with the key off”.
    vehicle
        Name of the build and revision of the file.
    about
        Sentences that hold for the whole of it.
    """

    title: str
    vehicle: str
    about: tuple[str, ...]
    sections: tuple[Section, ...]
    cautions: tuple[str, ...] = ()
