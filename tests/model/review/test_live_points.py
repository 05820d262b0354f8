"""What is live, and the way by which it is."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.circuit.bench import Bench
from model.circuit.condition import Condition, settable_names, setting_choices
from model.harness.harness import Harness
from model.harness.toml_file import read_harness, read_harness_text
from model.review.live_points import LIVE_VOLTS, LiveKind, LivePoint, live_points
from tests.benchmarks.looms import loom_text
from tests.model.circuit.rig import CHAIN, harness, surveyed
from tests.model.review.live_walked import broken_ways

BUILDS = sorted((Path(__file__).parents[3] / "demo_builds").glob("*.toml"))

LAMP = """
fuses = [ { id = "F1", amps = 10 } ]
grounds = [ { id = "GND1" } ]
"""


def live(rig: Harness, *words: str, key: str | None = None) -> dict[str, LivePoint]:
    """Give the live points of a rig, and see that the way to each is whole."""
    found = surveyed(rig, *words, key=key)
    points = live_points(found)
    assert broken_ways(points, found.settled) == []
    return points.by_name


def sites(point: LivePoint) -> list[str]:
    """Name the steps of the way to a point."""
    return [step.site for step in point.path]


def test_a_chain_is_live_as_far_as_its_open_switch() -> None:
    """From the post through W1, F1 and W2 to S1: with the fuse at the end of one metre, two metres of wire in all."""
    found = live(harness(CHAIN))
    assert list(found) == ["G1.+", "F1.in", "F1.out", "S1.1"]
    assert found["G1.+"].path == ()
    assert sites(found["S1.1"]) == ["W1", "F1", "W2"]
    assert (found["F1.in"].fused_by, found["S1.1"].fused_by) == (None, "F1")
    assert (found["S1.1"].unfused.metres, found["S1.1"].length.metres) == (1.0, 2.0)
    assert not found["S1.1"].length.is_assumed


def test_the_volts_are_those_of_the_circuit_and_the_border_is_a_tenth() -> None:
    """With S1 on GND0 has 0.2 V and the post 0 V (2 A through tenths of an ohm); off, nothing behind it has any."""
    found = live(harness(CHAIN), "S1=on")
    assert found["E1.+"].volts == pytest.approx(10.4, abs=1e-6)
    assert found["GND0"].volts == pytest.approx(0.2, abs=1e-6)
    assert "G1.-" not in found
    assert all(abs(point.volts) > LIVE_VOLTS for point in found.values())


def test_a_point_that_current_lifts_on_the_ground_side_is_told_with_the_way_back() -> None:
    """E1.- has 0.8 V: through the heater from the post, and along W5, GND1, GND0, W6 back to it."""
    found = live(harness(CHAIN), "S1=on")
    point = found["E1.-"]
    assert point.kind is LiveKind.GROUND
    assert point.through == ("E1:load",)
    assert [step.site for step in point.back] == ["W5", "GND1", "GND0", "W6"]
    assert point.back[0].start == "E1.-"
    assert point.back[-1].end == "G1.-"
    assert found["E1.+"].kind is LiveKind.FED
    assert found["E1.+"].back == ()


def test_a_contact_closed_at_rest_leads_on() -> None:
    """30 and 87a of a relay at rest: what hangs on 87a is live with the key off, fused by F1."""
    rig = harness(
        LAMP
        + """
relays = [ { id = "K1", contacts = "changeover" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "F1.out", to = "K1.30", length = 1 },
  { id = "W3", from = "K1.87a", length = 1 },
  { id = "W4", from = "K1.87", length = 1 },
]
"""
    )
    found = live(rig)
    assert sites(found["W3.b"]) == ["W1", "F1", "W2", "K1:30-87a", "W3"]
    assert found["W3.b"].fused_by == "F1"
    assert "W4.b" not in found


GROUND_SWITCHED = (
    LAMP
    + """
