"""A harness as lists and back: nothing is lost, nothing changes."""

import csv
from io import StringIO
from pathlib import Path

import pytest

from model.circuit.condition import make_condition
from model.circuit.settle import settle
from model.harness.harness import Harness
from model.harness.parts_list import parts_list
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.points import all_points
from model.harness.toml_file import read_harness, read_harness_text
from model.harness.toml_text import toml_text
from model.harness.wire_list import csv_of, wire_list
from model.harness.wire_list_cells import armed, unarmed
from model.harness.wire_list_loom import make_loom
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import read_wire_list

BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
EACH = pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)


def lists_of(harness: Harness) -> tuple[bytes, bytes]:
    """Give the wire list and the parts list of a harness as CSV."""
    return csv_of(*wire_list(harness)).encode(), csv_of(*parts_list(harness)).encode()


def built_again(wires: bytes, parts: bytes | None) -> Harness:
    """Make a harness of lists; anything said about them fails the test."""
    listed = read_parts_list(parts, "parts.csv") if parts is not None else PartsList()
    loom = make_loom(read_wire_list(wires, "wires.csv"), listed, "again")
    _, harness = readable(loom, "again.toml")
    assert [remark.text() for remark in loom.remarks] == []
    return harness


def volts_everywhere(harness: Harness) -> dict[tuple[str, str], float | None]:
    """Give the volts of every point in every key state; None where it floats."""
    found: dict[tuple[str, str], float | None] = {}
    for key in harness.key_names:
        settled = settle(harness, make_condition(harness, key))
        found |= {(key, point): settled.volts_at(point) for point in all_points(harness)}
    return found


@EACH
def test_lists_give_the_same_volts_at_every_point(path: Path) -> None:
    """A demo build exported and built again from both lists has the same volts everywhere in every key state."""
    harness = read_harness(path)
    again = built_again(*lists_of(harness))
    expected, found = volts_everywhere(harness), volts_everywhere(again)
    assert expected.keys() == found.keys()
    assert any(volts and abs(volts) > 1 for volts in expected.values())
    assert found == pytest.approx(expected, abs=1e-9)


@EACH
def test_lists_hold_every_record(path: Path) -> None:
    """Every record of every table comes back as it was, what was not typed still not typed."""
    harness = read_harness(path)
    again = built_again(*lists_of(harness))
    for table in harness.__dataclass_fields__:
        if table != "source":
            assert getattr(again, table) == getattr(harness, table), table
    assert [wire.model_fields_set for wire in again.wires] == [wire.model_fields_set for wire in harness.wires]


@EACH
@pytest.mark.parametrize("with_parts", [True, False])
def test_a_list_read_and_written_is_the_same_to_the_byte(path: Path, with_parts: bool) -> None:
    """List to file to list changes nothing, with the parts list or without it."""
    wires, parts = lists_of(read_harness(path))
    again = built_again(wires, parts if with_parts else None)
    assert lists_of(again)[0] == wires
    if with_parts:
        assert lists_of(again)[1] == parts


NASTY = r"""format = 1
build = { name = "=1+1", nominal_volts = 12 }
key_states = [ { name = "off; really" }, { name = "[on]" } ]
locations = [ { name = "left, behind \"it\"" }, { name = "a; b" } ]
trunks = [ { name = "a > b" }, { name = "@home" } ]
batteries = [ { id = "G1", label = "'=x" } ]
switches = [ { id = "S1", label = "S1 [on]", positions = { "off; really" = [], "[on]" = [[1, 2]] }, key = true } ]
loads = [ { id = "E1", kind = "lamp", watts = 5, label = "-lamp", works_in = ["[on]", "off; really"] } ]
wires = [
  { id = "W1", from = "G1.+", to = "S1.1", label = "+12 V", via = ["a > b", "@home"], size = "AWG 1/0" },
  { id = "W2", from = "S1.2", to = "E1.+", note = "Größe \" , ; 'quoted'", size = 0.35, length = 0.123456 },
  { id = "W3", from = "E1.-", to = "CHASSIS", label = "'-", colour = "GNYE", spare = false },
  { id = "W4", from_location = "a; b", hazard = "fuel", superseded_by = "W1" },
]
"""


def test_texts_that_a_spreadsheet_would_run_come_back() -> None:
    """Texts with formula starts, quotes, separators and brackets are disarmed, and whole again when read."""
    harness = read_harness_text(NASTY, "nasty.toml")
    wires, parts = lists_of(harness)
    for cell in (cell for row in csv.reader(StringIO((wires + parts).decode())) for cell in row):
        assert not cell.lstrip().startswith(("=", "+", "-", "@"))
    again = built_again(wires, parts)
    assert again.wires == harness.wires
    assert again.loads == harness.loads
    assert again.switches == harness.switches
    assert (again.build, again.batteries, again.trunks) == (harness.build, harness.batteries, harness.trunks)


@pytest.mark.parametrize("text", ["=1", "'=1", "''=1", " =1", "' =1", "-", "+", "@a", "'", "'a", "＝1", "it's", ""])
def test_disarming_is_undone(text: str) -> None:
    """Whatever is disarmed comes back, and begins with nothing that a spreadsheet runs."""
    assert unarmed(armed(text)) == text
    assert not armed(text).lstrip().startswith(("=", "+", "-", "@", "＝"))


def test_a_file_is_spelled_in_the_order_of_the_format() -> None:
    """Tables stand as the format lists them, whatever order they are given in, and read back."""
    rows: dict[str, list[dict[str, object]]] = {
        "wires": [{"id": "W1", "from": "G1.-", "to": "CHASSIS", "length": 0.25, "note": 'a "b" \\ c'}],
        "batteries": [{"id": "G1", "ohms": 1e-05}],
        "key_states": [{"name": "off"}],
    }
    text = toml_text({"name": "Spelled", "nominal_volts": 12.0}, {}, rows)
    assert text.index("key_states") < text.index("batteries") < text.index("wires")
    harness = read_harness_text(text, "spelled.toml")
    assert harness.batteries[0].ohms == 1e-05
    assert harness.wires[0].note == 'a "b" \\ c'
