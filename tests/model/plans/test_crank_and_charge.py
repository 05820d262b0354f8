"""The plan of cranking and charging: what a sound loom reads, and which bad joints its rows find."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import read_volts
from model.circuit.settle import settle
from model.circuit.survey import survey
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.plans.crank_and_charge import crank_and_charge_plan
from model.plans.crank_scene import pairs_of
from model.plans.judging import Standing, Taken, judge
from model.plans.plan import Measure, Plan, PlanRow
from model.sheets.plan_points import black_words, red_words
from model.tables import SourceKind
from tests.model.circuit.rig import harness

DEMO_BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))
STARTER = """
loads = [ { id = "M1", kind = "motor", label = "Starter", ohms = 0.05, works_in = ["crank"] } ]
grounds = [ { id = "GND0", ohms = 0.0002 } ]
joints = [
  { id = "N1", from = "K1.45", to = "M1.+", ohms = 0.0001 },
  { id = "N2", from = "M1.-", to = "CHASSIS", ohms = 0.0005 },
  { id = "N3", from = "K1.31", to = "CHASSIS", ohms = 0.0005 },
]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 0.01 },
  { id = "W2", from = "G1.+", to = "S1.30", length = 0.1 },
  { id = "W3", from = "S1.50", to = "K1.50", length = 0.1 },
  { id = "W4", from = "GND0", to = "G1.-", length = 0.01 },
]
[[relays]]
id = "K1"
label = "Solenoid"
ohms = 0.001
coils = [{ from = "50", to = "31", ohms = 1 }]
contacts = { rest = [], pulled = [["30", "45"]] }
[[switches]]
id = "S1"
key = true
terminals = [30, 15, 50]
positions = { off = [], on = [[30, 15]], crank = [[30, 50]] }
ohms = 0.01
"""
"""A starter of 0.05 Ω behind a solenoid contact of 1 mΩ, cables of 1 mΩ; the frame beside the stud has none."""
STATES = '{ name = "off" }, { name = "on" }, { name = "crank" }'
BATTERY = '{ id = "G1", emf = 12.7, ohms = 0.005 }'
DEFAULTS = "size = 0.195, crimp = 1e-9, chassis = 1e-9"
LOOP_OHMS = 0.005 + 0.001 + 0.001 + 0.0001 + 0.05 + 0.0005 + 0.0002 + 0.001
"""Battery, W1, contact, N1, starter, N2, GND0, W4: 58.8 mΩ."""


def starter_loom(rows: str = STARTER, **more: str) -> Harness:
    """Read the loom with a starter."""
    return harness(rows, **{"states": STATES, "batteries": BATTERY, "defaults": DEFAULTS, **more})


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of a plan by its key."""
    return next(row for row in plan.rows if row.key == key)


def read_as(loom: Harness, row: PlanRow, *faults: Fault) -> float:
    """Read a row on a loom with faults: volts from red to black, added up where it is the sum of two drops."""
    read = [read_volts(loom, replace(row.condition, faults=faults), *pair) for pair in pairs_of(row)]
    volts = [one for one in read if one is not None]
    assert len(volts) == len(read)
    return sum(volts)


def settled_amps(loom: Harness, row: PlanRow) -> float:
    """Give the amperes of the starter in the condition of a row."""
    loads = survey(loom, row.condition).loads
    return max(reading.amps for name, reading in loads.items() if loom.parts[name.partition(":")[0]].label == "Starter")


@pytest.fixture(scope="module", params=DEMO_BUILDS, ids=lambda path: path.stem)
def demo(request: pytest.FixtureRequest) -> tuple[Harness, Plan]:
    """Give a demo build and its plan."""
    build = read_harness(request.param)
    return build, crank_and_charge_plan(build)


@pytest.mark.slow
def test_rows_read_what_the_voltmeter_reads(demo: tuple[Harness, Plan]) -> None:
    """Each expectation is what a meter of 10 MΩ shows in the row's own condition, red on the higher side."""
    build, plan = demo
    for row in plan.rows:
        assert row.expect is not None
        assert row.expect >= 0
        if row.measure is Measure.VOLTS:
            assert row.expect == pytest.approx(read_as(build, row), abs=2e-3)


