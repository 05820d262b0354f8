"""The step of a row of a plan in words: its own before what holds for all, and where each probe goes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from model.harness.toml_file import read_harness, read_harness_text
from model.plans.crank_and_charge import crank_and_charge_plan
from model.plans.plan import Limit, Measure
from model.sheets.plan_points import black_words, clamp_words, others_by_place, touched
from model.tables import SourceKind
from tests.model.plan_rows import ROWS, small_harness, small_plan
from tests.tui.planned import RIG
from tui.plan_step import ask_words, plan_step, step_in_full

NONE: frozenset[tuple[str, str]] = frozenset()


def test_the_row_stands_before_what_holds_for_every_row() -> None:
    """Points that it is held against first, its caution, what to do; the cautions of the plan last."""
    row = replace(ROWS[2], before=("Pull F1.",))
    told = step_in_full(small_harness(), small_plan((row,)), row, NONE)
    assert told[0].startswith("In turn at ")
    assert told[0].endswith(
        "F2, load side; P1 terminal -, wire side; M1 (Fuel pump) terminal -, wire side; the battery's positive post."
    )
    assert told[1:3] == ["Caution: Fuel: no flame, no spark.", "Before it: Pull F1."]
    assert told[-1] == "Caution: Rings and watch off."


def test_many_points_are_grouped_by_place() -> None:
    """F2 in the fuse box, the pump at the tank, what has no place together."""
    harness = read_harness_text(RIG, "rig")
    assert others_by_place(harness, ROWS[2]) == [
        "fuse box: F2, load side",
        "place not given: P1 terminal -, wire side; the battery's positive post",
        "tank: M1 (Fuel pump) terminal -, wire side",
    ]


def test_a_fuse_is_touched_on_a_side() -> None:
    """In is the supply side and out the load side: F1 out would read as F1 pulled."""
    harness = read_harness_text(RIG.replace('"F1", amps = 15', '"F1", amps = 15, label = "Main link"'), "rig")
    assert touched(harness, "F1.in") == "F1 (Main link), supply side"
    assert touched(harness, "F1.out") == "F1 (Main link), load side"
    assert touched(harness, "M1.+") == "M1 (Fuel pump) terminal +, wire side"


def test_the_lamp_and_the_clamp_say_where_they_go() -> None:
    """Black of a row of the lamp lies beyond it; of amperes the clamp goes round a wire of the fuse."""
    harness = small_harness()
    assert (
        black_words(harness, replace(ROWS[3], measure=Measure.LAMP, black="")) == "the cable's clamp, beyond the lamp"
    )
    assert clamp_words(harness, replace(ROWS[5], covers=("F1",))) == "the clamp on it: one wire of fuse F1"
    assert dict(plan_step(harness, small_plan(), ROWS[5], NONE).lines)["clamp"] == "the clamp on it"


def test_what_a_row_that_can_fail_does_not_see_stands_in_its_step() -> None:
    """The pump that runs says nothing of its speed."""
    assert dict(plan_step(small_harness(), small_plan(), ROWS[4], NONE).lines)["unseen"] == "does not see: its speed"


def test_post_is_read_against_the_clamp_on_it() -> None:
    """The clamp is no point of the file: both probes are named all the same, on the screen and on paper."""
    buggy = read_harness(Path(__file__).parents[2] / "demo_builds" / "trail_buggy.toml")
    rows = [row for row in crank_and_charge_plan(buggy).rows if row.key.startswith("clamp ")]
    assert len(rows) == 2
    assert all(black_words(buggy, row) == "the clamp on it" for row in rows)


def test_nothing_is_proven_in_words_where_the_title_says_it_all() -> None:
    """A fuse named in its title is all that its row covers: no empty sentence."""
    row = replace(ROWS[5], title="F1, seated", covers=("F1",))
    told = step_in_full(small_harness(), small_plan((row,)), row, NONE)
    assert not any(words.startswith("It proves") for words in told)
    with_wire = replace(row, covers=("W1",))
    assert any(
        words.startswith("It proves: W1") for words in step_in_full(small_harness(), small_plan(), with_wire, NONE)
    )


def test_a_row_that_is_bad_by_its_file_says_so_in_its_step() -> None:
    """20 mV at 5 A by the file, 12.5 mV allowed: not "expect 20 mV, good at most 12.5 mV", the short form neither."""
    row = replace(ROWS[3], expect=20.0)
    step = plan_step(small_harness(), small_plan((row,)), row, NONE)
    assert dict(step.lines)["expect"] == "20 mV by the file, already over the limit of 12 mV (AC 43.13-1B 11-188)"
    assert dict(step.brief)["expect"] == "20 mV by the file, over the limit of 12 mV"


def test_a_lamp_that_is_to_stay_dark_is_read_in_millivolts() -> None:
    """The meter and what is to be typed go together: DC mV, with the unit; a lamp that lights is read in volts."""
    dark = replace(ROWS[3], measure=Measure.LAMP, limit=Limit(None, 0.0029, "", SourceKind.JUDGEMENT))
    lit = replace(dark, limit=Limit(3.3, 4.4, "", SourceKind.JUDGEMENT))
    harness = small_harness()
    assert dict(plan_step(harness, small_plan((dark,)), dark, NONE).lines)["with"] == "DC mV, across the lamp"
    assert "as 1.3 mV" in ask_words(dark)
    assert "20 V" in dict(plan_step(harness, small_plan((lit,)), lit, NONE).lines)["with"]
    assert ask_words(lit).startswith("Type volts across the lamp;")
