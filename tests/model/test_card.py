"""The card of a part."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from model.cautions import CautionKind
from model.circuit.condition import make_condition
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from model.sheets.card import Card, EndRow, card_lines, part_card
from model.words import clean

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo_builds"

TEXT = """
format = 1
build = { name = "Van", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "on" } ]
locations = [ { name = "nose", access = "panel" }, { name = "tank", exposure = ["fuel vapour"] } ]
trunks = [ { name = "nose run", length = 2 } ]
batteries = [ { id = "G1", ohms = 0.005 }, { id = "G2" } ]
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 15, bus = "BB1" }, { id = "F2", style = "thermal" } ]
switches = [ { id = "S1", label = "S1 [on]", momentary = true, amps = 8, picture = "pictures/s1 [red].jpg" } ]
relays = [
  { id = "K1", amps = 30, location = "nose", pins = PINS, face = [[1, 2], [3, 5]] },
  { id = "K2", contacts = "changeover", coil_ohms = 90, coil_diode = "86" },
]
loads = [
  { id = "E1", kind = "lamp", watts = 55, at = 13.2, works_in = ["off", "on"], works_with = { S1 = "on" } },
  { id = "P1", kind = "electronics", amps = 1, label = "Airbag", hazard = "restraint" },
]
diodes = [ { id = "V1" } ]
resistors = [ { id = "R1", elements = [ { name = "level", from = 1, to = 2, ohms = STEPS } ] } ]
connectors = [ { id = "X1", cavities = 4, halves = ["front", "rear"], face = [[1, 2], [3, 4]] } ]
splices = [ { id = "J1" } ]
grounds = [ { id = "GND1" }, { id = "GND2", bonded = false } ]
joints = [ { id = "N1", from = "K1.85", to = "CHASSIS" } ]
wires = [
  { id = "W1", from = "F1.out", to = "K1.30", colour = "RD/BU", size = 2.5, length = 2, via = ["nose run"] },
  { id = "W2", from = "K1.87", to = "X1.front.3" },
  { id = "W3", from = "X1.rear.3", to = "E1.+", colour = "YE", size = "AWG 14", length = 1 },
  { id = "W4", from = "E1.-", to = "GND1", colour = "BK", size = 2.5, length = 0.5 },
  { id = "W5", to_location = "tank", from = "X1.rear.1", spare = true, superseded_by = "W3" },
  { id = "W6", from = "P1.+", to = "X1.front.4" },
  { id = "W7", from = "G1.+", to = "BB1" },
]
"""
TEXT = TEXT.replace("PINS", '{ "30" = 1, "86" = 2, "85" = 3, "87" = 5 }')
TEXT = TEXT.replace("STEPS", '{ rest = "half", empty = 240, half = 90 }')


@pytest.fixture(scope="module")
def van() -> Harness:
    """Give a harness with most kinds of parts."""
    return read_harness_text(TEXT, "van.toml")


def said(card: Card) -> dict[str, str]:
    """Give the facts of a card by their head; of several alike the last."""
    return dict(card.facts)


def test_a_relay_says_what_it_is_and_what_ends_on_it(van: Harness) -> None:
    """Rating, contacts, coil, place, and each terminal with cavity, wire, colour, size, other end and its place."""
    card = part_card(van, "K1")
    assert said(card)["is"] == "relay, contacts 30 A"
    assert said(card)["coil"] == "86-85, 85 Ω, pulls in at 7.2 V"
    assert said(card)["where"] == "nose, behind a panel"
    assert card.rows == (
        EndRow("K1.30", "30", 1, "W1", "RD/BU", "red with blue stripe", "2.5 mm²", "F1.out", "place not given"),
        EndRow("K1.87", "87", 5, "W2", "--", "colour unknown", "1 mm² assumed", "X1.front.3", "place not given"),
        EndRow("K1.86", "86", 2),
        EndRow("K1.85", "85", 3, "N1", other_end="CHASSIS", other_place="bare metal of the body"),
    )
    assert card.assumed == ("The ohms of its coil are assumed from the nominal volts.",)


def test_the_asked_point_marks_its_cavity(van: Harness) -> None:
    """Of a relay the pin, of a connector the cavity on the half asked for; without a point both halves are drawn."""
    assert part_card(van, "K1", at="K1.87").face[1:] == ("  1   --", "  3   >5<")
    assert part_card(van, "X1", at="X1.rear.3").face == (
        "X1, half rear, seen from its wire side",
        " --    1",
        " --   >3<",
    )
    heads = [line for line in part_card(van, "X1").face if "seen" in line]
    assert [head.split(",")[1] for head in heads] == [" half front", " half rear"]


def test_a_wire_says_both_ends_trunk_length_and_ohms(van: Harness) -> None:
    """2 m of 2.5 mm² are 2 × 7.98 mΩ (IEC 60228 class 5), with two crimps of 0.5 mΩ 17.0 mΩ at 20 °C."""
    facts = said(part_card(van, "W1"))
    assert facts["is"] == "wire, red with blue stripe, 2.5 mm²"
    assert facts["from"] == "F1.out, place not given"
    assert facts["to"] == "K1.30, nose, behind a panel"
    assert facts["through"] == "nose run"
    assert facts["length"] == "2.00 m, at most 17 mΩ with its crimps"
    assert facts["feeds"] == "E1"
    assert part_card(van, "W1").rows == ()


def test_what_is_assumed_is_said(van: Harness) -> None:
    """Size, length and colour of a wire, the coil of a relay, the inside of a battery."""
    assert part_card(van, "W2").assumed == ("Its size, length and colour are assumed: the file leaves them out.",)
    assert said(part_card(van, "W2"))["length"].startswith("1.50 m assumed")
    assert part_card(van, "W3").assumed == ()
    assert part_card(van, "K2").assumed == ()
    assert part_card(van, "G1").assumed == ()
    assert part_card(van, "G2").assumed == ("The ohms within it are assumed.",)


def test_a_spare_wire_and_its_successor(van: Harness) -> None:
    """A free end has its place; what does the work now is named."""
    card = part_card(van, "W5")
    facts = said(card)
    assert (facts["spare"], facts["superseded"]) == ("in no use", "W3 does its work now")
    assert facts["to"] == "free end, tank"
    assert [caution.kind for caution in card.cautions] == [CautionKind.FUEL_VAPOUR]


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("G1", "lead battery, 12 V"),
        ("BB1", "busbar"),
        ("F1", "blade fuse, 15 A"),
        ("F2", "thermal fuse"),
        ("S1", "switch, springs back, 8 A"),
        ("E1", "lamp, 55 W at 13.2 V"),
        ("V1", "diode, opens at 0.7 V from anode to cathode"),
        ("R1", "resistor"),
        ("X1", "connector, 4 cavities, halves front and rear"),
        ("GND1", "ground point on CHASSIS"),
        ("GND2", "ground bar that only wires reach"),
        ("N1", "K1.85 touches CHASSIS, no wire between"),
        ("J1", "splice"),
        ("CHASSIS", "the body of the vehicle"),
    ],
)
def test_every_kind_of_part_is_named(van: Harness, part: str, words: str) -> None:
    """What it is, in words of the trade, with its rating."""
    assert said(part_card(van, part))["is"] == words


def test_particulars_of_parts(van: Harness) -> None:
    """Positions, contacts at rest and pulled in, steps of a sender, the fuses of a bar, unused cavities."""
    assert said(part_card(van, "E1"))["works in"] == "any key state, S1 on"
    assert said(part_card(van, "K2"))["at rest"] == "30-87a"
    assert said(part_card(van, "K2"))["diode"] == "across the coil: 86 must be the positive side"
    assert said(part_card(van, "R1"))["level"] == "1 to 2: empty 240 Ω, half 90 Ω; rests at half"
    assert said(part_card(van, "BB1"))["feeds"] == "fuses F1"
    assert said(part_card(van, "X1"))["unused"] == "half rear: 2, 4"
    assert part_card(van, "F1").rows[0].other_end == "BB1"
    assert {row.other_end for row in part_card(van, "CHASSIS").rows} == {"K1.85", "GND1"}


def test_volts_are_shown_as_they_are_passed_in(van: Harness) -> None:
    """Texts per point and key state, in the order of the keys; points of other parts are left out."""
    volts = {"K1.30": {"on": "12.10", "off": "0.00"}, "K1.86": {"on": "floating"}, "E1.+": {"on": "12.00"}}
    card = part_card(van, "K1", volts=volts)
    assert card.keys == ("off", "on")
    assert card.volts == (("K1.30", ("0.00", "12.10")), ("K1.86", ("", "floating")))
    lines = card_lines(card)
    assert lines[lines.index("expect, V   off        on") + 1] == "K1.30      0.00     12.10"


def test_a_refusal_stands_before_everything_and_is_said_once(van: Harness) -> None:
    """An airbag's card says why no probe goes there, and for which points."""
    card = part_card(van, "P1")
    assert [refusal.point for refusal in card.refusals] == ["P1.+", "P1.-"]
    text = " ".join(card_lines(card))
    assert text.index("No probe:") < text.index("electronics")
    assert text.count("can go off") == 1
    assert "The same holds for P1.-." in text
    assert [refusal.point for refusal in part_card(van, "X1").refusals] == ["X1.front.4"]


