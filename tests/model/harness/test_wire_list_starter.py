"""A starter of a list turns while its 50 has feed, and at no other time."""

from pathlib import Path

import pytest

from model.circuit.condition import make_condition
from model.circuit.survey import survey
from model.harness.applied_changes import DropKey, applied_text
from model.harness.harness import Harness
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.toml_file import read_harness_text
from model.harness.wire_list_answers import answered
from model.harness.wire_list_loom import make_loom
from model.harness.wire_list_questions import questions
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import read_wire_list
from model.harness.wire_list_taken import take_in
from tests.model.harness.test_wire_list_damage import made

HEAD = "id,from,to,colour,size\n"
CABLES = HEAD + "W1,Battery +,{feed},red,25\nW2,Battery -,Chassis,black,25\nW3,Alternator B+,{feed},brown,10\n"
CONTROL = "W4,Battery +,Key 30,red,6\nW5,Key 50,{control},black,4\n"
NAMED = (CABLES + CONTROL).format(feed="Starter B+", control="Starter 50")


def amps_by_key(harness: Harness, load: str) -> dict[str, float]:
    """Give the amperes of a load in each key state."""
    by_key = {key: survey(harness, make_condition(harness, key)) for key in harness.key_names}
    return {key: abs(found.loads[load].amps) for key, found in by_key.items()}


@pytest.mark.parametrize(
    ("feed", "control"),
    [
        ("Starter B+", "Starter 50"),
        ("Starter 30", "Starter 50"),
        ("Starter motor +", "Starter motor 50"),
        ("Starter", "Starter 50"),
        ("Starter", "Starter"),
        ("Anlasser 30", "Anlasser 50"),
    ],
)
def test_a_starter_turns_with_its_50_alone(feed: str, control: str) -> None:
    """The motor has nothing with the key off, and in start at least half of the 150 A that are assumed of it."""
    _, harness = made((CABLES + CONTROL).format(feed=feed, control=control))
    motor = harness.loads[0]
    amps = amps_by_key(harness, f"{motor.id}:motor")
    assert amps["start"] > 75
    assert max(amps["off"], amps["ignition"]) < 0.01
    assert motor.role == "starter"


def test_the_solenoid_is_a_relay_on_the_starter() -> None:
    """30 and 45 are its contact, 50 and 31 its coil of some ten amperes: 12 V / 1.2 Ω = 10 A; it touches the motor."""
    _, harness = made(NAMED)
    solenoid, motor = harness.relays[0], harness.loads[0]
    assert (solenoid.label, solenoid.inside) == ("Starter solenoid", motor.id)
    ends = {wire.id: (wire.from_point, wire.to_point) for wire in harness.wires}
    assert [ends[one][1] for one in ("W1", "W3", "W5")] == [f"{solenoid.id}.{one}" for one in ("30", "30", "50")]
    start = survey(harness, make_condition(harness, "start"))
    solenoid_ends = (f"{solenoid.id}.50", f"{solenoid.id}.31")
    coil_volts = start.settled.volts_across(*solenoid_ends)
    coils = solenoid.coils or ()
    assert [coil.ohms for coil in coils] == [1.2]
    assert 8 < coil_volts / coils[0].ohms < 10.6
    touching = {(joint.from_point, joint.to_point) for joint in harness.joints}
    assert {(f"{solenoid.id}.{one}", f"{motor.id}.{one}") for one in ("45", "31")} <= touching


def test_the_coil_of_a_24_volt_starter_takes_as_many_watts() -> None:
    """12 V over 1.2 Ω are 120 W, and so are 24 V over 4.8 Ω; a solenoid with a name of its own has the same."""
    listed = read_wire_list(NAMED.encode(), "wires.csv")
    _, harness = readable(make_loom(listed, PartsList(), "made", None, 24), "made.toml")
    assert [coil.ohms for coil in harness.relays[0].coils or ()] == [4.8]
    named = "W1,Start button 2,Starter solenoid 50\nW2,Starter solenoid 31,Chassis\nW3,Battery +,Starter solenoid 30\n"
    _, harness = made("id,from,to\n" + named)
    assert [coil.ohms for coil in harness.relays[0].coils or ()] == [1.2]


