"""A plan as a sheet: what stands in its rows, cautions before them, sources once, answers of the record."""

from __future__ import annotations

import math
from dataclasses import replace

from model.caution_words import GENERAL_CAUTIONS
from model.circuit.condition import Condition
from model.plans.judging import Standing
from model.plans.plan import Measure, PlanKind
from model.sheets.plan_meter import meter_words, setting_sentences, volts_range
from model.sheets.plan_notes import limit_notes, rows_words
from model.sheets.plan_points import covers_words, place_of_row
from model.sheets.plan_sheet import STATES, TITLES, plan_sheet
from model.sheets.plan_states import shared_settings, shared_words, words_beyond
from tests.model.plan_rows import FAN, FUEL, PRACTICE, ROWS, small_harness, small_plan, some_answers
from tests.model.tracing.rigs import rig, wires


def test_every_plan_and_every_state_has_its_words() -> None:
    """None is without a title."""
    assert set(TITLES) == set(PlanKind)
    assert small_plan().state in STATES


def test_a_row_says_where_the_probes_go_and_what_to_expect() -> None:
    """Points by label and wire, place, meter, expectation, limit and the number of its source."""
    row = plan_sheet(small_harness(), small_plan()).rows[0]
    assert row.red.startswith("F1, load side")
    assert row.black.startswith("M1 (Fuel pump) terminal +, wire side")
    assert row.place == "fuse box → tank"
    assert row.meter == "ohms, lowest range"
    assert (row.expect, row.limit, row.note) == ("0.24 Ω", "at most 0.45 Ω", 1)


def test_a_wire_is_not_told_twice() -> None:
    """Neither what it proves nor its colour and size where the title names them; a place not where the head does."""
    harness, plan = small_harness(), small_plan()
    rows = plan_sheet(harness, plan).rows
    assert rows[0].covers == ""
    assert rows[1].covers == "motor M1 (Fuel pump)"
    assert rows[0].red.endswith(", colour not given 1.5")
    told = small_plan((replace(ROWS[0], title="W2 colour not given 1.5: F1.out to M1.+"),))
    assert plan_sheet(harness, told).rows[0].red == "F1, load side"
    assert place_of_row(replace(ROWS[1], group="fuse box, by the battery")) == ""


def test_many_points_are_named_by_their_ids() -> None:
    """Of four neighbours the bare points, of the black one all there is to say."""
    row = plan_sheet(small_harness(), small_plan()).rows[2]
    assert row.red == "in turn each of F2.out, P1.-, M1.-, G1.+"
    assert row.black.startswith("F1, load side")
    assert row.meter == "ohms, auto or highest range"


def test_ohms_are_read_at_the_cable_that_was_taken_off_the_post() -> None:
    """The clamps are off then; millivolts are read at the post itself."""
    harness, plan = small_harness(), small_plan((replace(ROWS[0], red="G1.+"), ROWS[3]))
    first, second = plan_sheet(harness, plan).rows
    assert first.red == "the cable end taken off the battery's positive post"
    assert second.black == "the battery's negative post"


def test_a_caution_stands_before_the_first_row_of_those_it_holds_for() -> None:
    """With their numbers; one that holds for every row stands above all of them, before the general ones."""
    sheet = plan_sheet(small_harness(), small_plan())
    assert sheet.rows[0].cautions == (("rows 1 to 3", FUEL),)
    assert sheet.rows[1].cautions == (("", FAN),)
    assert [row.cautions for row in sheet.rows[2:]] == [()] * 4
    assert sheet.cautions == ("Rings and watch off.", *(one.text for one in GENERAL_CAUTIONS))
    shared = plan_sheet(small_harness(), small_plan(ROWS[:3]))
    assert shared.cautions[:2] == (FUEL, "Rings and watch off.")
    assert shared.rows[0].cautions == ()


def test_a_caution_is_said_again_after_a_row_without_it_and_in_the_next_group() -> None:
    """It never stands further up than the gap."""
    rows = (
        ROWS[0],
        replace(ROWS[1], cautions=()),
        replace(ROWS[2], cautions=(FUEL,)),
        replace(ROWS[3], cautions=(FUEL,)),
    )
    said = [row.cautions for row in plan_sheet(small_harness(), small_plan(rows)).rows]
    assert said == [(("", FUEL),), (), (("", FUEL),), (("", FUEL),)]