switches = [ { id = "S1", terminals = ["1", "case"], positions = { shut = [], open = [["1", "case"]] } } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "F1.out", to = "E1.+", length = 1 },
  { id = "W3", from = "E1.-", to = "S1.1", length = 1 },
  { id = "W4", from = "S1.case", to = "GND1", length = 1 },
  { id = "W5", from = "G1.-", to = "GND1", length = 1 },
]
"""
)


def test_a_lamp_lifts_what_waits_for_its_ground() -> None:
    """With the door shut the far end of the lamp and the switch have the battery's 12 V, through the lamp."""
    found = live(harness(GROUND_SWITCHED))
    assert found["S1.1"].volts == pytest.approx(12.0, abs=1e-3)
    assert found["S1.1"].kind is LiveKind.THROUGH
    assert found["S1.1"].through == ("E1:load",)
    lit = live(harness(GROUND_SWITCHED), "S1=open")["E1.-"]
    assert lit.kind is LiveKind.GROUND
    assert lit.volts < 0.2


def test_a_way_of_metal_goes_before_one_through_a_load() -> None:
    """Where a thin wire joins both ends of a heater, its far end is fed along the wire."""
    rows = CHAIN.replace("wires = [", 'wires = [ { id = "W9", from = "E1.+", to = "E1.-", length = 40 },')
    rig = harness(rows)
    found = live(rig, "S1=on")
    assert sites(found["E1.-"])[-1] == "W9"
    assert found["E1.-"].kind is LiveKind.FED


def test_with_the_positive_post_grounded_volts_are_below_zero() -> None:
    """The minus post feeds: −12 V at F1, and none on the body."""
    rows = CHAIN.replace("G1.+", "G1.x").replace("G1.-", "G1.+").replace("G1.x", "G1.-")
    found = live(harness(rows, build='nominal_volts = 12, ground_side = "positive"'))
    assert list(found) == ["G1.-", "F1.in", "F1.out", "S1.1"]
    assert found["S1.1"].volts == pytest.approx(-12.0, abs=1e-3)
    assert found["S1.1"].source == "G1.-"


def test_the_tap_between_two_batteries_is_live() -> None:
    """Two of 12 V in series without a body: the tap has 12 V, the outer post 24 V, each a source of its own."""
    rig = harness(
        """
joints = [ { id = "N1", from = "G1.-", to = "G2.+" } ]
wires = [ { id = "W1", from = "G1.+", length = 1 } ]
""",
        build="nominal_volts = 24, chassis = false",
        batteries='{ id = "G1", emf = 12, ohms = 0.1 }, { id = "G2", emf = 12, ohms = 0.1 }',
    )
    found = live(rig)
    assert {name: round(one.volts, 3) for name, one in found.items()} == {
        "G1.+": 24.0,
        "G1.-": 12.0,
        "G2.+": 12.0,
        "W1.b": 24.0,
    }
    assert all(one.fused_by is None and one.fuses == () for one in found.values())


def test_two_batteries_side_by_side_each_feed_their_own() -> None:
    """With the second out its post is live from the first, along W3."""
    rig = harness(
        """
wires = [
  { id = "W1", from = "G1.-", to = "CHASSIS", length = 1 },
  { id = "W2", from = "G2.-", to = "CHASSIS", length = 1 },
  { id = "W3", from = "G1.+", to = "G2.+", length = 1 },
]
""",
        batteries='{ id = "G1", emf = 12, ohms = 0.1 }, { id = "G2", emf = 12, ohms = 0.1 }',
    )
    assert live(rig)["G2.+"].path == ()
    assert sites(live(rig, "G2=out")["G2.+"]) == ["W3"]


