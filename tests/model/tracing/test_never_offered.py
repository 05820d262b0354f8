"""What must never be offered: every rule refuses what it should, and lets pass what differs from it in that alone."""

from __future__ import annotations

from typing import TypedDict, Unpack

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition, settable_names, setting_choices
from model.harness.harness import Harness, all_elements
from model.harness.points import all_points
from model.tracing.checks import Check, CheckKind
from model.tracing.never_offered import never_offered
from tests.model.tracing.rigs import rig, wires

MODULE_ROWS = """
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 10, bus = "BB1" }, { id = "F3", amps = 5 } ]
switches = [ { id = "S1" } ]
connectors = [ { id = "X1", cavities = 1 } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 } ]
modules = [ { id = "A1", feeds = [ { terminal = 15, amps = 1 } ] } ]
""" + wires(
    "G1.+ BB1",
    "F1.out S1.1",
    "S1.2 E1.+",
    "E1.- CHASSIS",
    "G1.- CHASSIS",
    "S1.2 X1.plug.1",
    "X1.socket.1 A1.15",
    "A1.31 CHASSIS",
    "F2.out F3.in",
    "F3.out E2.+",
    "E2.- CHASSIS",
)
"""A lamp and a control unit behind one switch, the unit through a plug; another lamp on a fuse of its own."""

PLAIN_ROWS = """
busbars = [ { id = "BB1" } ]
fuses = [ { id = "F1", amps = 10, bus = "BB1" }, { id = "F2", amps = 7.5, bus = "BB1" } ]
switches = [ { id = "S1" }, { id = "S2", terminals = ["a", "b"], positions = { off = [], on = [["a", "b"]] } } ]
relays = [ { id = "K1" } ]
loads = [ { id = "E1", kind = "lamp", watts = 96 }, { id = "E2", kind = "led", amps = 0.02 } ]
""" + wires(
    "G1.+ BB1",
    "F1.out K1.30",
    "K1.87 E1.+",
    "E1.- CHASSIS",
    "G1.- CHASSIS",
    "F2.out S1.1",
    "S1.2 K1.86",
    "K1.85 S2.a",
    "S2.b CHASSIS",
    "K1.87 E2.+",
    "E2.- CHASSIS",
)
"""A head lamp of 8 A on a relay, with an indicator led beside it; the coil on a fuse of its own."""


class Fields(TypedDict, total=False):
    """What a check says beside its kind and condition."""

    red: str
    black: str
    part: str
    other: str
    watts: float
    fuse_amps: float


def reason(harness: Harness, kind: CheckKind, *states: str, key: str = "on", **rest: Unpack[Fields]) -> str | None:
    """Say why a check is refused."""
    condition = make_condition(harness, key, states)
    return never_offered(Bench(harness), Check(kind, condition, **rest))


def test_a_lamp_stays_off_a_wire_on_which_a_control_unit_hangs() -> None:
    """Through the closed switch; not with the switch open, the unit out, its plug apart, nor on another fuse."""
    harness = rig(MODULE_ROWS)
    lamp: Fields = {"red": "S1.1", "black": "G1.-", "watts": 3.0}
    assert "A1.15" in str(reason(harness, CheckKind.LAMP, "S1=on", **lamp))
    assert reason(harness, CheckKind.LAMP, **lamp) is None
    assert reason(harness, CheckKind.LAMP, "S1=on", "A1=out", **lamp) is None
    assert reason(harness, CheckKind.LAMP, "S1=on", "X1=apart", **lamp) is None
    assert reason(harness, CheckKind.LAMP, "S1=on", red="E2.+", black="G1.-", watts=3.0) is None
    assert reason(harness, CheckKind.VOLTS, "S1=on", red="S1.1", black="G1.-") is None


