"""What the plans of insulation, grounds, cranking and charging expect, beside instruments that ngspice reads."""

from pathlib import Path

import pytest

from model.harness.harness import Harness
from model.harness.supply import grounded_posts, reference_point
from model.harness.toml_file import read_harness
from model.plans.chains import live_post_of
from model.plans.crank_and_charge import crank_and_charge_plan
from model.plans.crank_scene import pairs_of
from model.plans.grounds import grounds_plan
from model.plans.insulation import insulation_plan
from model.plans.live_off import live_joints
from model.plans.plan import Measure, PlanRow
from tests.against_ngspice.ngspice_run import Ngspice
from tests.against_ngspice.spice_branches import Branch, Kind
from tests.against_ngspice.spice_instruments import Standing, ohms, settle, volts
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


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_insulation_rows_read_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Twenty rows of each build, loads cold and fuses out, agree within a tenth of a percent and 0.1 mΩ."""
    bench = load(path, ngspice)
    rows = sorted(insulation_plan(read_harness(path)).rows, key=lambda row: row.expect == float("inf"))[:ROWS]
    assert len(rows) >= min(ROWS, 15)
    for row in rows:
        assert row.expect == pytest.approx(of_ngspice(bench, row), rel=1e-3, abs=1e-4), row.key


def lamp_millivolts(bench: Bench, harness: Harness, row: PlanRow) -> float:
    """Give the millivolts from red to black at 5 A with a filament from the bare live post, settled by ngspice.

    It is taken as the 60 W that it has when lit; joints on live posts are open as the clamps are off.
    """
    lit, far = (row.black, row.red) if harness.build.ground_side == "positive" else (row.red, row.black)
    post = far if far in grounded_posts(harness) else reference_point(harness)
    standing = Standing(row.condition.key, row.condition.by_name, dict.fromkeys(live_joints(harness), "open"))
    ends = live_post_of(harness, post), bench.harness.end(lit)
    filament_ohms = bench.harness.nominal_volts**2 / 60.0
    settled = settle(bench, standing, Branch("filament", Kind.OHMS, *ends, ohms=filament_ohms))
    across, read = settled.across(*ends), settled.across(bench.harness.end(row.red), bench.harness.end(row.black))
    assert across is not None
    assert read is not None
    return read * 1000.0 * 5.0 * filament_ohms / abs(across)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_ground_rows_read_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """A lamp from the bare live post leaves what each row expects, red above black, within a tenth of a percent."""
    bench = load(path, ngspice)
    harness = read_harness(path)
    rows = grounds_plan(harness).rows
    assert len(rows) >= 7
    for row in rows:
        assert row.expect == pytest.approx(lamp_millivolts(bench, harness, row), rel=1e-3, abs=1e-2), row.key


@pytest.mark.first_few(1)
@pytest.mark.parametrize("path", DEMO_BUILDS, ids=named)
def test_crank_and_charge_rows_read_as_in_ngspice(path: Path, ngspice: Ngspice) -> None:
    """Posts, drops and coils while the starter turns and while the charger gives current agree within 2 mV."""
    bench = load(path, ngspice)
    rows = [row for row in crank_and_charge_plan(read_harness(path)).rows if row.measure is Measure.VOLTS]
    assert len(rows) >= 11
    for row in rows:
        standing = Standing(row.condition.key, row.condition.by_name)
        read = [volts(bench, standing, *pair) or 0.0 for pair in pairs_of(row)]
        assert row.expect == pytest.approx(sum(read), abs=2e-3), row.key
