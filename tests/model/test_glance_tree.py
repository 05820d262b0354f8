"""The loom at a glance in lines, rows and JSON."""

from __future__ import annotations

import csv
import json
from io import StringIO
from itertools import pairwise

import pytest

from model.harness.toml_file import read_harness_text
from model.review.glance import NodeKind
from model.review.glance_build import glance
from model.sheets.columns import WIDTH, cell_width
from model.sheets.glance_rows import COLUMNS, glance_csv, glance_json
from model.sheets.glance_tree import glance_markdown, glance_text, tree_lines
from model.words import clean
from tests.benchmarks.looms import loom_text
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires
from tests.tui.hostile_build import LABELS, hostile_build

RIG = (
    'fuses = [ { id = "F1", amps = 10, label = "Lamps" } ]\nswitches = [ { id = "S1", label = "Lamp switch" } ]\n'
    'loads = [ { id = "E1", label = "Left", kind = "lamp", watts = 24 }, { id = "E2", kind = "lamp", watts = 24 } ]\n'
)
RIG_WIRES = wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "S1.2 E2.+", "E1.- CHASSIS", "E2.- CHASSIS", "G1.- CHASSIS")


def test_a_small_loom_is_drawn_like_this() -> None:
    """Figures stand behind the names: 24 W at 12 V are 2 A; 10 A blade fuses are red (ISO 8820-3)."""
    harness = rig(RIG + RIG_WIRES)
    assert tree_lines(harness, glance(harness)) == [
        "G1, 12 V",
        "└─ F1 Lamps, 10 A blade fuse, red; by colour unknown, 1.5 mm²",
        "   └─ S1 Lamp switch",
        "      ├─ E1 Left, 2 A",
        "      └─ E2, 2 A",
    ]


def test_a_tree_that_is_longer_than_its_lines_goes_on_below_its_own_branch() -> None:
    """The lines of a place and of what stands under it stay joined."""
    harness = rig(RIG + RIG_WIRES)
    assert tree_lines(harness, glance(harness), 30) == [
        "G1, 12 V",
        "└─ F1 Lamps, 10 A blade fuse,",
        "   │  red; by colour unknown,",
        "   │  1.5 mm²",
        "   └─ S1 Lamp switch",
        "      ├─ E1 Left, 2 A",
        "      └─ E2, 2 A",
    ]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_no_line_of_a_demo_build_has_more_than_80_cells(name: str) -> None:
    """Each fuse begins one line of the tree."""
    harness = demo(name)
    tree = glance(harness)
    lines = glance_text(harness, tree).splitlines()
    assert all(cell_width(line) <= WIDTH for line in lines)
    for fuse in harness.fuses:
        begun = [line for line in lines if line.lstrip("│├└─ ").startswith(f"{fuse.id} ") and "─" in line]
        assert len(begun) == 1, fuse.id


def test_the_head_counts_and_says_where_the_ground_side_goes() -> None:
    """The launch has no body: two banks, each with a grounded post."""
    harness = demo("harbour_launch")
    words = " ".join(glance_text(harness, glance(harness)).split())
    assert "22 fuses, 29 load circuits and 5 relay coils" in words
    assert "it goes through 4 ground points to G2 - and G4 -." in words


def test_states_of_a_relay_and_positions_of_a_switch_are_told_with_what_they_feed() -> None:
    """The red and white lights of the launch, and the lamps under way."""
    harness = demo("harbour_launch")
    lines = [line.strip("│├└─ ") for line in tree_lines(harness, glance(harness))]
    assert {"at 87a, at rest", "at 87, pulled in", "in way", "at 15, in on, start and running"} <= set(lines)
    assert "E5 Anchor lamp, 417 mA, in anchor" in lines


def test_hostile_names_are_cleaned_and_no_line_is_too_long() -> None:
    """No sign that a terminal obeys comes through, and each label is there as far as it may be shown."""
    harness = read_harness_text(hostile_build(), "hostile.toml")
    text = glance_text(harness, glance(harness))
    assert all(cell_width(line) <= WIDTH for line in text.splitlines())
    assert all(character == "\n" or clean(character) == character for character in text)
    joined = "".join(text.replace("│", " ").split())
    assert all("".join(clean(label, 57).split()) in joined for label in LABELS if len(clean(label)) <= 57)


