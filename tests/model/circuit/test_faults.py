"""Names of faults: which a site can have, and how they are read."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.faults import FaultKind, fault_kinds, parse_fault, swapped_cavities
from model.errors import ArgumentError
from model.harness.toml_file import read_harness
from tests.model.circuit.rig import CHAIN, harness

RIG = harness(
    """
bodies = [ { id = "ENGINE" } ]
chargers = [ { id = "G2", volts = 14.2 } ]
busbars = [ { id = "BB1" } ]
joints = [ { id = "T1", from = "ENGINE", to = "CHASSIS" } ]
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 5, bus = "BB1" } ]
switches = [ { id = "S1" } ]
relays = [ { id = "K1", contacts = "changeover" } ]
diodes = [ { id = "V1" } ]
connectors = [ { id = "X1", cavities = 6 }, { id = "X2", cavities = 4 } ]
grounds = [ { id = "GND1" } ]
wires = [ { id = "W1", from = "G1.+", to = "F1.in" }, { id = "W2", from = "F1.out", to = "BB1" }, { id = "W3" } ]

[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 1 } ]
drivers = [ { terminal = "pump", pulls = "ground", when = [] } ]
outputs = [ { terminal = "5V", volts = 5 } ]

[[resistors]]
id = "R1"
elements = [ { name = "low", from = "1", to = "2", ohms = 2 } ]

[[loads]]
id = "E1"
kind = "lamp"
elements = [
  { name = "dip", from = "56b", to = "31", watts = 55 },
  { name = "main", from = "56a", to = "31", watts = 60 },
]