def test_each_build_has_rows_of_posts_starter_and_charger(demo: tuple[Harness, Plan]) -> None:
    """All three have a starter and a charger, so that nothing is left out; keys are unique."""
    build, plan = demo
    keys = [row.key for row in plan.rows]
    assert len(set(keys)) == len(keys)
    assert {row.group for row in plan.rows} >= {"At rest", "While cranking", "Charging"}
    assert {f"rest {battery.id}" for battery in build.batteries} <= set(keys)
    assert not any("no starter" in line or "no charger" in line for line in plan.about)


def test_a_bad_joint_of_a_drop_row_makes_it_bad(demo: tuple[Harness, Plan]) -> None:
    """A volt lost in a wire or bond that a row of the starter covers reads over its limit."""
    build, plan = demo
    tried, amps = 0, settled_amps(build, row_of(plan, next(row.key for row in plan.rows if "crank posts" in row.key)))
    for row in plan.rows:
        if row.key.startswith(("crank feed", "crank ground")):
            for site in row.covers:
                if site in build.parts:
                    volts = read_as(build, row, Fault(site, FaultKind.HIGH, added_ohms=1.0 / amps))
                    assert judge(row, Taken(volts)).standing is Standing.BAD, (row.key, site)
                    tried += 1
    assert tried >= 4


def test_no_name_in_a_title_is_cut(demo: tuple[Harness, Plan]) -> None:
    """Two parts with labels of forty characters fit; a list or a verdict cuts it once for its width."""
    _, plan = demo
    assert not [row.title for row in plan.rows if "..." in row.title]
    assert max(len(row.title) for row in plan.rows) > 60


def test_no_part_of_the_feed_may_lose_more_than_the_whole(demo: tuple[Harness, Plan]) -> None:
    """0.2 V per 100 A of any path are 0.42 V at the buggy's 212 A: more than the 0.4 V given for the whole feed."""
    _, plan = demo
    feeds = [row.limit.high for row in plan.rows if row.key.startswith("crank feed") and row.limit is not None]
    assert feeds
    assert all(high is not None for high in feeds)
    assert feeds == sorted(feeds, key=lambda high: high or 0.0)


def test_cranking_rows_carry_the_caution_and_its_times(demo: tuple[Harness, Plan]) -> None:
    """30 s at most, then 2 min of rest (TM 10-3930-671-24) stand before every row in which the starter turns."""
    _, plan = demo
    turning = [row for row in plan.rows if row.group in ("While cranking", "Start control, while cranking")]
    assert turning
    for row in turning:
        assert any("30 s" in caution and "2 min" in caution for caution in row.cautions), row.key


def test_posts_and_drops_of_a_starter_by_hand() -> None:
    """12.7 V over 58.8 mΩ of the loop are 216.0 A; the coil of 1 Ω and its 0.02 Ω of wire, 0.01 Ω of key beside it.

    Feed 2.1 mΩ times the starter's current alone; on the ground side N2 of 0.5 mΩ has that, GND0 and W4 of 1.2 mΩ have
    the 11.2 A of the coil with it; the posts have 12.7 V less 5 mΩ times both.
    """
    loom = starter_loom()
    plan = crank_and_charge_plan(loom)
    amps = settled_amps(loom, row_of(plan, "crank posts G1"))
    assert amps == pytest.approx(12.7 / LOOP_OHMS, rel=0.01)
    assert row_of(plan, "crank feed M1.+").expect == pytest.approx(0.0021 * amps, rel=1e-4)
    assert row_of(plan, "crank feed K1").expect == pytest.approx(0.001 * amps, rel=1e-4)
    assert row_of(plan, "crank contact K1").expect == pytest.approx(0.001 * amps, rel=1e-4)
    ground = row_of(plan, "crank ground M1.-")
    assert ground.expect == pytest.approx(0.0005 * amps + 0.0012 * (amps + 11.2), rel=0.002)
    assert set(ground.covers) == {"N2", "GND0", "W4"}
    posts = row_of(plan, "crank posts G1")
    assert posts.expect == pytest.approx(12.7 - 0.005 * (amps + 12.7 / 1.09), rel=0.005)