def test_a_deep_tree_is_set_in_only_so_far() -> None:
    """Forty fuses in a row: no line is too long, and from the fourteenth level on each says its level."""
    names = [f"F{number}" for number in range(1, 41)]
    rows = ", ".join(f'{{ id = "{name}", amps = 10 }}' for name in names)
    ends = [f"{one}.out {other}.in" for one, other in pairwise(names)]
    harness = rig(f"fuses = [ {rows} ]\n{wires('G1.+ F1.in', *ends, 'G1.- CHASSIS')}")
    lines = tree_lines(harness, glance(harness))
    assert all(cell_width(line) <= WIDTH for line in lines)
    assert any("level 41: F40, 10 A" in line for line in lines)


def test_the_tree_in_markdown_is_a_block_that_shows_as_it_stands() -> None:
    """Every line of the tree is set in by four spaces, so that no sign in it means anything."""
    harness = read_harness_text(hostile_build(), "hostile.toml")
    text = glance_markdown(harness, glance(harness))
    assert text.startswith("<!-- Fusewalk sheet -->")
    drawn = [f"    {line}" for line in tree_lines(harness, glance(harness))]
    assert text.split("\n")[-len(drawn) :] == drawn


def test_the_rows_name_the_row_above_them() -> None:
    """A line of names, then a row a place, each under one that stands before it."""
    harness = demo("trail_buggy")
    tree = glance(harness)
    heads, *rows = csv.reader(StringIO(glance_csv(harness, tree)))
    assert heads == list(COLUMNS)
    assert len(rows) == len(tree.nodes)
    by_number = {row[0]: row for row in rows}
    lamp = next(row for row in rows if row[5] == "E5:stop")
    assert by_number[lamp[1]][4] == "S8"
    assert by_number[by_number[lamp[1]][1]][4] == "F44"
    assert lamp[7] == "1.75 A"


def test_json_has_the_whole_tree() -> None:
    """Each place with its parent's place; the pump with its relay and what works that."""
    harness = demo("trail_buggy")
    found = json.loads(json.dumps(glance_json(harness, glance(harness)), allow_nan=False))
    assert next(iter(found)) == "format"
    assert found["format"] == "fusewalk glance"
    nodes = found["nodes"]
    pump = next(node for node in nodes if node["name"] == "M2:load")
    assert [gate["worked_by"] for gate in pump["through"]] == [["S16", "A1"]]
    assert nodes[pump["parent"]]["parts"] == ["F23"]
    assert nodes[0]["parent"] is None


def test_what_is_never_probed_is_named_in_a_caution_before_the_tree() -> None:
    """An airbag is drawn, and the caution says that no probe goes there."""
    rows = 'loads = [ { id = "E1", label = "Airbag", kind = "electronics", amps = 1, hazard = "restraint" } ]\n'
    harness = rig(rows + wires("G1.+ E1.+", "E1.- CHASSIS", "G1.- CHASSIS"))
    text = glance_text(harness, glance(harness))
    assert text.index("Caution: E1 (Airbag): marked restraint") < text.index("G1, 12 V")
    assert "E1 Airbag, 1 A, marked restraint" in text


def test_a_feed_of_a_module_without_a_label_is_named_once() -> None:
    """Its terminal stands in its name already."""
    rows = 'modules = [ { id = "A1", feeds = [ { terminal = 15, amps = 2 } ] } ]\n'
    harness = rig(rows + wires("G1.+ A1.15", "A1.31 CHASSIS", "G1.- CHASSIS"))
    assert tree_lines(harness, glance(harness)) == ["G1, 12 V", "└─ A1:15, 2 A"]


def test_what_is_not_fed_is_told_at_the_end() -> None:
    """A lamp with no wire stands under words that say so."""
    harness = rig('loads = [ { id = "E1", kind = "lamp", watts = 24 } ]\n' + wires("G1.- CHASSIS"))
    lines = tree_lines(harness, glance(harness))
    assert lines == ["Not fed: no source of this file reaches it but through another load", "└─ E1, 2 A"]


def test_a_loom_of_three_hundred_wires_keeps_to_its_lines() -> None:
    """Every place has its line, in the order of the tree."""
    harness = read_harness_text(loom_text(300), "loom.toml")
    tree = glance(harness)
    lines = tree_lines(harness, tree)
    assert all(cell_width(line) <= WIDTH for line in lines)
    begun = [line.strip("│├└─ ").partition(",")[0].split(" ")[0] for line in lines if "─ " in line]
    fuses = [node.part_ids[0] for node in tree.nodes if node.kind is NodeKind.FUSE]
    assert [name for name in begun if name in set(fuses)] == fuses
