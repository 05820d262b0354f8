"""A hundred wires of the continuity plans, whole and broken, read by an ohmmeter in ngspice."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.harness.toml_file import read_harness
from model.plans.continuity import continuity_plan
from model.plans.judging import Standing, Taken, judge
from model.plans.loom_state import state_condition
from model.plans.plan import LoomState, Measure, PlanRow
from tests.against_ngspice import spice_instruments
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.ngspice_vehicle import spice_harness, standing_of
from tests.against_ngspice.spice_settle import Bench

SEED = 4
COUNTS = {"trail_buggy": 50, "field_tractor": 15, "harbour_launch": 35}
"""A hundred in all."""
STATES = (LoomState.APART, LoomState.MATED)


@pytest.mark.slow
@pytest.mark.parametrize("name", COUNTS)
def test_row_of_a_wire_fails_in_ngspice_with_the_wire_broken(ngspice: Ngspice, name: str) -> None:
    """Whole the row is good and reads what it expects, to a thousandth and a microohm; broken it is bad."""
    harness = read_harness(Path(__file__).parents[2] / "demo_builds" / f"{name}.toml")
    bench = Bench(spice_harness(harness), ngspice)
    rows = [
        (state, row, site)
        for state in STATES
        for row in continuity_plan(harness, state).rows
        if row.measure is not Measure.APART
        for site in row.covers
        if site in harness.parts
    ]
    picked = random.Random(SEED).sample(rows, COUNTS[name])
    for state, row, site in picked:
        settings = (*state_condition(harness, state).settings, *row.condition.settings)

        def read(row: PlanRow, *faults: Fault, settings: tuple[tuple[str, str], ...] = settings) -> float:
            standing = standing_of(Condition(row.condition.key, settings, faults))
            ohms = spice_instruments.ohms(bench, standing, row.red, row.black)
            return ohms if row.measure is Measure.OHMS or math.isinf(ohms) else 1000.0 * ohms * (row.amps or 0.0)

        whole = read(row)
        assert whole == pytest.approx(row.expect, rel=1e-3, abs=1e-5), row.key
        assert judge(row, Taken(whole)).standing is Standing.GOOD, row.key
        assert row.tells
        broken = read(row, Fault(site, FaultKind.OPEN))
        assert judge(row, Taken(broken)).standing is Standing.BAD, (row.key, site, broken)
