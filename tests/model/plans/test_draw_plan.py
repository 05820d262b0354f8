"""The plan of a draw with the key off: its rows, its clock, its verdicts in amperes, and where it says to look."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from functools import cache

import pytest

from model.circuit.faults import Fault, FaultKind
from model.circuit.settle import settle
from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.plans.draw_next import behind_words, guilty_fuse, look_next
from model.plans.draw_plan import draw_plan
from model.plans.draw_words import coarse_words
from model.plans.judging import Standing, Taken, judge
from model.plans.kept import Kept, kept_answers, measured_entry, not_before, row_now
from model.plans.plan import Measure, Plan, PlanKind, PlanRow
from model.plans.said_of_bad import suspects_words
from tests.model.plan_rows import BY, WHEN
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

HORN = """
fuses = [ { id = "F1", amps = 10, label = "Memory" }, { id = "F2", amps = 10, label = "Horn" } ]
relays = [ { id = "K1", label = "Horn relay" } ]
switches = [ { id = "S1" } ]
loads = [ { id = "E1", kind = "heater", ohms = 1200, label = "Clock" },
  { id = "P1", kind = "horn", amps = 4, label = "Horn" } ]
modules = [ { id = "A1", label = "Unit", feeds = [ { terminal = "30", amps = 0.05, asleep_amps = 0.002 } ],
  asleep_after_minutes = 20 } ]
""" + wires(
    "G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "F1.out A1.30", "A1.31 CHASSIS", "G1.+ F2.in", "F2.out K1.30",
    "K1.87 P1.+", "P1.- CHASSIS", "F2.out S1.1", "S1.2 K1.86", "K1.85 CHASSIS", "G1.- CHASSIS",
)  # fmt: skip


@cache
def horn() -> tuple[Harness, Plan]:
    """Give a clock and a unit behind F1, a horn with its relay behind F2, and the plan."""
    loom = rig(HORN.replace("\n  { id", " { id").replace("\n  asleep", " asleep"))
    return loom, draw_plan(loom)


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of a plan by its key."""
    return next(row for row in plan.rows if row.key == key)


def kept_of(plan: Plan, answers: Iterable[tuple[str, Taken, float]]) -> dict[str, Kept]:
    """Give the answers that count; each is a row's key, what was taken, and the minute."""
    return kept_answers(
        plan,
        [
            measured_entry(plan, row_of(plan, key), taken, when=WHEN + timedelta(minutes=minute), by=BY)
            for key, taken, minute in answers
        ],
    )


def read_across(loom: Harness, row: PlanRow, *faults: Fault) -> float:
    """Read the millivolts of a row as a meter shows them, a tenth the last digit, with faults in the circuit."""
    settled = settle(loom, replace(row.condition, faults=faults))
    red, black = (settled.net.index[point] for point in (row.red, row.black))
    return round(1000.0 * float(settled.volts[red] - settled.volts[black]), 1)


def all_read(loom: Harness, plan: Plan, *faults: Fault) -> dict[str, Kept]:
    """Read every fuse of a plan with faults in the circuit, an hour after the meter went in."""
    rows = [row for row in plan.rows if row.fuse is not None]
    return kept_of(plan, [(row.key, Taken(read_across(loom, row, *faults)), 60) for row in rows])


def test_the_rows_stand_in_the_order_of_the_work() -> None:
    """Posts, the meter in, awake, the wait, asleep, the fuses; woken again and the last draw at the end."""
    _, plan = horn()
    assert plan.kind is PlanKind.DRAW
    assert [row.key for row in plan.rows] == [
        "rest G1", "meter in G1", "draw awake G1", "wait G1", "draw asleep G1", "fuse F1", "fuse F2", "woken G1",
        "last draw G1",
    ]  # fmt: skip
    assert [row.measure for row in plan.rows[1:6]] == [
        Measure.SEEN, Measure.AMPS, Measure.SEEN, Measure.AMPS, Measure.MILLIVOLTS,
    ]  # fmt: skip


