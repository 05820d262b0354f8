"""Diodes across coils: missing on a driver, or the wrong way round."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import HEAD, POSITIVE_HEAD, findings, wires

MODULE = """
fuses = [ { id = "F1", amps = 10 } ]
connectors = [ { id = "X1", cavities = 1 } ]
modules = [ { id = "A1", label = "Controller", feeds = [ { terminal = "15", amps = 0.1 } ], drivers = [ { terminal = "p", pulls = "ground", when = ["on"] } ] } ]
"""  # noqa: E501
MODULE_ENDS = ("G1.+ F1.in", "F1.out A1.15", "A1.31 CHASSIS", "G1.- CHASSIS", "F1.out K1.86")


@pytest.mark.parametrize(
    ("relay", "part", "ends", "is_told"),
    [
        ("", "", ("K1.85 A1.p",), True),
        ("", "", ("K1.85 X1.plug.1", "X1.socket.1 A1.p"), True),
        (', coil_diode = "86"', "", ("K1.85 A1.p",), False),
        ("", "", ("K1.85 CHASSIS",), False),
        ("", 'diodes = [ { id = "V1" } ]', ("K1.85 A1.p", "V1.anode K1.85", "V1.cathode K1.86"), False),
        (
            "",
            'resistors = [ { id = "R1", elements = [ { name = "r", from = "1", to = "2", ohms = 680 } ] } ]',
            ("K1.85 A1.p", "R1.1 K1.85", "R1.2 K1.86"),
            False,
        ),
    ],
)
def test_a_coil_on_a_driver_wants_a_diode_or_resistor(
    relay: str, part: str, ends: tuple[str, ...], is_told: bool
) -> None:
    """A coil that a control unit switches, through a plug too, is told unless something takes its kick."""
    text = f'{MODULE}relays = [ {{ id = "K1", label = "Pump"{relay} }} ]\n{part}\n'
    found = findings(HEAD + text + wires(*MODULE_ENDS, *ends), FindingRule.NO_DIODE)
    assert [one.part_ids for one in found] == ([("K1", "A1")] if is_told else [])
    for one in found:
        assert one.gravity is Gravity.ASK
        assert "K1 (Pump) hangs on A1.p of A1 (Controller)" in one.sentence


SWITCHED = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" }, { id = "S2" } ]
"""
COIL = ("G1.+ F1.in", "F1.out S1.1", "S1.2 K1.86", "K1.85 S2.1", "S2.2 CHASSIS", "G1.- CHASSIS")
TURNED = ("G1.- F1.in", "F1.out S1.1", "S1.2 K1.86", "K1.85 S2.1", "S2.2 CHASSIS", "G1.+ CHASSIS")


@pytest.mark.parametrize(
    ("head", "ends", "cathode", "is_told"),
    [
        (HEAD, COIL, "86", False),
        (HEAD, COIL, "85", True),
        (POSITIVE_HEAD, TURNED, "86", True),
        (POSITIVE_HEAD, TURNED, "85", False),
    ],
)
def test_the_cathode_of_a_coil_diode_is_on_the_positive_side(
    head: str, ends: tuple[str, ...], cathode: str, is_told: bool
) -> None:
    """The fed side is the positive one with the negative post on the frame, else the grounded side is."""
    text = f'{SWITCHED}relays = [ {{ id = "K1", coil_diode = "{cathode}" }} ]\n'
    found = findings(head + text + wires(*ends), FindingRule.DIODE_REVERSED)
    assert [one.part_ids for one in found] == ([("K1",)] if is_told else [])
    for one in found:
        assert one.gravity is Gravity.DANGER
        assert one.points == (("K1.86", "K1.85") if head == HEAD else ("K1.85", "K1.86"))


@pytest.mark.parametrize(("anode", "is_told"), [("K1.85", False), ("K1.86", True)])
def test_a_diode_of_its_own_across_a_coil_is_held_to_the_same(anode: str, is_told: bool) -> None:
    """A diode wired across a coil shorts its feed where the anode is on the positive side."""
    cathode = "K1.86" if anode == "K1.85" else "K1.85"
    text = f'{SWITCHED}relays = [ {{ id = "K1" }} ]\ndiodes = [ {{ id = "V1" }} ]\n'
    ends = (*COIL, f"V1.anode {anode}", f"V1.cathode {cathode}")
    found = findings(HEAD + text + wires(*ends), FindingRule.DIODE_REVERSED)
    assert [one.part_ids for one in found] == ([("V1",)] if is_told else [])


def test_a_diode_on_a_coil_that_is_turned_round_is_not_judged() -> None:
    """A coil that a switch feeds either way round has no positive side that the file could tell."""
    text = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", terminals = ["P", "N", "A", "B"], positions = { mid = [], up = [["P", "A"], ["N", "B"]], down = [["P", "B"], ["N", "A"]] } } ]
relays = [ { id = "K1", coil_diode = "85" } ]
"""  # noqa: E501
    ends = ("G1.+ F1.in", "F1.out S1.P", "S1.N CHASSIS", "S1.A K1.86", "S1.B K1.85", "G1.- CHASSIS")
    assert findings(HEAD + text + wires(*ends), FindingRule.DIODE_REVERSED) == ()


def test_a_diode_in_line_with_a_load_is_no_short() -> None:
    """A diode from a feed on to a lamp leads to no grounded metal: nothing is told."""
    text = f'{SWITCHED}diodes = [ {{ id = "V1" }} ]\nloads = [ {{ id = "E1", kind = "lamp", watts = 5 }} ]\n'
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 V1.anode", "V1.cathode E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    assert findings(HEAD + text + wires(*ends), FindingRule.DIODE_REVERSED) == ()
