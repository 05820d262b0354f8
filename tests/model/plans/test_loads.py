"""The plan of the loads: which rows there are, what they expect, and that a fault makes one of them bad."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache
from itertools import groupby

import pytest

from model.cautions import cranks, engine_turns, wants_engine_off
from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.circuit.meter import read_volts
from model.harness.harness import Harness, all_elements
from model.harness.hazards import may_be_probed
from model.plans.judging import Standing, Taken, judge
from model.plans.kept import Measuring, kept_answers, measured_entry, row_now
from model.plans.limits import COMPUTED
from model.plans.loads import loads_plan
from model.plans.plan import Measure, Plan, PlanKind, PlanRow
from model.plans.row_words import expect_words
from model.tables import SourceKind
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

LAMP = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", positions = { off = [], on = [[1, 2]] } } ]
loads = [ { id = "E1", kind = "lamp", watts = 48, works_with = { S1 = "on" } } ]
"""
KEYED = """
switches = [
  { id = "S0", key = true, terminals = [30, 75, 15], positions = { off = [], acc = [[30, 75]], on = [[30, 75, 15]] } },
]
loads = [ { id = "E1", kind = "heater", watts = 48, label = "Pane" } ]
"""
KEY_STATES = '{ name = "off" }, { name = "acc" }, { name = "on" }'


@cache
def plan_of(name: str) -> tuple[Harness, Plan]:
    """Make the plan of a demo build once for all tests."""
    harness = demo(name)
    return harness, loads_plan(harness)


def lamp_rig(build: str = "nominal_volts = 12", battery: str = '{ id = "G1", emf = 12.6, ohms = 0.01 }') -> Harness:
    """Give a lamp behind a fuse and a switch, a metre of 1.5 mm² to each."""
    ends = ("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- G1.-")
    return rig(LAMP + wires(*ends), build=build, batteries=battery)


def row_of(plan: Plan, key: str) -> PlanRow:
    """Give the row of this key."""
    return next(row for row in plan.rows if row.key == key)


def test_a_load_has_its_three_figures_as_reckoned_by_hand() -> None:
    """Volts across a 48 W heater, its feed and its ground, by Ohm's law.

    IEC 60228 class 5: 1.5 mm² has at most 13.3 mΩ/m, with two crimps of 0.5 mΩ each 14.3 mΩ a wire. A 10 A blade fuse
    cold has some 7.5 mΩ; with 10 mΩ of battery, 10 mΩ of switch and 3 Ω of load 4.1 A flow from 12.6 V, so that the
    ground stands at 4.1 A × 14.3 mΩ = 59 mV and the feed at that and the 12.34 V across the load.
    """
    harness = rig(
        LAMP.replace('"lamp"', '"heater"') + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- G1.-"),
        batteries='{ id = "G1", emf = 12.6, ohms = 0.01 }',
    )
    plan = loads_plan(harness)
    around_ohms = 4 * 0.0143 + 0.0075 + 0.01 + 0.01
    amps = 12.6 / (3.0 + around_ohms)
    assert row_of(plan, "E1:load across").expect == pytest.approx(3.0 * amps, abs=0.01)
    assert row_of(plan, "E1:load ground").expect == pytest.approx(0.0143 * amps, abs=0.001)
    assert row_of(plan, "E1:load feed").expect == pytest.approx((3.0 + 0.0143) * amps, abs=0.01)
    assert row_of(plan, "F1 amps off S1=on").expect == pytest.approx(amps, abs=0.02)
    assert row_of(plan, "E1:load across").condition == make_condition(harness, "off", ("S1=on",))


def test_a_band_stands_beside_the_volts_only_where_the_limit_has_one_end() -> None:
    """A feed has a band for its limit and says it once; the limit across a load is a floor, beside which it stands."""
    harness = rig(
        LAMP.replace('"lamp"', '"heater"') + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- G1.-"),
        batteries='{ id = "G1", emf = 12.6, ohms = 0.01 }',
    )
    plan = loads_plan(harness)
    feed, across = row_of(plan, "E1:load feed"), row_of(plan, "E1:load across")
    assert feed.limit is not None
    assert feed.limit.low is not None
    assert expect_words(feed) == f"{feed.expect:.2f} V"
    assert across.limit is not None
    assert across.limit.high is None
    assert expect_words(across).startswith(f"{across.expect:.2f} V, ")
    assert " to " in expect_words(across)


