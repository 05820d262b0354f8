"""Damaged lists: each thing wrong is told with its line, and what is sound is taken in."""

from dataclasses import dataclass

import pytest

from model.harness.harness import Harness
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.wire_list_loom import Loom, make_loom
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import read_wire_list


@dataclass(frozen=True)
class Case:
    """A damaged list, what has to be said of it by line, and the ids of the wires that come of it."""

    text: str
    told: tuple[tuple[int, str], ...]
    wires: tuple[str, ...]
    fill_down: bool = False


HEAD = "id,from,to,colour,size,length\n"
SOUND = "W1,G1.+,F1.in,RD,6,0.3\n"
CASES = {
    "missing columns": Case("from,to\nG1.+,F1.in\n", ((1, "no column for id, colour, size, length"),), ("W1",)),
    "doubled id": Case(
        HEAD + SOUND + "W1,F1.out,S1.1,RD,1,1\n",
        ((3, "W1 stands in line 2 already; taken in as W1_2"),),
        ("W1", "W1_2"),
    ),
    "unknown colour": Case(HEAD + "W1,G1.+,F1.in,puce,6,0.3\n", ((2, "“puce” is no colour"),), ("W1",)),
    "bad size": Case(HEAD + "W1,G1.+,F1.in,RD,thick,0.3\n", ((2, "“thick” is no wire size"),), ("W1",)),
    "bad length": Case(HEAD + "W1,G1.+,F1.in,RD,6,long\n", ((2, "“long” is no length"),), ("W1",)),
    "merged cells": Case(
        HEAD + SOUND + "W2,,S1.1,RD,1,1\nW3,,S2.1,RD,1,1\n",
        ((3, "each of 2 rows from here on lacks an end"),),
        ("W1", "W2", "W3"),
    ),
    "merged cells filled": Case(HEAD + SOUND + "W2,,S1.1,RD,1,1\n", (), ("W1", "W2"), fill_down=True),
    "blank lines": Case("\n\n" + HEAD + "\n" + SOUND + ",,,,,\n\nW2,F1.out,S1.1,RD,1,1\n", (), ("W1", "W2")),
    "totals": Case(HEAD + SOUND + "Total,,,,,0.3\n", ((3, "a line of totals"),), ("W1",)),
    "title lines": Case(
        "Loom of the buggy\nas of May\n" + HEAD + SOUND, ((1, "taken for a title"), (2, "“as of May”")), ("W1",)
    ),
    "trailing commas": Case(HEAD.strip() + ",,,\n" + SOUND.strip() + ",,,,,,\n", (), ("W1",)),
    "unclosed quote": Case(HEAD + 'W1,G1.+,"F1.in,RD,6,0.3\n', ((2, "a quote is opened and not closed"),), ("W1",)),
    "formula": Case(
        HEAD + "W1,G1.+,F1.in,=A1,6,0.3\n", ((2, "a formula, =A1, stands where its value should"),), ("W1",)
    ),
    "spreadsheet error": Case(HEAD + "W1,G1.+,F1.in,#REF!,6,0.3\n", ((2, "#REF! is a spreadsheet's error"),), ("W1",)),
    "over-long cell": Case(
        HEAD + f"W1,G1.+,F1.in,RD,6,{'9' * 5000}\n", ((2, "a cell of 5000 characters; cut"),), ("W1",)
    ),
    "NUL bytes": Case(HEAD + "W1,G1.+\0,F1.in,R\0D,6,0.3\n", ((2, "2 NUL bytes from here on, left out"),), ("W1",)),
    "no ends": Case(HEAD + SOUND + "W2,,,RD,1,\n", ((3, "neither from nor to: “W2 RD 1”; left out"),), ("W1",)),
    "both ends alike": Case(
        HEAD + SOUND + "W2,F1.out,F1.out,RD,1,1\n", ((3, "a wire joins two different points"),), ("W1", "W2")
    ),
    "a part's id": Case(HEAD + "F1,G1.+,F1.in,RD,1,1\n", ((2, "F1 is a part and cannot be a wire too"),), ("W_F1",)),
    "unknown column": Case("id,from,to,price\nW1,G1.+,F1.in,3\n", ((1, "the column “price” is not known"),), ("W1",)),
    "third post": Case(HEAD + "W1,F1.tap,S1.1,RD,1,1\n", ((2, "a fuse has in and out, and no tap"),), ("W1",)),
}


def made(text: str, parts: str = "", fill_down: bool = False) -> tuple[Loom, Harness]:
    """Make a harness of lists in text."""
    listed = read_parts_list(parts.encode(), "parts.csv") if parts else PartsList()
    loom = make_loom(read_wire_list(text.encode(), "wires.csv", fill_down), listed, "made")
    return loom, readable(loom, "made.toml")[1]


