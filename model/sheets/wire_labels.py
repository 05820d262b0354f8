"""Labels for both ends of every wire: as rows for a label printer, and as a sheet to cut up."""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.harness import Harness
from model.harness.places import WIRE_ENDS, end_place
from model.harness.records import Wire
from model.harness.wire_words import colour_code, size_words
from model.sheets.plan_csv import csv_text
from model.sheets.plan_paper import html_page, text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.sheets.swatch_html import painted_html
from model.words import clean, colour_words

COLUMNS = (
    "wire",
    "end",
    "here",
    "place",
    "goes to",
    "place there",
    "colour",
    "colour in words",
    "size",
    "line 1",
    "line 2",
    "line 3",
)
_FREE = "free end"
_ACROSS = 4
_STYLE = (
    "width: 25%; height: 17mm; border: 0.2mm dashed #000; padding: 1.5mm 2mm; vertical-align: top; font-size: 8.5pt;"
)


@dataclass(frozen=True, slots=True)
class Label:
    """What is to stand on one end of a wire.

    Attributes
    ----------
    end
        ``a`` for the from end, ``b`` for the to end.
    here, there
        The point that this end is on, and that at the other end; “free end” where there is none.
    here_place, there_place
        Where they are; empty where the file does not say.
    here_name, there_name
        What the parts there are called; empty where the file gives them no label.
    idle
        ``spare``, or ``out of work`` of a wire whose work another does now; empty of every other.
    """

    wire_id: str
    end: str
    here: str
    there: str
    here_place: str
    there_place: str
    here_name: str
    there_name: str
    colour: str
    colour_words: str
    size: str
    idle: str

    @property
    def lines(self) -> tuple[str, str, str]:
        """The three lines of the label: the wire, this end, the other end."""
        idle = f" {self.idle}" if self.idle else ""
        first = f"{self.wire_id} {self.colour} {self.size}{idle}"
        return first, f"{self.here} {self.here_name}".rstrip(), f"to {self.there} {self.there_name}".rstrip()


def wire_labels(harness: Harness) -> tuple[Label, ...]:
    """Give the labels of all wires, the two of a wire one after the other, in the order of the file."""
    return tuple(_label(harness, wire, end) for wire in harness.wires for end in WIRE_ENDS)


def _label(harness: Harness, wire: Wire, end: str) -> Label:
    points = {"a": wire.from_point or _FREE, "b": wire.to_point or _FREE}
    far = "b" if end == "a" else "a"
    return Label(
        wire.id,
        end,
        points[end],
        points[far],
        clean(end_place(harness, wire, end).name, 60),
        clean(end_place(harness, wire, far).name, 60),
        _name(harness, points[end]),
        _name(harness, points[far]),
        colour_code(wire),
        clean(colour_words(wire.colour)) if wire.colour else "",
        size_words(harness, wire),
        _idle(wire),
    )


def _name(harness: Harness, point: str) -> str:
    part = harness.parts.get(point.partition(".")[0])
    return "" if part is None else clean(part.label, 24)


def _idle(wire: Wire) -> str:
    if wire.superseded_by is not None:
        return "out of work"
    return "spare" if wire.spare else ""


def labels_sheet(harness: Harness) -> ReviewSheet:
    """Lay the labels out as a table, a row an end."""
    columns = (
        Column("wire", width_mm=22),
        Column("colour, size", width_mm=30),
        Column("on"),
        Column("goes to"),
        Column("place"),
    )
    rows = tuple(
        (one.wire_id, f"{one.colour} {one.size} {one.idle}".rstrip(), one.here, one.there, one.here_place)
        for one in wire_labels(harness)
    )
    about = ("Two labels a wire, one for each end: what is on the end stands first. Sleeves go on before the crimp.",)
    grid = Grid(columns, rows, tuple(row[0] for row in rows))
    return ReviewSheet("wire labels", _vehicle(harness), about, (Section(grid=grid),))


def labels_csv(harness: Harness) -> str:
    """Give the labels as CSV, a row an end, its text line by line as a label printer takes it."""
    return csv_text(
        COLUMNS,
        (
            (
                one.wire_id,
                one.end,
                one.here,
                one.here_place,
                one.there,
                one.there_place,
                one.colour,
                one.colour_words,
                one.size,
                *one.lines,
            )
            for one in wire_labels(harness)
        ),
    )


def labels_html(harness: Harness) -> str:
    """Give the labels as a sheet to print and cut up, four across, the two ends of a wire side by side."""
    cells = [_cell(one) for one in wire_labels(harness)]
    rows = [
        f"<tbody><tr>{''.join(cells[place : place + _ACROSS])}</tr></tbody>" for place in range(0, len(cells), _ACROSS)
    ]
    title = f"Wire labels, {_vehicle(harness)}"
    about = "Cut along the dashed lines; the two ends of a wire lie side by side."
    body = [
        f"<h1>{text('Wire labels')}</h1>",
        f"<p>{text(_vehicle(harness))}. {about}</p>",
        "<table>",
        *rows,
        "</table>",
    ]
    return html_page(title, (), body)


def _cell(label: Label) -> str:
    first, second, third = (painted_html(line) for line in label.lines)
    return f'<td style="{_STYLE}"><strong>{first}</strong><br>{second}<br>{third}</td>'


def labels_json(harness: Harness) -> dict[str, object]:
    """Give the labels as one JSON object."""
    return {
        "format": "fusewalk labels",
        "vehicle": harness.build.name,
        "revision": harness.build.revision,
        "labels": [
            {"wire": one.wire_id, "end": one.end, "here": one.here, "there": one.there, "lines": list(one.lines)}
            for one in wire_labels(harness)
        ],
    }


def _vehicle(harness: Harness) -> str:
    return f"{clean(harness.build.name)}, revision {harness.build.revision}"
