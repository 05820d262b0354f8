"""Wire colours on paper."""

from __future__ import annotations

import pytest

from model.sheets.review_html import review_html
from model.sheets.review_sheet import Column, Grid, ReviewSheet, Section
from model.sheets.swatch_html import painted_html, swatch_html
from model.sheets.wire_paint import SHADES, bands_of, colours_in
from tests.model.html_tags import parsed


@pytest.mark.parametrize(
    ("colour", "bands"),
    [
        ("RD", ("RD", "RD", "RD")),
        ("rd/bu", ("RD", "BU", "RD")),
        ("GN/WH/RD", ("GN", "WH", "RD")),
        ("GNYE", ("GN", "YE", "GN")),
        ("GNYE/RD", ("GN", "YE", "RD")),
        ("", ()),
        ("teal", ()),
        ("RD/teal", ()),
        ("RD/BU/GN/WH", ()),
    ],
)
def test_a_colour_is_three_bands(colour: str, bands: tuple[str, ...]) -> None:
    """Base, stripe, base; of two stripes base and both; a code that is no colour of IEC 60757 is not painted."""
    assert bands_of(colour) == tuple(SHADES[one] for one in bands)


def test_colours_are_found_by_the_size_behind_them() -> None:
    """In a sentence; in a column of colours any code that stands alone counts, never a part of an id or a word."""
    text = "W26 RD/BU 2.5, J1.GN 2, BU, GNYE AWG 12, WH-2 (BK 1)"
    assert list(colours_in(text)) == [(4, "RD/BU"), (28, "GNYE"), (47, "BK")]
    assert [colour for _, colour in colours_in(text, alone=True)] == ["RD/BU", "BU", "GNYE", "BK"]
    assert [colour for _, colour in colours_in("2.5 mm² RD/BU", alone=True)] == ["RD/BU"]


def test_the_drawing_prints_and_is_named() -> None:
    """Shapes, not grounds, which printers leave out; a frame for white; the name for who hears the page read."""
    drawn = swatch_html("GN/WH")
    assert [drawn.count(f'fill="{SHADES[code]}"') for code in ("GN", "WH")] == [2, 1]
    assert 'stroke="#000"' in drawn
    assert 'aria-label="green with white stripe"' in drawn
    assert "background" not in drawn
    assert "style" not in drawn
    assert swatch_html("teal") == ""


def test_text_from_a_file_stays_text() -> None:
    """Brackets and tags are shown as they stand, with the drawing before the colour alone."""
    html = painted_html('<b>W1</b> & "RD 2.5"')
    assert parsed(html).tags == ["svg", "rect", "rect"]
    assert parsed(html).text.replace("\xa0", "") == '<b>W1</b> & "RD 2.5"'


def test_names_stand_beside_codes_where_no_column_has_them() -> None:
    """A column of colours tells the name in small print, unless the table names the colours itself."""

    def page(*columns: str) -> str:
        grid = Grid(tuple(Column(one) for one in columns), (("2.5 mm² RD/BU", "red with blue stripe"),))
        return review_html(ReviewSheet("cut list", "Van", (), (Section(grid=grid),)))

    assert '<span class="small">red with blue stripe</span>' in page("size, colour", "wire")
    assert '<span class="small">' not in page("size, colour", "in words")
    assert all("<svg" in page(*columns) for columns in (("size, colour", "wire"), ("size, colour", "in words")))
    assert "<svg" not in page("point", "wire")