@pytest.mark.slow
def test_the_floor_of_a_load_is_the_published_one() -> None:
    """10 % of 12 V lost out and back leaves 10.8 V, 3 % leaves 11.64 V (ISO 10133); 85 % of 13.5 V are 11.475 V.

    The last is for lamps with the engine running: California Code of Regulations, Title 13, section 1249(c).
    """
    _, plan = plan_of("trail_buggy")
    assert _low(plan, "E8:load across") == pytest.approx(10.8)
    assert _low(plan, "P1:load across") == pytest.approx(11.64)
    running = row_of(plan, "E8:load in running")
    assert running.limit is not None
    assert running.limit.low == pytest.approx(11.475)
    assert "1249" in running.limit.source
    assert running.limit.source_kind is SourceKind.PUBLISHED


def _low(plan: Plan, key: str) -> float | None:
    limit = row_of(plan, key).limit
    assert limit is not None
    return limit.low


GROUNDS = [(6, 0.1, SourceKind.JUDGEMENT), (12, 0.2, SourceKind.COMMON_PRACTICE), (24, 0.4, SourceKind.JUDGEMENT)]


@pytest.mark.parametrize(("nominal", "most", "kind"), GROUNDS)
def test_the_limit_of_a_ground_goes_with_the_nominal_volts(nominal: int, most: float, kind: SourceKind) -> None:
    """0.2 V at 12 V for a lamp by workshop practice; half at 6 V and twice at 24 V are a judgement."""
    plan = loads_plan(lamp_rig(f"nominal_volts = {nominal}", '{ id = "G1" }'))
    limit = row_of(plan, "E1:load ground").limit
    assert limit is not None
    assert limit.high == pytest.approx(most)
    assert limit.low == pytest.approx(-most)
    assert limit.source_kind is kind


def test_a_load_stays_off_in_the_state_that_closes_most() -> None:
    """What is wrongly fed in off is so in accessory too, so that accessory alone is asked after."""
    harness = rig(KEYED + wires("G1.+ S0.30", "S0.15 E1.+", "E1.- G1.-"), states=KEY_STATES)
    states = {row.condition.key for row in loads_plan(harness).rows if row.key.startswith("E1:load in")}
    assert states == {"acc"}


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_each_load_of_a_demo_build_has_its_rows_or_its_reason(name: str) -> None:
    """Every element that may be probed has rows; what works only while the engine turns is named instead."""
    harness, plan = plan_of(name)
    said = " ".join((*plan.left_out, *plan.undetected))
    for element in all_elements(harness):
        rows = [row for row in plan.rows if row.key.startswith(f"{element.name} ")]
        if any(may_be_probed(harness, point) for point in (element.from_point, element.to_point)):
            assert rows == []
            continue
        assert rows, element.name
        if f"({element.name})" not in said:
            assert {f"{element.name} {word}" for word in ("across", "feed")} <= {row.key for row in rows}


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_sound_loom_passes_every_row(name: str) -> None:
    """What the healthy circuit gives keeps every limit, but where the loom as drawn cannot and the row says so."""
    _, plan = plan_of(name)
    assert plan.kind is PlanKind.LOADS
    for row in plan.rows:
        if row.measure is Measure.SEEN:
            continue
        assert row.expect is not None
        standing = judge(row, Taken(value=row.expect)).standing
        assert standing is (Standing.UNPROVEN if "as it is drawn" in row.blind else Standing.GOOD), row.key


def stage(harness: Harness, row: PlanRow) -> str:
    """Tell how the engine stands while a row is read."""
    if cranks(harness, row.condition):
        return "cranked"
    return "running" if engine_turns(harness, row.condition) else "off"


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_each_place_is_gone_to_once_for_each_stage_of_the_engine(name: str) -> None:
    """Engine off, cranked, running: the stages follow one another, and in each the rows of a place stand together."""
    harness, plan = plan_of(name)
    stages = [list(rows) for _, rows in groupby(plan.rows, key=lambda row: stage(harness, row))]
    assert len(stages) == len({stage(harness, row) for row in plan.rows})
    for rows in stages:
        places = [place for place, _ in groupby(row.place for row in rows)]
        assert len(places) == len(set(places))
    assert len({row.key for row in plan.rows}) == len(plan.rows)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_no_probe_goes_on_ignition_wiring_while_the_engine_turns(name: str) -> None:
    """Nor on a part that nobody may probe."""
    harness, plan = plan_of(name)
    for row in plan.rows:
        for point in row.points:
            assert not wants_engine_off(harness, point, row.condition), row.key
            assert may_be_probed(harness, point) is None