def test_cautions_follow_the_condition(van: Harness) -> None:
    """A fuse out brings its own caution."""
    condition = make_condition(van, "off", ("F1=out",))
    kinds = [caution.kind for caution in part_card(van, "E1", condition=condition).cautions]
    assert kinds == [CautionKind.HOT_PART, CautionKind.FUSE_RATING]


def test_labels_and_paths_come_whole_and_harmless(van: Harness) -> None:
    """Brackets stay; what a terminal obeys goes."""
    lines = card_lines(part_card(van, "S1"))
    assert lines[0] == "S1 S1 [on]"
    assert lines[-1] == "Picture: pictures/s1 [red].jpg"
    hostile = van.switches[0].model_copy(update={"label": "a\x1b[2J\u202eb", "note": "n\x07\n" * 3, "picture": "\x9bp"})
    for line in card_lines(part_card(replace(van, switches=(hostile,)), "S1")):
        assert line == clean(line, 4000)


def test_an_unknown_part_is_an_error(van: Harness) -> None:
    """There is no empty card."""
    with pytest.raises(KeyError):
        part_card(van, "K9")


@pytest.mark.parametrize("file", sorted(DEMO.glob("*.toml")), ids=lambda path: path.stem)
def test_every_part_of_the_demo_builds_has_a_card(file: Path) -> None:
    """Each wire ends on the cards of both its parts, and no card is wider than eighty characters."""
    harness = read_harness(file)
    ends: dict[str, int] = {}
    for part in harness.each_part():
        card = part_card(harness, part.id)
        assert max(map(len, card_lines(card))) <= 80, part.id
        for row in card.rows:
            ends[row.wire] = ends.get(row.wire, 0) + 1
    for wire in harness.wires:
        assert ends.get(wire.id, 0) == (wire.from_point is not None) + (wire.to_point is not None), wire.id


def test_cards_and_search_need_no_solver() -> None:
    """Neither numpy nor networkx is imported for them: the first screen must not wait."""
    code = (
        "import sys, model.sheets.card, model.tracing.find, model.cautions;"
        "print([name for name in ('numpy', 'networkx', 'scipy', 'textual', 'rich') if name in sys.modules])"
    )
    result = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"
