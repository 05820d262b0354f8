"""A check as it is told: seven short lines, one sentence, the outcome in words, the quick answers."""

from __future__ import annotations

import math

import pytest

from model.circuit.condition import make_condition
from model.harness.harness import Harness
from model.harness.toml_file import read_harness_text
from model.tracing.answer_words import expect_words, number_words, outcome_words, prompt_words
from model.tracing.check_words import LineName, check_lines, check_place, check_sentence
from model.tracing.checks import MEASURED, WORDS_OF, Check, CheckKind, measured, seen
from model.units import fuse_cold_ohms
from model.words import clean
from tests.model.tracing.loom_with_spares import loom
from tests.model.tracing.rigs import demo, rig, wires
from tests.tui.hostile_build import hostile_build

_K7 = "K7 (Fuel pump relay)"
_BOX = "At rear box, behind the left seat, two clips"
_PANEL = "At fuse panel, under the dash, two turn catches"
_PIN_30 = f"{_K7} pin 30, cavity 1, wire side, RD/BU 2.5"
_PIN_87 = f"{_K7} pin 87, cavity 5, wire side, GN/WH 2.5"
_PLUGGED = "key in ignition, M2 (Fuel pump) plugged in"
_BUGGY_TELLS = {
    CheckKind.VOLTS: f"{_BOX}: red on {_PIN_30}, black on the battery's negative post, {_PLUGGED}: how many volts?",
    CheckKind.DROP: f"{_BOX}: red on {_PIN_30}, black on {_PIN_87}, {_PLUGGED}: "
    "how many volts or millivolts between the two?",
    CheckKind.OHMS: f"{_BOX}: red on {_PIN_87}, black on bare metal of the body, key off, plug X3 (Sill plug) apart, "
    f"relay {_K7} out of its socket, M2 (Fuel pump) unplugged, battery clamps off: how many ohms, or OL?",
    CheckKind.AMPS: f"{_PANEL}: a clamp round one wire of fuse F23 (Fuel pump), or millivolts across it, {_PLUGGED}: "
    "how many amperes, or how many millivolts?",
    CheckKind.OBSERVE: "Look at lamp E1 (Left head lamp), circuit dip, at nose left, key in ignition: "
    "does it work, weakly, not at all, or does it glow?",
    CheckKind.LISTEN: f"{_BOX}: a hand on relay {_K7}, key in ignition: does it pull in, stay silent, or buzz?",
    CheckKind.LOOK: f"{_PANEL}: pull fuse F23 (Fuel pump) and look at its strip and clips, key off: is it good or bad?",
    CheckKind.LAMP: f"{_PANEL}: a lamp of 55 W in place of fuse F23 (Fuel pump), key in ignition, fuse F23 (Fuel pump) "
    "out: lit, dim, dark, or does it buzz?",
    CheckKind.BRIDGE: f"{_BOX}: a jumper lead with a fuse of 10 A from {_PIN_30} to {_PIN_87}, key in ignition: "
    "is the complaint cured?",
    CheckKind.SWAP: f"{_BOX}: put relay K3 (Dip relay) in place of relay {_K7}, key in ignition: "
    "is the complaint cured?",
    CheckKind.NEW_FUSE: f"{_PANEL}: fit as fuse F23 (Fuel pump) one new 15 A blade fuse, blue, key in ignition: "
    "does it hold or blow?",
}


