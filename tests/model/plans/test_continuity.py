"""The continuity plan: every wire has a row that fails with it, and nothing is counted that could not fail."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from model.caution_words import CAUTIONS, CautionKind
from model.circuit.condition import OUT, Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.meter import read_ohms
from model.circuit.ohms_net import OhmsNet
from model.harness.harness import CHASSIS, Harness
from model.harness.metal import wire_points
from model.harness.records import Wire
from model.harness.toml_file import read_harness, read_harness_text
from model.plans.continuity import continuity_effort, continuity_plan
from model.plans.exchanged import exchanged_net, exchanges, is_bad, shows
from model.plans.judging import Standing, Taken, judge
from model.plans.loom_state import state_condition, state_net
from model.plans.near_nets import conductors
from model.plans.plan import LoomState, Measure, Plan, PlanRow
from model.plans.runs import plug_of, wire_runs
from tests.benchmarks.looms import loom_text

BUILDS = ("trail_buggy", "field_tractor", "harbour_launch")
STATES = tuple(LoomState)
EVERY = [(name, state) for name in BUILDS for state in STATES]


@cache
def build(name: str) -> Harness:
    """Read a demo build, or generate a loom of 60 wires by its number."""
    if name.isdigit():
        return read_harness_text(loom_text(60, seed=int(name)), name)
    return read_harness(Path(__file__).parents[3] / "demo_builds" / f"{name}.toml")


@cache
def plan(name: str, state: LoomState) -> Plan:
    """Make the plan of a build once."""
    return continuity_plan(build(name), state)


def broken(harness: Harness, state: LoomState, row: PlanRow, site: str) -> Taken:
    """Give what an ohmmeter reads in a row with a wire or contact broken, by the solver of the trace."""
    settings = (*state_condition(harness, state).settings, *row.condition.settings)
    condition = Condition(row.condition.key, settings, (Fault(site, FaultKind.OPEN),))
    ohms = read_ohms(harness, condition, row.red, row.black)
    ohms = math.inf if ohms is None else ohms
    return Taken(ohms if row.measure is Measure.OHMS else 1000.0 * ohms * (row.amps or 0.0))


def sound(harness: Harness, state: LoomState, row: PlanRow) -> Taken:
    """Give what is read in a row of a sound loom."""
    settings = (*state_condition(harness, state).settings, *row.condition.settings)
    ohms = read_ohms(harness, Condition(row.condition.key, settings), row.red, row.black)
    assert ohms is not None
    return Taken(ohms if row.measure is Measure.OHMS else 1000.0 * ohms * (row.amps or 0.0))


@pytest.mark.first_few(1)
@pytest.mark.parametrize(("name", "state"), EVERY)
def test_breaking_each_wire_makes_its_own_row_fail(name: str, state: LoomState) -> None:
    """Every wire has a row; solved with the wire broken the row is bad, solved whole it is good."""
    harness = build(name)
    if state is LoomState.BENCH:
        pytest.skip("no condition of the file says that grounds are not bolted on: solved in the test below")
    rows = {site: row for row in plan(name, state).rows if row.measure is not Measure.APART for site in row.covers}
    left = {words.partition(":")[0] for words in plan(name, state).left_out}
    assert {wire.id for wire in harness.wires} - left <= rows.keys()
    for site, row in rows.items():
        assert row.tells, row.key
        assert judge(row, broken(harness, state, row, site)).standing is Standing.BAD, site
        assert judge(row, sound(harness, state, row)).standing is Standing.GOOD, site


@pytest.mark.first_few(4)
@pytest.mark.parametrize("name", [*BUILDS, "1", "2", "3"])
@pytest.mark.parametrize("state", STATES)
def test_no_row_that_tells_passes_on_a_broken_wire(name: str, state: LoomState) -> None:
    """With each wire out of the network in turn, every row that covers it and is said to tell is bad."""
    harness, net = build(name), state_net(build(name), state)
    tried = 0
    for row in plan(name, state).rows:
        if row.measure is Measure.APART or not row.tells:
            continue
        for site in row.covers:
            without = without_site(net, site)
            assert is_bad(without, row), (row.key, site)
        tried += len(row.covers)
    assert tried >= 0.9 * len(harness.wires)


def without_site(net: OhmsNet, site: str) -> OhmsNet:
    """Give a network with what stands at one site gone."""
    kept = [place for place, name in enumerate(net.sites) if name != site]
    return OhmsNet(
        net.index, net.node_count, net.one[kept], net.other[kept], net.siemens[kept],
        tuple(net.parts[place] for place in kept), tuple(net.sites[place] for place in kept),
    )  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("name", BUILDS)
def test_ohms_of_a_whole_conductor_are_those_of_the_meter(name: str) -> None:
    """What a row expects is what the solver of single conditions reads there, to a millionth."""
    for row in plan(name, LoomState.MATED).rows:
        assert row.expect == pytest.approx(sound(build(name), LoomState.MATED, row).value, rel=1e-6, abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("name", BUILDS)
@pytest.mark.parametrize("state", STATES)
def test_exchanged_neighbours_are_caught_or_named(name: str, state: LoomState) -> None:
    """With the wires of any two neighbouring cavities exchanged a row is bad, or the pair is listed by name."""
    harness, net, rows = build(name), state_net(build(name), state), plan(name, state).rows
    named = " ".join(plan(name, state).undetected)
    measured = {site for row in rows for site in row.covers}
    tried = 0
    for one in exchanges(harness):
        if measured.isdisjoint(one.wires):
            continue
        tried += 1
        is_named = f"{one.first} and {one.second} exchanged" in named
        assert bool(shows(exchanged_net(harness, net, one), rows)) != is_named, one
    assert tried > 5


@pytest.mark.slow
@pytest.mark.parametrize("name", BUILDS)
def test_any_short_to_ground_or_to_a_neighbour_is_caught(name: str) -> None:
    """0.01 Ω between two conductors that share a plug or a trunk, or from one to the body, makes a row bad."""
    harness = build(name)
    net, rows = state_net(harness, LoomState.APART), plan(name, LoomState.APART).rows
    every = conductors(net, wire_runs(harness)[0])
    open_rows = [row for row in rows if row.measure is Measure.APART]
    tried = 0
    for place, one in enumerate(every):
        for other in every[place + 1 :]:
            if shares(harness, one.wires, other.wires):
                tried += 1
                assert short_is_caught(net, open_rows, one.points[0], other.points[0]), (one.wires, other.wires)
        if harness.build.chassis and net.island_of(CHASSIS) != one.number:
            tried += 1
            assert short_is_caught(net, open_rows, one.points[0], CHASSIS), one.wires
    assert tried > len(every)


def shares(harness: Harness, one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """Tell whether two conductors run through one trunk, or end in one plug."""
    trunks = [{name for wire in wires for name in harness.part_of(wire, Wire).via} for wires in (one, other)]
    plugs = [
        {
            plug
            for wire in wires
            for point in wire_points(harness, harness.part_of(wire, Wire))
            if (plug := plug_of(harness, point))
        }
        for wires in (one, other)
    ]
    return not (trunks[0].isdisjoint(trunks[1]) and plugs[0].isdisjoint(plugs[1]))


def short_is_caught(net: OhmsNet, rows: list[PlanRow], one: str, other: str) -> bool:
    """Tell whether a short between two points makes an open reading bad."""
    islands = {net.island_of(one), net.island_of(other)}
    near = [row for row in rows if islands & {net.island_of(point) for point in row.points}]
    return bool(shows(net.joined(net.index[one], net.index[other], 0.01), near))


PARALLEL = """
format = 1
build = { name = "Twin cables", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
busbars = [ { id = "BB1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 55 }, { id = "E2", kind = "lamp", watts = 55 } ]
connectors = [ { id = "X1", cavities = 2 } ]
wires = [
  { id = "W1", from = "G1.+", to = "BB1", size = 6, length = 1 },
  { id = "W2", from = "G1.+", to = "BB1", size = 6, length = 1 },
  { id = "W3", from = "BB1", to = "X1.plug.1", size = 1.5, length = 1 },
  { id = "W4", from = "X1.socket.1", to = "E1.+", size = 1.5, length = 1 },
  { id = "W5", from = "BB1", to = "E2.+", size = 1.5, length = 1 },
  { id = "W6", from = "E1.-", to = "E2.-", size = 1.5, length = 1 },
  { id = "W7", from = "E2.-", to = "G1.-", size = 1.5, length = 1 },
]
"""


def test_parallel_cable_is_taken_off_its_terminal() -> None:
    """Of two cables between the same two studs one hides a break of the other: the row names the one to take off."""
    harness = read_harness_text(PARALLEL, "twins")
    rows = {row.key: row for row in continuity_plan(harness, LoomState.MATED).rows}
    assert rows["W1"].opens == ("W2",)
    assert rows["W1"].condition.settings == (("W2.a", "off"),)
    assert any("W2" in words and "off its terminal" in words for words in rows["W1"].before)


def test_cold_lamps_hide_a_break_until_one_is_unplugged() -> None:
    """Two 55 W lamps, cold 144 / 55 / 12 = 0.218 Ω each, stand beside W3: 0.44 Ω with the meter's 0.2 Ω tells little.

    Broken, W3 reads 2 x 0.218 + wires 0.06 = 0.50 Ω, less the meter's 0.204 Ω is 0.29 Ω, above the limit of a good one,
    1.25 x 0.0136 + 0.2 = 0.217 Ω: so it tells as it is. With lamps of 100 W, 0.12 Ω each, it tells only with one out.
    """
    as_it_is = continuity_plan(read_harness_text(PARALLEL, "twins"), LoomState.MATED)
    assert next(row for row in as_it_is.rows if row.key == "W3").opens == ()
    brighter = continuity_plan(read_harness_text(PARALLEL.replace("= 55", "= 100"), "twins"), LoomState.MATED)
    row = next(row for row in brighter.rows if row.key == "W3")
    assert len(row.opens) == 1
    assert row.tells


def test_expected_ohms_of_a_wire_by_hand() -> None:
    """W3 has 1 m of 1.5 mm², 13.3 mΩ/m by IEC 60228 class 5, and two crimps of 0.5 mΩ: 14.3 mΩ."""
    rows = {row.key: row for row in continuity_plan(read_harness_text(PARALLEL, "twins"), LoomState.APART).rows}
    assert rows["W3"].expect == pytest.approx(0.0143, abs=1e-6)
    limit = rows["W3"].limit
    assert limit is not None
    assert limit.high == pytest.approx(1.25 * 0.0143 + 0.2 + 0.008 * 0.0143)


@pytest.mark.parametrize(("name", "state"), EVERY)
def test_places_and_plugs_are_gone_to_hardly_more_than_once(name: str, state: LoomState) -> None:
    """Stops and openings are at most 1.2 times the places and the plugs that the plan has."""
    effort = continuity_effort(build(name), state)
    assert effort.stops <= 1.2 * effort.places
    assert effort.openings <= 1.2 * effort.opened


def test_restraint_wiring_is_left_out_and_said_so() -> None:
    """No row touches a point of a part marked as restraint, and the plan says why."""
    text = PARALLEL.replace('{ id = "E1", kind', '{ id = "E1", hazard = "restraint", kind')
    found = continuity_plan(read_harness_text(text, "twins"), LoomState.APART)
    assert not any(point.startswith("E1") for row in found.rows for point in row.points)
    assert any(words.startswith("W4: ") and "airbags" in words for words in found.left_out)


def test_module_is_unplugged_before_ohms_on_its_feed() -> None:
    """In the fitted loom an ohmmeter reaches no control unit: those on the conductor are out."""
    harness = build("trail_buggy")
    modules = {module.id for module in harness.modules}
    assert modules
    feeds = {f"{module.id}.{feed.terminal}" for module in harness.modules for feed in module.feeds}
    rows = [row for row in plan("trail_buggy", LoomState.MATED).rows if feeds & set(row.points)]
    assert rows
    assert all(
        (point.partition(".")[0], OUT) in row.condition.settings for row in rows for point in feeds & set(row.points)
    )


BARE = """
format = 1
build = { name = "Bare", nominal_volts = 12, chassis = false }
key_states = [ { name = "on" } ]
batteries = [ { id = "G1" } ]
"""


@pytest.mark.parametrize("state", STATES)
def test_loom_without_a_wire_has_no_rows(state: LoomState) -> None:
    """A battery alone has nothing to be proven, and the plan is empty rather than wrong."""
    assert continuity_plan(read_harness_text(BARE, "bare"), state).rows == ()


@pytest.mark.parametrize("state", STATES)
def test_wire_with_two_free_ends_is_proven(state: LoomState) -> None:
    """A spare that ends nowhere is measured from its one end to the other."""
    text = BARE + 'wires = [ { id = "W1", size = 1, length = 2, spare = true } ]\n'
    (row,) = [row for row in continuity_plan(read_harness_text(text, "bare"), state).rows if row.covers == ("W1",)]
    assert {row.red, row.black} == {"W1.a", "W1.b"}
    assert row.expect == pytest.approx(2 * 0.0195 + 0.001)


def test_cautions_stand_before_the_rows() -> None:
    """In which order the clamps come off is said once, before all rows; what a place asks for stands at its rows."""
    found = plan("trail_buggy", LoomState.APART)
    order = CAUTIONS[CautionKind.BATTERY_ORDER].text
    assert order in found.cautions
    assert not any(order in row.cautions for row in found.rows)
    hot = CAUTIONS[CautionKind.HOT_PLACE].text
    assert any(hot in row.cautions for row in found.rows)


SHARED = """
format = 1
build = { name = "Shared splice", nominal_volts = 12 }
key_states = [ { name = "off" } ]
batteries = [ { id = "G1" } ]
fuses = [ { id = "F1", amps = 10 } ]
splices = [ { id = "J1" } ]
grounds = [ { id = "GND1" } ]
loads = [
  { id = "E1", kind = "lamp", watts = 10 },
  { id = "E2", kind = "electronics", amps = 1, hazard = "restraint" },
]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", size = 2.5, length = 1 },
  { id = "W2", from = "F1.out", to = "J1", size = 1, length = 1 },
  { id = "W3", from = "J1", to = "E1.+", size = 1, length = 1 },
  { id = "W4", from = "J1", to = "E2.+", size = 1, length = 1 },
  { id = "W5", from = "E1.-", to = "GND1", size = 1, length = 1 },
  { id = "W6", from = "E2.-", to = "GND1", size = 1, length = 1 },
  { id = "W7", from = "G1.-", to = "GND1", size = 2.5, length = 1 },
]
"""


@pytest.mark.parametrize("state", STATES)
def test_no_meter_current_goes_into_restraint_wiring(state: LoomState) -> None:
    """A splice leads to an airbag's unit, which stays plugged: nothing on that splice is measured, and why is said."""
    found = continuity_plan(read_harness_text(SHARED, "shared"), state)
    measured = {site for row in found.rows for site in row.covers}
    assert measured.isdisjoint({"W2", "W3", "W4"})
    assert {"W5", "W7"} <= measured
    assert ("W1" in measured) == (state is not LoomState.MATED)
    assert any(words.startswith("W2: E2 hangs on it") for words in found.left_out)
    assert any("E2: restraint or high voltage" in words for words in found.about)
    assert not any(name == "E2" for row in found.rows for name, _ in row.condition.settings)
