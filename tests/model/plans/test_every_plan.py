"""The one road to the plans: every kind of every build, as text, HTML, CSV and JSON."""

from __future__ import annotations

import csv
import json
from functools import cache
from io import StringIO

import pytest

from model.harness.harness import Harness
from model.plans.every_plan import make_plan
from model.plans.plan import LoomState, Measure, Plan, PlanKind
from model.sheets.columns import cell_width
from model.sheets.plan_csv import plan_csv
from model.sheets.plan_html import plan_html
from model.sheets.plan_json import plan_json
from model.sheets.plan_sheet import plan_sheet
from model.sheets.plan_text import plan_text
from model.words import clean
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

ODD = {
    "nothing but a battery": wires("G1.+ G1.-"),
    "no ground": 'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
    "a loose wire": wires("G1.- CHASSIS").replace(" ]", ', { id = "W9", from = "G1.+" } ]'),
}


@cache
def plan_of(name: str, kind: PlanKind, state: LoomState = LoomState.APART) -> tuple[Harness, Plan]:
    """Give a plan of a demo build, made once for all tests."""
    harness = demo(name)
    return harness, make_plan(harness, kind, state)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
@pytest.mark.parametrize("kind", PlanKind)
def test_every_plan_of_every_build_has_rows_that_hold_together(name: str, kind: PlanKind) -> None:
    """Unique keys, clean titles, figures with a limit and its source; a row that cannot fail says why."""
    harness, plan = plan_of(name, kind)
    assert plan.kind is kind
    assert plan.vehicle == harness.build.name
    assert plan.revision == harness.build.revision
    assert plan.rows
    keys = [row.key for row in plan.rows]
    assert len(set(keys)) == len(keys)
    for row in plan.rows:
        assert row.key == clean(row.key)
        assert row.title == clean(row.title) != ""
        assert row.tells or row.blind, row.key
        assert row.limit is None or row.limit.source, row.key
        assert row.expect_words or row.expect is not None or row.measure is Measure.SEEN, row.key
        assert row.measure is not Measure.APART or row.others, row.key
        assert row.measure in (Measure.SEEN, Measure.AMPS) or row.points, row.key


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
@pytest.mark.parametrize("kind", PlanKind)
def test_the_keys_of_the_rows_are_those_of_the_next_start(name: str, kind: PlanKind) -> None:
    """What was measured is found again: the plan made anew has the same rows in the same order."""
    _, plan = plan_of(name, kind)
    assert make_plan(demo(name), kind) == plan


@pytest.mark.first_few(7)
@pytest.mark.parametrize("name", DEMO_NAMES)
@pytest.mark.parametrize("kind", PlanKind)
def test_every_plan_is_printed_in_every_form(name: str, kind: PlanKind) -> None:
    """As many rows in each; text in 80 columns; JSON without what JSON cannot hold."""
    harness, plan = plan_of(name, kind)
    sheet = plan_sheet(harness, plan)
    assert all(cell_width(line) <= 80 for line in plan_text(sheet).splitlines())
    assert plan_html(sheet).count("<tbody>") == len(plan.rows)
    assert len(list(csv.DictReader(StringIO(plan_csv(sheet), newline="")))) == len(plan.rows)
    found = json.loads(json.dumps(plan_json(sheet), allow_nan=False))
    assert [row["key"] for row in found["rows"]] == [row.key for row in plan.rows]


@pytest.mark.parametrize("state", LoomState)
def test_continuity_is_of_the_state_asked_for(state: LoomState) -> None:
    """No other plan has one."""
    assert plan_of("field_tractor", PlanKind.CONTINUITY, state)[1].state is state
    assert plan_of("field_tractor", PlanKind.LOADS)[1].state is None


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("kind", PlanKind)
def test_an_odd_loom_has_a_plan_or_is_told_why_not(odd: str, kind: PlanKind) -> None:
    """Rows, or words: never an empty sheet without a reason."""
    harness = rig(ODD[odd])
    plan = make_plan(harness, kind)
    assert plan.rows or plan.about
    assert plan_text(plan_sheet(harness, plan))


def test_the_current_of_the_grounds_is_the_one_typed() -> None:
    """Millivolts go with it: at 10 A twice those at 5 A."""
    harness = demo("trail_buggy")
    five, ten = (make_plan(harness, PlanKind.GROUNDS, ground_amps=amps) for amps in (5.0, 10.0))
    assert {row.amps for row in five.rows if row.measure is Measure.MILLIVOLTS} == {5.0}
    pairs = [
        (one.expect, other.expect)
        for one, other in zip(five.rows, ten.rows, strict=True)
        if one.measure is Measure.MILLIVOLTS and one.expect is not None and other.expect is not None
    ]
    assert pairs
    for once, twice in pairs:
        assert twice == pytest.approx(2 * once, rel=0.02)


def test_the_lamp_of_first_power_is_the_one_typed() -> None:
    """A larger lamp leaves more volts to what it stands in series with: some expectation differs."""
    harness = demo("field_tractor")
    small, large = (make_plan(harness, PlanKind.FIRST_POWER, lamp_watts=watts) for watts in (5.0, 55.0))
    assert {row.key: row.expect for row in small.rows} != {row.key: row.expect for row in large.rows}