def test_a_loom_of_12_volts_has_no_published_limit_of_its_frame() -> None:
    """0.1 V from frame to post are printed for trucks of 24 V (TM 9-2320-211-20): a judgement at 12 V, and said."""
    for volts, emf, kind in ((12, 12.7, SourceKind.JUDGEMENT), (24, 25.4, SourceKind.PUBLISHED)):
        batteries = f'{{ id = "G1", emf = {emf}, ohms = 0.005 }}'
        loom = starter_loom(build=f"nominal_volts = {volts}", batteries=batteries)
        limit = row_of(crank_and_charge_plan(loom), "crank frame").limit
        assert limit is not None
        assert (limit.high, limit.source_kind) == (0.1, kind)
        assert ("given for 24 V" in limit.source) is (volts == 12)


def test_the_limits_are_those_of_the_manuals() -> None:
    """0.4 V from post to starter, 0.2 V per 100 A (TM 10-3930-671-24), 1 V of control (TM 5-2420-230-24-2), 0.3 V.

    Past 200 A the second is the wider one for the whole feed too; 11.5 V over 58.8 mΩ drive 196 A.
    """
    weaker = crank_and_charge_plan(starter_loom(batteries=BATTERY.replace("12.7", "11.5")))
    limit = row_of(weaker, "crank feed M1.+").limit
    assert limit is not None
    assert (limit.high, limit.source) == (0.4, "US Army TM 10-3930-671-24, p. F-303")
    plan = crank_and_charge_plan(starter_loom())
    limits = {row.key: row.limit for row in plan.rows if row.limit is not None}
    feed, ground = limits["crank feed M1.+"], limits["crank ground M1.-"]
    assert feed.high == ground.high
    assert ground.high == pytest.approx(0.2 * 216.0 / 100.0, rel=0.02)
    assert ground.source == "US Army TM 10-3930-671-24, p. F-303"
    assert (limits["control K1"].high, limits["control K1"].source) == (1.0, "US Army TM 5-2420-230-24-2, p. 13-33")
    assert limits["crank contact K1"].high == 0.3
    assert limits["crank posts G1"].low == 9.6
    assert limits["rest G1"].low == 12.4


def test_the_drops_of_both_sides_of_the_start_control_are_added() -> None:
    """1.0 V are for both sides together (TM 5-2420-230-24-2, p. 13-33): 0.3 V lost on one are good, on each bad.

    The coil of 1 Ω has about 11 A: 30 mΩ of W2, W3 and key lose 0.33 V, GND0 and W4 of 1.2 mΩ 0.27 V with the starter's
    current in them, 0.6 V in all. 30 mΩ more on one side make about 0.9 V of it, on both 1.2 V.
    """
    loom = starter_loom()
    row = row_of(crank_and_charge_plan(loom), "control K1")
    assert pairs_of(row) == (("G1.+", "K1.50"), ("K1.31", "G1.-"))
    assert (row.red, row.black) == ("", "")
    assert any("add them and type the sum" in line for line in row.before)
    words = red_words(loom, row)
    assert words.count(" and black on ") == 2
    assert words.index("K1") < words.index(", then ")
    assert black_words(loom, row) == ""
    sides = [read_volts(loom, row.condition, *pair) or 0.0 for pair in pairs_of(row)]
    assert row.expect == pytest.approx(sum(sides), abs=1e-3)
    assert judge(row, Taken(row.expect)).standing is Standing.GOOD
    feed, ground = (Fault(site, FaultKind.HIGH, added_ohms=0.03) for site in ("W3", "N3"))
    for fault in (feed, ground):
        assert judge(row, Taken(read_as(loom, row, fault))).standing is Standing.GOOD
    both = read_as(loom, row, feed, ground)
    assert both == pytest.approx(1.24, abs=0.05)
    assert judge(row, Taken(both)).standing is Standing.BAD
    assert {"W3", "N3"} <= set(row.covers)


