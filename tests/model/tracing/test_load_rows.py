"""The loads of a harness as a list, and what each needs."""

from __future__ import annotations

import subprocess
import sys

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness, all_elements
from model.tracing.load_rows import LoadNeeds, load_needs, load_rows
from model.tracing.walk import Walker, find_element
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires


def needs(harness: Harness, load: str) -> LoadNeeds:
    """Say what a load needs."""
    walker = Walker(Bench(harness))
    return load_needs(walker, walker.walk(find_element(harness, load)))


RIG = rig(
    """
locations = [ { name = "nose" } ]
fuses = [ { id = "F1", amps = 30 }, { id = "F2", amps = 10 } ]
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [[30, 15]], running = [[30, 15]] } },
  { id = "S1", label = "Lamp switch", positions = { off = [], side = [[1, 2]] } },
  { id = "S2" },
]
loads = [
  { id = "E1", kind = "lamp", label = "Head lamp", location = "nose", watts = 21 },
  { id = "E2", kind = "lamp", watts = 21 },
  { id = "E3", kind = "lamp", watts = 5 },
]
"""
    + wires("G1.+ F1.in", "F1.out S0.30", "S0.15 S1.1", "S1.2 F2.in", "F2.out E1.+", "E1.- G1.-",
            "F1.out S2.1", "S2.2 E2.+", "E2.- G1.-", "E3.- G1.-")
)  # fmt: skip


def test_a_load_needs_its_key_state_and_its_switches_in_words() -> None:
    """By label where there is one; what works at rest needs no key. The last fuse before it is named."""
    first, second = needs(RIG, "E1"), needs(RIG, "E2")
    assert (first.words, first.fuse_id, first.reached) == ("key on, Lamp switch side", "F2", True)
    assert (second.words, second.fuse_id) == ("no key, S2 on", "F1")


def test_a_load_that_nothing_feeds_says_so() -> None:
    """And has no fuse."""
    third = needs(RIG, "E3")
    assert (third.words, third.fuse_id, third.reached) == ("nothing feeds it in any setting", "", False)


def test_a_load_straight_on_the_post_has_no_fuse() -> None:
    """An empty id."""
    harness = rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"))
    assert needs(harness, "E1").fuse_id == ""


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_circuit_is_listed_once_in_the_order_of_the_file(name: str) -> None:
    """With a label and a place, as the demo builds give both to all."""
    harness = demo(name)
    rows = load_rows(harness)
    assert [row.element for row in rows] == list(all_elements(harness))
    assert all(row.label and row.place.name for row in rows)
    assert len({row.label for row in rows}) == len(rows)


def test_a_circuit_of_several_has_its_name_behind_the_label() -> None:
    """The buggy's left head lamp has three."""
    labels = [row.label for row in load_rows(demo("trail_buggy")) if row.element.part_id == "E1"]
    assert labels == ["Left head lamp dip", "Left head lamp main", "Left head lamp side"]


def test_the_list_alone_loads_nothing_that_finds_ways() -> None:
    """Neither networkx nor numpy is imported: the names stand on the screen before those are there."""
    code = "import sys, model.tracing.load_rows; print([name for name in ('networkx', 'scipy') if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
