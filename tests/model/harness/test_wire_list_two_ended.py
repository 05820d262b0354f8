"""Ends of parts that a list names by words: which of them are those of one part."""

import pytest

from tests.model.harness.test_wire_list_damage import made


@pytest.mark.parametrize(
    "fuse", ["Main fuse {}", "Main fuse.{}", "Main fuse ({})", "Hauptsicherung {}", "MAIN FUSE {}"]
)
@pytest.mark.parametrize(("feed", "out"), [("in", "out"), ("In", "OUT"), ("ein", "aus"), ("input", "output")])
def test_a_fuse_named_by_its_ends_is_one_fuse(fuse: str, feed: str, out: str) -> None:
    """What leads in ends on its feed and what leads out on its other end; nothing of it is a guess."""
    _, harness = made(f"from,to\nBattery +,{fuse.format(feed)}\n{fuse.format(out)},Lamp +\nLamp -,chassis\n")
    (only,) = harness.fuses
    assert only.label == fuse.replace(".{}", "").replace("({})", "").replace("{}", "").strip()
    assert (harness.wires[0].to_point, harness.wires[1].from_point) == (f"{only.id}.in", f"{only.id}.out")
    assert (harness.wires[0].note, harness.wires[1].note) == ("", "")


@pytest.mark.parametrize(
    "ends", [("Hauptsicherung in", "Hauptsicherung.out"), ("Hauptsicherung.in", "Hauptsicherung out")]
)
def test_a_fuse_is_one_however_its_ends_are_written(ends: tuple[str, str]) -> None:
    """A dot at one end and a space at the other make no second fuse."""
    _, harness = made(f"from,to\nBattery +,{ends[0]}\n{ends[1]},Lamp +\nLamp -,chassis\n")
    (only,) = harness.fuses
    assert (harness.wires[0].to_point, harness.wires[1].from_point) == (f"{only.id}.in", f"{only.id}.out")


def test_a_rating_behind_an_end_is_that_of_the_one_fuse() -> None:
    """It stands at one end alone and still names the same fuse."""
    _, harness = made("from,to\nBattery +,Main fuse in 30A\nMain fuse out,Lamp +\nLamp -,chassis\n")
    assert [(fuse.label, fuse.amps) for fuse in harness.fuses] == [("Main fuse", 30)]


def test_a_switch_fed_at_1_and_leading_on_from_2_is_one_switch() -> None:
    """Wires lead to one number and from the other: they are its terminals."""
    _, harness = made("from,to\nF1,Pump switch 1\nPump switch 2,Bilge pump +\nBilge pump -,chassis\n")
    (only,) = harness.switches
    assert only.label == "Pump switch"
    assert (harness.wires[0].to_point, harness.wires[1].from_point) == (f"{only.id}.1", f"{only.id}.2")


@pytest.mark.parametrize(
    ("wires", "labels"),
    [
        ("F1,Door switch 1\nDoor switch 1,Lamp 1\nF1,Door switch 2\nDoor switch 2,Lamp 2\n", 2),
        ("Lamp 1,Door switch 1\nLamp 2,Door switch 2\n", 2),
        ("F1,Pump switch 2\nPump switch 3,Lamp 1\n", 2),
        ("F1,Pump switch 1\nWiper switch 2,Lamp 1\n", 2),
        ("F1,Pump switch 1\nLamp 1,chassis\n", 1),
    ],
)
def test_numbers_that_count_several_switches_make_several(wires: str, labels: int) -> None:
    """Each has a wire to it and one from it, or all lead the same way, or they do not count from 1."""
    _, harness = made(f"from,to\n{wires}")
    assert len(harness.switches) == labels
    assert all(switch.label[-1:].isdigit() for switch in harness.switches)


def test_fuses_that_are_numbered_stay_several() -> None:
    """A number behind a fuse counts fuses, also where wires lead to the one and from the other."""
    _, harness = made("from,to\nBattery +,Main fuse 1\nMain fuse 2,Lamp +\nLamp -,chassis\n")
    assert len(harness.fuses) == 2


def test_one_end_alone_is_left_as_it_is_written() -> None:
    """Without the other end nothing says that the last word is no part of the name."""
    _, harness = made("from,to\nBattery +,Main fuse in\nLamp -,chassis\n")
    assert [fuse.label for fuse in harness.fuses] == ["Main fuse in"]


def test_a_relay_has_at_least_three_numbers() -> None:
    """Four numbers behind a relay's name are its cavities; two alone count two relays."""
    wires = "F1,Horn relay 3\nHorn relay 5,Horn +\nF1,Horn relay 1\nHorn relay 2,chassis\n"
    _, harness = made(f"from,to\n{wires}Horn relay 4,J1\n")
    assert [relay.label for relay in harness.relays] == ["Horn relay"]
    _, harness = made("from,to\nF1,Horn relay 1\nHorn relay 2,Horn +\n")
    assert [relay.label for relay in harness.relays] == ["Horn relay 1", "Horn relay 2"]