def every_kind(harness: Harness) -> dict[CheckKind, Check]:
    """Give one check of each kind on the buggy's fuel pump."""
    ignition = make_condition(harness, "ignition")
    apart = make_condition(harness, "off", ("X3=apart", "K7=out", "M2=out"))
    out = make_condition(harness, "ignition", ("F23=out",))
    return {
        CheckKind.VOLTS: Check(CheckKind.VOLTS, ignition, "K7.30", "G1.-"),
        CheckKind.DROP: Check(CheckKind.DROP, ignition, "K7.30", "K7.87"),
        CheckKind.OHMS: Check(CheckKind.OHMS, apart, "K7.87", "CHASSIS"),
        CheckKind.AMPS: Check(CheckKind.AMPS, ignition, part="F23"),
        CheckKind.OBSERVE: Check(CheckKind.OBSERVE, ignition, load="E1:dip"),
        CheckKind.LISTEN: Check(CheckKind.LISTEN, ignition, part="K7"),
        CheckKind.LOOK: Check(CheckKind.LOOK, make_condition(harness, "off"), part="F23"),
        CheckKind.LAMP: Check(CheckKind.LAMP, out, part="F23", watts=55),
        CheckKind.BRIDGE: Check(CheckKind.BRIDGE, ignition, "K7.30", "K7.87", fuse_amps=10),
        CheckKind.SWAP: Check(CheckKind.SWAP, ignition, part="K7", other="K3"),
        CheckKind.NEW_FUSE: Check(CheckKind.NEW_FUSE, ignition, part="F23"),
    }


@pytest.mark.parametrize("kind", list(CheckKind))
def test_every_kind_is_asked_for_in_one_sentence(kind: CheckKind) -> None:
    """Where, what goes where, the key, what is set, and the question."""
    harness = demo("trail_buggy")
    assert check_sentence(harness, every_kind(harness)[kind], ("M2:load",)) == _BUGGY_TELLS[kind]


@pytest.mark.parametrize("kind", list(CheckKind))
def test_every_kind_is_told_in_at_most_seven_lines_in_one_order(kind: CheckKind) -> None:
    """No line twice, none empty, and every kind says where and with what."""
    harness = demo("trail_buggy")
    lines = check_lines(harness, every_kind(harness)[kind], ("M2:load",), is_on=True)
    names = [line.name for line in lines]
    assert names == [name for name in LineName if name in names]
    assert {LineName.PLACE, LineName.KEY, LineName.TOOL} <= set(names)
    assert all(line.words for line in lines)


def test_what_is_seen_or_heard_from_outside_sends_nobody_anywhere() -> None:
    """A pump is listened to with its cover on; a heater element is looked at where it sits."""
    harness = demo("trail_buggy")
    pump = Check(CheckKind.OBSERVE, make_condition(harness, "ignition"), load="M2:load")
    assert check_sentence(harness, pump) == (
        "Listen to motor M2 (Fuel pump), at tank bay, key in ignition: does it run, weakly, or not at all?"
    )
    assert told(harness, pump)[LineName.PLACE] == "tank bay"
    horn = Check(CheckKind.OBSERVE, make_condition(harness, "off"), load="P1:load")
    assert check_sentence(harness, horn).endswith("does it sound, weakly, or not at all?")
    launch = demo("harbour_launch")
    radio = Check(CheckKind.OBSERVE, make_condition(launch, "off"), load="E20:load")
    assert check_sentence(launch, radio).startswith("At console, four knurled screws, front hinges down: look at ")


def told(harness: Harness, check: Check, *, is_on: bool | None = None) -> dict[LineName, str]:
    """Give the lines of a check by what they are about."""
    return {line.name: line.words for line in check_lines(harness, check, ("E1:load",), is_on=is_on)}


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (CheckKind.VOLTS, "DC volts, 20 V range"),
        (CheckKind.DROP, "DC millivolts; where it shows OL, DC volts"),
        (CheckKind.OHMS, "ohms, lowest range, leads nulled, battery clamps off"),
        (CheckKind.BRIDGE, "jumper lead with its own fuse of 10 A"),
    ],
)
def test_the_meter_is_said_with_its_setting(kind: CheckKind, words: str) -> None:
    """The range is that of a twelve-volt vehicle."""
    harness = demo("trail_buggy")
    lines = check_lines(harness, every_kind(harness)[kind])
    assert next(line.words for line in lines if line.name is LineName.TOOL) == words


