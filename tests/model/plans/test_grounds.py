"""The grounds plan: millivolts of a known current, and which bad joints they show."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.caution_words import CAUTIONS, CautionKind
from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.instrumented import Setup, build_setup
from model.circuit.settle import settle_netlist
from model.harness.harness import Harness
from model.harness.metal import wire_points
from model.harness.supply import grounded_posts, reference_point
from model.harness.toml_file import read_harness
from model.plans.chains import live_post_of
from model.plans.ground_currents import largest_currents
from model.plans.grounds import grounds_plan
from model.plans.judging import Standing, Taken, judge
from model.plans.live_off import live_joints
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


LAMP_WATTS = 60.0


def returns_to(loom: Harness, row: PlanRow) -> str:
    """Name the grounded post that the lamp's current of a row goes back to."""
    posts = grounded_posts(loom)
    return next((point for point in row.points if point in posts), reference_point(loom))


def lit(loom: Harness, row: PlanRow) -> str:
    """Name the point that the lamp of a row is laid to: the one that stands off the grounded post."""
    return row.black if loom.build.ground_side == "positive" else row.red


def millivolts(loom: Harness, row: PlanRow, *faults: Fault) -> float:
    """Read a row on a loom with faults: batteries in, their live clamps off, a lamp laid from the bare live post.

    What was read goes with the amperes of the lamp to those of the row.
    """
    apart = tuple(Fault(joint, FaultKind.OPEN) for joint in live_joints(loom))
    condition = Condition(row.condition.key, row.condition.settings, (*apart, *faults))
    live = live_post_of(loom, returns_to(loom, row))
    net = build_setup(Bench(loom), Setup(condition, lamp=(live, lit(loom, row), LAMP_WATTS)))
    settled = settle_netlist(net, condition)
    amps = abs(float(settled.amps[net.lamps[-1].branch]))
    assert amps > 1.0
    across = float(settled.volts[net.index[row.red]] - settled.volts[net.index[row.black]])
    assert row.amps is not None
    return across / amps * row.amps * 1000.0


@pytest.fixture(scope="module", params=DEMO_BUILDS, ids=lambda path: path.stem)
def demo(request: pytest.FixtureRequest) -> tuple[Harness, Plan]:
    """Give a demo build and its plan."""
    build = read_harness(request.param)
    return build, grounds_plan(build)


def test_rows_expect_what_a_lamp_leaves_between_the_probes(demo: tuple[Harness, Plan]) -> None:
    """Each expectation is positive, and what a lamp from the bare live post leaves from red to black, taken to 5 A."""
    build, plan = demo
    assert plan.rows
    for row in plan.rows:
        assert (row.measure, row.amps) == (Measure.MILLIVOLTS, 5.0)
        assert row.expect == pytest.approx(millivolts(build, row), rel=1e-3, abs=1e-3)
        assert (row.expect or 0.0) > 0.01


def test_no_live_clamp_and_no_fuse_is_on(demo: tuple[Harness, Plan]) -> None:
    """In every row all wires are off the live posts, all fuses out and the grounded clamp on, and the first says so."""
    build, plan = demo
    grounded = grounded_posts(build)
    posts = {f"{battery.id}.{sign}" for battery in build.batteries for sign in "+-"} - set(grounded)
    ends = [
        (f"{wire.id}.{end}", point)
        for wire in build.wires
        for end, point in zip("ab", wire_points(build, wire), strict=True)
    ]
    for row in plan.rows:
        assert {fuse.id for fuse in build.fuses} <= {name for name, value in row.condition.settings if value == OUT}
        assert {end for end, point in ends if point in posts} <= row.condition.by_name.keys()
        assert not {end for end, point in ends if point in grounded} & row.condition.by_name.keys()
        assert not {battery.id for battery in build.batteries} & row.condition.by_name.keys()
        assert any("bare" in line for line in row.before)
    assert "every live clamp" in plan.rows[0].before[0]
    order = CAUTIONS[CautionKind.BATTERY_ORDER].text
    assert order in plan.cautions
    assert not any(order in row.cautions for row in plan.rows)
    assert any("every live clamp" in line and "every fuse out" in line for line in plan.about)


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
    assert row.before[0].endswith("the sound loom is outside the limit here: better that first.")
    assert judge(row, Taken(row.expect)).standing is Standing.UNPROVEN
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


