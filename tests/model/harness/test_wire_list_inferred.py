"""What a list alone tells of the parts that its wires end on."""

import pytest

from model.circuit.condition import make_condition
from model.circuit.survey import survey
from model.harness.wire_list_answers import Change, answered
from model.harness.wire_list_kinds import known_by
from model.harness.wire_list_marks import marks_of, with_marks, without_marks
from model.harness.wire_list_questions import questions
from tests.model.harness.test_wire_list_damage import made

BUGGY = """Nr;Von;Nach;Farbe;Querschnitt;Länge;Funktion
1;Batterie +;F1 60A;rot;6;0,3;Hauptleitung
2;F1;Zündschloss 30;rot;4;1,2;
3;Zündschloss 15;F2 15A;schwarz;2,5;0,5;
4;F2;K1-30;gn;1,5;0,4;
5;K1 87;X2 4;gn/ws;1.5;2,2;
6;X2/4;Benzinpumpe +;gn/ws;1.5 mm²;0,9;
7;Benzinpumpe -;Masse;braun;1,5mm2;0,4;
8;K1.85;Masse 2;br;0,75;0,6;
9;Zündschloss 15;K1:86;gn;0,75;0,3;
10;Batterie -;Karosserie;bn;16;0,4;
"""


def test_a_half_known_loom_works_at_once() -> None:
    """A list of ten wires with no parts list runs its fuel pump with the key on, and not with it off."""
    _, harness = made(BUGGY)
    pump = harness.loads[0]
    assert (pump.kind, pump.role, pump.label) == ("motor", "fuel pump", "Benzinpumpe")
    assert [state.name for state in harness.key_states] == ["off", "ignition"]
    off = survey(harness, make_condition(harness, "off")).loads[f"{pump.id}:load"]
    turned = survey(harness, make_condition(harness, "ignition")).loads[f"{pump.id}:load"]
    assert abs(off.amps) < 1e-3
    assert turned.amps > 4


def test_relays_take_their_contacts_from_their_numbers() -> None:
    """87 and 87a make a changeover, 87a alone a break; cavities 1 to 5 are those of a relay base."""
    head = "id,from,to\n"
    _, both = made(head + "W1,K1.30,J1\nW2,K1.87,J2\nW3,K1.87a,J3\n")
    _, rest = made(head + "W1,K1.30,J1\nW2,K1.87a,J3\n")
    _, base = made(head + "W1,K1 3,J1\nW2,K1 5,J2\nW3,K1 1,J3\nW4,K1 2,GND1\n")
    assert both.relays[0].contacts == "changeover"
    assert rest.relays[0].contacts == "break"
    assert base.relays[0].pins == {"86": 1, "85": 2, "30": 3, "87": 5}
    assert [wire.from_point for wire in base.wires] == ["K1.30", "K1.87", "K1.86", "K1.85"]


def test_both_sides_of_a_plug_are_found() -> None:
    """A wire to a cavity and one from it sit in the two halves; a second one to it is turned and asked about."""
    _, harness = made("id,from,to\nW1,F1.out,X1.1\nW2,X1.1,E1.+\nW3,F2.out,X1 2\nW4,E2 +,X1 2\n")
    wires = {wire.id: wire for wire in harness.wires}
    assert (wires["W1"].to_point, wires["W2"].from_point) == ("X1.plug.1", "X1.socket.1")
    assert (wires["W3"].to_point, wires["W4"].to_point) == ("X1.plug.2", "X1.socket.2")
    assert marks_of(wires["W4"].note) == ("to",)
    assert harness.connectors[0].cavities == 2


def test_named_halves_are_kept() -> None:
    """Halves that the list names are those of the connector."""
    _, harness = made("id,from,to\nW1,F1.out,X1.dash.3\nW2,X1.nose.3,E1.+\n")
    assert harness.connectors[0].halves == ("dash", "nose")


def test_an_alternator_is_known_by_its_exciter() -> None:
    """A part G with a terminal D+ is a charger, and the terminal its exciter."""
    _, harness = made("id,from,to\nW1,G1.+,F1.in\nW2,G2.+,F1.in\nW3,E1.-,G2.D+\n")
    assert [battery.id for battery in harness.batteries] == ["G1"]
    exciter = harness.chargers[0].exciter
    assert exciter is not None
    assert exciter.terminal == "D+"
    assert harness.key_states[-1].charging


