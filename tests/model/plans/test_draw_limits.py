"""The limits of a draw where the file itself uses them up, and the switches that hang first behind a fuse."""

from __future__ import annotations

from functools import cache

import pytest

from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.plans.draw_next import behind_words, excesses
from model.plans.draw_plan import draw_plan
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import Plan
from tests.model.plans.test_draw_plan import kept_of, row_of
from tests.model.tracing.rigs import demo, rig, wires


@cache
def cooler() -> tuple[Harness, Plan]:
    """Give a cooler of 5 A that nothing switches off, behind F1, and a radio of 5 mA behind F2, and the plan."""
    loom = rig(
        'fuses = [ { id = "F1", amps = 15 }, { id = "F2", amps = 5 } ]\n'
        'loads = [ { id = "M1", kind = "heater", amps = 5 } ]\n'
        'modules = [ { id = "A1", feeds = [ { terminal = "30", amps = 0.005 } ] } ]\n'
        + wires(
            "G1.+ F1.in", "F1.out M1.+", "M1.- CHASSIS", "G1.+ F2.in", "F2.out A1.30", "A1.31 CHASSIS", "G1.- CHASSIS"
        )
    )
    return loom, draw_plan(loom)


@pytest.mark.parametrize(("millivolts", "standing"), [(27.0, Standing.UNPROVEN), (38.0, Standing.BAD)])
def test_what_lies_within_the_band_of_a_fuse_is_not_bad(millivolts: float, standing: Standing) -> None:
    """5.3 A over 4.8 mΩ are 26 mV: within a quarter nothing is told of them, half as much again is too much."""
    assert judge(row_of(cooler()[1], "fuse F1"), Taken(millivolts)).standing is standing


def test_a_place_is_not_held_to_less_than_the_whole_draw() -> None:
    """The cooler uses the limit up: 22 mA on the radio's fuse, 0.4 mV over 17.9 mΩ, are within 50 mA all the same."""
    row = row_of(cooler()[1], "fuse F2")
    assert judge(row, Taken(0.4)).standing is Standing.GOOD
    assert judge(row, Taken(1.5)).standing is Standing.BAD
    assert row.limit is not None
    assert row.limit.computed_from.startswith("50 mA of the whole draw")


def test_what_lies_within_the_band_sends_nowhere() -> None:
    """27 mV where 26 are expected is no excess; 38 mV is."""
    _, plan = cooler()
    assert excesses(plan, kept_of(plan, [("fuse F1", Taken(27.0), 60)])) == ()
    (one,) = excesses(plan, kept_of(plan, [("fuse F1", Taken(38.0), 60)]))
    assert one.fuse_id == "F1"


def test_the_key_switch_is_named_behind_its_fuse() -> None:
    """S1 of the buggy hangs first behind F12, and comes before the gear selector."""
    loom = demo("trail_buggy")
    (said,) = (words for words in behind_words(loom, loom.part_of("F12", Fuse)) if words.startswith("A switch"))
    assert said.index("S1 (Key switch)") < said.index("S21")