def test_what_is_expected_is_what_the_file_draws() -> None:
    """12.7 V over 1200 Ω and two feeds of 12 V, 50 and 2 mA, are 63.5 mA awake and 12.7 asleep: 0.1 mV across F1."""
    _, plan = horn()
    assert row_of(plan, "draw awake G1").expect == pytest.approx(0.0635, rel=0.01)
    assert row_of(plan, "draw asleep G1").expect == pytest.approx(0.0127, rel=0.01)
    assert row_of(plan, "fuse F1").expect == pytest.approx(12.7 * 0.0077, rel=0.01)
    assert row_of(plan, "fuse F2").expect == 0.0


def test_the_meter_goes_in_without_breaking_the_supply_and_the_cautions_stand_before() -> None:
    """Never crank first; jumper on, clamps off, meter between, jumper off, at the grounded post; gas is warned of."""
    _, plan = horn()
    row = row_of(plan, "meter in G1")
    said = " ".join(row.before)
    assert row.before[0].startswith("Never crank with the meter in")
    assert row.before[0].endswith("10 A: jumper on first.")
    order = ["Lay a jumper", "lift the clamps off", "put the meter between", "take the jumper off"]
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    assert "the battery's negative post" in said
    assert "latch" in said
    assert "10 A" in said
    assert any("gas of a battery" in words for words in row.cautions)
    assert any("ammeter goes in series" in words for words in row.cautions)


def test_a_clock_runs_from_the_answer_that_the_meter_is_in() -> None:
    """In at 18:03 by the record: the draw asleep is read not before 18:23, and the sentence says so."""
    _, plan = horn()
    kept = kept_of(plan, [("meter in G1", Taken(said=Standing.GOOD), 0)])
    row = row_of(plan, "draw asleep G1")
    assert not_before(row, kept) == WHEN.replace(microsecond=0) + timedelta(minutes=20)
    assert row_now(row, kept).before[0] == "Not before 18:23: the 20 min run since 18:03."
    assert row_now(row, {}) is row
    assert row_now(row_of(plan, "draw awake G1"), kept).before == row_of(plan, "draw awake G1").before


def test_after_midnight_the_clock_names_the_day() -> None:
    """In at 23:53: not before 00:13 on the next day."""
    _, plan = horn()
    kept = kept_of(plan, [("meter in G1", Taken(said=Standing.GOOD), 350)])
    assert row_now(row_of(plan, "wait G1"), kept).before[0].startswith("Not before 00:13 on 05 May:")


@pytest.mark.parametrize("said", [Standing.BAD, Standing.SKIPPED])
def test_no_clock_runs_where_the_meter_is_not_in(said: Standing) -> None:
    """What was skipped, or woke everything, starts none."""
    _, plan = horn()
    assert not_before(row_of(plan, "draw asleep G1"), kept_of(plan, [("meter in G1", Taken(said=said), 0)])) is None


@pytest.mark.parametrize(("minute", "standing"), [(5, Standing.UNPROVEN), (25, Standing.BAD)])
def test_too_much_read_too_early_proves_nothing(minute: float, standing: Standing) -> None:
    """120 mA 5 min after the meter went in may be a unit still awake; after 25 min they are too much."""
    _, plan = horn()
    kept = kept_of(plan, [("meter in G1", Taken(said=Standing.GOOD), 0), ("draw asleep G1", Taken(0.12), minute)])
    assert kept["draw asleep G1"].verdict.standing is standing
    assert ("not before 18:23" in kept["draw asleep G1"].verdict.why) is (standing is Standing.UNPROVEN)


def test_the_whole_draw_is_judged_by_the_makers_limit() -> None:
    """50 mA by Ford's manual: 49 mA are good, 51 bad, and the verdict names it."""
    _, plan = horn()
    row = row_of(plan, "draw asleep G1")
    assert judge(row, Taken(0.049)).standing is Standing.GOOD
    verdict = judge(row, Taken(0.051))
    assert verdict.standing is Standing.BAD
    assert "50 mA" in verdict.why
    assert "Ford" in verdict.why


