"""The grounds plan: millivolts of a known current, and which bad joints they show."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import read_ohms
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.plans.ground_currents import largest_currents
from model.plans.grounds import grounds_plan
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import Measure, Plan, PlanRow
from model.tables import SourceKind
from tests.model.circuit.rig import CHAIN, harness

DEMO_BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
BLOCK = """
bodies = [ { id = "BLOCK" } ]
grounds = [ { id = "GND0", ohms = 0.001 }, { id = "GND1", body = "BLOCK", ohms = 0.001 } ]
joints = [ { id = "N1", from = "M1.-", to = "BLOCK", ohms = 0.002 } ]
loads = [ { id = "M1", kind = "heater", ohms = 0.5 } ]
switches = [ { id = "S1", terminals = [1, 2], positions = { off = [], on = [[1, 2]] } } ]
wires = [
  { id = "W1", from = "G1.+", to = "S1.1", length = 0.1 },
  { id = "W2", from = "S1.2", to = "M1.+", length = 0.1 },
  { id = "W3", from = "GND0", to = "G1.-", length = 0.01 },
  { id = "W4", from = "GND1", to = "GND0", length = 0.02 },
]
"""
"""A heater of 0.5 Ω on a block that a strap W4 of 2 mΩ alone joins to the stud GND0, W3 of 1 mΩ that to the post.

The switch has 0.1 Ω, the battery 0.1 Ω; each bond has 1 mΩ and 40 mΩ of chassis as in the defaults of the rig.
"""


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of a plan by its key."""
    return next(row for row in plan.rows if row.key == key)


def millivolts(loom: Harness, row: PlanRow, *faults: Fault) -> float:
    """Read a row on a loom with faults: ohms the slow way, times its amperes."""
    condition = Condition(row.condition.key, row.condition.settings, faults)
    ohms = read_ohms(loom, condition, row.red, row.black)
    assert ohms is not None
    assert row.amps is not None
    return ohms * row.amps * 1000.0


@pytest.fixture(scope="module", params=DEMO_BUILDS, ids=lambda path: path.stem)
def demo(request: pytest.FixtureRequest) -> tuple[Harness, Plan]:
    """Give a demo build and its plan."""
    build = read_harness(request.param)
    return build, grounds_plan(build)


def test_rows_expect_the_ohms_of_the_way_times_the_amperes(demo: tuple[Harness, Plan]) -> None:
    """Each expectation is what the ohmmeter of the circuit shows between its points, at 5 A in millivolts."""
    build, plan = demo
    assert plan.rows
    for row in plan.rows:
        assert (row.measure, row.amps) == (Measure.MILLIVOLTS, 5.0)
        assert row.expect == pytest.approx(millivolts(build, row), rel=1e-3, abs=1e-3)


def test_a_bad_joint_makes_each_row_that_covers_it_bad(demo: tuple[Harness, Plan]) -> None:
    """50 mΩ more in a wire, joint or bond that a row covers read over its limit, solved the slow way."""
    build, plan = demo
    tried = 0
    for row in plan.rows:
        for site in row.covers:
            fault = Fault(site, FaultKind.HIGH, added_ohms=0.05)
            assert judge(row, Taken(millivolts(build, row, fault))).standing is Standing.BAD, (row.key, site)
            tried += 1
    assert tried > 8


def test_every_ground_point_and_body_has_a_row(demo: tuple[Harness, Plan]) -> None:
    """None is left out but with a reason, and every bonded point is covered by some row or named."""
    build, plan = demo
    keys = {row.key for row in plan.rows}
    for part in (*build.grounds, *build.bodies):
        assert f"lug {part.id}" in keys or any(part.id in line for line in plan.left_out)


def test_a_lug_reads_its_way_to_the_post() -> None:
    """CHAIN: GND1 and GND0 have 0.1 Ω each (0.06 and 0.04), W6 0.1 Ω: at 5 A 1.5 V, and 10 mΩ are 50 mV.

    2 A return at most: under 10 A the lug has 10 mΩ, which no source prints. The loom is over it by its own file.
    """
    row = row_of(grounds_plan(harness(CHAIN)), "lug GND1")
    assert row.expect == pytest.approx(1500.0)
    assert row.limit is not None
    assert row.limit.high == pytest.approx(50.0)
    assert row.limit.source_kind is SourceKind.JUDGEMENT
    assert any("over the limit" in line for line in row.before)
    assert judge(row, Taken(row.expect)).standing is Standing.BAD
    assert not row.tells
    assert "over the limit" in row.blind


def test_a_heavy_lug_may_rise_by_a_tenth_of_a_volt() -> None:
    """12 V over 0.5 Ω and 0.1 + 0.1 + 0.02 + 0.01 + ... return about 16 A: 0.1 V over them at 5 A.

    Ohms of the loop: battery 0.1, W1 and W2 0.01 each, S1 0.1, M1 0.5, N1 0.002, GND1 0.041, W4 0.002, W3 0.001:
    0.766 Ω, 15.67 A. 0.1 V over 15.67 A are 6.38 mΩ, at 5 A 31.9 mV.
    """
    rig = harness(BLOCK)
    amps = 12.0 / 0.766
    assert largest_currents(Bench(rig), ("GND1",))["GND1"].amps == pytest.approx(amps, rel=1e-6)
    row = row_of(grounds_plan(rig), "lug GND1")
    assert row.limit is not None
    assert row.limit.high == pytest.approx(0.1 / amps * 5000.0, rel=1e-6)
    assert row.limit.source_kind is SourceKind.COMMON_PRACTICE
    assert row.expect == pytest.approx(0.003 * 5000.0, rel=1e-5)
    assert set(row.covers) == {"W3", "W4"}


