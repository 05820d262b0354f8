"""The metal, sources, fuses and switches of a harness, and what each fault of them does to the volts."""

from __future__ import annotations

import pytest

from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.settle import settle
from model.errors import CircuitError
from tests.model.circuit.rig import CHAIN, CHAIN_VOLTS, fuse_amps, harness, settled, volts

RIG = harness(CHAIN)


def test_a_chain_drops_its_volts_resistance_by_resistance() -> None:
    """12 V over 6 Ω: 2 A, and every tenth of an ohm drops 0.2 V."""
    found = settled(RIG, "S1=on")
    assert volts(found, *CHAIN_VOLTS) == pytest.approx(list(CHAIN_VOLTS.values()), abs=2e-6)
    assert fuse_amps(found, "F1") == pytest.approx(2.0)


def test_an_open_switch_leaves_source_volts_before_it_and_none_behind() -> None:
    """No current: 12 V up to S1.1, and 0 V behind it, held by the heater that still reaches ground."""
    found = settled(RIG, "S1=off")
    assert volts(found, "G1.+", "S1.1", "S1.2", "E1.+", "E1.-") == pytest.approx([12, 12, 0, 0, 0], abs=2e-6)


IN_A_ROW = {
    # 11 Ω with the 5 Ω of "high": 1.0909 A
    "W4=high": (12 / 11, {"X1.socket.1": 12 - 0.7 * 12 / 11, "E1.+": 5.2 * 12 / 11}),
    "X1.1=high": (12 / 11, {"X1.plug.1": 12 - 0.6 * 12 / 11, "X1.socket.1": 5.3 * 12 / 11}),
    "F1=high": (12 / 11, {"F1.in": 12 - 0.2 * 12 / 11, "F1.out": 12 - 5.3 * 12 / 11}),
    "S1:1-2=high": (12 / 11, {"S1.1": 12 - 0.4 * 12 / 11, "S1.2": 12 - 5.5 * 12 / 11}),
    "GND1=high": (12 / 11, {"GND1": 5.3 * 12 / 11, "CHASSIS": 0.2 * 12 / 11}),
    # behind the post and behind the terminal: the point itself keeps the other volts
    "G1.+=high": (12 / 11, {"G1.+": 12 - 0.1 * 12 / 11, "F1.in": 12 - 5.2 * 12 / 11}),
    "E1.+=high": (12 / 11, {"E1.+": 12 - 0.8 * 12 / 11, "E1.-": 0.4 * 12 / 11}),
    # a figure stands in the place of 0.1 Ω: 8 Ω and 1.5 A
    "W4=2.1": (1.5, {"X1.socket.1": 12 - 0.7 * 1.5, "E1.+": 5.2 * 1.5}),
    "F1=2.1": (1.5, {"F1.out": 12 - 2.3 * 1.5}),
    "GND0=2.1": (1.5, {"CHASSIS": 2.2 * 1.5}),
    # 0.85 × 12 V behind ten times 0.1 Ω: 10.2 V over 6.9 Ω
    "G1=flat": (10.2 / 6.9, {"G1.+": 10.2 - 10.2 / 6.9}),
}


@pytest.mark.parametrize("fault", IN_A_ROW)
def test_a_resistance_more_in_the_row_drops_its_share(fault: str) -> None:
    """The current is 12 V over the 6 Ω and what the fault adds; reckoned beside each fault in ``IN_A_ROW``."""
    amps, points = IN_A_ROW[fault]
    found = settled(RIG, "S1=on", f"!{fault}")
    assert fuse_amps(found, "F1") == pytest.approx(amps)
    assert volts(found, *points) == pytest.approx(list(points.values()))


OPENS = ["W4=open", "X1.1=open", "F1=blown", "F1=missing", "F1=open", "S1:1-2=open", "G1.+=open", "S1.1=open"]


@pytest.mark.parametrize("fault", OPENS)
def test_an_open_before_the_load_leaves_nothing_behind_it(fault: str) -> None:
    """Source volts at the post, 0 V at both ends of the load, no current."""
    found = settled(RIG, "S1=on", f"!{fault}")
    assert volts(found, "G1.+", "E1.+", "E1.-") == pytest.approx([12, 0, 0], abs=2e-6)


@pytest.mark.parametrize("fault", ["W5=open", "GND1=open", "GND0=open", "W6=open", "G1.-=open"])
def test_an_open_ground_lifts_both_ends_of_the_load(fault: str) -> None:
    """With the way back open both ends of the load stand at source volts."""
    assert volts(settled(RIG, "S1=on", f"!{fault}"), "E1.+", "E1.-") == pytest.approx([12, 12])