@pytest.mark.slow
def test_cranking_is_for_what_works_there_alone_and_for_what_is_critical() -> None:
    """The buggy's starter and injector, and of all the others the fuel pump and the oil lamp; with the caution."""
    harness, plan = plan_of("trail_buggy")
    rows = [row for row in plan.rows if cranks(harness, row.condition)]
    assert {row.key.partition(":")[0] for row in rows if row.measure is Measure.VOLTS} == {"M1", "Y1", "M2", "E21"}
    assert all(any("engine turns" in caution for caution in row.cautions) for row in rows)


def test_a_shared_ground_is_measured_with_all_its_loads_on() -> None:
    """The four tail lamps of the buggy hang on one splice and 0.9 m of 1 mm²: stop, tail, indicator, reverse and plate.

    About 21 + 21 + 21 + 21 W and three of 5 W at 12 V take 8 A; 0.9 m × 19.5 mΩ/m and two crimps are 18 mΩ, so that
    the splice is lifted by 0.14 V, and the way on to the battery by some more.
    """
    _, plan = plan_of("trail_buggy")
    row = next(row for row in plan.rows if row.key.startswith("J14 all on"))
    assert row.expect == pytest.approx(0.17, abs=0.03)
    assert "Left tail cluster stop" in row.before[0]
    assert "Reverse lamp" in row.before[0]
    assert row.covers[-1] == "W113"


def test_a_fuse_that_carries_too_little_for_a_clamp_has_no_row() -> None:
    """Memory feeds of 20 and 50 mA are not asked for; the horn's 4.5 A are."""
    _, plan = plan_of("trail_buggy")
    measured = {row.covers[0] for row in plan.rows if row.measure is Measure.AMPS}
    assert "F16" in measured
    assert measured.isdisjoint({"F19", "F22"})


def test_each_setting_has_one_look_at_all_loads() -> None:
    """The hazard switch, the second door and the low blower are in no load's own condition, and looked at all the same.

    A setting that is at rest anyway makes no second row: head and dip are head alone.
    """
    _, plan = plan_of("trail_buggy")
    seen = {row.key: row for row in plan.rows if row.measure is Measure.SEEN}
    assert {"E3:load", "E4:load", "E5:indicator", "E6:indicator"} <= set(seen["seen off S7=on"].covers)
    assert seen["seen off S18=open"].covers == ("E9:load",)
    assert seen["seen accessory S14=low"].expect_words.startswith("Weak: Blower.")
    assert len([key for key in seen if key.startswith("seen off S2=head")]) == 2
    assert "seen ignition S19=on S20=slack" in seen


def standing_of(harness: Harness, row: PlanRow) -> Standing | None:
    """Read a row in its condition and judge it; None where a reading never rests."""
    match row.measure:
        case Measure.VOLTS:
            value = read_volts(harness, row.condition, row.red, row.black)
        case Measure.AMPS:
            value = Bench(harness).survey(row.condition).fuse_amps[row.covers[0]]
        case _:
            said = Standing.GOOD if _seen_on(harness, row.condition) == set(row.covers) else Standing.BAD
            return judge(row, Taken(said=said)).standing
    return None if value is None else judge(row, Taken(value=value)).standing


def _seen_on(harness: Harness, condition: Condition) -> set[str]:
    """Name the loads that somebody sees, hears or feels to be on: those with a quarter of their volts and a current."""
    loads = Bench(harness).survey(condition).loads
    modules = {module.id for module in harness.modules}
    return {
        element.name
        for element in all_elements(harness)
        if element.part_id not in modules
        and loads[element.name].amps > 0
        and loads[element.name].volts >= 0.25 * element.at_volts
    }