[[loads]]
id = "P1"
kind = "horn"
amps = 5
"""
)

KINDS = {
    "W1": "open, high, to body, touches, elsewhere",
    "W1.a": "elsewhere",
    "X1.4": "open, high",
    "X1.4/5": "swapped",
    "X1.4/X2.4": "swapped",
    "F1": "blown, missing, high, too small, open",
    "K1:coil": "open",
    "K1:30-87": "open, high, stuck",
    "K1:30-87a": "open, high, stuck",
    "S1:1-2": "open, high, stuck",
    "GND1": "open, high",
    "T1": "open, high",
    "E1:dip": "open, short, low draw",
    "E1:main": "open, short, low draw",
    "P1:load": "open, short, low draw",
    "A1:pump": "open, stuck",
    "A1:5V": "open, stuck",
    "A1:15": "open",
    "A1.31": "open, high",
    "A1.pump": "open, high",
    "V1": "open, short, reversed",
    "R1:low": "open, short",
    "G1.+": "high, open",
    "G1.-": "high, open",
    "G1": "flat",
    "G2": "no output",
    "G2.+": "open, high",
    "K1.87": "open, high",
    "S1.1": "open, high",
    "F1.out": "open, high",
    "F2.in": "open, high",
    "E1.56b": "open, high",
    "V1.anode": "open, high",
    "R1.1": "open, high",
}


@pytest.mark.parametrize("site", KINDS)
def test_a_site_has_the_faults_of_the_format(site: str) -> None:
    """The table "Names of faults" of the format, site by site."""
    assert set(fault_kinds(RIG, site)) == set(KINDS[site].split(", "))


NO_SITES = [
    "W9",
    "W1.b",
    "W1.c",
    "X1",
    "X1.0",
    "X1.7",
    "X1.x",
    "X1.04",
    "X1.²",
    "X1.4/4",
    "X1.4/7",
    "X1.4/X3.1",
    "X1.4/",
    "/X1.4",
    "X1.4/²",
    "X1.plug.4",
    "K1",
    "K1:30",
    "K1:87-30",
    "K1:87",
    "S1",
    "S1:2-1",
    "E1",
    "E1:load",
    "E1:fog",
    "P1:dip",
    "A1",
    "A1:31",
    "V1:load",
    "R1",
    "R1:high",
    "G1:load",
    "G1.x",
    "BB1",
    "BB1.1",
    "CHASSIS",
    "ENGINE",
    "GND1.1",
    ".",
    ":",
    "/",
]


@pytest.mark.parametrize("site", ["", *NO_SITES])
def test_what_is_no_site_has_no_faults(site: str) -> None:
    """Whole parts with inner sites, unknown ids, contacts named the wrong way round, cavities out of range."""
    assert fault_kinds(RIG, site) == ()


READ = {
    "W1=open": ("W1", FaultKind.OPEN, "", None),
    " W1 = open ": ("W1", FaultKind.OPEN, "", None),
    "W1=to body": ("W1", FaultKind.TO_BODY, "", None),
    "W1=touches:BB1": ("W1", FaultKind.TOUCHES, "BB1", None),
    "W1=touches:W2": ("W1", FaultKind.TOUCHES, "W2", None),
    "W1=touches:F2.in": ("W1", FaultKind.TOUCHES, "F2.in", None),
    "W1=elsewhere:S1.1": ("W1", FaultKind.ELSEWHERE, "S1.1", None),
    "W1.a=elsewhere:G2.+": ("W1.a", FaultKind.ELSEWHERE, "G2.+", None),
    "W1=2.5": ("W1", FaultKind.HIGH, "", 2.5),
    "W1=1e3": ("W1", FaultKind.HIGH, "", 1000.0),
    "E1:dip=low draw": ("E1:dip", FaultKind.LOW_DRAW, "", None),
    "X1.4/5=swapped": ("X1.4/5", FaultKind.SWAPPED, "", None),
    "A1:15=7": ("A1:15", FaultKind.HIGH, "", 7.0),
    "G1=flat": ("G1", FaultKind.FLAT, "", None),
}


@pytest.mark.parametrize("typed", READ)
def test_a_fault_is_read_as_typed_and_spelled_again(typed: str) -> None:
    """Site, kind, partner or ohms; spelled, it is read as the same fault."""
    found = parse_fault(RIG, typed)
    assert (found.site, found.kind, found.partner, found.ohms) == READ[typed]
    assert parse_fault(RIG, found.spelled()) == found


REFUSED = {
    "W1": ("is not a fault", "Write it as PART=FAULT"),
    "W1=": ("is not a fault", "Write it as PART=FAULT"),
    "=open": ("is not a fault", "Write it as PART=FAULT"),
    "W11=open": ("no “W11” that can be faulty", "Did you mean W1?"),
    "K1=open": ("no “K1” that can be faulty", ""),
    "W1=opn": ("cannot be “opn”", "Did you mean open?"),
    "F1=blow": ("cannot be “blow”", "Did you mean blown?"),
    "GND1=stuck": ("cannot be “stuck”", "It can be open, high"),
    "W1=touches": ("wants a partner", "W1=touches:POINT"),
    "W1=elsewhere:": ("wants a partner", "W1=elsewhere:POINT"),
    "W1=touches:BB2": ("“BB2” is no point", "Did you mean BB1?"),
    "W1=elsewhere:W2": ("“W2” is no point", ""),
    "W1=touches:W1": ("“W1” is no point", ""),
    "W1=open:BB1": ("takes no partner", "Write W1=open"),
    "W1=0": ("cannot have 0 ohms", "above zero"),
    "W1=-1": ("cannot have -1 ohms", "above zero"),
    "W1=nan": ("cannot have nan ohms", "above zero"),
    "W1=inf": ("cannot have inf ohms", "the word open"),
    "W1=1e400": ("cannot have 1e400 ohms", "above zero"),
    "W1=1e3e": ("cannot be “1e3e”", "It can be"),
    "W1=1_0": ("cannot be “1_0”", "It can be"),
    "W1=٢": ("cannot be “٢”", "It can be"),
    "G1=5": ("takes no resistance in its place", "It can be flat"),
    "X1.4/5=5": ("takes no resistance in its place", "It can be swapped"),
}


@pytest.mark.parametrize("typed", REFUSED)
def test_a_fault_that_cannot_be_is_refused_with_the_nearest(typed: str) -> None:
    """What is wrong stands in the error, and what would be right."""
    what, do = REFUSED[typed]
    with pytest.raises(ArgumentError, match=what) as refused:
        parse_fault(RIG, typed)
    assert do in refused.value.do


def test_a_wire_cannot_touch_a_body_that_is_not_there() -> None:
    """A loom without a body has none to touch; with a further body, a wire of its side may."""
    rows = CHAIN.replace('{ id = "GND0" }', '{ id = "GND0", bonded = false }').replace("GND1", "GND0")
    rows = rows.replace(', { id = "GND0" } ]', " ]")
    rig = harness(rows, build="nominal_volts = 12, chassis = false")
    with pytest.raises(ArgumentError, match="cannot touch the body"):
        parse_fault(rig, "W4=to body")


def test_swapped_cavities_are_two_of_the_harness() -> None:
    """In one plug the second is named by its number alone."""
    assert swapped_cavities(RIG, "X1.4/5") == (("X1", 4), ("X1", 5))
    assert swapped_cavities(RIG, "X1.4/X2.4") == (("X1", 4), ("X2", 4))
    assert swapped_cavities(RIG, "X1.4/X1.4") is None


@pytest.mark.parametrize(
    ("site", "words"),
    [
        ("K1", "K1:coil, K1:30-87"),
        ("S2", "S2:30-58"),
        ("E1", "E1:dip, E1:main"),
        ("X1", "X1.1"),
        ("K99", "Did you mean"),
    ],
)
def test_a_part_named_where_a_place_of_it_is_meant_is_answered_with_its_places(site: str, words: str) -> None:
    """A relay cannot be faulty as a whole: its coil, its contacts and its terminals can."""
    buggy = read_harness(Path(__file__).parents[3] / "demo_builds" / "trail_buggy.toml")
    with pytest.raises(ArgumentError, match="can be faulty") as refused:
        parse_fault(buggy, f"{site}=open")
    assert words in refused.value.do