def test_millivolts_are_told_in_milliamperes_with_their_band() -> None:
    """1 mV over 7.7 mΩ: about 130 mA, 104 to 173 by a quarter either way; 12.7 mA expected. It is bad."""
    _, plan = horn()
    verdict = judge(row_of(plan, "fuse F1"), Taken(1.0))
    assert verdict.standing is Standing.BAD
    assert "about 130 mA, between 104 mA and 173 mA, and 12.7 mA is expected" in verdict.why


def test_of_a_file_over_the_limit_no_fuse_is_judged_by_what_that_leaves() -> None:
    """1 A of 5 mA: nothing is left, so that a tenth of the limit, 0.5 mA, counts as more than the file lets expect."""
    loom = rig(
        'fuses = [ { id = "F1", amps = 10 } ]\nloads = [ { id = "E1", kind = "heater", ohms = 12 } ]\n'
        + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    )
    limit = row_of(draw_plan(loom), "fuse F1").limit
    assert limit is not None
    assert " of 5 mA in all, so that 10 % of these count: 0.5 mA beyond the " in limit.computed_from
    assert "leave" not in limit.computed_from


def test_a_fuse_may_carry_what_the_limit_leaves() -> None:
    """50 mA less 12.7 leave 37.3 mA: 0.385 mV on F1, 0.287 on F2, a quarter more and a digit."""
    _, plan = horn()
    highs = [row.limit.high for key in ("fuse F1", "fuse F2") if (row := row_of(plan, key)).limit is not None]
    assert highs == pytest.approx([0.385 * 1.25 + 0.1, 0.287 * 1.25 + 0.1], rel=0.01)
    assert judge(row_of(plan, "fuse F2"), Taken(0.4)).standing is Standing.GOOD
    assert judge(row_of(plan, "fuse F2"), Taken(0.5)).standing is Standing.BAD


def test_a_fuse_on_which_one_digit_is_too_much_says_so() -> None:
    """0.1 mV on 40 A, 1.44 mΩ, is 69 mA: zero there proves nothing, 1 mV is bad; (37.3 x 1.25 + 69) mA is the edge."""
    loom = rig(HORN.replace("\n  { id", " { id").replace("\n  asleep", " asleep").replace("amps = 10", "amps = 40"))
    row = row_of(draw_plan(loom), "fuse F2")
    assert not row.tells
    assert "69.4 mA" in row.blind
    assert coarse_words(row) == "too coarse below 116 mA"
    assert judge(row, Taken(0.0)).standing is Standing.UNPROVEN
    assert judge(row, Taken(1.0)).standing is Standing.BAD


def test_a_welded_relay_is_looked_for_behind_its_fuse() -> None:
    """K1 stuck lets 4.2 A through F2, some 32 mV: look there, at the relay first, and at nothing behind F1."""
    loom, plan = horn()
    kept = all_read(loom, plan, Fault("K1:30-87", FaultKind.STUCK))
    guilty = guilty_fuse(loom, plan, kept)
    assert guilty is not None
    assert guilty.fuse_id == "F2"
    assert guilty.amps == pytest.approx(4.2, rel=0.1)
    said = look_next(loom, plan, kept)
    assert said[0].startswith("F2 (Horn): 0 A expected, about 3.9")
    assert "K1 (Horn relay)" in said[1]
    (feel,) = (words for words in said if "welded" in words)
    assert "warm with the key off is a coil that is held on" in feel
    assert "Cold, but its load on" in feel
    assert any(words.startswith("A switch may be stuck on") and "S1" in words for words in said)
    bad = suspects_words(loom, plan, row_of(plan, "fuse F2"), kept["fuse F2"].taken)
    assert any("P1" in words for words in bad)