ODD = {
    "no body, one wire of each kind": rig(
        LAMP + wires("G1.+ S1.1", "S1.2 E1.+", "E1.- G1.-"), build="nominal_volts = 12, chassis = false"
    ),
    "no load": rig('splices = [ { id = "J1" } ]\n' + wires("G1.+ J1")),
    "a load that nothing feeds": rig('loads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'),
    "24 V in series": rig(
        LAMP + wires("G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- G2.-", "G1.- G2.+"),
        build="nominal_volts = 24",
        batteries='{ id = "G1" }, { id = "G2" }',
    ),
}


@pytest.mark.parametrize("name", ODD)
def test_odd_looms_have_a_plan(name: str) -> None:
    """Whatever the loom lacks, the rows that it can have are there, and what cannot be measured is said."""
    harness = ODD[name]
    plan = loads_plan(harness)
    loads = {load.id for load in harness.loads}
    found = {row.key.partition(":")[0] for row in plan.rows}
    said = " ".join(plan.undetected)
    assert all(load in found or f"({load}:" in said for load in loads)
    assert any(row.measure is Measure.SEEN for row in plan.rows)


def test_a_load_is_held_against_the_battery_that_feeds_it() -> None:
    """The launch's starter hangs on the start bank, whose grounded post is that of G4; its lamps on the house bank."""
    _, plan = plan_of("harbour_launch")
    starter = next(row for row in plan.rows if row.key.startswith("M2:") and row.key.endswith(" feed"))
    assert starter.black == "G4.-"
    assert row_of(plan, "E3:load feed").black == "G2.-"


def test_posts_of_a_chain_are_its_outermost() -> None:
    """Two batteries in series of 12.7 V each show 25.4 V between the live and the grounded end."""
    plan = loads_plan(ODD["24 V in series"])
    row = row_of(plan, "posts in off")
    assert (row.red, row.black) == ("G1.+", "G2.-")
    assert row.expect == pytest.approx(25.4, abs=0.1)


def test_a_rested_battery_has_a_floor_of_its_own() -> None:
    """12.4 V with the key off (US Army TM 5-3805-262-20), not the band of the prediction; with lithium the band."""
    _, plan = plan_of("trail_buggy")
    limit = row_of(plan, "posts in off").limit
    assert limit is not None
    assert (limit.low, limit.source) == (12.4, "US Army TM 5-3805-262-20, p. 5-142")
    assert limit.high == pytest.approx(1.04 * 12.7, abs=0.6)
    other = row_of(plan, "posts in ignition").limit
    assert other is not None
    assert other.source == COMPUTED


def test_posts_of_a_key_state_are_judged_by_the_posts_that_were_read_at_rest() -> None:
    """12.60 V at rest where 12.70 are computed: in accessory 12.58, some 0.19 V either way, so that 12.00 is bad.

    Unread, the battery may stand 4 % off either way, and 12.00 V is good. With the engine running the charger holds
    the posts, whatever they were at rest.
    """
    _, plan = plan_of("trail_buggy")
    when = datetime(2026, 5, 4, 12, tzinfo=UTC)

    def verdicts(**read: float) -> dict[str, Standing]:
        entries = [
            measured_entry(plan, row_of(plan, f"posts in {key}"), Taken(volts), when=when, by=Measuring())
            for key, volts in read.items()
        ]
        return {key: kept.verdict.standing for key, kept in kept_answers(plan, entries).items()}

    assert verdicts(accessory=12.0)["posts in accessory"] is Standing.GOOD
    assert verdicts(off=12.6, accessory=12.0)["posts in accessory"] is Standing.BAD
    assert verdicts(off=12.6, accessory=12.5)["posts in accessory"] is Standing.GOOD
    assert verdicts(off=12.0, accessory=12.0)["posts in accessory"] is Standing.GOOD
    assert verdicts(off=-12.6, accessory=12.0)["posts in accessory"] is Standing.GOOD
    assert row_of(plan, "posts in running").leans is None
    entry = measured_entry(plan, row_of(plan, "posts in off"), Taken(12.6), when=when, by=Measuring())
    now = row_now(row_of(plan, "posts in accessory"), kept_answers(plan, [entry]))
    assert now.limit is not None
    assert now.limit.low == pytest.approx(12.39, abs=0.02)
    assert "12.60 V read at the posts with key off, 04 May 12:00" in now.limit.computed_from
