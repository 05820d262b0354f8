"""How a switch that no hand works is set all the same."""

from __future__ import annotations

import pytest

from model.circuit.condition import Condition
from model.tracing.hand_set import by_chance, comes_by_itself, how_brought, how_set, in_place_of
from tests.model.tracing.rigs import demo, rig, wires

OWN = rig(
    """
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [], running = [[30, 15]] } },
  { id = "S1", label = "Light switch" },
  { id = "S2", label = "Sensor on the gearbox", follows = { running = "on" } },
  { id = "S3", label = "Öldruckschalter", terminals = ["1", "case"], positions = { low = [["1", "case"]], high = [] } },
]
joints = [ { id = "N1", from = "S3.case", to = "CHASSIS" } ]
"""
    + wires("G1.+ S0.30", "S0.15 S1.1", "S1.2 S2.1", "S2.2 S3.1", "G1.- CHASSIS")
)


@pytest.mark.parametrize(
    ("name", "setting", "words"),
    [
        ("field_tractor", "S6=pressure", "For S6 (Oil pressure switch) at pressure take the wire off its terminal P."),
        ("field_tractor", "S8=turning", "take the wire off its terminal D."),
        ("field_tractor", "S7=open", "out of gear, until the points of S7 (Contact breaker) are open."),
        ("trail_buggy", "S15=hot", "pull its plug and join the wires of its terminals 1 and 2 with a fused jumper."),
        ("trail_buggy", "S22=open", "take the wire off its terminal 1."),
        ("trail_buggy", "S12=sweeping", "while its blades are half-way"),
        ("harbour_launch", "S21=wet", "Lift the float of S21 (Float switch) by hand."),
        ("harbour_launch", "S29=tap open", "Open a tap for S29 (Water pressure switch)."),
        ("harbour_launch", "S28=cold", "pull its plug."),
    ],
)
def test_each_sensor_of_the_builds_says_how(name: str, setting: str, words: str) -> None:
    """Each is named with where it is to be, and what is done at its wires or by what works it."""
    switch_id, _, position = setting.partition("=")
    said = how_set(demo(name), Condition(demo(name).key_names[0], ((switch_id, position),)))
    assert len(said) == 1
    assert words in said[0]


@pytest.mark.parametrize("name", ["field_tractor", "trail_buggy", "harbour_launch"])
def test_what_a_hand_works_says_nothing(name: str) -> None:
    """Light switches, horn pushes, doors, the gear selector and the brake are set by their names alone."""
    harness = demo(name)
    words = ("light", "lamp", "horn", "door", "gear", "brake", "wiper s", "blower", "isolator", "rocker", "dip")
    hands = [one for one in harness.switches if any(word in one.label.casefold() for word in words) and not one.key]
    assert len(hands) >= 3
    for switch in hands:
        for position in switch.positions:
            assert how_set(harness, Condition(harness.key_names[0], ((switch.id, position),))) == ()


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ((("S1", "on"),), ""),
        ((("S2", "on"),), "join the wires of its terminals 1 and 2"),
        ((("S3", "high"),), "take the wire off its terminal 1."),
        ((("S2", "off"), ("S3", "low")), ""),
        ((("S2", "out"),), ""),
    ],
)
def test_a_switch_that_follows_the_key_is_bridged_or_unplugged(
    settings: tuple[tuple[str, str], ...], words: str
) -> None:
    """Whatever its label says; at rest, or out, there is nothing to say."""
    said = " ".join(how_set(OWN, Condition("off", settings)))
    assert words in said
    assert bool(said) is bool(words)
    assert {one.id for one in in_place_of(OWN, Condition("off", settings))} == (
        {settings[0][0]} if words and "S1" not in settings[0] else set()
    )


def test_a_grounded_case_is_held_to_metal() -> None:
    """An oil switch with one wire is bridged by holding that to bare metal: in running the file has it open."""
    harness = rig(
        """
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [], running = [[30, 15]] } },
  { id = "S3", label = "Oil switch", terminals = [1, "case"], positions = { low = [[1, "case"]], high = [] }, \
follows = { running = "high" } },
]
joints = [ { id = "N1", from = "S3.case", to = "CHASSIS" } ]
"""
        + wires("G1.+ S0.30", "S0.15 S3.1", "G1.- CHASSIS")
    )
    (said,) = how_set(harness, Condition("running", (("S3", "low"),)))
    assert "hold it to bare metal" in said


def test_chance_decides_of_points_alone() -> None:
    """A contact breaker rests anywhere, and the engine is turned until it is closed; a thermo switch rests cold."""
    switches = {
        one.id: one for name in ("field_tractor", "trail_buggy") for one in demo(name).switches if by_chance(one)
    }
    assert list(switches) == ["S7"]
    assert "S7 (Contact breaker) are closed" in how_brought(demo("field_tractor"), switches["S7"], "closed")


def test_an_engine_may_be_run_hot() -> None:
    """A thermo switch closes by itself then, which proves it too."""
    assert comes_by_itself(demo("trail_buggy"), Condition("ignition", (("S15", "hot"),))) == (
        "the engine run hot first",
    )
    assert comes_by_itself(demo("trail_buggy"), Condition("ignition", (("S22", "open"),))) == ()
