"""What stays live with the isolators open."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.review.live_isolators import IsolatorsOpen, isolators_of, isolators_open
from tests.model.circuit.rig import harness

BUILDS = Path(__file__).parents[3] / "demo_builds"

BOAT = """
busbars = [ { id = "BB1" } ]
fuses = [
  { id = "F1", amps = 80 },
  { id = "F2", amps = 10 },
  { id = "F3", amps = 10, bus = "BB1" },
  { id = "F4", amps = 10, bus = "BB1" },
]
switches = [ { id = "S1", label = "A name that says nothing" }, { id = "S2" } ]
loads = [ { id = "M1", kind = "motor", amps = 3 }, { id = "E1", kind = "lamp", watts = 10 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0.2 },
  { id = "W2", from = "F1.out", to = "S1.1", length = 0.5 },
  { id = "W3", from = "S1.2", to = "BB1", length = 0.5 },
  { id = "W4", from = "G1.+", to = "F2.in", length = 0.2 },
  { id = "W5", from = "F2.out", to = "M1.+", length = 3 },
  { id = "W6", from = "M1.-", to = "G1.-", length = 0.1 },
  { id = "W7", from = "F3.out", to = "S2.1", length = 2 },
  { id = "W8", from = "S2.2", to = "E1.+", length = 2 },
  { id = "W9", from = "E1.-", to = "G1.-", length = 0.1 },
  BYPASS
]
"""


def opened(rig: Harness, *settings: tuple[str, str]) -> IsolatorsOpen:
    """Open the isolators of a rig."""
    found = isolators_open(Bench(rig), Condition(rig.key_names[0], settings))
    assert found is not None
    return found


def test_an_isolator_is_found_by_where_it_stands() -> None:
    """S1 parts the post from the bar with two fuses; the lamp switch S2 behind one of them is none."""
    found = isolators_of(harness(BOAT.replace("BYPASS", "")))
    assert [(one.switch_id, one.open_position, one.closed_position) for one in found] == [("S1", "off", "on")]
    assert found[0].before == {"G1.+", "F1.in", "F1.out", "S1.1"}
    assert {"S1.2", "BB1", "F3.out", "E1.+"} <= found[0].behind


def test_what_stands_before_it_and_what_goes_past_it_stays_live() -> None:
    """Open, the way to S1 is live and the pump on F2 is; the bar is dead and counts among what the switch makes so."""
    found = opened(harness(BOAT.replace("BYPASS", "")), ("S1", "on"))
    assert found.condition.by_name["S1"] == "off"
    assert [one.point for one in found.before] == ["G1.+", "F1.in", "F1.out", "S1.1"]
    assert {one.point for one in found.past} >= {"F2.in", "F2.out", "M1.+"}
    assert found.behind == ()
    assert {"S1.2", "BB1", "F3.out", "F4.out", "S2.1"} == set(found.made_dead)


def test_a_wire_round_the_isolator_keeps_what_hangs_on_it_live() -> None:
    """A metre from the post to the bar: with S1 open everything behind it has volts all the same, along W10."""
    rig = harness(BOAT.replace("BYPASS", '{ id = "W10", from = "G1.+", to = "BB1", length = 40 },'))
    found = opened(rig)
    behind = {one.point: one for one in found.behind}
    assert {"S1.2", "BB1", "F3.out"} <= behind.keys()
    assert behind["BB1"].path[0].site == "W10"
    assert behind["BB1"].fused_by is None


def test_the_two_isolators_of_the_launch_are_found_and_the_bilge_goes_past_them() -> None:
    """S10 and S11; the pump's F2 to its float, the alarm's F3 and the charge link stay live."""
    found = opened(read_harness(BUILDS / "harbour_launch.toml"))
    assert [one.switch_id for one in found.isolators] == ["S10", "S11"]
    assert {"S21.1", "S23.1", "K3.87"} <= {one.point for one in found.past}
    assert {"S10.1", "S11.1"} <= {one.point for one in found.before}
    assert {"BB3", "BB5"} <= set(found.made_dead)


@pytest.mark.parametrize("name", ["trail_buggy", "field_tractor"])
def test_a_loom_without_an_isolator_has_none(name: str) -> None:
    """The key, a foot switch, a lamp switch and a winch's own switch part no post from several fuses."""
    rig = read_harness(BUILDS / f"{name}.toml")
    assert isolators_of(rig) == ()
    assert isolators_open(Bench(rig), Condition("off")) is None


def test_a_switch_without_a_fuse_before_it_and_two_loads_behind_is_one() -> None:
    """On a loom without a single fuse the switch at the post is what isolates it."""
    rows = """
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 10 }, { id = "E2", kind = "lamp", watts = 10 } ]
wires = [
  { id = "W1", from = "G1.+", to = "S1.1" },
  { id = "W2", from = "S1.2", to = "E1.+" },
  { id = "W3", from = "S1.2", to = "E2.+" },
  { id = "W4", from = "E1.-", to = "G1.-" },
]
"""
    assert [one.switch_id for one in isolators_of(harness(rows))] == ["S1"]
    assert isolators_of(harness(rows.replace('"S1" }', '"S1", momentary = true }'))) == ()


def test_a_selector_of_two_batteries_is_one_isolator_with_an_off() -> None:
    """Off, one, two and both: in off nothing behind it is live, and the second battery's post is."""
    rows = """
switches = [
  { id = "S1", terminals = ["C", "1", "2"], positions = { one = [["C", "1"]], two = [["C", "2"]], off = [] } },
]
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10, bus = "BB1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "S1.1" },
  { id = "W2", from = "G2.+", to = "S1.2" },
  { id = "W3", from = "S1.C", to = "BB1" },
  { id = "W4", from = "G2.-", to = "G1.-" },
]
"""
    rig = harness(rows, batteries='{ id = "G1", emf = 12 }, { id = "G2", emf = 12 }')
    found = opened(rig)
    assert [one.open_position for one in found.isolators] == ["off"]
    assert found.condition.by_name["S1"] == "off"
    assert "BB1" not in {one.point for one in (*found.before, *found.past, *found.behind)}
    assert {"G1.+", "G2.+", "S1.1", "S1.2"} == {one.point for one in (*found.before, *found.past)}


def test_a_switch_in_the_ground_lead_is_one_too() -> None:
    """Between the grounded post and the body: open, the body hangs on the feed through the heater."""
    rows = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "heater", ohms = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in" },
  { id = "W2", from = "F1.out", to = "E1.+" },
  { id = "W3", from = "E1.-", to = "CHASSIS" },
  { id = "W4", from = "CHASSIS", to = "S1.1" },
  { id = "W5", from = "S1.2", to = "G1.-" },
]
"""
    found = opened(harness(rows))
    assert [(one.switch_id, one.is_in_ground) for one in found.isolators] == [("S1", True)]
    assert {"CHASSIS", "S1.1", "E1.-"} == {one.point for one in found.behind}
    assert all(one.through == ("E1:load",) for one in found.behind)
