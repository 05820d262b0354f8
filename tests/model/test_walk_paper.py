"""The walk of a load on paper: its columns, and what a reading off its band is told."""

from __future__ import annotations

from model.sheets.review_html import review_html
from model.sheets.review_markdown import review_markdown
from model.sheets.walk_paper import walk_paper
from tests.model.test_walk_sheet import NOSE, told
from tests.model.tracing.rigs import demo


def test_markdown_has_a_column_to_write_readings_in() -> None:
    """The last of every table, empty; what wrong readings say below each table."""
    markdown = review_markdown(walk_paper(NOSE, told(NOSE, "P1")))
    head = next(line for line in markdown.splitlines() if line.startswith("| point"))
    assert head == "| point | what leads to it, what and where | off | on | running | good in off | unplugged | read |"
    assert "*S1.2 below the band: If S1.1 reads right, the fault is switch contact S1:1-2." in markdown
    assert "## Load" in markdown


def test_a_band_below_zero_is_told_from_zero() -> None:
    """On a positive ground -6.33 V are expected: the weaker reading is the higher number, and is called nearer 0."""
    harness = demo("field_tractor")
    notes = " ".join(note for section in walk_paper(harness, told(harness, "E3")).sections for note in section.notes)
    assert "G1.- nearer 0 than the band: The battery is low" in notes
    assert "Above: The battery is low" not in notes
    positive = " ".join(note for section in walk_paper(NOSE, told(NOSE, "P1")).sections for note in section.notes)
    assert "G1.+ below the band: The battery is low" in positive


def test_what_leads_to_a_point_has_two_fifths_of_the_paper() -> None:
    """Five key states leave it 40 % of the 188 mm of A4 between its margins; with fewer the figures are no narrower."""
    harness = demo("trail_buggy")
    for load, loom in (("M2", harness), ("P1", NOSE)):
        grid = walk_paper(loom, told(loom, load)).sections[1].grid
        assert grid is not None
        widths = [column.width_mm for column in grid.columns]
        assert widths.count(0) == 1
        assert sum(widths) <= 0.6 * 188
        assert min(width for width in widths if width) >= 11


def test_heads_of_narrow_columns_stand_upright() -> None:
    """A column of 11 mm tears "accessory" in two: upright it stands whole; a wide column's head lies."""
    loom = demo("trail_buggy")
    html = review_html(walk_paper(loom, told(loom, "M2")))
    assert '<th class="narrow">accessory</th>' in html
    assert "<th>what leads to it, what and where</th>" in html
    assert "th.narrow { writing-mode: vertical-rl;" in html