@pytest.mark.parametrize(
    ("healthy", "words"),
    [
        (6.12, "DC volts, 20 V range; under 0.2 V, DC millivolts"),
        (-6.12, "DC volts, 20 V range; under 0.2 V, DC millivolts"),
        (0.012, "DC millivolts; where it shows OL, DC volts"),
    ],
)
def test_the_range_between_two_points_is_that_of_what_is_expected(healthy: float, words: str) -> None:
    """Volts across a load are read on a range of volts, those across a joint in millivolts."""
    harness = demo("trail_buggy")
    lines = check_lines(harness, every_kind(harness)[CheckKind.DROP], healthy=healthy)
    assert next(line.words for line in lines if line.name is LineName.TOOL) == words


def test_a_24_volt_vehicle_is_measured_on_the_next_range() -> None:
    """Its charging volts pass 20 V."""
    harness = demo("harbour_launch")
    check = Check(CheckKind.VOLTS, make_condition(harness), "G1.+", "G2.-")
    tool = next(line.words for line in check_lines(harness, check) if line.name is LineName.TOOL)
    assert tool == "DC volts, 200 V range"


def test_a_momentary_switch_is_held_by_a_helper_where_the_probes_are_elsewhere() -> None:
    """At the switch itself the person holds it."""
    harness = loom()
    pressed = make_condition(harness, "on", ("S1=pressed",))
    far = told(harness, Check(CheckKind.VOLTS, pressed, "K1.30", "G1.-"))
    assert far[LineName.SET] == "S1 (Push) at pressed, a helper holds it"
    near = told(harness, Check(CheckKind.VOLTS, pressed, "S1.2", "G1.-"))
    assert near[LineName.SET] == "S1 (Push) at pressed, hold it"


def test_a_crank_check_says_who_holds_the_key() -> None:
    """The key springs back from crank."""
    harness = demo("trail_buggy")
    check = Check(CheckKind.VOLTS, make_condition(harness, "crank"), "K7.30", "G1.-")
    words = {line.name: line.words for line in check_lines(harness, check)}
    assert words[LineName.KEY] == "key in crank, a helper holds the key there"


@pytest.mark.parametrize(
    ("setting", "is_on", "words"),
    [
        ("S1=pressed", True, "E1 (Work lamp) plugged in and on"),
        ("S1=rest", False, "E1 (Work lamp) plugged in, off"),
        ("E1=out", True, "E1 (Work lamp) unplugged"),
    ],
)
def test_the_loads_state_is_part_of_the_check(setting: str, is_on: bool, words: str) -> None:
    """On, off or unplugged."""
    harness = loom()
    check = Check(CheckKind.VOLTS, make_condition(harness, "on", (setting,)), "E1.+", "G1.-")
    assert told(harness, check, is_on=is_on)[LineName.LOAD] == words


def test_splice_is_named_with_its_sleeve_and_the_post_with_its_long_lead() -> None:
    """At the tail a splice is sealed, and the battery is at the other end of the vehicle."""
    buggy = demo("trail_buggy")
    lines = {
        line.name: line.words
        for line in check_lines(buggy, Check(CheckKind.VOLTS, make_condition(buggy, "off"), "J13", "G1.-"))
    }
    assert lines[LineName.RED] == "splice J13 (Stop lamps), its sleeve opened and sealed again after"
    assert lines[LineName.BLACK] == "the battery's negative post, with a long lead"


def test_what_is_at_rest_is_not_said() -> None:
    """A switch set to where it rests has not to be touched."""
    harness = loom()
    check = Check(CheckKind.VOLTS, make_condition(harness, "on", ("S1=rest",)), "K1.30", "G1.-")
    assert LineName.SET not in told(harness, check)


def test_a_black_probe_in_another_place_is_said_with_its_place() -> None:
    """The ground point at the nose is not where the relay is."""
    harness = loom()
    check = Check(CheckKind.VOLTS, make_condition(harness, "on"), "K1.30", "GND1")
    assert told(harness, check)[LineName.BLACK] == "ground point GND1, BK 1.5, at nose, two screws"


