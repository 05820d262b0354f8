"""A fuse too coarse for what counts: its row on the screen and on paper says below how much."""

from __future__ import annotations

from functools import cache

import pytest

from model.harness.harness import Harness
from model.plans.draw_plan import draw_plan
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import Plan
from model.sheets.plan_sheet import counted_words
from tests.model.plans.test_draw_plan import row_of
from tests.model.tracing.rigs import rig, wires
from tui.plan_rows import verdict_words
from tui.plan_step import plan_step


@cache
def coarse() -> tuple[Harness, Plan]:
    """Give a heater that nothing feeds behind a fuse of 40 A, and the plan: 5 mA may flow, 0.1 mV is 69 mA."""
    loom = rig(
        'fuses = [ { id = "F1", amps = 40 } ]\nswitches = [ { id = "S1" } ]\n'
        'loads = [ { id = "E1", kind = "heater", ohms = 12 } ]\n'
        + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- CHASSIS", "G1.- CHASSIS")
    )
    return loom, draw_plan(loom)


@pytest.mark.parametrize(("cells", "words"), [(78, "too coarse"), (118, "coarse below 75.7 mA")])
def test_the_column_of_verdicts_says_below_how_much(cells: int, words: str) -> None:
    """5 mA and a quarter more are 6.3 mA, a digit 69.4: below 75.7 mA nothing is told; in little room, briefly."""
    assert verdict_words(row_of(coarse()[1], "fuse F1"), None, is_unwritten=False, cells=cells) == words


def test_the_step_the_verdict_and_the_count_say_so() -> None:
    """None of them says of it that it cannot fail: 0.5 mV would be bad."""
    loom, plan = coarse()
    row = row_of(plan, "fuse F1")
    blind = dict(plan_step(loom, plan, row, frozenset()).lines)["blind"]
    assert blind.startswith("too coarse below 75.7 mA: One digit")
    verdict = judge(row, Taken(0.0))
    assert verdict.standing is Standing.UNPROVEN
    assert verdict.why.startswith("It is too coarse below 75.7 mA")
    assert judge(row, Taken(0.5)).standing is Standing.BAD
    assert counted_words(plan, {}).endswith("1 fuse shows only what is much")