CHARGED = """
chargers = [ { id = "G2", volts = 14, ohms = 0.1 } ]
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 100, bus = "BB1", ohms = 0.1 }, { id = "F2", amps = 10, bus = "BB1", ohms = 0.1 } ]
wires = [
  { id = "W1", from = "G1.+", to = "BB1", length = 1 },
  { id = "W2", from = "G2.+", to = "F1.out", length = 1 },
  { id = "W3", from = "G2.-", to = "G1.-", length = 1 },
  { id = "W4", from = "F2.out", length = 1 },
]
"""


def test_with_the_charger_on_volts_come_from_it_and_the_bus_is_unfused_all_the_same() -> None:
    """14 V drive current into the battery: the way to the bus is W2 and F1, but W1 ties it to a post without a fuse.

    1.8 V above the charged emf of 13.8 V … 0.2 V over 0.6 Ω: the bus has less than the charger and more than the post.
    """
    rig = harness(CHARGED, batteries='{ id = "G1", emf = 12, charged_emf = 13.8, ohms = 0.1 }')
    found = live(rig, key="running")
    assert sites(found["BB1"]) == ["W2", "F1"]
    assert (found["BB1"].fuses, found["BB1"].fused_by) == (("F1",), None)
    assert found["G2.+"].fused_by is None
    assert (found["W4.b"].fuses, found["W4.b"].fused_by) == (("F1", "F2"), "F2")
    at_rest = live(rig)
    assert sites(at_rest["G2.+"]) == ["W1", "F1", "W2"]
    assert at_rest["G2.+"].fused_by == "F1"


def test_current_that_lowers_the_ground_side_is_told_as_such() -> None:
    """The charging current leaves the body below the battery's post: told on the ground side, from the charger."""
    rig = harness(CHARGED, batteries='{ id = "G1", emf = 12, charged_emf = 12, ohms = 0.1 }')
    found = live(rig, key="running")
    point = found["G2.-"]
    assert point.volts < -LIVE_VOLTS
    assert (point.kind, point.source) == (LiveKind.GROUND, "G2.-")
    assert [step.site for step in point.back] == ["W3"]


def test_what_floats_is_not_live_and_is_named() -> None:
    """Both ends of a spare wire float; a wire that hangs on a post with one end is live at the other."""
    rig = harness('wires = [ { id = "W1", spare = true }, { id = "W2", from = "G1.+" } ]')
    points = live_points(surveyed(rig))
    assert {"W1.a", "W1.b"} <= set(points.floating)
    assert [one.point for one in points.points] == ["G1.+", "W2.b"]
    assert points.by_name["W2.b"].length.is_assumed


def test_a_wire_set_off_its_terminal_is_a_point_of_its_own() -> None:
    """The end of W2 taken off F1's far wire is live where it hangs; what it fed is not."""
    found = live(harness(CHAIN), "W2.b=off")
    assert sites(found["W2.b"]) == ["W1", "F1", "W2"]
    assert "S1.1" not in found


def test_a_diode_lifts_only_the_way_it_carries() -> None:
    """Behind the diode 11.3 V or so stand while a lamp draws; against it nothing comes."""
    rows = (
        LAMP
        + """
diodes = [ { id = "V1" }, { id = "V2" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 }, { id = "E2", kind = "lamp", watts = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "F1.out", to = "V1.anode", length = 1 },
  { id = "W3", from = "V1.cathode", to = "E1.+", length = 1 },
  { id = "W4", from = "F1.out", to = "V2.cathode", length = 1 },
  { id = "W5", from = "V2.anode", to = "E2.+", length = 1 },
  { id = "W6", from = "E1.-", to = "G1.-", length = 1 },
  { id = "W7", from = "E2.-", to = "G1.-", length = 1 },
]
"""
    )
    found = live(harness(rows))
    assert found["E1.+"].through == ("V1",)
    assert 11.0 < found["E1.+"].volts < 11.4
    assert "E2.+" not in found


