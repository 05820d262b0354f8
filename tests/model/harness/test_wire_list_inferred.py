"""What a list alone tells of the parts that its wires end on."""

import pytest

from model.circuit.condition import make_condition
from model.circuit.survey import survey
from model.errors import FusewalkError
from model.harness.applied_changes import DropKey, DropRow, SetKey, applied_text
from model.harness.hazards import may_be_probed
from model.harness.parts_list_read import PartsList, read_parts_list
from model.harness.toml_file import read_harness_text
from model.harness.wire_list_answers import answered
from model.harness.wire_list_kinds import known_by
from model.harness.wire_list_loom import make_loom
from model.harness.wire_list_marks import marks_of, with_marks, without_marks
from model.harness.wire_list_questions import questions
from model.harness.wire_list_repair import readable
from model.harness.wire_list_rows import read_wire_list
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


def test_a_sign_behind_a_label_is_a_post_each_time() -> None:
    """The second end that names a part by its label keeps its sign: a battery's minus never lands on its plus."""
    loom, harness = made("id,from,to\nW1,Battery +,F1.in\nW2,F1 out,Pump +\nW3,Pump -,BB1\nW4,Battery -,BB1\n")
    ends = [(wire.from_point, wire.to_point) for wire in harness.wires]
    assert ends == [("G1.+", "F1.in"), ("F1.out", "M1.+"), ("M1.-", "BB1"), ("G1.-", "BB1")]
    assert not [one for one in questions(harness, loom.lines) if one.table == "wires" and one.key in ("from", "to")]


def test_a_label_that_ends_in_a_sign_of_its_own_is_known_again() -> None:
    """A listed splice called “Switched +” is that splice, and no post of something called “Switched”."""
    parts = read_parts_list(b"id,label,kind\nJ1,Switched +,splice\n", "parts.csv")
    wires = read_wire_list(b"id,from,to\nW1,F1.out,Switched +\n", "wires.csv")
    _, harness = readable(make_loom(wires, parts, "made"), "made.toml")
    assert harness.wires[0].to_point == "J1"


def test_a_fuse_by_its_number_is_no_other_fuse() -> None:
    """“fuse 1” keeps F1 to itself, also where a main fuse without a number was named before it."""
    _, harness = made("from,to\nbattery +,main fuse 40A\nmain fuse,fuse 1\nfuse 1 out,E1 +\nE1 -,gnd 2\n")
    ends = [(wire.from_point, wire.to_point) for wire in harness.wires]
    assert ends == [("G1.+", "F2.in"), ("F2.out", "F1.in"), ("F1.out", "E1.+"), ("E1.-", "GND2")]
    assert [(fuse.id, fuse.label) for fuse in harness.fuses] == [("F2", "main fuse"), ("F1", "")]


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
        ("", "engine earth", "grounds", ""),
        ("", "Masse vorne", "grounds", ""),
        ("", "Masse Motorblock", "bodies", ""),
        ("", "engine", "bodies", ""),
        ("", "engine fan", "loads", "motor"),
        ("", "Key", "switches", ""),
        ("", "ignition coil", "loads", "solenoid"),
        ("", "Neg bus", "busbars", ""),
        ("", "Nav light sw", "switches", ""),
        ("", "Batt", "batteries", ""),
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
    assert answered(lamp, "no") == (DropRow("joints", lamp.part),)
    assert answered(lamp, "yes") == (DropKey("joints", lamp.part, "note"),)


def test_a_hazard_that_a_label_suggests_is_kept_away_from_until_it_is_answered() -> None:
    """An airbag's unit and wire are never probed, a fuel pump has its caution; “no” takes the mark off."""
    loom, harness = made(
        "id,from,to,label\nW1,F1.out,M1.+,Fuel pump\nW2,F2.out,A7.30,Airbag unit\nW3,F3.out,E1.+,Work lamp\n"
    )
    wires = {wire.id: wire for wire in harness.wires}
    assert harness.loads[0].hazard == "fuel"
    assert (wires["W1"].hazard, wires["W2"].hazard, wires["W3"].hazard) == (None, "restraint", None)
    assert may_be_probed(harness, "A7.30") is not None
    assert may_be_probed(harness, "E1.+") is None
    asked = {one.id: one for one in questions(harness, loom.lines)}
    assert answered(asked["wires.W2.hazard"], "no") == (
        DropKey("wires", "W2", "hazard"),
        DropKey("wires", "W2", "note"),
    )


def test_answers_change_the_value_and_the_mark() -> None:
    """An answer sets its key and takes it out of what the note says is assumed."""
    loom, harness = made("id,from,to,size\nW1,G1.+,F1.in,6\nW2,F1.out,E1 56b,\nW3,E1 31,GND1,1.5\n")
    asked = {one.id: one for one in questions(harness, loom.lines)}
    assert answered(asked["fuses.F1.amps"], "15 A") == (
        SetKey("fuses", "F1", "amps", 15.0),
        DropKey("fuses", "F1", "note"),
    )
    assert answered(asked["wires.W2.size"], "AWG 16") == (SetKey("wires", "W2", "size", "AWG 16"),)
    element = answered(asked["loads.E1.elements.56b"], "60 W")[0]
    assert isinstance(element, SetKey)
    assert element.value == [{"name": "56b", "from": "56b", "to": "31", "role": "dip", "watts": 60.0}]