def test_a_bad_clamp_shows_from_post_to_clamp() -> None:
    """1 mΩ at the plus clamp drops about 0.21 V, 212 mV: over 50 mV, which is a judgement; whole it reads 0."""
    loom = starter_loom()
    row = row_of(crank_and_charge_plan(loom), "clamp G1.+")
    assert (row.measure, row.red, row.black, row.expect) == (Measure.MILLIVOLTS, "G1.+", "", 0.0)
    settled = settle(loom, replace(row.condition, faults=(Fault("G1.+", FaultKind.HIGH, added_ohms=0.001),)))
    index = settled.net.index
    read = 1000.0 * float(settled.volts[index["G1.+"]] - settled.volts[index["G1.+ clamp"]])
    assert read == pytest.approx(224.0, abs=15.0)
    assert judge(row, Taken(read)).standing is Standing.BAD
    assert judge(row, Taken(0.0)).standing is Standing.GOOD
    assert row.limit is not None
    assert row.limit.source_kind is SourceKind.JUDGEMENT


def test_key_feeds_tell_live_from_dead_in_crank() -> None:
    """Terminal 50 is live in crank and 15 is not: each has its band, and a welded 30-15 makes that of 15 bad.

    A pilot lamp ties 15 to the stud, which W4 lifts by 1 mΩ times what returns there.
    """
    loom = starter_loom()
    plan = crank_and_charge_plan(loom)
    live, dead = row_of(plan, "key feed S1.50"), row_of(plan, "key feed S1.30")
    assert live.expect == pytest.approx(dead.expect or 0.0, abs=0.3)
    assert "key feed S1.15" not in [row.key for row in plan.rows]
    with_lamp = STARTER.replace(
        'works_in = ["crank"] }', 'works_in = ["crank"] }, { id = "E1", kind = "lamp", watts = 2, label = "Pilot" }'
    ).replace(
        "wires = [",
        'wires = [\n  { id = "W5", from = "S1.15", to = "E1.+" },\n  { id = "W6", from = "E1.-", to = "GND0" },',
    )
    loom = starter_loom(with_lamp)
    row = row_of(crank_and_charge_plan(loom), "key feed S1.15")
    assert row.expect == pytest.approx(0.001 * (settled_amps(loom, row) + 11.2), rel=0.01)
    welded = read_as(loom, row, Fault("S1:30-15", FaultKind.STUCK))
    assert judge(row, Taken(welded)).standing is Standing.BAD


def test_a_24_volt_starter_has_its_own_limits() -> None:
    """18 V of posts (TM 9-2320-211-20), 2 V of control (TM 5-2420-230-24-2), 24.8 V at rest by proportion."""
    loom = starter_loom(build="nominal_volts = 24", batteries='{ id = "G1", emf = 25.4, ohms = 0.005 }')
    limits = {row.key: row.limit for row in crank_and_charge_plan(loom).rows if row.limit is not None}
    assert limits["crank posts G1"].low == 18.0
    assert limits["control K1"].high == 2.0
    assert limits["rest G1"].low == pytest.approx(24.8)


CHARGED = """
chargers = [ { id = "G2", volts = 14.2, ohms = 0.02 } ]
loads = [ { id = "E1", kind = "heater", ohms = 1 } ]
switches = [ { id = "S1", label = "Lamps" } ]
wires = [
  { id = "W1", from = "G1.+", to = "G2.+", length = 0.02 },
  { id = "W2", from = "G2.-", to = "G1.-", length = 0.01 },
  { id = "W3", from = "G1.+", to = "S1.1", length = 0.01 },
  { id = "W4", from = "S1.2", to = "E1.+", length = 0.01 },
  { id = "W5", from = "E1.-", to = "G1.-", length = 0.01 },
]
"""


