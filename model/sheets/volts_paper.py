"""The volts of a harness in one condition for paper and for a table."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.survey import Survey
from model.sheets.condition_words import condition_words
from model.sheets.plan_csv import Cell, csv_text
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.sheets.volts_sheet import point_words, refusals, survey_remarks
from model.words import amps_text, volts_text

CSV_COLUMNS = ("what", "name", "volts, V", "amps, A", "state")

Rows = list[tuple[str, ...]]


def volts_paper(found: Survey) -> ReviewSheet:
    """Lay what a survey found out for paper: points, loads, relays, fuses."""
    settled = found.settled
    harness = settled.net.harness
    points = [(settled.net.names[node], point_words(settled, node)) for node in settled.point_nodes]
    loads = [
        (name, volts_text(load.volts), amps_text(load.amps), str(load.state)) for name, load in found.loads.items()
    ]
    relays = [(name, _relay_word(pulled)) for name, pulled in settled.relays.items()]
    fuses = [(name, amps_text(amps), _fuse_word(found, name)) for name, amps in found.fuse_amps.items()]
    tables: tuple[tuple[str, tuple[str, ...], Rows], ...] = (
        ("Points", ("point", "volts, V"), [*points]),
        ("Loads", ("load", "volts, V", "amps", "state"), [*loads]),
        ("Relays", ("relay", "state"), [*relays]),
        ("Fuses", ("fuse", "amps", "state"), [*fuses]),
    )
    return ReviewSheet(
        title="volts",
        vehicle=harness.build.name,
        about=(
            f"{condition_words(harness, settled.condition)}.",
            f"The posts of the first battery have {volts_text(settled.posts_volts)} V.",
            *survey_remarks(found),
        ),
        sections=tuple(Section(head, grid=_grid(heads, rows)) for head, heads, rows in tables if rows),
        cautions=tuple(refusals(settled)),
    )


def _grid(heads: tuple[str, ...], rows: Rows) -> Grid:
    columns = tuple(Column(head, is_figure=head.startswith(("volts", "amps"))) for head in heads)
    return Grid(columns, tuple(rows))


def volts_csv(found: Survey) -> str:
    """Give what a survey found as CSV: a row a point, load, relay and fuse; a word where a point has no volts."""
    return csv_text(CSV_COLUMNS, _csv_rows(found))


def _csv_rows(found: Survey) -> Iterator[tuple[Cell, ...]]:
    settled = found.settled
    for node in settled.point_nodes:
        words = point_words(settled, node)
        is_read = words == volts_text(float(settled.volts[node]))
        yield (
            "point",
            settled.net.names[node],
            float(settled.volts[node]) if is_read else "",
            "",
            "" if is_read else words,
        )
    for name, load in found.loads.items():
        yield ("load", name, load.volts, load.amps, str(load.state))
    for name, pulled in settled.relays.items():
        yield ("relay", name, "", "", _relay_word(pulled))
    for name, amps in found.fuse_amps.items():
        yield ("fuse", name, "", amps, _fuse_word(found, name))


def _relay_word(pulled: bool) -> str:
    return "pulled in" if pulled else "at rest"


def _fuse_word(found: Survey, name: str) -> str:
    return "blown" if name in found.settled.blown else ""
