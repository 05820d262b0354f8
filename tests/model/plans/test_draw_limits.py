"""A draw by its limits and readings: the band of fuses, what hangs behind one, what was read of the whole."""

from __future__ import annotations

from functools import cache

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.plans.draw_next import STOP_WORDS, behind_words, excesses, look_next
from model.plans.draw_plan import draw_plan
from model.plans.draw_read import read_words
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import Plan
from model.plans.said_of_bad import suspects_words
from model.plans.to_trace import NoTrace, trace_of_row
from model.review.draw import draw_review
from model.sheets.draw_sheet import draw_sheet
from tests.model.plans.test_draw_plan import horn, kept_of, row_of
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


def test_where_the_whole_is_good_the_search_may_stop() -> None:
    """30 mA of 50 read asleep, no fuse odd: that is all there is to say; read as too much later, it is not said."""
    loom, plan = horn()
    good = kept_of(plan, [("draw asleep G1", Taken(0.03), 60)])
    assert look_next(loom, plan, good) == (STOP_WORDS,)
    later = kept_of(plan, [("draw asleep G1", Taken(0.03), 60), ("last draw G1", Taken(0.2), 90)])
    assert STOP_WORDS not in look_next(loom, plan, later)
    bad = kept_of(plan, [("draw asleep G1", Taken(0.03), 60), ("fuse F2", Taken(3.0), 70)])
    assert STOP_WORDS not in look_next(loom, plan, bad)
    odd = kept_of(plan, [("draw asleep G1", Taken(0.03), 60), ("fuse F2", Taken(0.2), 70)])
    assert look_next(loom, plan, odd)[:1] == (STOP_WORDS,)


def test_what_was_read_is_told_with_the_days_at_that() -> None:
    """60 Ah, half of it usable, at 22 mA and 4.1 of its own loss: 1,149 h, 48 days, on the day of the reading."""
    loom, plan = horn()
    review = draw_review(Bench(loom))
    (said,) = read_words(loom, review, plan, kept_of(plan, [("draw asleep G1", Taken(0.022), 60)]))
    assert said == "G1: 22 mA read on 04 May 2026 19:03, within its limit: from full 48 days at that."
    assert read_words(loom, review, plan, {}) == ()


def test_a_trace_from_a_fuse_names_what_hangs_behind_it() -> None:
    """No load fails by it: the relay and the horn are named instead."""
    loom, plan = horn()
    found = trace_of_row(Bench(loom), lambda one: pytest.fail(one.name), row_of(plan, "fuse F2"), Taken(30.0))
    assert isinstance(found, NoTrace)
    assert "K1 (Horn relay)" in found.why
    assert "S1" in found.why


def test_a_fuse_said_to_be_bad_names_what_hangs_behind_it_too() -> None:
    """Without millivolts the branch is the same."""
    loom, plan = horn()
    said = suspects_words(loom, plan, row_of(plan, "fuse F2"), Taken(said=Standing.BAD))
    assert said[0].startswith("Behind F2 (Horn) hang S1, K1 (Horn relay)")


@pytest.mark.parametrize(("role", "is_said"), [("Starter motor", True), ("Heater fan", False)])
def test_only_a_battery_with_a_starter_behind_it_may_not_start_the_engine(role: str, is_said: bool) -> None:
    """A leisure battery runs flat: nothing is said of an engine that it does not start."""
    loom = rig(
        'switches = [ { id = "S1" } ]\n'
        f'loads = [ {{ id = "M1", kind = "motor", amps = 100, label = "{role}" }} ]\n'
        + wires("G1.+ S1.1", "S1.2 M1.+", "M1.- CHASSIS", "G1.- CHASSIS")
    )
    sheet = draw_sheet(loom, draw_review(Bench(loom)))
    assert ("start the engine" in " ".join(sheet.sections[0].items)) is is_said