def test_charging_has_posts_idle_and_loaded_and_both_leads() -> None:
    """The lamp switch goes on for "loads on": 14.2 V behind 20 mΩ, leads of 2 mΩ and 1 mΩ.

    Drops go with the charger's current: the + lead has twice the drop of the - lead.
    """
    loom = harness(CHARGED, batteries='{ id = "G1", emf = 12.7, ohms = 0.005, charged_emf = 13.6 }')
    plan = crank_and_charge_plan(loom)
    assert "no starter" in " ".join(plan.about)
    idle, loaded = row_of(plan, "charge G2 idle G1"), row_of(plan, "charge G2 loaded G1")
    assert (idle.condition.key, idle.condition.by_name) == ("running", {})
    assert loaded.condition.by_name == {"S1": "on"}
    plus, minus = row_of(plan, "charge lead G2.+"), row_of(plan, "charge lead G2.-")
    assert plus.expect == pytest.approx(2 * (minus.expect or 0.0), rel=1e-3)
    assert plus.limit is not None
    assert minus.limit is not None
    assert (plus.limit.high, minus.limit.high) == (0.5, 0.2)


@pytest.mark.parametrize(
    ("label", "how"),
    [
        ("Dynamo with its cut-out", "fast idle (charge lamp out), loads off"),
        ("Generator, cutout on the bulkhead", "fast idle (charge lamp out), loads off"),
        ("Alternator", "engine idling, loads off"),
    ],
)
def test_posts_of_a_dynamo_are_read_with_its_cut_out_closed(label: str, how: str) -> None:
    """At idle the cut-out of a dynamo is open and the posts show the battery; an alternator charges at idle."""
    text = CHARGED.replace('id = "G2", ', f'id = "G2", label = "{label}", ')
    loom = harness(text, batteries='{ id = "G1", emf = 12.7, ohms = 0.005, charged_emf = 13.6 }')
    row = row_of(crank_and_charge_plan(loom), "charge G2 idle G1")
    assert row.title.endswith(how)
    assert any("cut-out of a dynamo is open" in line for line in row.before) == ("idling" not in how)


def test_a_dead_charger_makes_the_posts_bad() -> None:
    """Without output the posts stay at the battery's 12.7 V, under 13.2 V."""
    loom = harness(CHARGED, batteries='{ id = "G1", emf = 12.7, ohms = 0.005, charged_emf = 13.6 }')
    row = row_of(crank_and_charge_plan(loom), "charge G2 idle G1")
    assert judge(row, Taken(row.expect)).standing is Standing.GOOD
    dead = read_as(loom, row, Fault("G2", FaultKind.NO_OUTPUT))
    assert judge(row, Taken(dead)).standing is Standing.BAD


def test_what_the_loom_does_not_have_is_left_out_and_said() -> None:
    """A battery alone: its posts at rest, and two sentences."""
    plan = crank_and_charge_plan(harness(""))
    assert [row.key for row in plan.rows] == ["rest G1"]
    assert any("no starter" in line for line in plan.about)
    assert any("no charger" in line for line in plan.about)


def test_a_starter_that_nothing_feeds_is_named() -> None:
    """No key state and no switch turns it: no row, and why."""
    plan = crank_and_charge_plan(harness('loads = [ { id = "M1", kind = "motor", label = "Starter", amps = 100 } ]'))
    assert [row.key for row in plan.rows] == ["rest G1"]
    assert any("M1" in line for line in plan.left_out)


def test_a_lithium_battery_has_no_lead_limits() -> None:
    """Its band is that of the file, since volts of lead say nothing of it."""
    loom = harness("", batteries='{ id = "G1", emf = 13.2, chemistry = "lithium" }')
    row = row_of(crank_and_charge_plan(loom), "rest G1")
    assert row.limit is not None
    assert row.limit.source == "computed"
    assert row.limit.low is not None
    assert row.limit.low < 13.2