def test_marks_stand_before_what_a_note_says() -> None:
    """A mark is put before a note and taken off again; what else the note says stays."""
    note = with_marks("Behind the grille", ["watts", "role"])
    assert note == "Assumed: watts, role. Behind the grille"
    assert marks_of(note) == ("watts", "role")
    assert without_marks(note) == "Behind the grille"
    assert with_marks(note, ["role"]) == "Assumed: role. Behind the grille"
    assert marks_of("Assumed to be dry.") == ()


CAMPER = """Wire,From Part,From Pin,To Part,To Pin,Color,Gauge
1,Fuse box,F1 10A,Light switch,1,Red/White,16
2,Light switch,2,Cabin light,+,Yellow,16
3,ECU,12,Fuel pump relay,85,Green,20
4,Fuel pump relay,86,Fuse box,F3 5A,Pink,20
5,Alternator,B+,Fuse box,,Red,6
6,Thing,a,Thing,b,Red,16
7,Horn,1,Fuse box F4 15A,,Red,16
8,Horn push,,Horn,2,Red,16
9,Fuel sender,,Gauge,S,Red,16
"""


def test_fuses_named_in_their_box_stand_on_its_bar() -> None:
    """A box with F1 10A as its terminal is a bar with that fuse on it, and the wire is on the fuse's out."""
    _, harness = made(CAMPER)
    bar = harness.busbars[0]
    assert bar.label == "Fuse box"
    assert [(fuse.id, fuse.amps, fuse.bus) for fuse in harness.fuses] == [
        ("F1", 10.0, bar.id),
        ("F3", 5.0, bar.id),
        ("F4", 15.0, bar.id),
    ]
    ends = {wire.id: (wire.from_point, wire.to_point) for wire in harness.wires}
    assert (ends["W1"][0], ends["W4"][1], ends["W5"][1], ends["W7"][1]) == ("F1.out", "F3.out", bar.id, "F4.out")


BOX = "id,from,to\nW1,Battery +,Fuse box\nW2,F1 out,Lamp +\nW3,Fuse 2,Horn +\nW4,Fuse box,F3\nW5,F3,Radio +\n"


def test_fuses_that_no_wire_feeds_sit_in_the_only_fuse_box_until_it_is_answered() -> None:
    """F1 and F2 have feed from the bar of the box, which is asked; “no” takes them off it; F3 is fed by a wire."""
    loom, harness = made(BOX)
    assert {fuse.id: fuse.bus for fuse in harness.fuses} == {"F1": "BB1", "F2": "BB1", "F3": None}
    lamp = harness.loads[0]
    lit = survey(harness, make_condition(harness, harness.key_names[0])).loads[f"{lamp.id}:load"]
    # 21 W at 12 V are 1.75 A, somewhat more at the 12.7 V of a rested battery
    assert 1.6 < lit.amps < 2.0
    asked = {one.id: one for one in questions(harness, loom.lines)}
    assert (asked["fuses.F1.bus"].line, asked["fuses.F1.bus"].assumed) == (3, "yes")
    assert asked.keys().isdisjoint({"fuses.F2.bus", "fuses.F3.bus"})
    both = asked["fuses.F1.bus"]
    assert both.asks == "Do the fuses F1 and F2 sit on BB1 (Fuse box)? No wire feeds them."
    notes = [SetKey("fuses", one, "note", "Assumed: amps.") for one in ("F1", "F2")]
    off = [DropKey("fuses", one, "bus") for one in ("F1", "F2")]
    assert answered(both, "yes") == tuple(notes)
    assert answered(both, "no") == (off[0], notes[0], off[1], notes[1])
    assert answered(both, "f2") == (off[0], *notes)
    for typed in ("F3", "F1, F3", "some"):
        with pytest.raises(FusewalkError, match="does not say which"):
            answered(both, typed)


def test_a_ground_bar_is_bolted_until_it_is_answered() -> None:
    """A bar or strap may sit on the body or be isolated: it is asked; a plain ground point is not."""
    text = "id,from,to\nW1,Battery -,Ground bar\nW2,Lamp -,Ground bar\nW3,Battery +,Lamp +\nW4,Horn -,Rear ground\n"
    loom, harness = made(text)
    bar = next(one for one in harness.grounds if one.label == "Ground bar")
    asked = {one.id: one for one in questions(harness, loom.lines)}
    question = asked[f"grounds.{bar.id}.bonded"]
    assert (question.assumed, bar.bonded) == ("bolted to the body", True)
    assert sum(one.endswith(".bonded") for one in asked) == 1
    assert answered(question, "isolated")[0] == SetKey("grounds", bar.id, "bonded", False)
    assert answered(question, "bolted to the body")[0] == SetKey("grounds", bar.id, "bonded", True)