def test_a_sound_loom_sends_nowhere() -> None:
    """Every fuse as expected, nothing bad: no sentence, no fuse."""
    loom, plan = horn()
    kept = all_read(loom, plan)
    assert guilty_fuse(loom, plan, kept) is None
    assert look_next(loom, plan, kept) == ()
    assert look_next(loom, plan, {}) == ()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("site", "fuse"),
    [
        ("K1:30-87", "F10"), ("K2:30-87", "F11"), ("K3:30-87", "F13"), ("K5:30-87", "F16"), ("K6:30-87", "F5"),
        ("K7:30-87", "F23"), ("S2:30-58", "F15"), ("S17:1-case", "F18"), ("S7:30-49", "F17"),
    ],
)  # fmt: skip
def test_a_contact_stuck_in_the_buggy_is_found_by_its_fuse(site: str, fuse: str) -> None:
    """The solver's millivolts, to a tenth, name the fuse before the contact: not the main link, nor a bus behind it."""
    loom, plan = buggy()
    guilty = guilty_fuse(loom, plan, all_read(loom, plan, Fault(site, FaultKind.STUCK)))
    assert guilty is not None
    assert guilty.fuse_id == fuse


def test_fuses_that_should_be_dead_point_at_what_feeds_them() -> None:
    """With the ignition relay stuck the fuses of its bus carry current: they are named as fed, K1 as what feeds."""
    loom, plan = buggy()
    said = look_next(loom, plan, all_read(loom, plan, Fault("K1:30-87", FaultKind.STUCK)))
    assert any("F40" in words and "should be dead" in words for words in said)
    assert any("K1 (Ignition relay)" in words for words in said)


@cache
def buggy() -> tuple[Harness, Plan]:
    """Give the buggy and its plan."""
    loom = demo("trail_buggy")
    return loom, draw_plan(loom)


def test_too_much_in_all_and_nothing_on_a_fuse_leads_to_what_has_none() -> None:
    """300 mA asleep and every fuse at zero: the starter's solenoid, then the fuses on which a digit is too much."""
    loom, plan = buggy()
    answers = [(row.key, Taken(0.0), 60.0) for row in plan.rows if row.fuse is not None]
    kept = kept_of(plan, [("draw asleep G1", Taken(0.3), 60), *answers])
    said = " ".join(look_next(loom, plan, kept))
    assert "K12 (Starter solenoid)" in said
    assert "F3 (Alternator)" in said
    some = kept_of(plan, [("draw asleep G1", Taken(0.3), 60), *answers[:5]])
    assert "not read yet" in " ".join(look_next(loom, plan, some))
    bad = suspects_words(loom, plan, row_of(plan, "draw asleep G1"), Taken(0.3))
    assert "75 min" in bad[0]
    assert "F1 (Main link)" in bad[1]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_fuse_reads_what_its_row_expects_and_current_drawn_is_positive(name: str) -> None:
    """Probes as the row says: the sound circuit gives what is expected, a digit more or less, never a minus sign."""
    loom = demo(name)
    rows = [row for row in draw_plan(loom).rows if row.fuse is not None]
    assert len(rows) == len(loom.fuses)
    for row in rows:
        read = read_across(loom, row)
        assert read >= 0.0, row.key
        assert read == pytest.approx(row.expect or 0.0, abs=0.11), row.key


def test_on_positive_ground_the_draw_reads_positive_and_the_meter_sits_in_the_positive_lead() -> None:
    """Red stands on the load side there: a lamp left on reads plus."""
    loom = demo("field_tractor")
    plan = draw_plan(loom)
    assert "positive post" in " ".join(row_of(plan, "meter in G1").before)
    row = row_of(plan, "fuse F3")
    assert row.red == "F3.out"
    assert read_across(loom, row, Fault("S2:BT-T", FaultKind.STUCK)) > 1.0


def test_each_bank_of_two_is_measured_by_itself() -> None:
    """The launch has house and start batteries: a meter row and a last draw for each, and no wait where all is off."""
    plan = draw_plan(demo("harbour_launch"))
    keys = [row.key for row in plan.rows]
    assert [key for key in keys if key.startswith(("meter in", "draw", "last draw", "wait"))] == [
        "meter in G1", "draw G1", "meter in G3", "draw G3", "last draw G1", "last draw G3",
    ]  # fmt: skip