def test_a_lamp_takes_a_fuses_place_where_no_control_unit_hangs_behind_it() -> None:
    """The unit behind F1 forbids it while plugged in; what hangs on the bar before the fuse does not matter."""
    harness = rig(MODULE_ROWS)
    lamp: Fields = {"red": "BB1", "black": "F1.out", "part": "F1", "watts": 55.0}
    assert "A1.15" in str(reason(harness, CheckKind.LAMP, "S1=on", "F1=out", **lamp))
    assert reason(harness, CheckKind.LAMP, "S1=on", "F1=out", "A1=out", **lamp) is None
    assert "still in" in str(reason(harness, CheckKind.LAMP, **lamp))
    other: Fields = {"red": "BB1", "black": "F2.out", "part": "F2", "watts": 55.0}
    assert reason(harness, CheckKind.LAMP, "S1=on", "F2=out", **other) is None
    assert "no fuse" in str(reason(harness, CheckKind.LAMP, red="BB1", black="S1.1", part="S1", watts=55.0))
    aside: Fields = {"red": "A1.15", "black": "G1.-", "part": "F2", "watts": 55.0}
    assert "goes between" in str(reason(harness, CheckKind.LAMP, "F2=out", **aside))


def test_a_lamp_that_pulls_a_relay_in_is_judged_by_what_the_relay_then_feeds() -> None:
    """The coil takes 0.14 A and the cold 55 W lamp has 0.22 Ω: the relay pulls, and the unit hangs on its contact."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 10 } ]\nrelays = [ { id = "K1" } ]\n'
        'modules = [ { id = "A1", feeds = [ { terminal = 15, amps = 1 } ] } ]\n'
        + wires(
            "G1.+ F1.in",
            "F1.out K1.86",
            "F1.out K1.30",
            "K1.85 CHASSIS",
            "K1.87 A1.15",
            "A1.31 CHASSIS",
            "G1.- CHASSIS",
        )
    )
    lamp: Fields = {"red": "F1.in", "black": "F1.out", "part": "F1", "watts": 55.0}
    assert "A1.15" in str(reason(harness, CheckKind.LAMP, "F1=out", **lamp))
    assert reason(harness, CheckKind.LAMP, "F1=out", "A1=out", **lamp) is None


def test_a_control_unit_is_not_unplugged_for_a_reading_with_the_supply_on() -> None:
    """Neither by its own plug nor by the plug before it; with the battery off it may be."""
    harness = rig(MODULE_ROWS)
    for taken in ("A1=out", "X1=apart"):
        assert "supply off" in str(reason(harness, CheckKind.VOLTS, taken, red="S1.1", black="G1.-"))
        assert reason(harness, CheckKind.OHMS, taken, "S1=on", "E1=out", red="S1.1", black="S1.2") is None
    assert "supply off" in str(reason(harness, CheckKind.LOOK, part="A1"))
    assert "supply off" in str(reason(harness, CheckKind.LOOK, part="X1"))
    assert reason(harness, CheckKind.LOOK, "G1=out", part="A1") is None
    assert reason(harness, CheckKind.LOOK, part="E1") is None


def test_a_bridge_loads_no_fuse_above_its_rating() -> None:
    """The lamp takes 8 A at 12 V: over the 7.5 A fuse in the bridge, under one of 10 A; F1 itself is 10 A."""
    harness = rig(PLAIN_ROWS)
    assert reason(harness, CheckKind.BRIDGE, red="K1.30", black="K1.87", fuse_amps=10.0) is None
    assert "its fuse is 7.5 A" in str(reason(harness, CheckKind.BRIDGE, red="K1.30", black="K1.87", fuse_amps=7.5))
    assert "no larger" in str(reason(harness, CheckKind.BRIDGE, red="K1.30", black="K1.87", fuse_amps=15.0))
    assert "fuse of its own" in str(reason(harness, CheckKind.BRIDGE, red="K1.30", black="K1.87"))
    weak = rig(PLAIN_ROWS.replace('id = "F1", amps = 10', 'id = "F1", amps = 7.5'))
    assert "load F1" in str(reason(weak, CheckKind.BRIDGE, red="K1.30", black="K1.87", fuse_amps=7.5))


@pytest.mark.parametrize(
    ("red", "black"),
    [("G1.+", "G1.-"), ("F1.out", "E1.-"), ("K1.30", "K1.85"), ("K1.30", "S1.1"), ("BB1", "F1.out"), ("G1.+", "E1.+")],
)
def test_a_bridge_never_joins_a_feed_to_ground_to_another_feed_or_past_its_fuse(red: str, black: str) -> None:
    """Whatever the switches do at the time, and whichever way round it is asked."""
    harness = rig(PLAIN_ROWS)
    for ends in ((red, black), (black, red)):
        assert reason(harness, CheckKind.BRIDGE, red=ends[0], black=ends[1], fuse_amps=5.0)


def test_a_bridge_does_the_work_of_a_switch_or_of_a_ground() -> None:
    """Along one feed, and on the ground side of coil and lamp."""
    harness = rig(PLAIN_ROWS)
    assert reason(harness, CheckKind.BRIDGE, red="S1.1", black="S1.2", fuse_amps=5.0) is None
    assert reason(harness, CheckKind.BRIDGE, red="K1.85", black="G1.-", fuse_amps=5.0) is None
    assert reason(harness, CheckKind.BRIDGE, red="E1.-", black="G1.-", fuse_amps=10.0) is None


def test_a_bridge_stays_off_control_units() -> None:
    """Over the switch behind which the unit hangs, unless it is out."""
    harness = rig(MODULE_ROWS)
    bridge: Fields = {"red": "S1.1", "black": "S1.2", "fuse_amps": 10.0}
    assert "A1.15" in str(reason(harness, CheckKind.BRIDGE, **bridge))
    assert reason(harness, CheckKind.BRIDGE, "A1=out", **bridge) is None


def test_ohms_are_refused_through_parts_that_promise_none() -> None:
    """A led lies between its own ends; across a wire whose far end hangs in the air it does not."""
    harness = rig(PLAIN_ROWS)
    assert "E2" in str(reason(harness, CheckKind.OHMS, red="K1.87", black="G1.-"))
    assert reason(harness, CheckKind.OHMS, "E2=out", red="K1.87", black="G1.-") is None
    assert reason(harness, CheckKind.OHMS, "E1=out", "K1=out", red="K1.87", black="E1.+") is None


def test_ohms_wait_for_the_supply_to_be_off() -> None:
    """Not while the engine charges, and never from post to post."""
    harness = rig(PLAIN_ROWS)
    assert "engine" in str(
        reason(harness, CheckKind.OHMS, "E1=out", "K1=out", key="running", red="K1.87", black="E1.+")
    )
    assert "G1" in str(reason(harness, CheckKind.OHMS, red="G1.+", black="G1.-"))


def test_ohms_stay_off_control_units_also_back_through_a_fuse() -> None:
    """With the clamps off nothing holds the bar: the current goes back through F2 and F1 to the unit."""
    harness = rig(MODULE_ROWS)
    ohms: Fields = {"red": "F2.out", "black": "E2.+"}
    assert "A1.15" in str(reason(harness, CheckKind.OHMS, "S1=on", **ohms))
    assert reason(harness, CheckKind.OHMS, "S1=on", "F2=out", **ohms) is None


HAZARD_ROWS = """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 20 } ]
loads = [
  { id = "L1", kind = "solenoid", amps = 4, hazard = "ignition" },
  { id = "M1", kind = "motor", amps = 6, hazard = "fuel" },
  { id = "E1", kind = "lamp", watts = 21 },
]
connectors = [ { id = "X1", cavities = 2 } ]
splices = [ { id = "J1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "F1.in", size = 4 }, { id = "W2", from = "F1.out", to = "J1", size = 4 },
  { id = "W3", from = "J1", to = "L1.+", size = 1 }, { id = "W4", from = "J1", to = "X1.plug.1", size = 1 },
  { id = "W5", from = "X1.socket.1", to = "M1.+", size = 1 }, { id = "W6", from = "M1.-", to = "CHASSIS", size = 1 },
  { id = "W7", from = "L1.-", to = "CHASSIS" }, { id = "W8", from = "G1.-", to = "CHASSIS", size = 10 },
  { id = "W9", from = "G1.+", to = "F2.in", size = 4 }, { id = "W10", from = "F2.out", to = "E1.+", size = 0.5 },
  { id = "W11", from = "E1.-", to = "CHASSIS" },
]
"""


def test_ignition_wiring_is_measured_with_the_engine_off_only() -> None:
    """Its own terminal while running is refused; at rest, and the splice before it, are not."""
    harness = rig(HAZARD_ROWS)
    assert "engine off" in str(reason(harness, CheckKind.VOLTS, key="running", red="L1.+", black="G1.-"))
    assert "engine off" in str(reason(harness, CheckKind.DROP, key="running", red="J1", black="L1.+"))
    assert reason(harness, CheckKind.VOLTS, key="on", red="L1.+", black="G1.-") is None
    assert reason(harness, CheckKind.VOLTS, key="running", red="J1", black="G1.-") is None


def test_fuel_loads_stay_plugged_and_unloaded() -> None:
    """Neither the pump nor the plug before it comes apart, and a lamp does not hang on them; volts do."""
    harness = rig(HAZARD_ROWS)
    for taken in ("M1=out", "X1=apart", "W5.b=off"):
        assert "fuel" in str(reason(harness, CheckKind.VOLTS, taken, red="F1.out", black="G1.-"))
    assert "fuel" in str(reason(harness, CheckKind.LOOK, part="M1"))
    assert reason(harness, CheckKind.LAMP, red="F1.out", black="G1.-", watts=3.0)
    assert reason(harness, CheckKind.VOLTS, red="M1.+", black="G1.-") is None
    assert reason(harness, CheckKind.VOLTS, "E1=out", red="F2.out", black="G1.-") is None


def test_a_new_fuse_is_never_larger_than_its_wire_bears() -> None:
    """W10 has 0.5 mm², which by JIS C 3406 bears about 11 A (12 A at 0.563 mm²): under the 20 A of F2."""
    harness = rig(HAZARD_ROWS)
    assert "W10" in str(reason(harness, CheckKind.NEW_FUSE, part="F2"))
    assert reason(harness, CheckKind.NEW_FUSE, part="F1") is None
    assert "no fuse" in str(reason(harness, CheckKind.NEW_FUSE, part="E1"))


def test_a_relay_is_swapped_for_one_made_alike() -> None:
    """Contacts, coil, diode and rating decide."""
    harness = rig(
        'relays = [ { id = "K1", amps = 20 }, { id = "K2", amps = 30 }, '
        '{ id = "K3", contacts = "changeover", amps = 30 }, '
        '{ id = "K4", coil_diode = "86", amps = 30 }, { id = "K5" } ]\n'
    )
    assert reason(harness, CheckKind.SWAP, part="K1", other="K2") is None
    for part, other in (("K2", "K1"), ("K1", "K3"), ("K1", "K4"), ("K1", "K5"), ("K1", "K1"), ("K1", "G1")):
        assert reason(harness, CheckKind.SWAP, part=part, other=other)


def test_points_that_are_none_and_one_point_twice_are_refused() -> None:
    """The in of a fuse on a bar is the bar."""
    harness = rig(PLAIN_ROWS)
    assert "E9.+" in str(reason(harness, CheckKind.VOLTS, red="E9.+", black="G1.-"))
    assert "BB1" in str(reason(harness, CheckKind.VOLTS, red="F1.in", black="BB1"))
    for kind in (CheckKind.VOLTS, CheckKind.DROP, CheckKind.OHMS, CheckKind.LAMP, CheckKind.BRIDGE):
        assert reason(harness, kind, red="F1.out") == "Both probes want a point."
    assert "K9" in str(reason(harness, CheckKind.LISTEN, part="K9"))
    assert reason(harness, CheckKind.LISTEN, part="K1") is None


GRAVE_ROWS = """
fuses = [ { id = "F1", amps = 10 } ]
switches = [ { id = "S1", hazard = "restraint" } ]
relays = [ { id = "K1", hazard = "high voltage" } ]
connectors = [ { id = "X1", cavities = 2 } ]
splices = [ { id = "J1" } ]
loads = [
  { id = "P1", kind = "electronics", amps = 1, hazard = "restraint" },
  { id = "M1", kind = "motor", amps = 1, hazard = "high voltage" },
]

[[modules]]
id = "A1"
feeds = [ { terminal = 15, amps = 1 } ]
outputs = [ { terminal = "ref", volts = 5 } ]
delicate = ["ref"]
"""
GRAVE_WIRES = wires(
    "G1.+ F1.in",
    "F1.out X1.plug.1",
    "X1.socket.1 P1.+",
    "P1.- CHASSIS",
    "G1.- CHASSIS",
    "M1.+ X1.socket.2",
    "K1.87 X1.plug.2",
    "M1.- J1",
    "J1 K1.30",
    "S1.1 K1.86",
    "G1.+ A1.15",
    "A1.31 CHASSIS",
)
GRAVE = rig(GRAVE_WIRES + GRAVE_ROWS)
GRAVE_BENCH = Bench(GRAVE)
_HARMLESS = {"G1", "A1", "CHASSIS"}
_GRAVE_POINTS = [
    name for name, point in all_points(GRAVE).items() if point.part_id not in _HARMLESS and name != "F1.in"
]
_GRAVE_PARTS = ["F1", "S1", "K1", "P1", "M1"]


@st.composite
def conditions(draw: st.DrawFn) -> Condition:
    """Draw a condition of the harness on which everything is grave."""
    names = draw(st.lists(st.sampled_from(settable_names(GRAVE)), max_size=2, unique=True))
    pairs = tuple((name, draw(st.sampled_from(setting_choices(GRAVE, name)))) for name in names)
    return Condition(draw(st.sampled_from(GRAVE.key_names)), pairs)


@given(
    kind=st.sampled_from(CheckKind),
    condition=conditions(),
    point=st.sampled_from(_GRAVE_POINTS),
    other=st.sampled_from(["G1.-", "G1.+", "CHASSIS", *_GRAVE_POINTS]),
    part=st.sampled_from(["", *_GRAVE_PARTS]),
    is_red=st.booleans(),
)
@settings(max_examples=300, deadline=None)
def test_no_check_of_any_kind_touches_restraint_or_high_voltage(
    kind: CheckKind, condition: Condition, point: str, other: str, part: str, is_red: bool
) -> None:
    """Whatever else it says, one probe on such a point is enough."""
    red, black = (point, other) if is_red else (other, point)
    check = Check(kind, condition, red=red, black=black, part=part, watts=3.0, fuse_amps=5.0)
    assert never_offered(GRAVE_BENCH, check)


@given(
    kind=st.sampled_from(CheckKind),
    condition=conditions(),
    part=st.sampled_from(_GRAVE_PARTS),
    other=st.sampled_from(["", *_GRAVE_PARTS]),
)
@settings(max_examples=150, deadline=None)
def test_no_check_of_any_kind_works_on_a_part_of_restraint_or_high_voltage(
    kind: CheckKind, condition: Condition, part: str, other: str
) -> None:
    """Looked at, listened to, swapped, fused anew, measured through its fuse or observed."""
    assert never_offered(GRAVE_BENCH, Check(kind, condition, part=part, other=other))
    for element in all_elements(GRAVE):
        if element.part_id in _GRAVE_PARTS:
            assert never_offered(GRAVE_BENCH, Check(CheckKind.OBSERVE, condition, load=element.name))


@given(
    kind=st.sampled_from([CheckKind.LAMP, CheckKind.BRIDGE, CheckKind.OHMS]),
    key=st.sampled_from(GRAVE.key_names),
    terminal=st.sampled_from(["A1.ref", "A1.15"]),
    other=st.sampled_from(["G1.-", "G1.+", "CHASSIS", "A1.31"]),
)
@settings(max_examples=60, deadline=None)
def test_nothing_but_a_voltmeter_touches_a_control_unit(kind: CheckKind, key: str, terminal: str, other: str) -> None:
    """Neither lamp nor bridge nor ohms, on any of its terminals."""
    check = Check(kind, Condition(key), red=terminal, black=other, watts=3.0, fuse_amps=5.0)
    assert never_offered(GRAVE_BENCH, check)
    assert never_offered(GRAVE_BENCH, Check(CheckKind.VOLTS, Condition(key), red=terminal, black=other)) is None