def test_what_is_to_be_done_first_is_said_once_while_it_stays_the_same() -> None:
    """The next row names the row that says it."""
    rows = plan_sheet(small_harness(), small_plan()).rows
    assert (rows[0].before, rows[0].as_before) == (("Pull F1.",), 0)
    assert (rows[1].before, rows[1].as_before) == ((), 1)
    assert (rows[2].before, rows[2].as_before) == ((), 0)


def test_a_row_that_cannot_fail_says_why_and_what_to_take_apart() -> None:
    """In words; one that sees not all says what it does not see."""
    rows = plan_sheet(small_harness(), small_plan()).rows
    assert rows[1].remark == "Cannot fail as it stands: P1 stands beside it. Take apart first: horn P1."
    assert rows[4].remark == "Does not see: its speed"


def test_sources_are_listed_once_with_what_was_computed_from_them() -> None:
    """Rows 1 and 2 share a source and a computation, row 3 has neither."""
    notes, of_rows = limit_notes(ROWS)
    assert of_rows == (1, 1, 2, 3, 0, 1)
    assert [note.number for note in notes] == [1, 2, 3]
    assert notes[0].words == "Computed, a judgement"
    assert notes[0].computed == (("rows 1, 2", "1.2 m of 1.5 mm², two crimps"),)
    assert notes[1].words == "Common practice"
    assert notes[2].words == "AC 43.13-1B 11-188"


def test_rows_are_named_by_their_runs() -> None:
    """Whatever their order."""
    assert rows_words([3]) == "row 3"
    assert rows_words([9, 3, 4, 5]) == "rows 3 to 5, 9"


def test_what_was_left_out_is_never_counted() -> None:
    """Six rows, one of which cannot fail; neither list adds to them."""
    sheet = plan_sheet(small_harness(), small_plan())
    assert sheet.counted == "6 rows: 6 open; 1 row cannot fail as it stands"
    assert len(sheet.left_out) == len(sheet.undetected) == 1


def test_answers_of_the_record_stand_in_their_rows() -> None:
    """The last of a row counts; one taken back is open again; a row that cannot fail stays unproven."""
    plan = small_plan()
    sheet = plan_sheet(small_harness(), plan, some_answers(plan))
    rows = sheet.rows
    assert [row.standing for row in rows] == [
        Standing.GOOD,
        Standing.UNPROVEN,
        Standing.GOOD,
        Standing.BAD,
        Standing.SKIPPED,
        Standing.OPEN,
    ]
    first = rows[0].answered
    assert first is not None
    assert (first.read, first.when, first.who) == ("0.31 Ω", "2026-05-04 18:04", "Änne")
    assert "at most 0.45 Ω" in first.why
    bad = rows[3].answered
    assert bad is not None
    assert bad.read == "24 mV at 4.6 A"
    assert sheet.counted.startswith("6 rows: 2 good, 1 bad, 1 unproven, 1 skipped, 1 open")


def test_the_meter_is_set_for_what_is_used() -> None:
    """Each kind once; 10 A socket and lead back for amperes, zeroed leads for ohms."""
    harness, plan = small_harness(), small_plan()
    said = " ".join(setting_sentences(harness, plan))
    assert "lowest range, leads zeroed" in said
    assert "10 A socket" in said
    assert "move the lead back" in said
    assert "across the lamp" not in said
    assert meter_words(harness, ROWS[3]) == "DC mV at 5 A"
    assert [meter_words(harness, replace(ROWS[0], measure=one)) != "" for one in Measure].count(False) == 1


def test_a_row_that_should_be_open_is_not_read_in_the_lowest_range() -> None:
    """Nor one that must have 10 kΩ: a meter of 2000 counts shows all above 200 Ω there as open."""
    harness = small_harness()
    most = replace(ROWS[0], limit=replace(PRACTICE, low=1e4))
    assert meter_words(harness, most) == "ohms, auto or highest range"
    assert meter_words(harness, replace(most, expect=math.inf, limit=None)) == "ohms, auto or highest range"
    assert meter_words(harness, replace(most, expect=2.0, limit=replace(PRACTICE, low=1.5))) == "ohms, lowest range"
    assert len(setting_sentences(harness, small_plan((ROWS[0], most)))) == 2
    assert len(setting_sentences(harness, small_plan((most,)))) == 1


