"""Which cautions stand before a step."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.cautions import (
    CAUTIONS,
    GENERAL_CAUTIONS,
    CautionKind,
    cautions_for,
    crank_keys,
    cranks,
    engine_turns,
)
from model.circuit.condition import make_condition
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from model.tables import SourceKind

DEMO = Path(__file__).parents[2] / "demo_builds"

TEXT = """
format = 1
build = { name = "Camper", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "ignition" }, { name = "third" }, { name = "running", charging = true } ]
locations = [
  { name = "tank", exposure = ["fuel vapour"] },
  { name = "nose", exposure = ["fan or belt", "hot"] },
  { name = "cupboard" },
]
batteries = [
  { id = "G1" },
  { id = "G2", chemistry = "lithium", location = "cupboard" },
]
chargers = [ { id = "G3", volts = 14, label = "Alternator" }, { id = "G4", volts = 14, active = [] } ]
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" } ]
loads = [
  { id = "E1", kind = "lamp", watts = 55 },
  { id = "E2", kind = "lamp", watts = 2 },
  { id = "E3", kind = "inverter", watts = 500, location = "cupboard" },
  { id = "M1", kind = "motor", amps = 4, hazard = "fuel", location = "tank" },
  { id = "M2", kind = "motor", amps = 10, label = "Radiator fan" },
  { id = "L1", kind = "solenoid", amps = 4, hazard = "ignition" },
  { id = "P1", kind = "electronics", amps = 1, hazard = "restraint", label = "Airbag" },
]
modules = [ { id = "A1", feeds = [ { terminal = 15, amps = 1 } ], outputs = [ { terminal = "ref", volts = 5 } ] } ]
resistors = [
  { id = "R1", elements = [ { name = "ballast", from = 1, to = 2, ohms = 1.5 } ] },
  { id = "R2", elements = [ { name = "level", from = 1, to = 2, ohms = { rest = "full", empty = 240, full = 33 } } ] },
]
connectors = [ { id = "X1", cavities = 2 }, { id = "X2", cavities = 2 } ]
grounds = [ { id = "GND1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "BB1" },
  { id = "W2", from = "G1.-", to = "GND1" },
  { id = "W3", from = "F1.out", to = "S1.30" },
  { id = "W4", from = "A1.ref", to = "X1.plug.1" },
  { id = "W5", from = "X1.socket.1", to = "R2.1" },
  { id = "W6", from = "X2.plug.1", to = "E1.+" },
]
[[switches]]
id = "S1"
key = true
terminals = [30, 15, 50]
positions = { off = [], ignition = [[30, 15]], third = [[30, 15, 50]], running = [[30, 15]] }
[[switches]]
id = "S2"
label = "Start button"
momentary = true
[[switches]]
id = "S3"
label = "Start battery isolator"
"""


@pytest.fixture(scope="module")
def camper() -> Harness:
    """Give a harness with something of every sort."""
    return read_harness_text(TEXT, "camper.toml")


def kinds(harness: Harness, points: list[str], key: str = "off", *settings: str) -> set[CautionKind]:
    """Give the kinds of caution for points in a condition."""
    condition = make_condition(harness, key, settings)
    return {caution.kind for caution in cautions_for(harness, points, condition)}


@pytest.mark.parametrize(
    ("point", "expected"),
    [
        ("P1.+", {CautionKind.RESTRAINT}),
        ("M1.+", {CautionKind.FUEL, CautionKind.FUEL_VAPOUR}),
        ("L1.+", {CautionKind.IGNITION}),
        ("G1.-", {CautionKind.BATTERY_GAS}),
        ("G1.+", {CautionKind.BATTERY_GAS, CautionKind.UNFUSED}),
        ("BB1", {CautionKind.UNFUSED}),
        ("F1.in", {CautionKind.UNFUSED}),
        ("F1.out", set()),
        ("GND1", set()),
        ("E1.+", {CautionKind.HOT_PART}),
        ("E2.+", set()),
        ("E3.+", {CautionKind.MAINS, CautionKind.CAPACITORS}),
        ("G4.+", {CautionKind.MAINS}),
        ("G3.+", set()),
        ("M2.+", {CautionKind.FAN, CautionKind.MOTION}),
        ("R1.1", {CautionKind.HOT_PART}),
        ("R2.2", set()),
        ("R2.1", {CautionKind.METER_ONLY}),
        ("X1.plug.1", {CautionKind.METER_ONLY}),
        ("A1.15", {CautionKind.METER_ONLY}),
        ("CHASSIS", set()),
    ],
)
def test_points_bring_their_own_cautions(camper: Harness, point: str, expected: set[CautionKind]) -> None:
    """Hazard, place, part and metal of a point choose; what does not apply is left out."""
    assert kinds(camper, [point]) == expected


@pytest.mark.parametrize(
    ("points", "is_warned"),
    [
        (["E1.+", "G1.-"], False),
        (["GND1", "G1.-"], False),
        (["G1.+", "G1.-"], True),
        (["G1.+", "F1.in"], True),
        (["G2.+", "G2.-"], False),
    ],
)
def test_battery_gas_is_warned_of_at_the_posts(camper: Harness, points: list[str], is_warned: bool) -> None:
    """A black probe left on the grounded post, as nearly every check has it, brings no caution of its own."""
    assert (CautionKind.BATTERY_GAS in kinds(camper, points)) is is_warned


def test_battery_gas_is_warned_of_where_a_clamp_comes_off(camper: Harness) -> None:
    """In the caution that says in which order: it stands before ohms and before work on the loom."""
    assert CautionKind.BATTERY_ORDER in kinds(camper, ["E1.+", "G1.-"], "off", "G1=out")
    assert "gas" in CAUTIONS[CautionKind.BATTERY_ORDER].text


def test_a_battery_beside_an_inverter_has_both_cautions(camper: Harness) -> None:
    """In the inverter's cupboard its mains side is near, whatever the probe is on."""
    found = kinds(camper, ["G2.+"])
    assert found == {CautionKind.LITHIUM, CautionKind.UNFUSED, CautionKind.MAINS}


def test_the_gravest_caution_comes_first_and_none_twice(camper: Harness) -> None:
    """Order does not hang on the order of the points."""
    condition = make_condition(camper, "running")
    points = ["E1.+", "M1.+", "P1.+", "E1.+"]
    found = cautions_for(camper, points, condition)
    assert found == cautions_for(camper, reversed(points), condition)
    assert [caution.kind for caution in found] == [
        CautionKind.RESTRAINT,
        CautionKind.FUEL_VAPOUR,
        CautionKind.FUEL,
        CautionKind.ENGINE_RUNS,
        CautionKind.HOT_PART,
    ]


def test_the_key_that_joins_terminal_50_cranks(camper: Harness) -> None:
    """Whatever the key state is called, terminal 50 makes it the one that turns the engine."""
    assert crank_keys(camper) == {"third"}
    assert CautionKind.CRANKING in kinds(camper, ["GND1"], "third")
    assert CautionKind.CRANKING not in kinds(camper, ["GND1"], "ignition")


def test_a_start_button_cranks_and_an_isolator_does_not(camper: Harness) -> None:
    """A momentary start switch turns the engine in any key state while it is pressed."""
    assert cranks(camper, make_condition(camper, "off", ("S2=on",)))
    assert not cranks(camper, make_condition(camper, "off", ("S3=on",)))
    assert not cranks(camper, make_condition(camper, "off", ("S2=out",)))


def test_the_engine_turns_cranked_or_running(camper: Harness) -> None:
    """A charging key state is one with the engine running."""
    turning = [key for key in camper.key_names if engine_turns(camper, make_condition(camper, key))]
    assert turning == ["third", "running"]


@pytest.mark.parametrize(
    ("setting", "kind"),
    [
        ("F1=out", CautionKind.FUSE_RATING),
        ("G1=out", CautionKind.BATTERY_ORDER),
        ("W2.a=off", CautionKind.BATTERY_ORDER),
        ("A1=out", CautionKind.SUPPLY_OFF),
        ("X1=apart", CautionKind.SUPPLY_OFF),
    ],
)
def test_what_is_taken_off_brings_its_caution(camper: Harness, setting: str, kind: CautionKind) -> None:
    """Pulling, unplugging and unbolting have cautions of their own."""
    assert kind in kinds(camper, ["GND1"], "off", setting)
    assert kind not in kinds(camper, ["GND1"], "off")


def test_one_condition_asks_each_harness_for_its_own_cautions(camper: Harness) -> None:
    """F1 is a fuse of the camper and a battery elsewhere: the same condition brings a caution of its own to each."""
    other = read_harness_text(
        'format = 1\nbuild = { name = "Other", nominal_volts = 12 }\nkey_states = [ { name = "off" } ]\n'
        'batteries = [ { id = "F1" } ]\ngrounds = [ { id = "GND1" } ]\n'
        'wires = [ { id = "W1", from = "F1.-", to = "GND1" } ]\n',
        "other.toml",
    )
    condition = make_condition(camper, "off", ("F1=out",))
    for _ in range(2):
        for harness, kind in ((camper, CautionKind.FUSE_RATING), (other, CautionKind.BATTERY_ORDER)):
            found = {caution.kind for caution in cautions_for(harness, ["GND1"], condition)}
            assert found & {CautionKind.FUSE_RATING, CautionKind.BATTERY_ORDER} == {kind}


def test_a_plug_with_no_control_unit_on_it_may_come_apart_live(camper: Harness) -> None:
    """The caution about control units stays away from a lamp's plug, and of a wire's far end."""
    assert kinds(camper, ["GND1"], "off", "X2=apart", "W6.b=off") == set()


def test_an_unknown_part_is_an_error(camper: Harness) -> None:
    """No caution is left out because of a misspelled point."""
    with pytest.raises(KeyError):
        cautions_for(camper, ["K9.30"], make_condition(camper))


def test_the_demo_builds_are_warned_of_as_they_should_be() -> None:
    """Positive ground: the live post is ``-``; a foot switch cranks; two banks in series are unfused in the middle."""
    tractor = read_harness(DEMO / "field_tractor.toml")
    assert CautionKind.UNFUSED in kinds(tractor, ["G1.-"], "off")
    assert CautionKind.UNFUSED not in kinds(tractor, ["G1.+"], "off")
    assert CautionKind.CRANKING in kinds(tractor, ["G1.-"], "off", "S3=down")
    launch = read_harness(DEMO / "harbour_launch.toml")
    assert crank_keys(launch) == {"start"}
    assert CautionKind.UNFUSED in kinds(launch, ["G2.+"])
    assert CautionKind.UNFUSED not in kinds(launch, ["G2.-"])
    buggy = read_harness(DEMO / "trail_buggy.toml")
    assert crank_keys(buggy) == {"crank"}
    assert kinds(buggy, ["M2.+"]) == {CautionKind.FUEL, CautionKind.FUEL_VAPOUR}


def test_every_caution_is_whole_sentences_with_a_source() -> None:
    """Every kind has its text; none promises that something cannot hurt, and the licensed trades are named."""
    assert set(CAUTIONS) == set(CautionKind)
    for kind, caution in CAUTIONS.items():
        assert caution.kind is kind
        assert caution.text[0].isupper()
        assert caution.text.endswith(".")
        assert "safe" not in caution.text.casefold()
        assert caution.source
        assert isinstance(caution.source_kind, SourceKind)
    for kind in (CautionKind.RESTRAINT, CautionKind.HIGH_VOLTAGE, CautionKind.MAINS, CautionKind.LOCAL_RULES):
        assert "licensed" in CAUTIONS[kind].text
    assert CAUTIONS[CautionKind.LOCAL_RULES] in GENERAL_CAUTIONS
