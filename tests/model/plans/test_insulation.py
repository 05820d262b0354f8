"""The insulation plan: what a meter on ohms shows of each feed, and which shorts it tells."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from model.circuit.condition import OUT
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import read_ohms
from model.harness.harness import Harness
from model.harness.metal import wire_points
from model.harness.records import Wire
from model.harness.toml_file import read_harness
from model.plans.insulation import insulation_plan
from model.plans.insulation_suspects import suspects_of
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import Measure, Plan, PlanRow
from model.tables import SourceKind
from tests.model.circuit.rig import CHAIN, harness

DEMO_BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
LAMPS = """
fuses = [ { id = "F1", amps = 15, ohms = 0.1 }, { id = "F2", amps = 15, ohms = 0.1 } ]
switches = [ { id = "S1" } ]
loads = [
  { id = "E1", kind = "lamp", watts = 60, at = 12 },
  { id = "E2", kind = "lamp", watts = 12, at = 12 },
  { id = "E3", kind = "lamp", watts = 2, at = 12 },
]
relays = [ { id = "K1" } ]
modules = [ { id = "A1", feeds = [{ terminal = "30", amps = 1 }] } ]
grounds = [ { id = "GND0" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "G1.+", to = "F2.in", length = 1 },
  { id = "W3", from = "F1.out", to = "E1.+", length = 0.1 },
  { id = "W4", from = "F1.out", to = "E2.+", length = 0.1 },
  { id = "W5", from = "E1.-", to = "GND0", length = 0.1 },
  { id = "W6", from = "E2.-", to = "GND0", length = 0.1 },
  { id = "W7", from = "F2.out", to = "S1.1", length = 0.1 },
  { id = "W8", from = "S1.2", to = "E3.+", length = 0.1 },
  { id = "W9", from = "E3.-", to = "GND0", length = 0.1 },
  { id = "W10", from = "S1.2", to = "K1.30", length = 0.1 },
  { id = "W11", from = "K1.87", to = "A1.30", length = 0.1 },
  { id = "W12", from = "GND0", to = "G1.-", length = 1 },
]
"""
"""Two lamps of 60 W and 12 W that hang on F1, a lamp of 2 W behind F2 and a switch, and a unit behind an open relay."""


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of a plan by its key."""
    return next(row for row in plan.rows if row.key == key)


def read_as(loom: Harness, row: PlanRow, *faults: Fault) -> float:
    """Read a row on a loom with faults by the slow way; infinite where open."""
    ohms = read_ohms(loom, replace(row.condition, faults=faults), row.red, row.black)
    return math.inf if ohms is None else ohms


@pytest.fixture(scope="module", params=DEMO_BUILDS, ids=lambda path: path.stem)
def demo(request: pytest.FixtureRequest) -> tuple[Harness, Plan]:
    """Give a demo build and its plan."""
    build = read_harness(request.param)
    return build, insulation_plan(build)


@pytest.mark.slow
def test_rows_read_what_the_meter_reads(demo: tuple[Harness, Plan]) -> None:
    """Each expectation is what the ohmmeter of the circuit shows in the row's own condition."""
    build, plan = demo
    assert plan.rows
    for row in plan.rows:
        assert row.measure is Measure.OHMS
        assert row.expect == pytest.approx(read_as(build, row), rel=1e-6, abs=1e-9)


@pytest.mark.slow
def test_every_covered_wire_makes_its_row_bad(demo: tuple[Harness, Plan]) -> None:
    """With its insulation through to the body a wire that a row covers reads outside the limit, read the slow way."""
    build, plan = demo
    shorts = 0
    for row in plan.rows:
        for wire_id in row.covers:
            if wire_id in build.parts and wire_id.startswith("W"):
                kind = (FaultKind.TO_BODY, "") if build.build.chassis else (FaultKind.TOUCHES, row.black)
                ohms = read_as(build, row, Fault(wire_id, *kind))
                assert judge(row, Taken(ohms)).standing is Standing.BAD, (row.key, wire_id, ohms)
                shorts += 1
    assert shorts > 20


