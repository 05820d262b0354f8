"""What checks cost in minutes, with the sums by hand: open 0.5, panel 5, buried 20, a move 1, a setting 0.3."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from model.circuit.condition import Condition, make_condition
from model.tracing.checks import Check, CheckKind
from model.tracing.costs import Costs, Standing
from tests.model.tracing.rigs import demo, rig, wires

ROWS = """
locations = [
  { name = "tray" }, { name = "panel", access = "panel" }, { name = "sill", access = "buried" }, { name = "cab" },
]
fuses = [ { id = "F1", amps = 10, location = "panel" } ]
switches = [
  { id = "S1", location = "cab" },
  { id = "S2", location = "cab", momentary = true, positions = { up = [], down = [[1, 2]] } },
]
relays = [ { id = "K1", location = "panel" }, { id = "K2", location = "sill" } ]
connectors = [ { id = "X1", cavities = 2, location = "sill" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21, location = "sill" } ]
modules = [ { id = "A1", feeds = [ { terminal = 15, amps = 1 } ], location = "panel" } ]
""" + wires("G1.+ F1.in", "F1.out X1.plug.1", "X1.socket.1 E1.+", "E1.- CHASSIS", "G1.- CHASSIS", "A1.15 F1.out")
HARNESS = rig(ROWS, batteries='{ id = "G1", location = "tray" }')
COSTS = Costs(HARNESS)
REST = Condition("off")
START = COSTS.start(REST)


def volts(red: str, *states: str, key: str = "off", black: str = "G1.-") -> Check:
    """Give a volts check."""
    return Check(CheckKind.VOLTS, make_condition(HARNESS, key, states), red=red, black=black)


def cost(check: Check, standing: Standing = START) -> float:
    """Give the minutes, which must be the same one by one and all at once."""
    one_by_one = COSTS.minutes(check, standing)
    others = [volts("F1.out"), check, volts("E1.+", "S1=on", "X1=apart", key="on")]
    assert COSTS.minutes_of(others, standing)[1] == pytest.approx(one_by_one)
    return one_by_one


def test_a_place_is_paid_for_once_and_a_move_between_open_places_is_a_minute() -> None:
    """Panel 5 + 0.3; there again 0.3; tray 0.5 + 0.3; back to the panel 1 + 0.3; the sill 20 + 0.3."""
    standing = START
    for check, minutes in (
        (volts("F1.out"), 5.3),
        (volts("F1.in"), 0.3),
        (volts("G1.+"), 0.8),
        (volts("F1.out"), 1.3),
        (volts("E1.+"), 20.3),
    ):
        assert cost(check, standing) == pytest.approx(minutes)
        standing = COSTS.after(check, standing)
    assert (standing.here, standing.opened) == ("sill", frozenset({"panel", "tray", "sill"}))


def test_the_black_probe_on_the_grounded_post_wants_no_visit_and_elsewhere_it_does() -> None:
    """Both on the panel 5 + 0.3; red on the panel and black in the sill 5 + 20 + 0.3, and one ends at the red one."""
    assert cost(Check(CheckKind.DROP, REST, red="F1.in", black="F1.out")) == pytest.approx(5.3)
    check = Check(CheckKind.DROP, REST, red="F1.out", black="X1.plug.1")
    assert cost(check) == pytest.approx(25.3)
    assert COSTS.after(check, START).here == "panel"
    assert cost(check, COSTS.after(check, START)) == pytest.approx(0.3 + 1)


def test_bare_body_is_everywhere() -> None:
    """A probe on the body costs the reading alone."""
    assert cost(volts("CHASSIS")) == pytest.approx(0.3)


def test_key_and_switches_cost_as_they_change() -> None:
    """Key and one switch 0.6 on top of the panel 5 and the reading 0.3; then nothing changes; then both go back."""
    check = volts("F1.out", "S1=on", key="on")
    assert cost(check) == pytest.approx(5.9)
    standing = COSTS.after(check, START)
    assert cost(check, standing) == pytest.approx(0.3)
    assert cost(volts("F1.out"), standing) == pytest.approx(0.9)
    assert cost(volts("F1.out", "S1=off", key="on"), standing) == pytest.approx(0.6)


def test_a_momentary_switch_wants_a_helper_where_the_reading_is_elsewhere() -> None:
    """Press 0.3 + first hold 2 + sill 20 + 0.3; again 0.3 + 0.3; no helper, no reading; observing wants none."""
    check = volts("E1.+", "S2=down")
    assert cost(check) == pytest.approx(22.6)
    assert cost(check, COSTS.after(check, START)) == pytest.approx(0.6)
    alone = replace(START, has_helper=False)
    assert cost(check, alone) == math.inf
    assert cost(volts("S2.2", "S2=down"), alone) == pytest.approx(0.3 + 0.5 + 0.3)
    seen = Check(CheckKind.OBSERVE, make_condition(HARNESS, "off", ("S2=down",)), load="E1:load")
    assert cost(seen, alone) == pytest.approx(0.3 + 0.5)


def test_the_key_is_held_in_crank() -> None:
    """By whoever sits there: 2 the first time on top of key 0.3, place 0.5 and reading 0.3."""
    buggy = demo("trail_buggy")
    costs = Costs(buggy)
    check = Check(CheckKind.VOLTS, Condition("crank"), red="G1.+", black="G1.-")
    assert costs.minutes(check, costs.start(Condition("off"))) == pytest.approx(3.1)
    assert costs.minutes(check, costs.start(Condition("off"), has_helper=False)) == math.inf


def test_plugs_fuses_and_relays_are_paid_for_as_they_come_out() -> None:
    """Plug 1 in the sill 20 + panel 5 + 0.3; kept apart 0.3 + the move back 1; mated again for nothing."""
    check = volts("F1.out", "X1=apart")
    assert cost(check) == pytest.approx(1 + 20 + 5 + 0.3)
    standing = COSTS.after(check, START)
    assert (standing.here, standing.taken) == ("panel", frozenset({"X1"}))
    assert cost(check, standing) == pytest.approx(0.3)
    assert cost(volts("F1.out"), standing) == pytest.approx(0.3)
    assert cost(volts("F1.out", "F1=out")) == pytest.approx(5 + 0.3 + 0.3)
    assert cost(volts("F1.out", "K1=out")) == pytest.approx(5 + 0.3 + 0.3)
    assert cost(volts("E1.+", "E1=out")) == pytest.approx(20 + 1 + 0.3)


def test_ohms_and_a_control_unit_want_the_battery_off() -> None:
    """4 more until the battery goes on again; a second ohms check pays no more."""
    check = Check(CheckKind.OHMS, make_condition(HARNESS, "off", ("F1=out",)), red="F1.out", black="X1.plug.1")
    assert cost(check) == pytest.approx(4 + 0.3 + 5 + 20 + 0.3)
    standing = COSTS.after(check, START)
    assert standing.battery_off
    assert cost(check, standing) == pytest.approx(1.3)
    assert not COSTS.after(volts("F1.out"), standing).battery_off
    assert cost(volts("F1.out", "A1=out")) == pytest.approx(4 + 1 + 5 + 0.3)


def test_what_is_seen_or_changed_costs_its_own() -> None:
    """Observe 0.5; a fuse looked at 5 + 0.3 + 0.5; a plug 20 + 1 + 0.5; swap 25 + 0.6 + 0.5; new fuse as a look."""
    assert cost(Check(CheckKind.OBSERVE, REST, load="E1:load")) == pytest.approx(0.5)
    assert cost(Check(CheckKind.LOOK, REST, part="F1")) == pytest.approx(5.8)
    assert cost(Check(CheckKind.LOOK, REST, part="X1")) == pytest.approx(21.5)
    assert cost(Check(CheckKind.NEW_FUSE, REST, part="F1")) == pytest.approx(5.8)
    assert cost(Check(CheckKind.SWAP, REST, part="K1", other="K2")) == pytest.approx(26.1)
    assert cost(Check(CheckKind.LISTEN, REST, part="K1")) == pytest.approx(5.5)
    assert cost(Check(CheckKind.AMPS, REST, part="F1")) == pytest.approx(5.3)


def test_a_look_moves_no_switch() -> None:
    """Whatever its condition says, one looks as things are."""
    check = Check(CheckKind.LOOK, make_condition(HARNESS, "on", ("S1=on",)), part="F1")
    assert cost(check) == pytest.approx(5.8)
    after = COSTS.after(check, START)
    assert (after.key, after.settings) == ("off", frozenset())


def test_a_look_along_a_wire_leads_to_both_its_ends() -> None:
    """W2 runs from the panel (5) to the sill (20): half a minute to look and two along it."""
    assert cost(Check(CheckKind.LOOK, REST, part="W2")) == pytest.approx(5 + 20 + 0.5 + 2)


def test_a_lamp_of_55_w_is_clipped_on() -> None:
    """At the fuse behind the panel, pulled for it: 5, 0.3 for the fuse, 0.3 for the clips, 0.3 to see it."""
    out = make_condition(HARNESS, "off", ("F1=out",))
    assert cost(Check(CheckKind.LAMP, out, red="G1.+", black="F1.out", watts=55.0)) == pytest.approx(5.9 + 0.5)


def test_what_is_heard_costs_no_visit_and_an_apparatus_at_hand_its_place() -> None:
    """The pump behind eight bolts is heard: 0.5; the radio telephone behind a panel: 5 and 0.5."""
    buggy = demo("trail_buggy")
    pump = Check(CheckKind.OBSERVE, Condition("ignition"), load="M2:load")
    costs = Costs(buggy)
    assert costs.minutes(pump, costs.start(pump.condition)) == pytest.approx(0.5)
    launch = demo("harbour_launch")
    radio = Check(CheckKind.OBSERVE, Condition("off"), load="E20:load")
    costs = Costs(launch)
    assert costs.minutes(radio, costs.start(radio.condition)) == pytest.approx(5.5)


def test_starting_the_engine_to_look_at_something_is_paid_for() -> None:
    """Half a minute for the look and two for the engine that is cranked or started for it."""
    buggy = demo("trail_buggy")
    costs = Costs(buggy)
    for key in ("crank", "running"):
        look = Check(CheckKind.OBSERVE, Condition(key), load="M2:load")
        assert costs.minutes(look, costs.start(look.condition)) == pytest.approx(2.5)


def test_splice_wants_its_sleeve_opened() -> None:
    """J13 at the tail: the place 5, the sleeve 1.5, the reading 0.3; the lamp's own terminal beside it 0.3."""
    buggy = demo("trail_buggy")
    costs = Costs(buggy)
    standing = costs.start(Condition("off"))
    splice = Check(CheckKind.VOLTS, Condition("off"), red="J13", black="G1.-")
    assert costs.minutes(splice, standing) == pytest.approx(6.8)
    beside = Check(CheckKind.VOLTS, Condition("off"), red="E5.54", black="G1.-")
    assert costs.minutes(beside, costs.after(splice, standing)) == pytest.approx(0.3)
