"""Rows of plans whose condition no switch sets: what hands do, and what they prove then."""

from __future__ import annotations

from functools import cache

import pytest

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.plans.first_power import first_power_plan
from model.plans.loads import loads_plan
from model.plans.plan import Measure, Plan, PlanRow
from model.tracing.hand_set import how_set, in_place_of
from tests.model.tracing.rigs import DEMO_NAMES, demo

COIL = "coil and points get hot"
CLOSED = "Turn the engine by hand, key off and out of gear, until the points of S7 (Contact breaker) are closed."


@cache
def loads_of(name: str) -> tuple[Harness, Plan]:
    """Make the plan of the loads once for all tests."""
    harness = demo(name)
    return harness, loads_plan(harness)


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of this key."""
    return next(row for row in plan.rows if row.key == key)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_row_that_no_switch_sets_says_how(name: str) -> None:
    """Its first sentences are those of its switches, and what is bridged is not proven."""
    harness, plan = loads_of(name)
    rows = [row for row in plan.rows if how_set(harness, row.condition)]
    assert rows
    for row in rows:
        said = how_set(harness, row.condition)
        assert row.before[: len(said)] == said, row.key
        bridged = {switch.id for switch in in_place_of(harness, row.condition)}
        assert not any(site.partition(":")[0] in bridged for site in row.covers), row.key
        assert bool(bridged) is any("That proves nothing of" in words for words in row.before), row.key


@pytest.mark.slow
def test_the_fan_is_switched_on_at_the_plug_of_its_thermo_switch() -> None:
    """Behind the lamp of the first power too; with the engine hot it may stand closed by itself."""
    joined = "For S15 (Thermo switch, radiator) at hot pull its plug and join the wires of its terminals 1 and 2"
    _, plan = loads_of("trail_buggy")
    for row in (row_of(plan, "M6:load across"), row_of(first_power_plan(demo("trail_buggy")), "F5 ignition S15=hot")):
        assert row.before[0].startswith(joined)
        assert row.before[1] == "Or have the engine run hot first."


def test_the_coil_of_an_engine_with_points_is_read_with_them_closed() -> None:
    """Open they leave 0 V across it: its own rows and the amperes of its fuse say so, no others."""
    _, plan = loads_of("field_tractor")
    said = [row.key for row in plan.rows if CLOSED in row.before]
    assert said == ["F6 amps on", "E11:primary across", "E11:primary feed", "E11:primary ground"]


def test_a_coil_that_is_on_with_the_engine_standing_gets_hot() -> None:
    """With the key on every row says so, with the key off or the engine turning none; the buggy's needs its engine."""
    harness, plan = loads_of("field_tractor")
    warned = {row.condition.key for row in plan.rows if any(COIL in words for words in row.cautions)}
    assert warned == {"on"}
    assert all(any(COIL in words for words in row.cautions) for row in plan.rows if row.condition == Condition("on"))
    assert not any(COIL in words for row in loads_of("trail_buggy")[1].rows for words in row.cautions)
    assert harness.key_names[1] == "on"


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_nobody_looks_for_an_ignition_coil_that_is_on(name: str) -> None:
    """It neither glows nor hums, clicks or turns: no look names or proves it, and its volts do."""
    _, plan = loads_of(name)
    for row in plan.rows:
        if row.measure is Measure.SEEN:
            assert "gnition coil" not in row.expect_words, row.key
            assert not {"E11:primary", "L1:primary"} & set(row.covers), row.key