def test_a_sound_loom_is_good_unless_a_row_is_blind(demo: tuple[Harness, Plan]) -> None:
    """What the computed loom reads is good, and unproven where the row could not fail."""
    _, plan = demo
    for row in plan.rows:
        assert row.expect is not None
        standing = judge(row, Taken(row.expect)).standing
        assert standing is (Standing.GOOD if row.tells else Standing.UNPROVEN)


def test_every_wire_is_proven_ground_or_named(demo: tuple[Harness, Plan]) -> None:
    """No wire falls out: each is covered by a row, on the grounded side, or named as not to be told, with why."""
    build, plan = demo
    covered = {name for row in plan.rows for name in row.covers}
    named = {line.split(":")[0].split(" ")[0] for line in plan.undetected}
    left = {wire.id for wire in build.wires} - covered - named
    ground = plan.rows[0].red if build.build.ground_side == "positive" else plan.rows[0].black
    for wire_id in left:
        point = wire_points(build, build.part_of(wire_id, Wire))[0]
        assert read_as(build, replace(plan.rows[0], red=point, black=ground)) < 0.5
    assert not covered & named


def test_keys_are_unique_and_the_same_again(demo: tuple[Harness, Plan]) -> None:
    """A row is known in the record by its key."""
    build, plan = demo
    keys = [row.key for row in plan.rows]
    assert len(set(keys)) == len(keys)
    assert [row.key for row in insulation_plan(build).rows] == keys


def test_cold_lamps_give_their_ohms() -> None:
    """60 W and 12 W at 12 V are 2.4 Ω and 12 Ω hot, 0.2 Ω and 1 Ω cold (a twelfth); with W3 to W6 and the ground post.

    (0.2 + 0.01 + 0.01) beside (1 + 0.01 + 0.01) is 0.18097 Ω, and W12 of 0.1 Ω behind both: 0.28097 Ω.
    """
    row = row_of(insulation_plan(harness(LAMPS)), "group F1.out")
    assert row.expect == pytest.approx(0.22 * 1.02 / 1.24 + 0.1, rel=1e-6)


def test_a_row_that_cold_lamps_blind_names_the_fewest_to_unplug() -> None:
    """0.281 Ω is under three times the 0.202 Ω that a meter may be off by: with the 60 W lamp out 1.12 Ω tell.

    The 12 W lamp alone reads 1 + 0.02 + 0.1 = 1.12 Ω, the least of it (lamps 12 %, wires 25 % less, the meter off) is
    0.12 Ω of wire at three quarters and 0.88 Ω less 0.208 Ω: 0.762 Ω, far over the 0.11 Ω of a short.
    """
    plan = insulation_plan(harness(LAMPS))
    row = row_of(plan, "group F1.out")
    assert (row.tells, row.opens, row.covers) == (False, ("E1",), ())
    assert "Unplug E1" in row.blind
    after = row_of(plan, "group F1.out without E1")
    assert after.condition.by_name["E1"] == OUT
    assert after.tells
    assert after.expect == pytest.approx(1.12)
    assert after.limit is not None
    assert after.limit.low == pytest.approx(0.88 + 0.12 * 0.75 - 0.2 - 0.008 * (0.88 + 0.12 * 0.75), rel=1e-4)
    assert {"W3", "W4"} <= set(after.covers)


def test_a_switch_is_closed_for_the_wires_behind_it() -> None:
    """W8 and W10 hang on F2 with S1 on alone; the 2 W lamp reads 6 Ω cold."""
    plan = insulation_plan(harness(LAMPS))
    assert row_of(plan, "group F2.out").expect == math.inf
    assert row_of(plan, "group F2.out").covers == ("W7",)
    row = row_of(plan, "group F2.out S1=on")
    assert set(row.covers) == {"W7", "W8", "W10"}
    assert row.expect == pytest.approx(6.0 + 0.13 + 0.1, abs=0.1)


def test_what_hangs_behind_an_open_relay_is_not_counted_as_proven() -> None:
    """W11 behind the open contact of K1 is named, with where its proof is."""
    plan = insulation_plan(harness(LAMPS))
    (line,) = [line for line in plan.undetected if line.startswith("W11:")]
    assert "K1" in line
    assert "continuity" in line