def test_the_fuses_of_a_place_stand_together() -> None:
    """In the order in which the file lists its places."""
    loom, plan = buggy()
    places = [row.place for row in plan.rows if row.fuse is not None]
    assert places == sorted(places, key=[one.name for one in loom.locations].index)


def test_an_airbag_fuse_is_left_out_and_said() -> None:
    """No probe goes there: its row is refused with the reason, and the unit behind it is left alone."""
    loom = rig(HORN.replace("\n  { id", " { id").replace("\n  asleep", ' hazard = "restraint", asleep'))
    plan = draw_plan(loom)
    touched = {point for row in plan.rows for point in row.points}
    assert not {point for point in touched if point.startswith("A1.")}
    said = behind_words(loom, loom.part_of("F1", Fuse))
    assert not any("A1" in words for words in said if "take apart" in words)
    assert any(words.startswith("A1 (Unit) stays as it is") for words in said)
    only = rig(
        'fuses = [ { id = "F1", amps = 10, hazard = "restraint", label = "Airbag" } ]\n'
        'loads = [ { id = "E1", kind = "heater", ohms = 1200 } ]\n'
        + wires("G1.+ F1.in", "F1.out E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    )
    refused = draw_plan(only)
    assert "fuse F1" not in [row.key for row in refused.rows]
    assert any("F1" in words for words in refused.left_out)


@pytest.mark.parametrize(
    "odd",
    [
        wires("G1.+ G1.-"),
        wires("G1.- CHASSIS").replace(" ]", ', { id = "W9", from = "G1.+" } ]'),
        'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
    ],
)
def test_next_to_nothing_has_a_plan_all_the_same(odd: str) -> None:
    """A battery alone, a loose wire, a lamp without a fuse: the meter goes in, and nothing breaks."""
    loom = rig(odd)
    plan = draw_plan(loom)
    assert [row.key for row in plan.rows][:3] == ["rest G1", "meter in G1", "draw G1"]
    assert look_next(loom, plan, kept_of(plan, [("draw G1", Taken(0.5), 0)]))


def test_no_meter_goes_into_the_lead_of_a_battery_of_high_voltage() -> None:
    """Not the posts, not the ammeter, not the last draw: it is left out, with why."""
    loom = rig(wires("G1.+ G1.-").replace("G1.-", "CHASSIS"), batteries='{ id = "G1", hazard = "high voltage" }')
    plan = draw_plan(loom)
    assert plan.rows == ()
    assert any(words.startswith("Draw of G1:") for words in plan.left_out)


def test_a_relay_that_buzzes_at_rest_is_named_and_nothing_breaks() -> None:
    """Its own contact feeds its coil over a break contact: the plan says that the circuit does not stand still."""
    loom = rig(
        'fuses = [ { id = "F1", amps = 10 } ]\nrelays = [ { id = "K1", contacts = "break" } ]\n'
        + wires("G1.+ F1.in", "F1.out K1.30", "K1.87a K1.86", "K1.85 CHASSIS", "G1.- CHASSIS")
    )
    plan = draw_plan(loom)
    assert any("K1" in words and "does not stand still" in words for words in plan.about)
    assert "fuse F1" in [row.key for row in plan.rows]


def test_where_more_flows_than_the_socket_bears_no_meter_goes_in_line() -> None:
    """12.7 V over 0.8 Ω are some 15 A with the key off, past the 10 A socket: a clamp alone."""
    loom = rig(
        'loads = [ { id = "E1", kind = "heater", ohms = 0.8 } ]\n' + wires("G1.+ E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    )
    said = " ".join(row_of(draw_plan(loom), "meter in G1").before)
    assert "put no meter in line" in said
    assert "clamp" in said
    assert "jumper" not in said