def test_a_terminal_not_seated_keeps_its_volts_at_the_wire() -> None:
    """The point of a plugged part is its wire side: 12 V stand there, and nothing comes through."""
    assert volts(settled(RIG, "S1=on", "!E1.+=open"), "E1.+", "E1.-") == pytest.approx([12, 0], abs=2e-6)


def test_a_stuck_switch_carries_while_it_is_off() -> None:
    """The contact is there in every position: 2 A as with the switch on."""
    assert volts(settled(RIG, "!S1:1-2=stuck"), "E1.+") == pytest.approx([10.4])


def test_a_wire_to_the_body_carries_from_its_middle() -> None:
    """0.75 Ω up to the middle of W4; then 0.01 Ω to the body beside 5.05 Ω through the load; 0.2 Ω back.

    0.01 ∥ 5.05 = 0.00998024 Ω; 12 V over 0.95998024 Ω = 12.50025 A.
    CHASSIS 0.2 Ω × 12.50025 A = 2.50005 V, X1.socket.1 12 V - 0.7 Ω × 12.50025 A = 3.24982 V.
    """
    found = settled(RIG, "S1=on", "!W4=to body")
    assert volts(found, "CHASSIS", "X1.socket.1") == pytest.approx([2.50005, 3.24982], abs=2e-5)
    assert fuse_amps(found, "F1") == pytest.approx(12.50025, abs=1e-4)


def test_two_wires_touch_in_their_middles() -> None:
    """W4's middle on W6's: 0.75 Ω, 0.01 Ω, 0.05 Ω, and the load's 5.2 Ω beside the 0.01 Ω.

    0.01 ∥ 5.2 = 0.00998081 Ω; 12 V over 0.80998081 Ω = 14.81516 A; X1.socket.1 12 V - 0.7 Ω × 14.81516 A = 1.62939 V.
    """
    found = settled(RIG, "S1=on", "!W4=touches:W6")
    assert fuse_amps(found, "F1") == pytest.approx(14.81516, abs=1e-4)
    assert volts(found, "X1.socket.1") == pytest.approx([1.62939], abs=1e-4)


def test_a_wire_touches_a_point() -> None:
    """W5's middle on G1.-: GND1 and GND0 are by-passed by 0.01 Ω.

    From the middle of W5 0.01 Ω, or 0.05 + 0.1 + 0.1 + 0.1 = 0.35 Ω: together 0.00972222 Ω; 5.65 Ω before it.
    12 V over 5.65972222 Ω = 2.120245 A, E1.- 0.05972222 Ω × 2.120245 A = 0.126626 V.
    """
    found = settled(RIG, "S1=on", "!W5=touches:G1.-")
    assert volts(found, "E1.-") == pytest.approx([0.126626], abs=1e-5)


def test_an_end_elsewhere_takes_the_wire_along() -> None:
    """W4 on F1.out in place of X1.socket.1 (its from end): the switch is by-passed.

    Battery, W1, F1, W4, load, W5, GND1, GND0, W6: 5.6 Ω, 2.142857 A; off or on.
    """
    found = settled(RIG, "!W4.a=elsewhere:F1.out")
    assert volts(found, "E1.+") == pytest.approx([12 - 0.4 * 12 / 5.6])
    moved_to_end = settled(RIG, "S1=on", "!W4=elsewhere:GND1")
    assert volts(moved_to_end, "E1.+", "E1.-") == pytest.approx([12 * 0.3 / 1.1] * 2), "the feed lies on ground"


PLUGS = """
connectors = [ { id = "X1", cavities = 2 }, { id = "X2", cavities = 1, halves = ["nose", "loom"] } ]
loads = [ { id = "E1", kind = "heater", ohms = 5.5 }, { id = "E2", kind = "heater", ohms = 2.5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "X1.plug.1", length = 1 },
  { id = "W2", from = "X1.socket.1", to = "E1.+", length = 1 },
  { id = "W3", from = "E1.-", to = "G1.-", length = 1 },
  { id = "W4", from = "X1.socket.2", to = "E2.+", length = 1 },
  { id = "W5", from = "E2.-", to = "G1.-", length = 1 },
  { id = "W6", from = "X2.loom.1", to = "E2.+", length = 1 },
]
"""


def test_swapped_cavities_of_one_plug_feed_each_other() -> None:
    """Cavity 1 comes out at 2: E2 (2.5 Ω) and 0.5 Ω before and behind it take 12 V / 3.0 Ω; E1 has nothing."""
    rig = harness(PLUGS)
    assert volts(settled(rig), "E1.+") == pytest.approx([12 - 0.4 * 2])
    found = settled(rig, "!X1.1/2=swapped")
    assert volts(found, "E1.+", "E2.+") == pytest.approx([0, 12 - 0.4 * 4], abs=2e-6)