def test_no_more_than_ten_amperes_go_through_the_socket() -> None:
    """A winch of 130 A is read with a clamp; 6 A of at most 7 either way."""
    harness = small_harness()
    assert meter_words(harness, ROWS[5]) == "DC A, a clamp or the 10 A socket"
    assert meter_words(harness, replace(ROWS[5], expect=130.0)) == "DC A, a clamp: more than 10 A"
    assert meter_words(harness, replace(ROWS[5], expect=None, limit=replace(PRACTICE, high=11.0))).endswith("than 10 A")


def test_the_range_of_volts_covers_a_charging_vehicle() -> None:
    """A quarter above nominal: 15 V of 12 fit 20 V, 30 V of 24 do not."""
    assert volts_range(small_harness()) == 20
    double = rig(wires("G1.- CHASSIS"), build="nominal_volts = 24")
    assert volts_range(double) == 200


def test_settings_that_all_rows_share_are_said_once() -> None:
    """And not again in a row; the key not where it is always the same."""
    off = Condition("on", (("F1", "out"),))
    rows = (replace(ROWS[0], condition=off), replace(ROWS[1], condition=off.with_setting("P1", "out")))
    plan = replace(small_plan(rows), state=None)
    harness = small_harness()
    shared = shared_settings(harness, plan)
    assert shared == {("F1", "out")}
    assert "fuse F1 out" in shared_words(harness, plan)
    assert words_beyond(harness, rows[0], shared, has_own_key=False) == ""
    assert words_beyond(harness, rows[1], shared, has_own_key=False) == "P1 unplugged"


def test_many_settings_alike_are_said_in_one_phrase() -> None:
    """Five fuses out of five, and but for one."""
    fuses = [f"F{number}" for number in range(1, 6)]
    table = ", ".join(f'{{ id = "{fuse}", amps = 5 }}' for fuse in fuses)
    harness = rig(f"fuses = [ {table} ]\n" + wires(*(f"G1.+ {fuse}.in" for fuse in fuses)))
    every = Condition("on", tuple((fuse, "out") for fuse in fuses))
    row = replace(ROWS[0], condition=every)
    assert words_beyond(harness, row, frozenset(), has_own_key=False) == "every fuse out"
    but = replace(ROWS[1], condition=Condition("on", tuple((fuse, "out") for fuse in fuses if fuse != "F3")))
    assert words_beyond(harness, but, frozenset(), has_own_key=False) == "every fuse out but F3"
    assert shared_settings(harness, small_plan((row, but))) == frozenset()


def test_of_many_settings_the_shorter_list_is_told() -> None:
    """Of twelve fuses those five that are in, or those four that are out."""
    fuses = [f"F{number}" for number in range(1, 13)]
    table = ", ".join(f'{{ id = "{fuse}", amps = 5 }}' for fuse in fuses)
    harness = rig(f"fuses = [ {table} ]\n" + wires(*(f"G1.+ {fuse}.in" for fuse in fuses)))

    def said(out: list[str]) -> str:
        row = replace(ROWS[0], condition=Condition("on", tuple((fuse, "out") for fuse in out)))
        return words_beyond(harness, row, frozenset(), has_own_key=False)

    assert said(fuses[5:]) == "every fuse out but F1, F2, F3, F4 and F5"
    assert said(fuses[:4]) == "fuses F1, F2, F3, F4 out"


def test_what_a_row_proves_is_named_by_ids_where_it_is_much() -> None:
    """Up to three things by what they are, more by their ids, at most eight of them."""
    harness = small_harness()
    few = replace(ROWS[0], title="the pump", covers=("W1", "F1", "M1"))
    assert covers_words(harness, few) == "W1 colour not given 1.5, fuse F1, motor M1 (Fuel pump)"
    many = replace(few, covers=("W1", "F1", "W2", "M1", "W3", "W4", "F2", "W5", "P1"))
    assert covers_words(harness, many) == "W1, F1, W2, M1, W3, W4, F2, W5 and 1 more"


def test_a_row_that_is_bad_by_its_file_says_so_beside_its_limit() -> None:
    """20 mV at 5 A by the file and 12.5 mV allowed: on paper too nobody is left with a contradiction."""
    plan = small_plan((replace(ROWS[3], expect=20.0), ROWS[3]))
    over, within = plan_sheet(small_harness(), plan).rows
    assert over.limit == "at most 12 mV, over that already by the file"
    assert within.limit == "at most 12 mV"
