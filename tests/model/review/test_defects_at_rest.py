"""Loads of many amperes that work with the key off."""

from __future__ import annotations

import pytest

from model.review.defects.at_rest import heavy_loads_at_rest
from model.review.finding import FindingRule, Gravity
from model.review.heavy_loads import has_heavy_load
from tests.model.review.looms import HEAD, findings, loom, wires

DIRECT = wires("G1.+ M1.+", "M1.- CHASSIS", "G1.- CHASSIS", more="size = 25, length = 1")
SWITCHED = 'switches = [ { id = "S1" } ]\n' + wires("G1.+ S1.1", "S1.2 M1.+", "M1.- CHASSIS", "G1.- CHASSIS")


def winch(amps: float, more: str = "") -> str:
    """Give a winch of so many amperes."""
    return f'loads = [ {{ id = "M1", kind = "motor", label = "Winch", amps = {amps}{more} }} ]\n'


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (winch(150) + DIRECT, True),
        (winch(22) + DIRECT, True),
        (winch(15) + DIRECT, False),
        (winch(150) + SWITCHED, False),
        (winch(150, ', works_in = ["off", "on"]') + DIRECT, False),
        (winch(150, ', works_in = ["on"]') + DIRECT, True),
    ],
)
def test_a_heavy_load_that_nothing_turns_off_can_burn(text: str, *, told: bool) -> None:
    """Over 20 A at rest is told, unless a switch stands before it or the file asks for it there.

    12.7 V behind 8 mΩ and some of wire give a little more than the rated 22 A, and 16 A where 15 A are rated.
    """
    found = findings(HEAD + text, FindingRule.HEAVY_AT_REST)
    assert [(one.gravity, one.part_ids, one.points) for one in found] == (
        [(Gravity.DANGER, ("M1",), ("M1.+",))] if told else []
    )
    assert [one.sentence for one in heavy_loads_at_rest(loom(HEAD + text))] == [one.sentence for one in found]
    assert has_heavy_load(loom(HEAD + text)) or not told


def test_it_is_the_first_of_what_can_burn() -> None:
    """What takes its amperes as soon as the battery is on stands before what burns when something fails."""
    text = winch(150) + DIRECT
    grave = [one for one in findings(HEAD + text) if one.gravity is Gravity.DANGER]
    assert len(grave) > 1
    assert grave[0].rule is FindingRule.HEAVY_AT_REST
    assert grave[0].value is not None
    assert grave[0].value > 100
    assert "M1 (Winch) works with everything at rest" in grave[0].sentence
