"""The step of a plan in whatever lines there are: every line stays, what is long is cut with the key for the whole."""

from __future__ import annotations

import pytest

from model.caution_words import CAUTIONS, CautionKind
from tui.plan_fit import UNSEEN, PlanStep, briefly_cautioned, easy_height, fitted, least_height
from tui.trace_layout import named_lines, step_lines

LONG = "Lay a lamp of about 60 W at 12 V from the positive post to the lug, its clip beside the probe and not under it."
STEP = PlanStep(
    "ground",
    ("No fuse stands before this metal: rings off, an insulated tool, and nothing that could bridge it. Then more.",),
    (("first", LONG), ("place", "nose"), ("red", "GND1"), ("black", "post"), ("expect", "2.5 mV; good at most 5 mV")),
    (("from", "computed from 97 A"),),
)


@pytest.mark.parametrize("cells", [58, 78, 118])
def test_a_step_that_has_room_is_not_cut(cells: int) -> None:
    """In twenty lines it stands as it is."""
    assert fitted(STEP, cells, 20) == STEP


@pytest.mark.parametrize("cells", [38, 58, 78])
@pytest.mark.parametrize("height", [7, 8, 9, 10])
def test_every_line_stays_and_fits(cells: int, height: int) -> None:
    """Down to a line for each, two for what is to be done before, all names stand in no more lines than there are."""
    step = fitted(STEP, cells, height)
    assert least_height(step, cells) <= height
    drawn = "\n".join(line.plain for line in step_lines(step, cells, height))
    assert all(name in drawn for name, _ in STEP.lines)
    assert "Caution: No fuse" in drawn
    if step != STEP:
        assert "… a" in drawn


def test_what_is_to_be_done_before_is_cut_last() -> None:
    """First the caution goes into one line, then place and what is set, then the source; four lines of it stay.

    By hand at 58 cells, 50 of them for words: the caution takes two lines, `first` six, the place two, set three,
    expect two with its source. With all cut to one line but `first`, ten lines leave it four.
    """
    job = " ".join(["Lay the lamp from the post to the lug, its clip beside it."] * 5)
    where = "battery tray, right of the engine, under the lid, and the nose"
    source = "2.5 mV; good at most 5 mV (AC 43.13-1B 11-188 for bonds)"
    lines = (("first", job), ("place", where), ("set", "key off, " * 14), ("red", "a"), ("black", "b"))
    step = PlanStep("", STEP.cautions, (*lines, ("expect", source)), brief=(("expect", "2.5 mV; good at most 5 mV"),))
    seen = []
    for height in (17, 16, 15, 14, 13, 12, 11, 10):
        got = fitted(step, 58, height)
        words = dict(got.lines)
        seen.append(
            (
                got.cautions == step.cautions,
                words["place"] == where,
                words["expect"] == source,
                len(named_lines("first", words["first"], 58)),
            )
        )
        assert least_height(got, 58) <= height
    assert seen == sorted(seen, reverse=True)
    assert (False, False, False, 6) in seen
    assert seen[-1] == (False, False, False, 4)


def test_what_a_row_cannot_show_takes_one_line() -> None:
    """It is cut even where there is room, with the key for the whole."""
    step = PlanStep("", (), (("expect", "open"), (UNSEEN, "does not see: " + "W1 and W2, " * 20)))
    (_, words) = fitted(step, 58, 20).lines[1]
    assert words.endswith("… a")
    assert len(named_lines(UNSEEN, words, 58)) == 1


def test_in_a_tiny_window_the_probes_and_what_to_expect_are_left() -> None:
    """In five lines: the caution, the key for all, both probes and what to expect."""
    step = fitted(STEP, 38, 5)
    assert [name for name, _ in step.lines] == ["all", "red", "black", "expect"]
    assert least_height(step, 38) == 5


def test_a_short_caution_is_never_cut() -> None:
    """What takes one line anyhow stays whole; of several the key for all of them is named."""
    short = PlanStep("", ("Rings off.",), ())
    assert briefly_cautioned(short, 58) == short
    assert briefly_cautioned(PlanStep("", ("Rings off.", "Fuel."), ()), 58).cautions == ("Rings off. a: all 2",)


def test_several_cautions_are_named_by_what_they_are_about() -> None:
    """In one line all topics tell more than half a sentence of the first; the key shows them in full."""
    texts = tuple(CAUTIONS[kind].text for kind in (CautionKind.UNFUSED, CautionKind.BATTERY_GAS, CautionKind.MOTION))
    assert briefly_cautioned(PlanStep("", texts, ()), 58).cautions == ("unfused, battery gas, motion a: all 3",)
    (narrow,) = briefly_cautioned(PlanStep("", texts, ()), 38).cautions
    assert narrow.startswith("unfused, bat")
    assert narrow.endswith("… a: all 3")
    (single,) = briefly_cautioned(PlanStep("", texts[:1], ()), 58).cautions
    assert single.startswith("No fuse stands before this metal")


def test_what_is_worth_knowing_besides_stands_where_it_is_easy() -> None:
    """With twenty easy lines the last stands too; with few only what is needed."""
    assert easy_height(STEP, 78, 20, 20) == easy_height(STEP, 78, 20, 1) + 1
    assert easy_height(STEP, 78, 4, 20) == 4
