"""Two conditions beside each other, and what waits for its ground."""

from __future__ import annotations

from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.survey import Survey
from model.harness.toml_file import read_harness
from model.review.live_compared import compared
from model.review.live_switched import ground_switched
from tests.model.circuit.rig import CHAIN, harness, surveyed
from tests.model.review.test_live_points import GROUND_SWITCHED

BUILDS = Path(__file__).parents[3] / "demo_builds"

BUZZER = """
relays = [ { id = "K1", contacts = "break" } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 1 },
  { id = "W2", from = "K1.87a", to = "K1.86", length = 1 },
  { id = "W3", from = "K1.85", to = "G1.-", length = 1 },
]
"""


def of_buggy(key: str, *settings: tuple[str, str]) -> Survey:
    """Survey the buggy."""
    return Bench(read_harness(BUILDS / "trail_buggy.toml")).survey(Condition(key, settings))


def test_a_switch_makes_what_is_behind_it_come_alive() -> None:
    """S1 on: from its far side to the ground points all has volts; nothing dies, and the nearer drops are small.

    By the rig's figures G1.+ falls from 12 to 11.8 V, F1.out to 11.4 V (0.6 V: told), F1.in to 11.6 V (0.4 V: not).
    """
    found = compared(surveyed(harness(CHAIN)), surveyed(harness(CHAIN), "S1=on"))
    assert [one.point for one in found.alive] == [
        "CHASSIS",
        "S1.2",
        "E1.+",
        "E1.-",
        "X1.plug.1",
        "X1.socket.1",
        "GND0",
        "GND1",
    ]
    assert found.dead == ()
    assert [one.point for one in found.changed] == ["F1.out", "S1.1"]
    assert round(found.changed[0].after_volts or 0.0, 3) == 11.4


def test_turned_round_the_living_and_the_dead_change_places() -> None:
    """What comes alive one way dies the other way; what changes is the same."""
    there = compared(of_buggy("off"), of_buggy("ignition"))
    back = compared(of_buggy("ignition"), of_buggy("off"))
    assert [one.point for one in there.alive] == [one.point for one in back.dead]
    assert [one.point for one in there.dead] == [one.point for one in back.alive]
    assert [one.point for one in there.changed] == [one.point for one in back.changed]
    assert "K1.87" in {one.point for one in there.alive}


def test_any_two_conditions_are_compared() -> None:
    """The key off, the door opened: the lamp's far end dies, and so do both door switches."""
    found = compared(of_buggy("off"), of_buggy("off", ("S17", "open")))
    assert {"E9.-", "S17.1", "S18.1"} <= {one.point for one in found.dead}
    assert found.after.by_name == {"S17": "open"}


def test_a_point_that_only_one_condition_has_is_compared_too() -> None:
    """An end of a wire off its terminal is a point of its own: it comes alive, what it fed dies."""
    found = compared(surveyed(harness(CHAIN)), surveyed(harness(CHAIN), "W2.b=off"))
    assert [(one.point, one.before_volts) for one in found.alive] == [("W2.b", None)]
    assert [one.point for one in found.dead] == ["S1.1"]


def test_what_never_rests_is_neither_alive_nor_dead() -> None:
    """A relay that feeds its own coil through its contact at rest buzzes: its coil is told apart."""
    rig = harness(BUZZER)
    found = compared(surveyed(rig, "K1=out"), surveyed(rig))
    assert {"K1.86", "K1.87a"} <= {one.point for one in found.restless}
    assert not {"K1.86", "K1.87a"} & {one.point for one in (*found.alive, *found.dead, *found.changed)}


def test_a_lamp_that_waits_for_its_ground_is_told_with_its_switch() -> None:
    """Fed at +, lifted at −, and S1 would ground it; with the door open it burns and is no such lamp."""
    found = ground_switched(surveyed(harness(GROUND_SWITCHED)))
    assert [(one.site, one.fed, one.far, one.switched_by) for one in found] == [
        ("E1:load", "E1.+", "E1.-", ("S1:1-case",))
    ]
    assert ground_switched(surveyed(harness(GROUND_SWITCHED), "S1=open")) == ()


def test_a_lamp_whose_ground_wire_is_gone_is_not_taken_for_one() -> None:
    """W4 off: no switch would ground it, so that nothing is said of it here."""
    assert ground_switched(surveyed(harness(GROUND_SWITCHED), "W4.b=off")) == ()


def test_the_buggy_has_a_door_lamp_and_a_horn_relay_that_wait() -> None:
    """The lamp on either door switch, the coil of the horn relay on the push."""
    found = {one.site: one.switched_by for one in ground_switched(of_buggy("off"))}
    assert found == {"K5:coil": ("S10:1-rim",), "E9:load": ("S17:1-case", "S18:1-case")}
