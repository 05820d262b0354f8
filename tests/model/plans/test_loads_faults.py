"""What the rows of the loads prove: that a fault makes one of them bad, and what a row is blind to."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model.circuit.cases import Cases
from model.circuit.condition import Condition, make_condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.many_faults import FaultBench
from model.errors import CircuitError
from model.harness.records import Wire
from model.plans.judging import Standing
from model.plans.loads import loads_plan
from model.plans.plan import Measure, PlanRow
from tests.model.plans.test_loads import LAMP, lamp_rig, plan_of, row_of, standing_of
from tests.model.tracing.rigs import DEMO_NAMES, rig, wires

FAULTS = (
    ("trail_buggy", "K3:30-87=stuck"),
    ("trail_buggy", "S8:1-2=stuck"),
    ("trail_buggy", "S1:30-15=stuck"),
    ("trail_buggy", "S3:56-56b=stuck"),
    ("trail_buggy", "W128=open"),
    ("trail_buggy", "F17=missing"),
    ("trail_buggy", "W183=open"),
    ("trail_buggy", "GND6=open"),
    ("trail_buggy", "W113=0.5"),
    ("trail_buggy", "W119=open"),
    ("trail_buggy", "W98=elsewhere:BB2"),
    ("trail_buggy", "K7:30-87=0.5"),
    ("field_tractor", "S2:BT-T=stuck"),
    ("field_tractor", "F5=blown"),
    ("harbour_launch", "F12=missing"),
)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "fault"), FAULTS)
def test_a_fault_makes_a_row_bad(name: str, fault: str) -> None:
    """A welded contact, a feed from elsewhere, a bad ground: with it solved at least one reading is out of limits."""
    harness, plan = plan_of(name)
    faults = make_condition(harness, faults=(fault,)).faults
    before = {row.key for row in plan.rows if standing_of(harness, row) is Standing.BAD}
    bad = {row.key for row in plan.rows if standing_of(harness, replace_faults(row, faults)) is Standing.BAD}
    assert bad - before, fault


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_wire_that_a_row_proves_makes_it_bad_when_broken(name: str, request: pytest.FixtureRequest) -> None:
    """Each broken wire is settled alone and the row read in it: of the pairs of row and wire every third, or all."""
    harness, plan = plan_of(name)
    pairs = [
        (row, site)
        for row in plan.rows
        if row.measure is Measure.VOLTS
        for site in row.covers
        if isinstance(harness.parts.get(site), Wire)
    ]
    assert len(pairs) > 100
    for row, site in pairs[:: 1 if request.config.getoption("--slow") else 3]:
        assert standing_of(harness, replace_faults(row, (Fault(site, FaultKind.OPEN),))) is Standing.BAD, (
            row.key,
            site,
        )


def test_a_wire_beside_which_another_leads_is_not_proven() -> None:
    """Two wires to ground: with one of them open the other carries all, and the row stays good.

    4 A through one wire of 14.3 mΩ, two crimps in it, are 57 mV, through two of them 29 mV: both within 0.2 V. With
    the feed open nothing is left of 12 V, and with the lamp itself open all of it is there.
    """
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- G1.-", "E1.- G1.-")
    harness = rig(LAMP + wires(*ends), batteries='{ id = "G1", emf = 12.6, ohms = 0.01 }')
    plan = loads_plan(harness)
    across, ground = row_of(plan, "E1:load across"), row_of(plan, "E1:load ground")
    assert across.covers == ("W1", "F1", "W2", "S1:1-2", "W3")
    assert across.blind == "E1:load, W4 may be open all the same."
    assert (ground.covers, ground.blind) == ((), "W4 may be open all the same.")
    opened = replace_faults(ground, (Fault("W4", FaultKind.OPEN),))
    assert standing_of(harness, opened) is Standing.GOOD


@pytest.mark.slow
def test_one_ground_wire_is_proven_by_the_dip_beam_and_not_by_the_side_lamp() -> None:
    """With W63 open the side lamp finds ground through the cold beams beside it: 5 W lose little there, 55 W all."""
    harness, plan = plan_of("trail_buggy")
    dip, side = row_of(plan, "E1:dip across"), row_of(plan, "E1:side across")
    assert "W63" in dip.covers
    assert "W63" not in side.covers
    assert "W63" in side.blind
    opened = (Fault("W63", FaultKind.OPEN),)
    assert standing_of(harness, replace_faults(dip, opened)) is Standing.BAD
    assert standing_of(harness, replace_faults(side, opened)) is Standing.GOOD


def test_a_circuit_that_finds_no_rest_with_a_fault_proves_nothing_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """One wire with which no rest is found is left out of what the row proves; the others are solved all the same."""
    settle = FaultBench.cases

    def cases(bench: FaultBench, condition: Condition) -> Cases:
        if any(fault.site == "W2" for variant in bench.variants for fault in variant.faults):
            raise CircuitError("The circuit finds no rest.")
        return settle(bench, condition)

    monkeypatch.setattr(FaultBench, "cases", cases)
    row = row_of(loads_plan(lamp_rig()), "E1:load across")
    assert row.covers == ("W1", "F1", "S1:1-2", "W3", "W4")
    assert row.blind == "E1:load, W2 may be open all the same."


def replace_faults(row: PlanRow, faults: tuple[Fault, ...]) -> PlanRow:
    """Give a row whose condition has faults."""
    return replace(row, condition=replace(row.condition, faults=faults))