def test_no_lamp_drives_more_than_its_own_through_a_contact_that_touches() -> None:
    """A heater's case that rests on the block with 50 mΩ is no bond: of 2.5 mΩ a bond may have (AC 43.13-1B 11-188).

    At 0.5 Ω it carries some 17 A itself, so that 5 A through it tell something; at 50 Ω it never has more than 0.25 A
    and is left out by name.
    """
    slack = BLOCK.replace("ohms = 0.002 }", "ohms = 0.05 }")
    assert "case N1" in {row.key for row in grounds_plan(harness(slack)).rows}
    plan = grounds_plan(harness(slack.replace("ohms = 0.5 }", "ohms = 50 }")))
    assert "case N1" not in {row.key for row in plan.rows}
    (left,) = [line for line in plan.left_out if "N1" in line]
    assert "is no bond, 50 mΩ by the file" in left
    assert "5 A could burn it" in left


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


SERIES = """
fuses = [ { id = "F1", amps = 20, ohms = 0.001 } ]
loads = [ { id = "E1", kind = "heater", ohms = 4 } ]
grounds = [ { id = "GND0", ohms = 0.001 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0.1 },
  { id = "W2", from = "F1.out", to = "E1.+", length = 0.1 },
  { id = "W3", from = "E1.-", to = "GND0", length = 0.1 },
  { id = "W4", from = "G1.-", to = "G2.+", length = 0.01 },
  { id = "W5", from = "G2.-", to = "GND0", length = 0.01 },
  { id = "W6", from = "G2.+", to = "E1.+", length = 0.1 },
  { id = "W7", from = "G3.+", to = "G1.+", length = 0.1 },
  { id = "W8", from = "G3.-", to = "GND0", length = 0.1 },
]
"""
"""Two batteries of 12 V in series, the link W4 tapped by W6, and a third of 24 V beside them."""


@pytest.mark.parametrize("side", ["negative", "positive"])
def test_links_in_series_stay_and_every_other_live_lead_is_off(side: str) -> None:
    """The tap W6 and the lead W7 between live posts are off at both their live ends, the link W4 is on.

    A positive ground turns every battery round. GND0 to its post is W5, 1 mΩ, beside W8 of 10 mΩ that ends on a post
    with no current of the lamp's: 5 mV at 5 A.
    """
    turned = SERIES.translate(str.maketrans("+-", "-+")).replace('E1.-"', 'E1.x"').replace('E1.+"', 'E1.-"')
    rows = SERIES if side == "negative" else turned.replace('E1.x"', 'E1.+"')
    rig = harness(
        rows,
        build=f'nominal_volts = 24, ground_side = "{side}"',
        batteries='{ id = "G1", emf = 12, ohms = 0.01 }, { id = "G2", emf = 12, ohms = 0.01 }, '
        '{ id = "G3", volts = 24, emf = 24, ohms = 0.01 }',
    )
    plan = grounds_plan(rig)
    row = row_of(plan, "lug GND0")
    off = {name for name, value in row.condition.settings if value == "off"}
    assert off == {"W1.a", "W6.a", "W7.a", "W7.b"}
    assert "links in series aside" in plan.rows[0].before[0]
    assert "The grounded clamps alone are on" in plan.rows[0].before[0]
    live = "positive" if side == "negative" else "negative"
    assert any(f"the {live} post of battery G1, bare" in line for line in row.before)
    assert row.expect == pytest.approx(5.0, rel=1e-3)
    assert row.expect == pytest.approx(millivolts(rig, row), rel=1e-3)


def test_a_strap_is_lit_at_the_end_that_sends_the_current_through_it() -> None:
    """W4 stands between the block and GND0, which the post is on: the lamp at GND1 drives 5 A over its 2 mΩ, 10 mV.

    Lit at GND0 the strap would carry nothing. Turned round in the file it reads alike.
    """
    turned = BLOCK.replace('from = "GND1", to = "GND0"', 'from = "GND0", to = "GND1"')
    for rows in (BLOCK, turned):
        row = row_of(grounds_plan(harness(rows)), "strap W4")
        assert (row.red, row.black) == ("GND1", "GND0")
        assert row.expect == pytest.approx(10.0, rel=1e-4)


def test_a_case_with_a_way_of_its_own_beside_reads_what_is_left_for_the_joint() -> None:
    """M1's case also has W5 of 1 mΩ straight to GND0; the way by N1 has 2 mΩ, 41 mΩ of GND1's bond and 2 mΩ of W4.

    Of 5 A a forty-sixth goes through N1 and leaves 0.217 mV; an ohmmeter would read 2 mΩ beside 44 mΩ, 9.6 mV at 5 A.
    """
    rows = BLOCK.replace(
        "length = 0.02 },\n]", 'length = 0.02 },\n  { id = "W5", from = "M1.-", to = "GND0", length = 0.01 },\n]'
    )
    rig = harness(rows, build="nominal_volts = 12, chassis = false")
    row = row_of(grounds_plan(rig), "case N1")
    assert row.expect == pytest.approx(5.0 / 46.0 * 2.0, rel=1e-3)
    assert row.expect == pytest.approx(millivolts(rig, row), rel=1e-3)