def test_the_output_of_a_module_is_a_source_behind_the_fuse_of_its_feed() -> None:
    """5 V against the ground at the sensor wire; the fuse of the feed stands before it."""
    rows = (
        LAMP
        + """
modules = [ { id = "A1", feeds = [ { terminal = "30", amps = 0.1 } ], outputs = [ { terminal = "ref", volts = 5 } ] } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 1 },
  { id = "W2", from = "F1.out", to = "A1.30", length = 1 },
  { id = "W3", from = "A1.31", to = "G1.-", length = 1 },
  { id = "W4", from = "A1.ref", length = 1 },
]
"""
    )
    found = live(harness(rows))
    assert found["W4.b"].source == "A1.ref"
    assert found["W4.b"].volts == pytest.approx(5.0, abs=0.05)
    assert (found["W4.b"].fuses, found["W4.b"].fused_by) == (("F1",), "F1")


def test_points_of_a_restraint_are_told_and_never_probed() -> None:
    """The wire to an airbag module is live by the file, and no probe goes there."""
    rows = """
modules = [ { id = "A1", hazard = "restraint", feeds = [ { terminal = "15", amps = 0.1 } ] } ]
wires = [
  { id = "W1", from = "G1.+", to = "A1.15", length = 1 },
  { id = "W2", from = "A1.31", to = "G1.-", length = 1 },
  { id = "W3", from = "G1.+", length = 1 },
]
"""
    found = live(harness(rows))
    assert not found["A1.15"].may_be_probed
    assert found["G1.+"].may_be_probed


@pytest.mark.parametrize(
    "rows", ["", 'wires = [ { id = "W1", from = "G1.+", to = "G1.-" } ]'], ids=["none", "one wire"]
)
def test_a_file_with_next_to_nothing_is_answered(rows: str) -> None:
    """A battery alone, and one whose posts a wire joins: its own post is what is live."""
    assert set(live(harness(rows))) == {"G1.+"}


def test_a_short_from_the_feed_to_the_body_is_followed_along_the_wire() -> None:
    """An unfused wire on the body: the volts fall along it, and the post is still named as the source."""
    rig = harness(
        """
grounds = [ { id = "GND1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "GND1", length = 5 },
  { id = "W2", from = "GND1", to = "G1.-", length = 1 },
]
"""
    )
    found = live(rig)
    assert (found["GND1"].kind, sites(found["GND1"])) == (LiveKind.FED, ["W1"])


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_every_key_state_of_a_demo_build_has_whole_ways(path: Path) -> None:
    """At rest and with everything in its last position, each live point is reached from a source that feeds."""
    rig = read_harness(path)
    bench = Bench(rig)
    moved = tuple((switch.id, list(switch.positions)[-1]) for switch in rig.switches if not switch.key)
    for key in rig.key_names:
        for settings_now in ((), moved):
            found = bench.survey(Condition(key, settings_now))
            points = live_points(found)
            assert broken_ways(points, found.settled) == []
            assert {one.point for one in points.points} == {
                found.settled.net.names[node]
                for node in found.settled.point_nodes
                if abs(float(found.settled.volts[node])) > LIVE_VOLTS
            }


@settings(max_examples=12, deadline=None)
@given(st.integers(60, 260), st.integers(1, 10_000), st.data())
def test_a_loom_in_any_setting_has_whole_ways(wires: int, seed: int, data: st.DataObject) -> None:
    """Whatever is set, every live point has a way; none of the points without a figure is among them."""
    rig = read_harness_text(loom_text(wires, seed), "loom.toml")
    names = data.draw(st.lists(st.sampled_from(settable_names(rig)), max_size=6, unique=True))
    pairs = tuple((name, data.draw(st.sampled_from(setting_choices(rig, name)))) for name in names)
    found = Bench(rig).survey(Condition(data.draw(st.sampled_from(rig.key_names)), pairs))
    points = live_points(found)
    assert broken_ways(points, found.settled) == []
    assert not {one.point for one in points.points} & {*points.floating, *points.unsettled}