def test_a_case_on_a_body_has_the_limit_of_a_bond() -> None:
    """2.5 mΩ from equipment to structure (AC 43.13-1B 11-188) are 12.5 mV at 5 A; N1 of 2 mΩ reads 10 mV."""
    row = row_of(grounds_plan(harness(BLOCK)), "case N1")
    assert (row.red, row.black) == ("M1.-", "BLOCK")
    assert row.expect == pytest.approx(10.0)
    assert row.limit is not None
    assert row.limit.high == pytest.approx(12.5)
    assert row.limit.source == "AC 43.13-1B 11-188"
    assert row.covers == ("N1",)


def test_a_strap_has_its_joints_and_its_own_wire() -> None:
    """Two joints of 3 mΩ (AC 43.13-1B 11-189) and 2 mΩ of W4: 8 mΩ, 40 mV at 5 A; sound it reads 10 mV."""
    row = row_of(grounds_plan(harness(BLOCK)), "strap W4")
    assert row.expect == pytest.approx(10.0, rel=1e-4)
    assert row.limit is not None
    assert row.limit.high == pytest.approx(40.0, rel=1e-4)
    assert row.limit.source == "AC 43.13-1B 11-189"


def test_a_strap_that_another_way_bridges_could_not_fail() -> None:
    """A second strap of the same 2 mΩ: 50 mΩ more in either leaves 1.9 mΩ, within the limit. Both rows are blind."""
    rows = BLOCK.replace(
        "length = 0.02 },\n]", 'length = 0.02 },\n  { id = "W5", from = "GND1", to = "GND0", length = 0.02 },\n]'
    )
    plan = grounds_plan(harness(rows))
    for key in ("strap W4", "strap W5"):
        row = row_of(plan, key)
        assert not row.tells
        assert "another way" in row.blind
        assert judge(row, Taken(1.0)).standing is Standing.UNPROVEN
    assert {line[:2] for line in plan.undetected} == {"W4", "W5"}


def test_rings_on_a_stud_are_named_by_their_wires() -> None:
    """The probe goes on the crimp barrel of each ring: that of W4 and W3 on GND0."""
    row = row_of(grounds_plan(harness(BLOCK)), "lug GND0")
    (line,) = [line for line in row.before if "barrel" in line]
    assert "W3" in line
    assert "W4" in line


def test_another_current_takes_limit_and_expectation_with_it() -> None:
    """At 1 A both are a fifth of those at 5 A."""
    one, five = (row_of(grounds_plan(harness(BLOCK), amps), "case N1") for amps in (1.0, 5.0))
    assert one.limit is not None
    assert five.limit is not None
    assert five.expect == pytest.approx(5 * (one.expect or 0.0))
    assert five.limit.high == pytest.approx(5 * (one.limit.high or 0.0))


def test_a_ground_behind_a_switch_is_read_with_it_closed() -> None:
    """An isolator on the ground side is closed in the condition of the row."""
    rows = """
grounds = [ { id = "GND0" } ]
switches = [ { id = "S1" } ]
wires = [
  { id = "W1", from = "G1.-", to = "S1.1", length = 0.01 },
  { id = "W2", from = "S1.2", to = "GND0", length = 0.01 },
]
"""
    row = row_of(grounds_plan(harness(rows)), "lug GND0")
    assert row.condition.by_name == {"S1": "on"}
    assert row.expect == pytest.approx((0.001 + 0.1 + 0.001) * 5000.0)


def test_a_loom_without_grounds_says_so() -> None:
    """No ground point, no body, no strap: an empty plan with a sentence; a point that nothing joins is left out."""
    empty = grounds_plan(harness("", build="nominal_volts = 12, chassis = false"))
    assert empty.rows == ()
    assert "no ground point" in empty.about[-1]
    apart = grounds_plan(harness('grounds = [ { id = "GND0" } ]', build="nominal_volts = 12, chassis = false"))
    assert apart.rows == ()
    assert any("GND0" in line for line in apart.left_out)


def test_a_lug_is_read_to_the_post_that_its_current_goes_back_to() -> None:
    """Two batteries on one stud, the second with the starter: the lug is read to its post, the lamp lit from it too.

    The heater of 0.5 Ω hangs on G2 alone; W7 leads the stud to G2.-, W3 to G1.-.
    """
    rows = BLOCK.replace('from = "G1.+", to = "S1.1"', 'from = "G2.+", to = "S1.1"').replace(
        "length = 0.02 },\n]", 'length = 0.02 },\n  { id = "W7", from = "GND0", to = "G2.-", length = 0.01 },\n]'
    )
    rig = harness(rows, batteries='{ id = "G1", emf = 12, ohms = 0.1 }, { id = "G2", emf = 12, ohms = 0.1 }')
    row = row_of(grounds_plan(rig), "lug GND1")
    assert row.black == "G2.-"
    assert any("G2" in line for line in row.before)
    assert "W7" in row.covers
