"""What the plans of insulation, grounds, cranking and charging expect, beside instruments that ngspice reads."""

from pathlib import Path

import pytest

from model.harness.toml_file import read_harness
from model.plans.crank_and_charge import crank_and_charge_plan
from model.plans.grounds import grounds_plan
from model.plans.insulation import insulation_plan
from model.plans.plan import Measure, PlanRow
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_instruments import Standing, ohms, volts
from tests.against_ngspice.spice_settle import Bench, load

DEMO_BUILDS = sorted((Path(__file__).parents[2] / "demo_builds").glob("*.toml"))
ROWS = 20
"""Rows of each plan and build: those that do not read open first."""


def named(path: Path) -> str:
    """Name a test after the file it is about."""
    return path.stem


def of_ngspice(bench: Bench, row: PlanRow) -> float:
    """Read a row with ngspice; infinite where open."""
    return ohms(bench, Standing(row.condition.key, row.condition.by_name), row.red, row.black)


@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_insulation_rows_read_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Twenty rows of each build, loads cold and fuses out, agree within a tenth of a percent and 0.1 mΩ."""
    bench = load(path, ngspice)
    rows = sorted(insulation_plan(read_harness(path)).rows, key=lambda row: row.expect == float("inf"))[:ROWS]
    assert len(rows) >= min(ROWS, 15)
    for row in rows:
        assert row.expect == pytest.approx(of_ngspice(bench, row), rel=1e-3, abs=1e-4), row.key


@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_ground_rows_read_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """The ohms from each lug to the post, and with them the millivolts at 5 A, agree within a tenth of a percent."""
    bench = load(path, ngspice)
    rows = grounds_plan(read_harness(path)).rows
    assert len(rows) >= 7
    for row in rows:
        assert row.expect == pytest.approx(of_ngspice(bench, row) * 5000.0, rel=1e-3, abs=1e-2), row.key


@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_crank_and_charge_rows_read_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Posts, drops and coils while the starter turns and while the charger gives current agree within 2 mV."""
    bench = load(path, ngspice)
    rows = [row for row in crank_and_charge_plan(read_harness(path)).rows if row.measure is Measure.VOLTS]
    assert len(rows) >= 11
    for row in rows:
        read = volts(bench, Standing(row.condition.key, row.condition.by_name), row.red, row.black)
        assert row.expect == pytest.approx(read, abs=2e-3), row.key
