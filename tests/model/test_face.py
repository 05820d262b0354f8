"""The face of a plug, from both of its sides."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.harness.harness import Harness
from model.harness.records import Connector
from model.harness.toml_file import read_harness, read_harness_text
from model.sheets.face import FaceCell, View, face_cells, face_lines, seen_rows, used_cavities

DEMO = Path(__file__).parents[2] / "demo_builds"

TEXT = """
format = 1
build = { name = "Van", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
relays = [
  { id = "K1", pins = { "30" = 1, "86" = 2, "85" = 3, "87" = 5 }, face = [[0, 1, 0], [2, 0, 3], [0, 5, 0]] },
  { id = "K2" },
]
loads = [ { id = "M3", kind = "motor", amps = 5, pins = { "+" = 1, "-" = 2 }, face = [[1, 2, 3], [4]] } ]
switches = [ { id = "S12", inside = "M3" } ]
connectors = [
  { id = "X2", cavities = 2 },
  { id = "X1", label = "Nose [plug]", cavities = 11, halves = ["body", "nose"], face = FACE },
]
joints = [ { id = "N1", from = "X1.nose.3", to = "X1.nose.5" } ]
wires = [
  { id = "W1", from = "G1.+", to = "X1.body.1" },
  { id = "W2", from = "G1.+", to = "X1.body.11" },
  { id = "W3", from = "X1.nose.1", to = "K1.30" },
  { id = "W4", from = "K1.86", to = "M3.+" },
]
""".replace("FACE", "[[1, 2, 3], [4, 0, 5], [10, 11]]")


@pytest.fixture(scope="module")
def van() -> Harness:
    """Give a small harness with faces."""
    return read_harness_text(TEXT, "van.toml")


def test_the_first_half_from_its_wire_side_is_as_typed(van: Harness) -> None:
    """Rows as in the file, the asked cavity marked, unused ones as two dashes, gaps blank."""
    assert face_lines(van, "X1", cavity=11) == (
        "X1 Nose [plug], half body, seen from its wire side",
        "  1   --   --",
        " --        --",
        " --  >11<",
    )


def test_the_mating_side_is_the_mirror(van: Harness) -> None:
    """Left and right change, short rows keep their gap at the other end."""
    lines = face_lines(van, "X1", view=View.MATING_SIDE, cavity=1)
    assert lines == (
        "X1 Nose [plug], half body, seen from its mating side",
        " --   --   >1<",
        " --        --",
        "      11   --",
    )


def test_the_second_half_from_its_wire_side_is_the_mirror_of_the_first(van: Harness) -> None:
    """The halves meet face to face: what is left on one wire side is right on the other."""
    part = van.part_of("X1", Connector)
    assert seen_rows(part, "body") == ((1, 2, 3), (4, 0, 5), (10, 11, 0))
    assert seen_rows(part, "nose") == ((3, 2, 1), (5, 0, 4), (0, 11, 10))
    assert seen_rows(part, "nose", View.MATING_SIDE) == seen_rows(part, "body")
    assert seen_rows(part, "body", View.MATING_SIDE) == seen_rows(part, "nose")


def test_cavities_are_used_by_wires_and_joints_of_their_half(van: Harness) -> None:
    """Each half has its own wires; a bridge within the plug counts."""
    part = van.part_of("X1", Connector)
    assert used_cavities(van, part, "body") == {1, 11}
    assert used_cavities(van, part, "nose") == {1, 3, 5}


def test_a_part_with_pins_has_a_face_too(van: Harness) -> None:
    """A relay's plug from the wire side; pins that no wire is on are unused."""
    assert face_lines(van, "K1", cavity=2) == (
        "K1, plug on the loom, seen from its wire side",
        "       1",
        " >2<       --",
        "      --",
    )
    assert face_lines(van, "K1", view=View.MATING_SIDE)[2] == " --         2"


def test_cavities_of_a_part_inside_may_be_anybodys(van: Harness) -> None:
    """The park switch in the wiper's plug names no pins: cavities that the wiper leaves over are not called unused."""
    assert face_lines(van, "M3")[1:] == ("  1   --    3", "  4")


def test_an_unused_or_missing_cavity_is_said(van: Harness) -> None:
    """It is marked all the same, and a sentence tells."""
    assert face_lines(van, "X1", cavity=4)[2:] == (" >4<       --", " --   11", "No wire is in cavity 4.")
    assert face_lines(van, "X1", cavity=7)[-1] == "Cavity 7 is not on this face."


def test_without_a_face_there_is_a_sentence(van: Harness) -> None:
    """Nothing is drawn that the file does not say."""
    assert face_lines(van, "X2", half="socket") == (
        "The file gives no face for X2: read the cavity numbers on half socket itself, not by its place.",
    )
    assert len(face_lines(van, "K2")) == 1


def test_a_half_that_is_not_there_is_an_error(van: Harness) -> None:
    """A wrong half would be drawn mirrored."""
    with pytest.raises(KeyError):
        face_lines(van, "X1", half="tail")


@pytest.mark.parametrize("file", sorted(DEMO.glob("*.toml")), ids=lambda path: path.stem)
def test_every_face_of_the_demo_builds_is_drawn(file: Path) -> None:
    """Each shows every cavity of its face once, from either side, no line wider than a small screen."""
    harness = read_harness(file)
    faced = [part for part in harness.each_part() if part.face]
    assert faced
    for part in faced:
        halves = part.halves if isinstance(part, Connector) else ("",)
        for half in halves:
            for view in View:
                rows = seen_rows(part, half, view)
                assert sorted(n for row in rows for n in row if n) == sorted(n for row in part.face for n in row if n)
                assert max(map(len, face_lines(harness, part.id, half=half, view=view)[1:])) <= 76


def test_a_cavity_knows_the_wires_in_it(van: Harness) -> None:
    """Their colours from the side of its own half; used by a joint alone it has none, unused none."""
    text = TEXT.replace('to = "X1.body.1" }', 'to = "X1.body.1", colour = "RD/WH" }')
    body = face_cells(read_harness_text(text, "van.toml"), "X1", cavity=1)
    assert body[0][0] == FaceCell(1, is_used=True, is_asked=True, colours=("RD/WH",))
    assert body[0][1] == FaceCell(2, is_used=False, is_asked=False, colours=())
    assert body[1][1] is None
    nose = {cell.number: cell for row in face_cells(van, "X1", half="nose") for cell in row if cell is not None}
    assert (nose[1].colours, nose[3].colours) == (("",), ())
    assert (nose[3].is_used, nose[2].is_used) == (True, False)


def test_a_wide_face_stands_in_pieces() -> None:
    """Forty columns: no line over 80, each piece with its columns in words, every cavity once, the asked one marked."""
    face = [list(range(1, 41)), list(range(41, 81))]
    text = TEXT.replace("cavities = 11", "cavities = 80").replace("[[1, 2, 3], [4, 0, 5], [10, 11]]", str(face))
    lines = face_lines(read_harness_text(text, "van.toml"), "X1", cavity=77)
    assert max(map(len, lines)) <= 80
    assert [line for line in lines if "columns" in line] == [
        "columns 1 to 16 of 40 from the left:",
        "columns 17 to 32 of 40 from the left:",
        "columns 33 to 40 of 40 from the left:",
    ]
    assert [">77<" in line for line in lines].count(True) == 1
    drawn = " ".join(line for line in lines[1:] if "columns" not in line and "wire" not in line)
    assert len(drawn.split()) == 80