def test_one_question_asks_for_the_solenoid() -> None:
    """“no” leaves it a relay of its own beside the starter, “yes” nothing that is assumed of it."""
    loom, harness = made(NAMED)
    solenoid = harness.relays[0].id
    asked = [one for one in questions(harness, loom.lines) if one.part == solenoid]
    assert [(one.key, one.line, one.choices, one.assumed) for one in asked] == [("inside", 6, ("yes", "no"), "yes")]
    note = DropKey("relays", solenoid, "note")
    assert answered(asked[0], "no") == (DropKey("relays", solenoid, "inside"), note)
    assert answered(asked[0], "yes") == (note,)
    text, _ = readable(loom, "made.toml")
    apart = read_harness_text(applied_text(text, answered(asked[0], "no")), "made.toml")
    assert amps_by_key(apart, f"{apart.loads[0].id}:motor")["start"] > 75


def test_figures_of_the_parts_list_are_those_of_the_motor() -> None:
    """A starter of 200 A in the parts list has a motor of 200 A, which is not asked."""
    parts = read_parts_list(b"id,label,kind,amps\nM1,Starter,motor,200\n", "parts.csv")
    loom = make_loom(read_wire_list(NAMED.encode(), "wires.csv"), parts, "made")
    _, harness = readable(loom, "made.toml")
    assert [(one.name, one.amps) for one in harness.loads[0].elements] == [("motor", 200)]
    assert not [one for one in questions(harness, loom.lines) if one.part == "M1" and "elements" in one.key]


@pytest.mark.parametrize("figure", ["ohms,0", "amps,0", "watts,1e300", "ohms,1e-300", "watts,0.01"])
def test_a_figure_that_is_none_of_a_starter_breaks_nothing(figure: str) -> None:
    """A rating of nothing, or of more than there is, leaves a solenoid whose contact is rated for some amperes."""
    key, _, value = figure.partition(",")
    parts = read_parts_list(f"id,label,kind,{key}\nM1,Starter,motor,{value}\n".encode(), "parts.csv")
    loom = make_loom(read_wire_list(NAMED.encode(), "wires.csv"), parts, "made")
    _, harness = readable(loom, "made.toml")
    assert [relay.label for relay in harness.relays] == ["Starter solenoid"]
    assert (harness.relays[0].amps or 0) >= 1


def test_a_starter_without_a_50_stays_a_motor() -> None:
    """Nothing tells of a solenoid where one cable alone leads to a starter."""
    _, harness = made(CABLES.format(feed="Starter +"))
    assert not harness.relays
    assert harness.loads[0].amps == 150


def _taken(tmp_path: Path, text: str) -> Harness:
    return take_in(read_wire_list(text.encode(), "wires.csv"), PartsList(), tmp_path / "made.toml", 12).harness


def test_a_list_that_is_read_again_changes_nothing(tmp_path: Path) -> None:
    """The solenoid that the file has is that of the list; a wire that is new goes to it too."""
    _taken(tmp_path, NAMED)
    before = (tmp_path / "made.toml").read_text()
    _taken(tmp_path, NAMED)
    assert (tmp_path / "made.toml").read_text() == before
    harness = _taken(tmp_path, NAMED + "W6,Starter B+,Fuse box,red,10\n")
    assert [wire.from_point for wire in harness.wires if wire.id == "W6"] == [f"{harness.relays[0].id}.30"]
    assert len(harness.relays) == 1


def test_a_list_that_learns_of_the_50_parts_the_solenoid(tmp_path: Path) -> None:
    """The starter of the file becomes motor and solenoid, and the cable that it has goes to the latter."""
    _taken(tmp_path, NAMED.replace("Starter 50", "Horn +"))
    harness = _taken(tmp_path, NAMED)
    starter = next(load for load in harness.loads if load.role == "starter")
    assert [element.name for element in starter.elements] == ["motor"]
    ends = {wire.id: wire.to_point for wire in harness.wires}
    solenoid = harness.relays[0].id
    assert (ends["W1"], ends["W5"]) == (f"{solenoid}.30", f"{solenoid}.50")


def test_a_starter_that_somebody_has_put_right_stays_so(tmp_path: Path) -> None:
    """Elements typed into the file by hand are kept, with the wires on their terminals."""
    _taken(tmp_path, NAMED.replace("Starter 50", "Horn +"))
    path = tmp_path / "made.toml"
    elements = 'elements = [{ name = "run", from = "+", to = "-", amps = 90 }]'
    path.write_text(path.read_text().replace('amps = 150, note = "Assumed: amps."', elements))
    assert elements in path.read_text()
    harness = _taken(tmp_path, NAMED.replace("Starter 50", "Horn +") + "W6,Key 50,Starter 50,black,4\n")
    assert not harness.relays
    assert {wire.id: wire.to_point for wire in harness.wires}["W1"] == f"{harness.loads[0].id}.+"