def test_swapped_cavities_of_two_plugs_feed_each_other() -> None:
    """X1.1 comes out at X2.loom.1 and reaches E2 through W6; E1 has nothing."""
    found = settled(harness(PLUGS), "!X1.1/X2.1=swapped")
    assert volts(found, "X2.loom.1", "X1.socket.1") == pytest.approx([12 - 0.3 * 4, 0], abs=2e-6)


@pytest.mark.parametrize("setting", ["X1=apart", "X1=out"])
def test_a_plug_apart_joins_nothing(setting: str) -> None:
    """Neither half hands anything over; the half without a way to the reference floats no more than its load does."""
    assert volts(settled(harness(PLUGS), setting), "X1.plug.1", "E1.+") == pytest.approx([12, 0], abs=2e-6)


def test_a_plug_that_rests_apart_is_mated_by_a_setting() -> None:
    """A trailer socket: nothing at rest, 2 A mated."""
    rig = harness(PLUGS.replace('"X1", cavities = 2', '"X1", cavities = 2, rest = "apart"'))
    assert volts(settled(rig), "E1.+") == pytest.approx([0], abs=2e-6)
    assert volts(settled(rig, "X1=mated"), "E1.+") == pytest.approx([11.2])


def test_a_wire_end_set_off_is_a_point_of_its_own() -> None:
    """W4.b hangs off E1.+ with source volts on it; E1.+ is dead. The free end is listed among the points."""
    found = settled(RIG, "S1=on", "W4.b=off")
    assert volts(found, "W4.b", "E1.+") == pytest.approx([12, 0], abs=2e-6)
    assert "W4.b" in found.net.names[: found.net.point_count]


def test_the_copper_of_a_wire_warms_and_its_crimps_do_not() -> None:
    """10 m of 0.195 mm² at 70 °C: 1 Ω × (1 + 0.00393 × 50) = 1.1965 Ω, and two crimps of 0.05 Ω; 12 V / 6.3965 Ω."""
    rows = """
loads = [ { id = "E1", kind = "heater", ohms = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", length = 10 },
  { id = "W2", from = "E1.-", to = "G1.-", length = 0 },
]
"""
    rig = harness(rows, build="nominal_volts = 12, ambient_celsius = 70", defaults="size = 0.195, crimp = 0.05")
    amps = 12 / (0.1 + 1.1965 + 0.1 + 5 + 0.1)
    assert volts(settled(rig), "E1.+", "E1.-") == pytest.approx([5.1 * amps, 0.1 * amps])


FLOORED = """
loads = [ { id = "E1", kind = "heater", ohms = 5.9 } ]
joints = [ { id = "T1", from = "G1.+", to = "E1.+", ohms = OHMS } ]
wires = [ { id = "W1", from = "E1.-", to = "G1.-", length = 0 } ]
"""


@pytest.mark.parametrize("ohms", ["1e-9", "1e-8"])
def test_a_resistance_of_next_to_nothing_is_next_to_nothing(ohms: str) -> None:
    """12 V over 0.1 Ω and 5.9 Ω: 2 A, as with a dead short in its place."""
    assert volts(settled(harness(FLOORED.replace("OHMS", ohms))), "E1.+") == pytest.approx([11.8], abs=1e-5)


@pytest.mark.parametrize("ohms", ["1.1e10", "1e12"])
def test_a_resistance_beyond_ten_gigohms_is_open(ohms: str) -> None:
    """Nothing reaches the load, which stands at 0 V by its own way to ground."""
    assert volts(settled(harness(FLOORED.replace("OHMS", ohms))), "E1.+") == pytest.approx([0], abs=2e-6)


def test_ten_gigohms_are_no_open_yet() -> None:
    """A high resistance of 10 GΩ passes 1.2 nA: 7 nV across 5.9 Ω."""
    assert volts(settled(harness(FLOORED.replace("OHMS", "1e10"))), "E1.+") == pytest.approx([7.08e-9], rel=1e-3)


BODIES = """
bodies = [ { id = "ENGINE" }, { id = "TRAILER" } ]
grounds = [
  { id = "GND0" }, { id = "GND1", body = "ENGINE" }, { id = "GND2", bonded = false }, { id = "GND3", body = "TRAILER" },
]
loads = [ { id = "E1", kind = "heater", ohms = 5.4 } ]
joints = [ { id = "T1", from = "ENGINE", to = "CHASSIS", ohms = 0.1 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", length = 1 },
  { id = "W2", from = "E1.-", to = "GND1", length = 0 },
  { id = "W3", from = "G1.-", to = "GND0", length = 1 },
]
"""