@pytest.mark.parametrize("name", CASES)
def test_damage_is_told_by_line_and_the_sound_is_taken_in(name: str) -> None:
    """Every case says what it should, in its line, and its sound wires are there with their sound values."""
    case = CASES[name]
    loom, harness = made(case.text, fill_down=case.fill_down)
    said = [(remark.line, remark.says) for remark in loom.remarks]
    for line, words in case.told:
        assert any(at == line and words in says for at, says in said), said
    if not case.told:
        assert not said or all("no battery" in says for _, says in said)
    assert tuple(wire.id for wire in harness.wires) == case.wires


def test_filled_cells_repeat_the_one_above() -> None:
    """With fill-down an empty end is that of the row above; without it the end is free."""
    text = HEAD + "W1,F1.out,S1.1,RD,1,1\nW2,,S2.1,RD,1,1\n"
    assert made(text, fill_down=True)[1].wires[1].from_point == "F1.out"
    assert made(text)[1].wires[1].from_point is None


def test_escape_bytes_do_not_get_into_the_file() -> None:
    """What a terminal would obey is gone from labels, and an end that holds it is read without it."""
    _, harness = made("id,from,to,label\nW1,G1.+,\x1b[31mF1.in,\x1b]0;horn\x07\u202e\n")
    assert harness.wires[0].label == "]0;horn"
    assert "\x1b" not in repr(harness)


def test_gauges_and_millimetres_without_a_unit_are_told() -> None:
    """Sizes such as 18 are gauges and lengths such as 1200 millimetres; both are said."""
    loom, harness = made("from,to,size,length\nG1.+,F1.in,10,300\nF1.out,S1.1,18,1200\n")
    assert [wire.size for wire in harness.wires] == ["AWG 10", "AWG 18"]
    assert [wire.length for wire in harness.wires] == [0.3, 1.2]
    assert any("read as AWG" in remark.says for remark in loom.remarks)
    assert any("read as millimetres" in remark.says for remark in loom.remarks)


PARTS = [
    ("id,kind,watts\nE1,flux,5\n", (2, "“flux” is no kind of part")),
    ("id,kind,watts\nE1,lamp,much\n", (2, "watts: “much” is no number")),
    ("id,kind,watts,amps\nE1,lamp,5,3\n", (2, "amps beside watts")),
    ("id,kind,watts\nE1,lamp,5\nE1,lamp,6\n", (3, "E1 stands in line 2 already")),
    ("id,kind,watts\nF1,fuse,5\n", (2, "a row of this kind has no watts")),
    ("id,kind,positions\nS1,switch,nonsense\n", (2, "names no positions")),
    ("id,kind,label\n,,\nE1,lamp,\n,,x\n", (4, "")),
]


@pytest.mark.parametrize(("parts", "told"), PARTS)
def test_damage_of_a_parts_list_is_told_by_its_line(parts: str, told: tuple[int, str]) -> None:
    """A wrong cell of the parts list is told with its line, and the loom is made all the same."""
    loom, harness = made(HEAD + SOUND, parts)
    said = [(remark.line, remark.says) for remark in loom.remarks if remark.in_parts]
    if told[1]:
        assert any(at == told[0] and told[1] in says for at, says in said), said
    assert harness.wires[0].id == "W1"


def test_a_parts_list_gives_kinds_ratings_and_places() -> None:
    """Ratings, kinds, places and positions come from the parts list, in words and figures as people type them."""
    parts = (
        "Teil;Art;Bezeichnung;Leistung;Strom;Ort;Stellungen\n"
        "E1;Scheinwerfer;Scheinwerfer links;55 W;;vorn;\n"
        "F1;Sicherung;Licht;;15 A;Sicherungskasten;\n"
        "S1;Schalter;Lichtschalter;;;Brett;aus; an: 1-2\n"
    )
    loom, harness = made(
        HEAD + "W1,F1,S1.1,RD,1,1\nW2,S1.2,E1 +,YE,1,1\n", parts.replace("aus; an: 1-2", '"aus; an: 1-2"')
    )
    assert [remark.says for remark in loom.remarks if remark.in_parts] == []
    lamp, fuse, switch = harness.loads[0], harness.fuses[0], harness.switches[0]
    assert (lamp.kind, lamp.watts, lamp.location) == ("lamp", 55.0, "vorn")
    assert (fuse.amps, fuse.label) == (15.0, "Licht")
    assert switch.positions == {"aus": (), "an": (("1", "2"),)}
    assert {place.name for place in harness.locations} == {"vorn", "Sicherungskasten", "Brett"}