def test_ends_without_a_terminal_are_taken_from_the_direction() -> None:
    """A wire that leads to a fuse feeds it; of a load the side that faces ground is its minus."""
    _, harness = made("id,from,to\nW1,BB1,F1\nW2,F1,S1\nW3,S1,E1\nW4,E1,GND1\n")
    ends = [(wire.from_point, wire.to_point) for wire in harness.wires]
    assert ends == [("BB1", "F1.in"), ("F1.out", "S1.1"), ("S1.2", "E1.+"), ("E1.-", "GND1")]


@pytest.mark.parametrize(
    ("part_id", "label", "table", "load_kind"),
    [
        ("K1", "Fuel pump relay", "relays", ""),
        ("", "Fuel pump relay", "relays", ""),
        ("", "fuel pump", "loads", "motor"),
        ("", "Headlamps", "loads", "lamp"),
        ("", "Hauptsicherung", "fuses", ""),
        ("G3", "Alternator", "chargers", ""),
        ("M1", "", "loads", "motor"),
        ("GND4", "", "grounds", ""),
        ("E7", "Heated screen", "loads", "heater"),
        ("", "Stop lamp switch", "switches", ""),
    ],
)
def test_kinds_come_from_letters_and_words(part_id: str, label: str, table: str, load_kind: str) -> None:
    """The letters of an id decide the table, the label the kind; the last word of a label weighs most."""
    kind = known_by(part_id, label)
    assert kind is not None
    assert (kind.table, kind.load_kind) == (table, load_kind)


def test_every_assumption_is_a_question_with_its_line() -> None:
    """What the list leaves open is asked: each question has its line, its part and what is assumed until then."""
    loom, harness = made(BUGGY)
    asked = {one.id: one for one in questions(harness, loom.lines)}
    pump = asked["loads.M1.amps"]
    assert (pump.line, pump.part, pump.assumed) == (7, "M1", "6 A")
    assert asked["build.nominal_volts"].assumed == "12"
    assert "fuses.F1.amps" not in asked
    assert asked["switches.S1.positions"].assumed == "off; ignition: 30-15"


def test_a_missing_ground_is_assumed_and_asked() -> None:
    """A lamp with a feed alone sits on the body by its case until somebody says that it does not."""
    loom, harness = made("id,from,to\nW1,G1.+,F1.in\nW2,F1.out,E1.+\n")
    asked = [one for one in questions(harness, loom.lines) if one.table == "joints"]
    assert {harness.parts[one.part].from_point for one in asked} == {"E1.-", "G1.-"}  # type: ignore[attr-defined]
    lamp = next(one for one in asked if "E1" in one.asks)
    assert lamp.line == 3
    assert answered(lamp, "no") == (Change("joints", lamp.part, "", None),)
    assert answered(lamp, "yes") == (Change("joints", lamp.part, "note", None),)


def test_answers_change_the_value_and_the_mark() -> None:
    """An answer sets its key and takes it out of what the note says is assumed."""
    loom, harness = made("id,from,to,size\nW1,G1.+,F1.in,6\nW2,F1.out,E1 56b,\nW3,E1 31,GND1,1.5\n")
    asked = {one.id: one for one in questions(harness, loom.lines)}
    assert answered(asked["fuses.F1.amps"], "15 A") == (
        Change("fuses", "F1", "amps", 15.0),
        Change("fuses", "F1", "note", None),
    )
    assert answered(asked["wires.W2.size"], "AWG 16") == (Change("wires", "W2", "size", "AWG 16"),)
    element = answered(asked["loads.E1.elements.56b"], "60 W")[0].value
    assert element == [{"name": "56b", "from": "56b", "to": "31", "watts": 60.0}]


def test_marks_stand_before_what_a_note_says() -> None:
    """A mark is put before a note and taken off again; what else the note says stays."""
    note = with_marks("Behind the grille", ["watts", "role"])
    assert note == "Assumed: watts, role. Behind the grille"
    assert marks_of(note) == ("watts", "role")
    assert without_marks(note) == "Behind the grille"
    assert with_marks(note, ["role"]) == "Assumed: role. Behind the grille"
    assert marks_of("Assumed to be dry.") == ()
