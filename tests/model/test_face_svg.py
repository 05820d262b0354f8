"""The face of a plug drawn for paper."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from model.harness.toml_file import read_harness_text
from model.sheets.face import FaceCell
from model.sheets.face_svg import COLUMNS_MOST, face_svg
from model.sheets.plug_tables import plug_tables
from model.sheets.review_html import review_html
from model.sheets.review_text import review_text
from model.sheets.wire_paint import SHADES
from tests.model.html_tags import parsed

TEXT = """
format = 1
build = { name = "Van", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
connectors = [ { id = "X1", cavities = 3, halves = ["body", "nose"], face = [[1, 2, 3]] } ]
wires = [
  { id = "W1", from = "G1.+", to = "X1.body.1", colour = "RD/WH" },
  { id = "W2", from = "G1.-", to = "X1.body.2" },
]
"""


def cell(number: int, *colours: str, used: bool = True) -> FaceCell:
    """Make a cavity."""
    return FaceCell(number, used, is_asked=False, colours=colours)


def test_each_cavity_has_its_number_and_its_wires_colour() -> None:
    """Base, stripe, base of the first that is painted; a gap is blank, and all stands within the drawing."""
    drawn = face_svg(((cell(1, "RD/BU"), None, cell(3, "teal", "GN")), (cell(4, "BK"), cell(5, "WH"), cell(6, ""))))
    svg = ElementTree.fromstring(drawn.removeprefix("<p>").removesuffix("</p>"))
    assert [text.text for text in svg.iter("text")] == ["1", "3", "4", "5", "6", "?"]
    fills = [rect.get("fill") for rect in svg.iter("rect") if rect.get("fill") != "none"]
    assert fills == [SHADES[code] for code in ("RD", "BU", "RD", "GN", "BK", "WH")]
    width, height = float(svg.get("width", "")), float(svg.get("height", ""))
    for rect in svg.iter("rect"):
        x, y, wide, high = (float(rect.get(name, "")) for name in ("x", "y", "width", "height"))
        assert 0 <= x <= x + wide <= width
        assert 0 <= y <= y + high <= height


def test_an_unused_cavity_is_told_by_sign_and_frame() -> None:
    """Two dashes under its number, its frame dashed."""
    drawn = face_svg(((cell(1, used=False), cell(2, "RD")),))
    assert drawn.count("stroke-dasharray") == 1
    assert re.findall(r">([^<>]+)</text>", drawn) == ["1", "--", "2"]


def test_a_wide_face_is_drawn_in_pieces() -> None:
    """Twenty columns: two drawings, each with its columns in words."""
    drawn = face_svg((tuple(cell(number, "RD") for number in range(1, 21)),))
    assert drawn.count("<svg") == 2
    assert f"Columns 1 to {COLUMNS_MOST} of 20 from the left:" in drawn
    assert "Columns 17 to 20 of 20 from the left:" in drawn


def test_the_sheet_of_plugs_draws_both_sides_of_both_halves() -> None:
    """On paper that can draw; the text has the numbers."""
    sheet = plug_tables(read_harness_text(TEXT, "van.toml"))
    page = parsed(review_html(sheet))
    assert page.tags.count("g") == 2
    assert page.text.count("Seen from its wire side:") == page.text.count("Seen from its mating side:") == 2
    assert "pre" not in page.tags
    assert "  1    2   --" in review_text(sheet)