def test_a_free_end_and_an_end_set_off_are_named_by_their_place() -> None:
    """A wire without a terminal has the place of its end, one that is off says where it was."""
    row = '  { id = "W20", from = "X1.plug.2", to_location = "nose", colour = "TQ", length = 2, size = 1 },\n'
    harness = loom(row)
    check = Check(CheckKind.VOLTS, make_condition(harness, "on", ("W4.b=off",)), "W20.b", "G1.-")
    lines = told(harness, check)
    assert lines[LineName.RED] == "the end of wire W20, TQ 1, at nose, two screws, TQ 1"
    assert lines[LineName.SET] == "wire W4 off E1 (Work lamp) terminal +, wire side"


WAYS = [
    ("W1", "between dash and nose"),
    ("W2", "nose, two screws"),
    ("W3", "dash"),
    ("W4", ""),
    ("W5", "tail, in the tray"),
]


@pytest.mark.parametrize(("wire", "place"), WAYS)
def test_a_wire_is_looked_at_between_the_places_of_its_ends(wire: str, place: str) -> None:
    """Both in one place, or one of them alone known: that place; its own where the file gives one."""
    harness = rig(
        'locations = [ { name = "dash" }, { name = "nose", reach = "two screws" }, '
        '{ name = "tail", reach = "in the tray" } ]\n'
        'fuses = [ { id = "F1", amps = 10, location = "dash" } ]\n'
        "loads = [ "
        '{ id = "E1", kind = "lamp", watts = 5, location = "nose" }, '
        '{ id = "E2", kind = "lamp", watts = 5, location = "nose" }, { id = "E3", kind = "lamp", watts = 5 } ]\n'
        'wires = [ { id = "W1", from = "F1.out", to = "E1.+" }, { id = "W2", from = "E1.+", to = "E2.+" }, '
        '{ id = "W3", from = "F1.out", to = "E3.+" }, { id = "W4", from = "E3.-", to = "G1.-" }, '
        '{ id = "W5", from = "F1.out", to = "E1.+", location = "tail" }, '
        '{ id = "W6", from = "G1.+", to = "F1.in" } ]\n',
        build="nominal_volts = 12, chassis = false",
    )
    check = Check(CheckKind.LOOK, make_condition(harness, "on"), part=wire)
    assert check_place(harness, check) == place
    sentence = check_sentence(harness, check)
    assert sentence.startswith({"": "Look at ", "between dash and nose": "Between "}.get(place, f"At {place}: "))


def test_a_module_awake_asleep_or_driving_is_said() -> None:
    """Its state is set by no switch."""
    harness = demo("trail_buggy")
    check = Check(CheckKind.VOLTS, make_condition(harness, "ignition", ("A1.pump=off",)), "A1.pump", "G1.-")
    words = {line.name: line.words for line in check_lines(harness, check)}
    assert words[LineName.SET] == "control unit A1 (Engine controller) not driving pin pump"
    assert words[LineName.RED].startswith("A1 (Engine controller) pin pump, cavity 5, wire side")