@pytest.mark.parametrize(
    "text",
    [
        "id,from,to\nW1,Battery +,Front fuse box\nW2,Battery +,Rear fuse box\nW3,F1 out,Lamp +\n",
        "id,from,to\nW1,Battery +,Stud\nW2,F1 out,Lamp +\n",
        "id,from,to\nW1,F1 out,Fuse box\nW2,F1 out,Lamp +\n",
    ],
)
def test_a_fuse_is_put_on_no_bar_where_it_may_be_another(text: str) -> None:
    """Of two boxes, of a bar that is no fuse box and of a box that the fuse itself feeds none is taken for its bar."""
    assert made(text)[1].fuses[0].bus is None


def test_the_label_ground_of_a_wire_makes_no_ground_of_what_it_ends_on() -> None:
    """A wire called “Lamp ground” leads from something unknown to a ground point, and not from one."""
    _, harness = made("id,from,to,label\nW1,Q7.x,GND1,Work lamp ground\n")
    assert [ground.id for ground in harness.grounds] == ["GND1"]


FLASHING = (
    "from,to\nbattery +,fuse no. 2\nfuse #2 out,{0} 49\n{0} 49a,indicator switch 49a\n{0} 31,frame\n"
    "indicator switch L,left turn\nleft turn,frame\nindicator switch R,right turn\nright turn,frame\nbattery -,frame\n"
)


@pytest.mark.parametrize("name", ["flasher", "flasher relay", "Blinkgeber", "K4"])
def test_a_flasher_joins_its_feed_to_the_lamps_and_waits_for_no_coil(name: str) -> None:
    """A flasher is a switch that pulses and is taken as on; L of the indicator switch lights the left lamp alone."""
    _, harness = made(FLASHING.format(name))
    flasher = next(switch for switch in harness.switches if switch.pulses)
    assert (flasher.rest, flasher.terminals) == ("flashing", ("49", "49a", "31"))
    assert (harness.relays, [fuse.id for fuse in harness.fuses]) == ((), ["F2"])
    stalk = next(switch for switch in harness.switches if switch is not flasher)
    condition = make_condition(harness, harness.key_names[0], (f"{stalk.id}=L",))
    amps = [survey(harness, condition).loads[f"{lamp.id}:load"].amps for lamp in harness.loads]
    # 21 W at 12 V are 1.75 A
    assert 1.6 < amps[0] < 2.0
    assert abs(amps[1]) < 1e-3


@pytest.mark.parametrize("end", ["hazard flasher switch {}", "S9.{}"])
def test_the_switch_of_the_hazard_flasher_is_no_flasher(end: str) -> None:
    """A switch for the hazard lamps has 49 and 49a too, beside others, and does not pulse."""
    rows = "".join(f"W{at},J{at},{end.format(pin)}\n" for at, pin in enumerate(("30", "49", "49a", "L", "R"), 1))
    _, harness = made(f"id,from,to\n{rows}")
    assert not [switch for switch in harness.switches if switch.pulses]
    assert len(harness.parts) > 5


def test_a_unit_that_faces_a_coil_drives_it() -> None:
    """A terminal of a control unit on a relay's coil is a driver and no feed; what it does is asked."""
    loom, harness = made(CAMPER)
    unit = harness.modules[0]
    assert [driver.terminal for driver in unit.drivers] == ["12"]
    asked = next(one for one in questions(harness, loom.lines) if one.key == "drivers.12")
    assert asked.line == 4
    change = answered(asked, asked.choices[1])[0]
    assert isinstance(change, SetKey)
    assert change.value == [
        {"terminal": "12", "pulls": "ground", "when": list(harness.key_names[1:] or harness.key_names)}
    ]


@pytest.mark.parametrize("choice", [0, -1])
@pytest.mark.parametrize("listed", [BUGGY, CAMPER])
def test_every_answer_leaves_a_file_that_is_read_and_is_not_asked_again(listed: str, choice: int) -> None:
    """Answered one after another with a choice of its own, each question goes and the file breaks no rule."""
    loom = make_loom(read_wire_list(listed.encode(), "wires.csv"), PartsList(), "made")
    text, harness = readable(loom, "made.toml")
    seen: set[str] = set()
    for _ in range(60):
        open_ones = [one for one in questions(harness, loom.lines) if one.choices and one.table != "defaults"]
        if not open_ones:
            break
        question = open_ones[0]
        assert question.id not in seen
        seen.add(question.id)
        for change in answered(question, question.choices[choice]):
            text = applied_text(text, (change,))
        harness = read_harness_text(text, "made.toml")
    assert len(seen) >= 5
    assert "Assumed" not in text
