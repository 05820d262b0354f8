"""Loads that are fed in another key state than the file asks for."""

from __future__ import annotations

import pytest

from model.review.finding import FindingRule, Gravity
from tests.model.review.looms import findings, wires

HEAD = """
format = 1
build = { name = "Bench", nominal_volts = 12 }
key_states = [ { name = "off" }, { name = "acc" }, { name = "on" }, { name = "crank" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", key = true, terminals = ["30", "75", "15", "50"], positions = { off = [], acc = [["30", "75"]], on = [["30", "75", "15"]], crank = [["30", "15", "50"]] } } ]
"""  # noqa: E501


@pytest.mark.parametrize(
    ("terminal", "works_in", "told"),
    [
        ("75", '["acc", "on"]', []),
        ("15", '["on", "crank"]', []),
        ("30", '["on", "crank"]', [("Fed, and not asked to work, in key states off and acc", Gravity.WEARS)]),
        ("75", '["on"]', [("Fed, and not asked to work, in key state acc", Gravity.WEARS)]),
        ("15", '["acc", "on", "crank"]', [("Asked to work and not fed in key state acc", Gravity.FAILS)]),
        (
            "75",
            '["acc", "on", "crank"]',
            [("Asked to work and not fed while the starter turns, in key state crank", Gravity.FAILS)],
        ),
        ("15", '["on"]', [("Fed, and not asked to work while the starter turns, in key state crank", Gravity.ASK)]),
    ],
)
def test_a_feed_from_the_wrong_terminal_of_the_key_is_told(
    terminal: str, works_in: str, told: list[tuple[str, Gravity]]
) -> None:
    """30 is fed in every state, 75 in acc and on, 15 in on and crank; what the file asks otherwise is told."""
    text = f'loads = [ {{ id = "E1", kind = "lamp", watts = 5, works_in = {works_in} }} ]\n'
    ends = ("G1.+ F1.in", "F1.out S1.30", f"S1.{terminal} E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends), FindingRule.WRONG_STATE)
    assert [(one.sentence.partition(":")[0], one.gravity) for one in found] == told
    for one in found:
        assert one.part_ids == ("E1",)
        assert one.points == ("E1.+",)


def test_what_strays_to_a_load_is_left_to_the_finding_of_that() -> None:
    """A charge lamp that lights backwards from what it feeds is told as fed with its switch off, not as badly fed."""
    text = """
loads = [ { id = "E1", kind = "lamp", watts = 3, works_in = ["on", "crank"] },
  { id = "E2", kind = "heater", amps = 3, works_in = ["on", "crank"] } ]
""".replace(",\n", ", ")
    ends = ("G1.+ F1.in", "F1.out S1.30", "S1.15 E2.+", "E2.- CHASSIS", "E1.+ S1.15", "E1.- S1.75", "G1.- CHASSIS")
    found = findings(HEAD + text + wires(*ends))
    assert FindingRule.BACKFEED in {one.rule for one in found}
    assert not [one for one in found if one.rule is FindingRule.WRONG_STATE and "acc" in one.sentence]
