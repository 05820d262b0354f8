"""What is live on the first power while no fuse is in, said of a bad row in place of a trace."""

from __future__ import annotations

from functools import cache

import pytest

from model.circuit.bench import Bench
from model.plans.first_power import first_power_plan
from model.plans.judging import Standing, Taken
from model.plans.live_then import has_no_fuse_in, live_wires
from model.plans.plan import PlanRow
from model.plans.to_trace import NoTrace, trace_of_row
from model.tracing.walk import Walker
from tests.model.tracing.rigs import demo


@cache
def rows() -> tuple[PlanRow, ...]:
    """Give the rows of the buggy's first power."""
    return first_power_plan(demo("trail_buggy")).rows


@pytest.mark.slow
def test_only_what_no_fuse_guards_is_live_before_the_fuses() -> None:
    """From the plus post of the buggy W1 leads to the busbar of the fuses and W21 to the starter's solenoid."""
    bench = Bench(demo("trail_buggy"))
    bare = [row for row in rows() if has_no_fuse_in(bench, row)]
    assert [row.key for row in bare] == ["G1.+ bare off"]
    assert live_wires(bench, bare[0]) == ("W1", "W21")


@pytest.mark.slow
def test_a_bad_row_without_fuses_names_what_is_live() -> None:
    """Measured or said to be bad, nothing is said of loads: none is on."""
    bench = Bench(demo("trail_buggy"))
    for taken in (Taken(12.6), Taken(said=Standing.BAD)):
        found = trace_of_row(bench, Walker(bench).walk, rows()[0], taken)
        assert isinstance(found, NoTrace)
        assert "W1 RD 50 and W21 RD 35" in found.why
        assert "loads" not in found.why
