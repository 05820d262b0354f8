"""Defects of the ground side: no way to ground, and grounds that too many share."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import HEAD, NO_BODY_HEAD, POSITIVE_HEAD, findings, wires

LAMP = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21, label = "Stop lamp" } ]
"""
FED = ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+")
POSITIVE_FED = ("G1.- F1.in", "F1.out S1.1", "S1.2 E1.-")


@pytest.mark.parametrize(
    ("head", "ends", "bad"),
    [
        (HEAD, (*FED, "E1.- CHASSIS", "G1.- CHASSIS"), None),
        (HEAD, (*FED, "G1.- CHASSIS"), "E1.-"),
        (HEAD, (*FED, "E1.- CHASSIS"), "E1.-"),
        (HEAD, (*FED, "E1.- F1.out", "G1.- CHASSIS"), "E1.-"),
        (POSITIVE_HEAD, (*POSITIVE_FED, "E1.+ CHASSIS", "G1.+ CHASSIS"), None),
        (POSITIVE_HEAD, (*POSITIVE_FED, "G1.+ CHASSIS"), "E1.+"),
        (NO_BODY_HEAD, (*FED, "E1.- G1.-"), None),
        (NO_BODY_HEAD, FED, "E1.-"),
    ],
)
def test_what_nothing_joins_to_ground_is_told_once(head: str, ends: tuple[str, ...], bad: str | None) -> None:
    """A fed lamp whose other end no wire brings to the grounded post does not work, whatever the ground side is."""
    found = findings(head + LAMP + wires(*ends), FindingRule.NO_GROUND)
    assert [finding.points for finding in found] == ([(bad,)] if bad else [])
    for finding in found:
        assert finding.gravity is Gravity.FAILS
        assert finding.part_ids == ("E1",)
        assert "E1 (Stop lamp)" in finding.sentence


@pytest.mark.parametrize(("grounded", "count"), [(True, 0), (False, 1)])
def test_a_coil_without_ground_is_told(grounded: bool, count: int) -> None:
    """A relay's coil that a switch feeds and that no wire grounds never pulls in."""
    relay = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1" } ]
relays = [ { id = "K1" } ]
"""
    ends = ["G1.+ F1.in", "F1.out S1.1", "S1.2 K1.86", "G1.- CHASSIS", *(["K1.85 CHASSIS"] if grounded else [])]
    assert len(findings(HEAD + relay + wires(*ends), FindingRule.NO_GROUND)) == count


def test_a_motor_that_turns_both_ways_has_its_ground_through_the_switch() -> None:
    """Both ends of a reversed motor hang on feed in one position and on ground in the other: it is grounded."""
    text = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", terminals = ["P", "N", "A", "B"], positions = { mid = [], up = [["P", "A"], ["N", "B"]],
  down = [["P", "B"], ["N", "A"]] } } ]
loads = [ { id = "M1", kind = "motor", amps = 5 } ]
""".replace(",\n  down", ", down")
    ends = ("G1.+ F1.in", "F1.out S1.P", "S1.N CHASSIS", "S1.A M1.+", "S1.B M1.-", "G1.- CHASSIS")
    assert findings(HEAD + text + wires(*ends), FindingRule.NO_GROUND) == ()


def test_a_lamp_grounded_through_another_lamp_that_lights_is_no_finding() -> None:
    """A pilot of 1.2 W in series with a lamp of 21 W has nearly all the volts: its ground is the big filament."""
    text = """
fuses = [ { id = "F1", amps = 10 } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 1.2 } ]
"""
    ends = ("G1.+ F1.in", "F1.out E2.+", "E2.- E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends), FindingRule.NO_GROUND)
    assert all("E2" not in finding.part_ids for finding in found)


def test_what_is_fed_at_both_ends_is_not_grounded_by_a_switch_beside_it() -> None:
    """A lamp with both ends on the feed of a reversing switch: the switch has a ground, its feed has none."""
    text = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", terminals = ["P", "N", "A", "B"], positions = { mid = [], up = [["P", "A"], ["N", "B"]],
  down = [["P", "B"], ["N", "A"]] } } ]
loads = [ { id = "M1", kind = "motor", amps = 5 }, { id = "E1", kind = "lamp", watts = 5 } ]
""".replace(",\n  down", ", down")
    ends = ("G1.+ F1.in", "F1.out S1.P", "S1.N CHASSIS", "S1.A M1.+", "S1.B M1.-", "G1.- CHASSIS", "F1.out E1.+",
            "E1.- S1.P")  # fmt: skip
    found = findings(HEAD + text + wires(*ends), FindingRule.NO_GROUND)
    assert [finding.points for finding in found] == [("E1.-",)]