def test_no_value_is_promised_through_a_control_unit() -> None:
    """A unit that hangs on the fuse is unplugged, and the row says so."""
    loom = harness(
        LAMPS.replace('to = "K1.30"', 'to = "A1.30"').replace('from = "K1.87", to = "A1.30"', 'from = "K1.87"')
    )
    row = row_of(insulation_plan(loom), "group F2.out S1=on")
    assert row.condition.by_name["A1"] == OUT
    assert any("Unplug A1" in line for line in row.before)
    assert row.expect == pytest.approx(6.0 + 0.13 + 0.1, abs=0.1)


def test_every_fuse_out_has_a_limit_of_its_own() -> None:
    """The live clamp alone reads open: 10 kΩ at least, which no source prints."""
    row = insulation_plan(harness(LAMPS)).rows[0]
    assert (row.key, row.red, row.black, row.expect) == ("all out G1.+", "G1.+", "G1.-", math.inf)
    assert row.limit is not None
    assert (row.limit.low, row.limit.source_kind) == (10000.0, SourceKind.JUDGEMENT)


def test_a_load_without_a_fuse_lowers_the_limit_to_a_share_of_itself() -> None:
    """4.8 Ω between the posts with all fuses out: 80 % of 4.8 Ω and the wires' 0.2 Ω, 4.0 Ω."""
    rows = """
loads = [ { id = "E1", kind = "heater", ohms = 4.8 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", length = 1 },
  { id = "W2", from = "E1.-", to = "GND0", length = 0.5 },
  { id = "W3", from = "GND0", to = "G1.-", length = 0.5 },
]
grounds = [ { id = "GND0" } ]
"""
    row = insulation_plan(harness(rows)).rows[0]
    assert row.expect == pytest.approx(5.0)
    assert row.limit is not None
    assert row.limit.low == pytest.approx(4.0)
    assert row.tells


def test_one_fuse_in_shows_what_hangs_on_it() -> None:
    """With F1 alone in, the live clamp reads its lamps and 0.1 Ω of W1 and of the fuse each."""
    row = row_of(insulation_plan(harness(LAMPS)), "fitted F1")
    assert row.expect == pytest.approx(0.22 * 1.02 / 1.24 + 0.1 + 0.2, rel=1e-6)
    assert row.covers == ("F1",)
    assert "F1" not in row.condition.by_name
    assert row.condition.by_name["F2"] == OUT


def test_a_fuse_whose_feed_comes_to_its_out_is_read_at_its_in() -> None:
    """A fuse drawn the wrong way round has its loads on ``in``."""
    rows = CHAIN.replace('to = "F1.in"', 'to = "F1.out"').replace(
        'from = "F1.out", to = "S1.1"', 'from = "F1.in", to = "S1.1"'
    )
    assert "group F1.in" in [row.key for row in insulation_plan(harness(rows)).rows]


def test_red_stands_on_plus_with_a_positive_ground() -> None:
    """So that diodes block: the grounded plus post has the red probe."""
    rows = CHAIN.replace("G1.+", "G1.x").replace("G1.-", "G1.+").replace("G1.x", "G1.-")
    rig = harness(rows, build='nominal_volts = 12, ground_side = "positive"')
    plan = insulation_plan(rig)
    assert {row.red for row in plan.rows} == {"G1.+"}
    assert row_of(plan, "group F1.out").black == "F1.out"


def test_a_restraint_is_never_read_through() -> None:
    """A fuse that feeds a belt tensioner is left out with why, and none of its points is a probe point."""
    rows = CHAIN.replace('kind = "heater", ohms = 4.8', 'kind = "heater", ohms = 4.8, hazard = "restraint"')
    plan = insulation_plan(harness(rows))
    assert "group F1.out S1=on" not in [row.key for row in plan.rows]
    assert all("E1" not in point for row in plan.rows for point in row.points)