def test_bodies_are_joined_only_by_what_the_file_says() -> None:
    """Battery, W1, heater, GND1 to the engine, the strap, GND0, W3: six times 0.1 Ω and 5.4 Ω carry 2 A.

    The trailer and its ground point, and a bar that no wire reaches, float.
    """
    found = settled(harness(BODIES))
    assert volts(found, "E1.-", "ENGINE", "CHASSIS") == pytest.approx([0.8, 0.6, 0.4], abs=1e-5)
    assert volts(found, "TRAILER", "GND3", "GND2") == [None, None, None]


def test_a_joint_opens_and_corrodes() -> None:
    """The engine strap open: both ends of the heater at 12 V. With 5 Ω more it has 5.1 Ω of 11 Ω."""
    rig = harness(BODIES)
    assert volts(settled(rig, "!T1=open"), "E1.-") == pytest.approx([12])
    assert volts(settled(rig, "!T1=high"), "ENGINE") == pytest.approx([12 / 11 * 5.3], abs=1e-5)


def test_a_wire_touches_the_body_of_its_loads_ground_side() -> None:
    """W1 leads to a heater that is grounded on the engine: its middle lies on the engine, not on the chassis.

    0.15 Ω, 0.01 Ω, and back over the strap, GND0 and W3: 0.3 Ω; the heater's 5.55 Ω lie beside the 0.01 Ω.
    """
    found = settled(harness(BODIES), "!W1=to body")
    amps = 12 / (0.15 + 1 / (1 / 0.01 + 1 / 5.55) + 0.3)
    assert volts(found, "ENGINE") == pytest.approx([0.3 * amps], abs=1e-5)


NO_BODY = """
grounds = [ { id = "GND1" } ]
loads = [ { id = "E1", kind = "heater", ohms = 5.9 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", length = 0 }, { id = "W2", from = "E1.-", to = "GND1", length = 0 },
  { id = "W3", from = "GND1", to = "G1.-", length = 0 },
]
"""


def test_a_loom_without_a_body_has_no_chassis() -> None:
    """The ground point is a bar that wires reach, ``CHASSIS`` is no point, and no wire can touch a body."""
    rig = harness(NO_BODY, build="nominal_volts = 12, chassis = false")
    found = settled(rig)
    assert volts(found, "E1.+", "GND1") == pytest.approx([11.8, 0], abs=1e-4)
    assert "CHASSIS" not in found.net.index


def test_a_fault_made_by_hand_is_refused_where_there_is_no_body() -> None:
    """A wire that touches a body that is not there raises an error in words."""
    rig = harness(NO_BODY, build="nominal_volts = 12, chassis = false")
    with pytest.raises(CircuitError, match="no body beside W1"):
        settle(rig, Condition("on", faults=(Fault("W1", FaultKind.TO_BODY),)))


ON_A_BAR = """
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 12.5, bus = "BB1" } ]
loads = [ { id = "E1", kind = "heater", ohms = 5.8923 } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", length = 0 },
  { id = "W2", from = "F1.out", to = "E1.+", length = 0 },
  { id = "W3", from = "E1.-", to = "G1.-", length = 0 },
]
"""


def test_a_fuse_on_a_busbar_has_the_bar_for_its_in() -> None:
    """A wire typed to ``F1.in`` lies on BB1; a blade fuse of 10 A has 7.7 mΩ cold, so that 6 Ω carry 2 A."""
    found = settled(harness(ON_A_BAR))
    assert volts(found, "BB1", "F1.out", "F1.in") == pytest.approx([11.8, 11.8 - 2 * 0.0077, 11.8], abs=1e-5)
    assert "F1.in" not in found.net.names


def test_a_fuse_not_seated_on_its_bar_is_open() -> None:
    """``F1.in`` is the fuse's own blade behind the bar: the bar is live, the fuse is not."""
    assert volts(settled(harness(ON_A_BAR), "!F1.in=open"), "BB1", "F1.out") == pytest.approx([12, 0], abs=2e-6)


@pytest.mark.parametrize("setting", ["W4.b=on", "X1=mated", "X1=in", "F1=in", "E1=in", "G1=in"])
def test_a_setting_to_what_is_at_rest_changes_nothing(setting: str) -> None:
    """Whatever a condition names, the metal that it leaves as it is stays as it was."""
    found = settled(RIG, "S1=on", setting)
    assert volts(found, *CHAIN_VOLTS) == pytest.approx(list(CHAIN_VOLTS.values()), abs=2e-6)


def test_the_netlist_of_one_condition_leaves_the_next_alone() -> None:
    """A fault and a setting are gone in the next condition of the same harness."""
    settled(RIG, "S1=on", "!W4=open", "X1=apart", "W5.b=off")
    found = settled(RIG, "S1=on")
    assert volts(found, *CHAIN_VOLTS) == pytest.approx(list(CHAIN_VOLTS.values()), abs=2e-6)
    assert "W5.b" not in found.net.index