def test_on_a_positive_ground_vehicle_black_stands_on_the_positive_post() -> None:
    """The grounded post is the positive one, and live points read below zero."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n' + wires("G1.- E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"),
        build='nominal_volts = 12, ground_side = "positive"',
    )
    check = Check(CheckKind.VOLTS, make_condition(harness, "on"), "E1.-", "G1.+")
    assert "black on the battery's positive post" in check_sentence(harness, check)
    assert outcome_words(check, measured(-12.3)) == "-12.30 V"


def test_hostile_labels_are_cleaned_in_lines_and_sentences() -> None:
    """No byte that a terminal obeys and no mark that turns the writing reaches the words."""
    harness = read_harness_text(hostile_build(), "hostile.toml")
    condition = make_condition(harness, harness.key_names[1]).with_setting("K1", "out").with_setting("X1", "apart")
    position = next(name for name in harness.switches[0].positions if name != harness.switches[0].rest)
    condition = condition.with_setting("S1", position)
    checks = [
        Check(CheckKind.VOLTS, condition, "K1.30", "GND1"),
        Check(CheckKind.LISTEN, condition, part="K1"),
        *(Check(CheckKind.OBSERVE, condition, load=f"{load.id}:load") for load in harness.loads),
    ]
    for check in checks:
        sentence = check_sentence(harness, check, ("E1:load",))
        assert sentence == clean(sentence, 2000)
        for line in check_lines(harness, check, ("E1:load",), is_on=True):
            assert line.words == clean(line.words, 2000)


@pytest.mark.parametrize(
    ("kind", "value", "words"),
    [
        (CheckKind.VOLTS, 12.3, "12.30 V"),
        (CheckKind.DROP, 0.0004, "0.4 mV"),
        (CheckKind.DROP, 0.035, "35 mV"),
        (CheckKind.DROP, -0.035, "-35 mV"),
        (CheckKind.DROP, 0.35, "0.35 V"),
        (CheckKind.OHMS, 1.2, "1.2 Ω"),
        (CheckKind.OHMS, math.inf, "OL (open)"),
        (CheckKind.AMPS, 4.1, "4.1 A"),
    ],
)
def test_a_number_has_its_unit(kind: CheckKind, value: float, words: str) -> None:
    """Small drops are millivolts, open is what the meter shows and what it means."""
    assert number_words(kind, value) == words


def test_a_word_has_no_number() -> None:
    """Kinds that are answered with a word give none."""
    with pytest.raises(ValueError, match="gives no number"):
        number_words(CheckKind.LOOK, 1.0)


def test_amperes_come_with_the_millivolts_across_the_fuse() -> None:
    """The millivolts are the amperes times the cold resistance of a blade fuse of that rating."""
    harness = demo("trail_buggy")
    check = every_kind(harness)[CheckKind.AMPS]
    low_mv, high_mv = (1000 * amps * fuse_cold_ohms(15.0) for amps in (5.0, 6.0))
    assert expect_words(harness, check, 5.0, 6.0) == f"5 A to 6 A ({low_mv:.0f} mV to {high_mv:.0f} mV across F23)"


def test_a_band_of_ohms_that_should_be_open_says_over() -> None:
    """Low to infinite is over low, or open."""
    harness = demo("trail_buggy")
    check = every_kind(harness)[CheckKind.OHMS]
    assert expect_words(harness, check, 100000.0, math.inf) == "over 100 kΩ, or OL (open)"
    assert expect_words(harness, check, math.inf, math.inf) == "OL (open)"


def test_outcomes_are_said_as_a_person_says_them() -> None:
    """A number with its unit, a swing from least to most, a word in a phrase."""
    harness = demo("trail_buggy")
    checks = every_kind(harness)
    assert outcome_words(checks[CheckKind.VOLTS], measured(0.1, 12.3)) == "0.10 V to 12.30 V"
    assert outcome_words(checks[CheckKind.AMPS], measured(0.0004, across_fuse=True)) == "0.4 mV across F23"
    for kind, words in WORDS_OF.items():
        assert len({outcome_words(checks[kind], seen(word)) for word in words}) == len(words)


@pytest.mark.parametrize("kind", list(CheckKind))
def test_quick_answers_have_one_letter_each(kind: CheckKind) -> None:
    """No letter twice in a kind, small letters alone, one for each word; none where a number is asked for."""
    answers = prompt_words(kind)
    assert [answer.word for answer in answers] == list(WORDS_OF.get(kind, ()))
    assert bool(answers) is (kind not in MEASURED)
    letters = [answer.letter for answer in answers]
    assert len(set(letters)) == len(letters)
    assert all(len(letter) == 1 and letter.isalpha() and letter.islower() for letter in letters)