def test_suspects_are_those_that_read_so() -> None:
    """0.13 Ω at F2 with S1 on: W7, W8 and W10 through to the body agree, the 2 W lamp's 6 Ω is sound, E3 shorted fits.

    W7 in its middle: 0.005 + 0.01 + 0.04 (GND0) ... + 0.1 of W12: about 0.2 Ω; each is within 0.2 Ω of the reading.
    """
    loom = harness(LAMPS)
    row = row_of(insulation_plan(loom), "group F2.out S1=on")
    found = suspects_of(loom, row, 0.2)
    assert {"W7", "W8", "W10", "E3:load"} <= {suspect.site for suspect in found}
    for suspect in found:
        if suspect.kind in (FaultKind.TO_BODY, FaultKind.SHORT):
            assert suspect.ohms == pytest.approx(
                read_as(loom, row, Fault(suspect.site, suspect.kind)), rel=0.02, abs=0.002
            )
    assert list(found) == sorted(found, key=lambda one: abs(one.ohms - 0.2))


def test_a_good_reading_has_no_suspects() -> None:
    """Open where open is expected suspects nobody; so does a leak that no single fault explains."""
    loom = harness(LAMPS)
    row = row_of(insulation_plan(loom), "group F2.out")
    assert suspects_of(loom, row, math.inf) == ()
    assert suspects_of(loom, row, 5000.0) == ()


@pytest.mark.parametrize("states", ['{ name = "on" }'])
def test_odd_looms_give_a_plan(states: str) -> None:
    """No fuse, no key, no ground, no chassis, several batteries in series: each gives rows or none, never an error."""
    bare = harness("", states=states)
    assert [row.key for row in insulation_plan(bare).rows] == ["all out G1.+"]
    two = harness(
        'joints = [ { id = "N1", from = "G1.-", to = "G2.+" } ]',
        build="nominal_volts = 24, chassis = false",
        batteries='{ id = "G1" }, { id = "G2" }',
        states=states,
    )
    plan = insulation_plan(two)
    assert {row.black for row in plan.rows} == {"G2.-"}
    assert [row.key for row in plan.rows] == ["all out G1.+", "all out G1.-"]


def test_the_field_winding_of_a_charger_is_taken_off() -> None:
    """A charge lamp leads to D+, whose winding no figure promises: it is taken off, and the lamp hangs on nothing."""
    rows = """
chargers = [ { id = "G2", volts = 14, exciter = { terminal = "D+" } } ]
fuses = [ { id = "F1", amps = 5 } ]
loads = [ { id = "E1", kind = "lamp", watts = 2 } ]
grounds = [ { id = "GND0" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "F1.out", to = "E1.+", length = 1 },
  { id = "W3", from = "E1.-", to = "G2.D+", length = 1 },
  { id = "W4", from = "G2.-", to = "GND0", length = 1 },
  { id = "W5", from = "GND0", to = "G1.-", length = 1 },
]
"""
    row = row_of(insulation_plan(harness(rows)), "group F1.out")
    assert any("D+ of G2" in line for line in row.before)
    assert row.covers == ("W2", "W3")


def test_a_post_that_no_wire_leaves_can_still_be_bad() -> None:
    """A bar on the post alone: a short of it reads under 10 kΩ, so that the row is proof."""
    rig = harness('busbars = [ { id = "BB1" } ]\njoints = [ { id = "N1", from = "G1.+", to = "BB1" } ]')
    (row,) = insulation_plan(rig).rows
    assert row.tells
    assert judge(row, Taken(0.1)).standing is Standing.BAD


def test_names_from_the_file_are_harmless() -> None:
    """Labels, positions and key states with control characters or turned writing reach no text of a row."""
    bad = "\\u001b[31mX[/red]\\u202e"
    rows = CHAIN.replace(
        '{ id = "S1" }', f'{{ id = "S1", label = "{bad}", positions = {{ off = [], "{bad}" = [["1", "2"]] }} }}'
    )
    plan = insulation_plan(
        harness(rows.replace('{ id = "F1",', f'{{ id = "F1", label = "{bad}",'), states=f'{{ name = "{bad}" }}')
    )
    assert any("S1=" in row.key for row in plan.rows)
    for row in plan.rows:
        texts = (row.key, row.title, row.group, row.blind, *row.before, *row.cautions)
        assert not [text for text in texts if "\x1b" in text or "\u202e" in text]
