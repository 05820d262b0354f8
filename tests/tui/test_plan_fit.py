"""The step of a plan in whatever lines there are: every line stays, what is long is cut with the key for the whole."""

from __future__ import annotations

import pytest

from tui.plan_fit import briefly_cautioned, easy_height, fitted, least_height
from tui.trace_layout import TraceStep, step_lines

LONG = "Lay a lamp of about 60 W at 12 V from the positive post to the lug, its clip beside the probe and not under it."
STEP = TraceStep(
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
@pytest.mark.parametrize("height", [6, 7, 8, 9, 10])
def test_every_line_stays_and_fits(cells: int, height: int) -> None:
    """Down to a line for each, all names stand on the screen in no more lines than there are."""
    step = fitted(STEP, cells, height)
    assert least_height(step, cells) <= height
    drawn = "\n".join(line.plain for line in step_lines(step, cells, height))
    assert all(name in drawn for name, _ in STEP.lines)
    assert "Caution: No fuse" in drawn
    if step != STEP:
        assert "… a" in drawn


def test_the_caution_is_cut_only_where_cut_lines_do_not_do() -> None:
    """In nine lines of 58 cells the long line is cut and the caution's first sentence whole; in six it is cut too."""
    assert fitted(STEP, 58, 9).cautions == STEP.cautions
    (caution,) = fitted(STEP, 58, 6).cautions
    assert caution.endswith("… a: all of it")


def test_in_a_tiny_window_the_probes_and_what_to_expect_are_left() -> None:
    """In five lines: the caution, the key for all, both probes and what to expect."""
    step = fitted(STEP, 38, 5)
    assert [name for name, _ in step.lines] == ["all", "red", "black", "expect"]
    assert least_height(step, 38) == 5


def test_a_short_caution_is_never_cut() -> None:
    """What takes one line anyhow stays whole; of several the key for all of them is named."""
    short = TraceStep("", ("Rings off.",), ())
    assert briefly_cautioned(short, 58) == short
    assert briefly_cautioned(TraceStep("", ("Rings off.", "Fuel."), ()), 58).cautions == ("Rings off. a: all 2",)


def test_what_is_worth_knowing_besides_stands_where_it_is_easy() -> None:
    """With twenty easy lines the last stands too; with few only what is needed."""
    assert easy_height(STEP, 78, 20, 20) == easy_height(STEP, 78, 20, 1) + 1
    assert easy_height(STEP, 78, 4, 20) == 4
