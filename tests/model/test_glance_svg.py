"""The picture of a loom: whole, legible, nothing over anything else, whatever a file calls its parts."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from bisect import bisect_left
from functools import cache

import pytest

from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.review.glance import NodeKind
from model.review.glance_build import glance
from model.sheets.glance_blocks import Leaf
from model.sheets.glance_layout import sheets_of
from model.sheets.glance_svg import glance_html, glance_svg
from model.sheets.glance_words import told
from model.sheets.text_widths import fitted, text_width
from tests.benchmarks.looms import loom_text
from tests.model.drawn_svg import Area, Drawn, drawn
from tests.model.tracing.rigs import DEMO_BUILDS, DEMO_NAMES, demo, rig, wires
from tests.tui.hostile_build import LABELS, hostile_build

LONG = "".join(f"F{'9' * 30}{number} " for number in range(3)).split()


def _long_names() -> str:
    """Write a loom whose ids and labels are as long as labels get, wide letters all."""
    label = "WWWWWWWWWW WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW"
    rows = ", ".join(f'{{ id = "{name}", amps = 7.5, label = "{label}" }}' for name in LONG)
    lamps = ", ".join(f'{{ id = "E{name}", kind = "lamp", watts = 21, label = "{label}" }}' for name in LONG)
    ends = [f"{name}.out E{name}.+" for name in LONG] + [f"E{name}.- CHASSIS" for name in LONG]
    feeds = [f"G1.+ {name}.in" for name in LONG]
    return f"fuses = [ {rows} ]\nloads = [ {lamps} ]\n{wires(*feeds, *ends, 'G1.- CHASSIS')}"


def _deep() -> str:
    """Write twelve fuses in a row, a bar behind each."""
    fuses = ", ".join(f'{{ id = "F{n}", amps = 10, bus = "BB{n}" }}' for n in range(1, 13))
    bars = ", ".join(f'{{ id = "BB{n}" }}' for n in range(1, 14))
    lamps = ", ".join(f'{{ id = "E{n}", kind = "lamp", watts = 21 }}' for n in range(1, 14))
    ends = [f"F{n}.out BB{n + 1}" for n in range(1, 13)] + [f"BB{n} E{n}.+" for n in range(1, 14)]
    grounds = [f"E{n}.- CHASSIS" for n in range(1, 14)]
    rows = f"fuses = [ {fuses} ]\nbusbars = [ {bars} ]\nloads = [ {lamps} ]\n"
    return rows + wires("G1.+ BB1", *ends, *grounds, "G1.- CHASSIS")


def _box_of_many() -> str:
    """Write a bar with 150 fuses, a lamp behind each."""
    fuses = ", ".join(f'{{ id = "F{n}", amps = 10, bus = "BB1", label = "Circuit {n}" }}' for n in range(1, 151))
    lamps = ", ".join(f'{{ id = "E{n}", kind = "lamp", watts = 21 }}' for n in range(1, 151))
    ends = [f"F{n}.out E{n}.+" for n in range(1, 151)] + [f"E{n}.- CHASSIS" for n in range(1, 151)]
    rows = f'fuses = [ {fuses} ]\nbusbars = [ {{ id = "BB1" }} ]\nloads = [ {lamps} ]\n'
    return rows + wires("G1.+ BB1", *ends, "G1.- CHASSIS")


@cache
def harness_of(name: str) -> Harness:
    """Give a harness to draw by its name."""
    match name:
        case "loom of 40" | "loom of 300" | "loom of 1000":
            return read_harness_text(loom_text(int(name.rpartition(" ")[2])), "loom.toml")
        case "hostile":
            return read_harness_text(hostile_build(), "hostile.toml")
        case "long names":
            return rig(_long_names())
        case "deep":
            return rig(_deep())
        case "box of many":
            return rig(_box_of_many())
    return demo(name)


BUILDS = [*DEMO_NAMES, "loom of 40", "loom of 300", "loom of 1000", "hostile", "long names", "deep", "box of many"]


@cache
def picture_of(name: str) -> Drawn:
    """Draw a harness and read the picture."""
    harness = harness_of(name)
    return drawn(glance_svg(harness, glance(harness)))


def crossing(areas: list[Area], others: list[Area], most_height: float) -> list[tuple[Area, Area]]:
    """Give the pairs of areas that meet; sorted by their tops, so that a picture of thousands takes no time."""
    below = sorted(others, key=lambda area: area.top)
    tops = [area.top for area in below]
    found = []
    for one in areas:
        for other in below[bisect_left(tops, one.top - most_height) :]:
            if other.top > one.bottom:
                break
            if other is not one and one.meets(other):
                found.append((one, other))
    return found


@pytest.mark.parametrize("name", BUILDS)
def test_no_box_lies_over_another(name: str) -> None:
    """Boxes have room between them."""
    frames = picture_of(name).frames
    assert frames
    assert not crossing(frames, frames, max(frame.bottom - frame.top for frame in frames))


@pytest.mark.parametrize("name", BUILDS)
def test_no_text_leaves_its_box_or_the_picture_or_lies_over_another(name: str) -> None:
    """A text is in the picture, and wholly in a box or wholly outside of every box."""
    picture = picture_of(name)
    assert all(picture.whole.holds(text) for text in picture.texts)
    highest = max(frame.bottom - frame.top for frame in picture.frames)
    for text, frame in crossing(picture.texts, picture.frames, highest):
        assert frame.holds(text), text.words
    assert not crossing(picture.texts, picture.texts, 30.0)


@pytest.mark.parametrize("name", BUILDS)
def test_no_line_goes_through_a_text_or_a_box(name: str) -> None:
    """Lines run between what they join."""
    picture = picture_of(name)
    assert not crossing(picture.lines, picture.texts, 30.0)
    inner = [Area(one.left + 1, one.top + 1, one.right - 1, one.bottom - 1) for one in picture.frames]
    assert not crossing(picture.lines, inner, max(frame.bottom - frame.top for frame in inner))


@pytest.mark.parametrize("name", [*DEMO_NAMES, "loom of 1000", "deep", "box of many"])
def test_every_fuse_and_load_is_drawn_once(name: str) -> None:
    """Cut into sheets or not, each is there once by its id in bold, apart from the names of what is on other sheets."""
    harness = harness_of(name)
    tree = glance(harness)
    for height in (2600.0, 690.0):
        sheets = sheets_of(harness, tree, height)
        boxes = [box for sheet in sheets for box in sheet.boxes()]
        strips = [strip.title for box in boxes for strip in box.strips if strip.kind is NodeKind.FUSE]
        assert sorted(strips) == sorted(fuse.id for fuse in harness.fuses)
        leaves = [part for box in boxes for part in box.parts if isinstance(part, Leaf)]
        takers = sorted(leaf.title for leaf in leaves if leaf.kind is NodeKind.TAKER)
        assert takers == sorted(told(harness, node).title for node in tree.nodes if node.kind is NodeKind.TAKER)


@pytest.mark.parametrize("name", [*DEMO_NAMES, "loom of 300", "loom of 1000", "deep", "box of many"])
def test_a_sheet_for_paper_is_no_higher_and_no_wider_than_paper(name: str) -> None:
    """On A4 laid across, 183 by 275 mm between the margins, every sheet fits at the size that letters are read at."""
    harness = harness_of(name)
    pages = re.findall(r'<svg [^>]*width="([\d.]+)mm" height="([\d.]+)mm"', glance_html(harness, glance(harness)))
    assert len(pages) > (1 if name in ("loom of 1000", "box of many") else 0)
    assert all(float(width) <= 275.5 and float(height) <= 168.0 for width, height in pages)


def test_what_is_cut_off_names_the_sheet_where_it_goes_on() -> None:
    """Each reference names a sheet that exists, and each sheet but the first says where it comes from."""
    harness = harness_of("loom of 1000")
    sheets = sheets_of(harness, glance(harness), 690.0)
    named = re.compile(r"drawn on sheet (\d+)")
    for number, sheet in enumerate(sheets, 1):
        words = [
            line.words for box in sheet.boxes() for part in box.parts if isinstance(part, Leaf) for line in part.lines
        ]
        to = [int(found[1]) for one in words for found in named.finditer(one)]
        assert all(number < other <= len(sheets) for other in to)
        for other in to:
            assert any(top.cut.endswith(f", sheet {number}") for top in sheets[other - 1].tops)


def test_what_is_cut_off_and_stands_on_the_same_sheet_is_said_to_stand_below() -> None:
    """Twelve bars in a row are cut after every fourth, and all fit one sheet."""
    harness = harness_of("deep")
    (sheet,) = sheets_of(harness, glance(harness), 2600.0)
    assert [top.cut for top in sheet.tops] == ["", "from BB1, above", "from BB5, above", "from BB9, above"]
    leaves = [part for box in sheet.boxes() for part in box.parts if isinstance(part, Leaf)]
    seen = [leaf.title for leaf in leaves if any(line.words == "drawn below" for line in leaf.lines)]
    assert seen == ["F1 to BB2", "F5 to BB6", "F9 to BB10"]


def test_hostile_names_are_text_and_nothing_else() -> None:
    """Tags, entities and escape signs of labels come out as letters; control signs do not come out at all."""
    harness = harness_of("hostile")
    for text in (glance_svg(harness, glance(harness)), glance_html(harness, glance(harness))):
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", text)
        assert "<script" not in text
        assert "http:" not in text.replace("http://www.w3.org/2000/svg", "")
        assert "https:" not in text
    tags = {element.tag.partition("}")[2] for element in ET.fromstring(glance_svg(harness, glance(harness))).iter()}
    assert tags <= {"svg", "title", "style", "g", "rect", "path", "circle", "text"}
    assert len(LABELS) > 5


def test_markup_in_a_name_is_shown_as_it_is_written() -> None:
    """A lamp called by a tag, with an ampersand and quotes."""
    label = "<b>1 & 2</b> 'x'"
    rows = f'loads = [ {{ id = "E1", kind = "lamp", watts = 5, label = "{label}" }} ]\n'
    harness = rig(rows + wires("G1.+ E1.+", "E1.- CHASSIS", "G1.- CHASSIS"))
    assert label in [text.words for text in drawn(glance_svg(harness, glance(harness))).texts]


def test_a_picture_is_drawn_alike_each_time() -> None:
    """Two readings of a file give the same picture to the letter."""
    one, other = (demo("trail_buggy") for _ in range(2))
    assert glance_svg(one, glance(one)) == glance_svg(other, glance(other))


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_picture_that_lies_beside_a_demo_build_is_the_one_that_is_drawn(name: str) -> None:
    """Whoever changes the build or the drawing draws the picture anew: ``python -m tui.pictures``."""
    harness = demo(name)
    kept = (DEMO_BUILDS / "pictures" / f"glance_{name}.svg").read_text(encoding="utf-8")
    assert kept == glance_svg(harness, glance(harness)) + "\n"


def test_a_file_without_loads_is_a_picture_too() -> None:
    """A battery and its strap: a head and nothing below it."""
    harness = rig(wires("G1.- CHASSIS"))
    assert drawn(glance_svg(harness, glance(harness))).frames == []
    assert "<svg" not in glance_html(harness, glance(harness))


@pytest.mark.parametrize("bold", [False, True])
def test_text_is_broken_at_spaces_and_in_words_that_are_too_long(bold: bool) -> None:
    """No line is wider than asked for, and no letter is lost."""
    text = "Radiator fan and winch coils WWWWWWWWWWWWWWWWWWWWWWWWWWW 日本日本日本日本日本日本日本日本"
    lines = fitted(text, 100.0, 11.0, bold=bold)
    assert all(text_width(line, 11.0, bold=bold) <= 100.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    # six words of two bold letters, 0.70 each, with five spaces of 0.35 are 111.65, five are 92.4; plain 105.05, 86.9
    two_lines = fitted("aa aa aa aa aa aa", 106.0, 11.0, bold=bold)
    assert two_lines == (["aa aa aa aa aa", "aa"] if bold else ["aa aa aa aa aa aa"])
