"""Which checks there are for a complaint: enough of every kind, all of them possible, none of them forbidden."""

from __future__ import annotations

from functools import cache
from itertools import chain

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition, parse_setting, require_point
from model.harness.harness import Harness, all_elements
from model.harness.parts import Fuse
from model.harness.toml_file import read_harness_text
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint, Symptom
from model.tracing.hypotheses import hypotheses
from model.tracing.never_offered import never_offered
from model.tracing.offers import ground_points, offered_checks, socket_test, with_black
from model.tracing.symptoms import elements_by_name
from model.tracing.walk import Walker
from model.tracing.working import working_condition
from tests.benchmarks.looms import loom_text
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires


@cache
def walker_of(name: str) -> Walker:
    """Give a walker of a demo build, its solved conditions kept for all tests."""
    return Walker(Bench(demo(name)))


def offers(
    walker: Walker,
    *loads: str,
    symptom: Symptom = Symptom.DEAD,
    condition: Condition | None = None,
    sites: tuple[str, ...] = (),
    fuse: str = "",
) -> tuple[Check, ...]:
    """Give the checks for a complaint; in its working condition where none is given."""
    asked = condition or working_condition(walker.bench, elements_by_name(walker.harness)[loads[0]]).condition
    return offered_checks(walker, Complaint(loads, symptom, fuse=fuse), asked, sites)


def of_kind(checks: tuple[Check, ...], kind: CheckKind) -> list[Check]:
    """Pick the checks of a kind."""
    return [check for check in checks if check.kind is kind]


def check_possible(harness: Harness, check: Check) -> None:
    """Check that everything a check names is in the harness and can be set so."""
    for point in check.points:
        require_point(harness, point, check.condition)
    assert check.condition.key in harness.key_names
    for name, value in check.condition.settings:
        assert parse_setting(harness, f"{name}={value}") == (name, value)
    assert not check.condition.faults
    assert check.condition.posts_volts is None
    assert not check.part or check.part in harness.parts
    assert not check.load or check.load in {one.name for one in all_elements(harness)} | harness.parts.keys()


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_circuit_of_every_load_has_checks_that_can_be_made(name: str) -> None:
    """Each is looked at, measured along its walk, and shares something with others; none is offered twice."""
    walker = walker_of(name)
    for element in all_elements(walker.harness):
        checks = offers(walker, element.name)
        assert 25 <= len(checks) <= 250, element.name
        assert len(checks) == len(set(checks))
        assert of_kind(checks, CheckKind.DROP)
        assert of_kind(checks, CheckKind.LOOK)
        for check in checks:
            check_possible(walker.harness, check)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_NAMES)
def test_nothing_offered_is_refused_by_a_bench_that_has_seen_nothing(name: str) -> None:
    """A tenth of the circuits, with the sites of their hypotheses."""
    walker = walker_of(name)
    for element in all_elements(walker.harness)[::10]:
        condition = working_condition(walker.bench, element).condition
        sites = [one.site for one in hypotheses(walker.bench, Complaint((element.name,)), condition)]
        fresh = Bench(walker.harness)
        for check in offered_checks(walker, Complaint((element.name,)), condition, sites):
            assert never_offered(fresh, check) is None, check


def test_the_same_complaint_has_the_same_checks_whatever_the_order_of_the_sites() -> None:
    """Sites are a set; what comes of them is not."""
    sites = ("W62", "X2.1", "E22:load", "F14", "GND8", "W9", "K4:30-87")
    one = offers(Walker(Bench(demo("trail_buggy"))), "E1:dip", sites=sites)
    other = offers(walker_of("trail_buggy"), "E1:dip", sites=sites[::-1])
    assert one == other


def test_a_dead_lamp_on_a_relay_has_every_kind_of_check() -> None:
    """The left dip beam of the buggy: fuse F13, relay K3 with the contact 30-87, plug X1, ground GND2."""
    checks = offers(walker_of("trail_buggy"), "E1:dip")
    assert {check.kind for check in checks} == set(CheckKind)
    here = Condition("off", (("S2", "head"), ("S3", "dip")))
    out = here.with_setting("K3", "out")
    wanted = [
        Check(CheckKind.VOLTS, here, red="E1.56b", black="G1.-"),
        Check(CheckKind.VOLTS, here, red="G1.+", black="G1.-"),
        Check(CheckKind.VOLTS, Condition("off"), red="G1.+", black="G1.-"),
        Check(CheckKind.VOLTS, here.with_setting("E1", "out"), red="E1.56b", black="E1.31"),
        Check(CheckKind.DROP, here, red="E1.56b", black="E1.31"),
        Check(CheckKind.DROP, here, red="BB2", black="F13.out"),
        Check(CheckKind.DROP, here, red="K3.30", black="K3.87"),
        Check(CheckKind.DROP, here, red="X1.cab.1", black="X1.engine.1"),
        Check(CheckKind.DROP, here, red="GND2", black="CHASSIS"),
        Check(CheckKind.LAMP, here, red="E1.56b", black="G1.-", watts=3.0),
        Check(CheckKind.LAMP, here.with_setting("F13", "out"), red="BB2", black="F13.out", part="F13", watts=55.0),
        Check(CheckKind.LISTEN, here, part="K3"),
        Check(CheckKind.LOOK, here, part="X1"),
        Check(CheckKind.AMPS, here, part="F13"),
        Check(CheckKind.NEW_FUSE, here, part="F13"),
        Check(CheckKind.OBSERVE, here, load="E2:dip"),
        Check(CheckKind.BRIDGE, out, red="K3.30", black="K3.87", fuse_amps=20.0),
        Check(CheckKind.OHMS, Condition("off", (("K3", "out"), ("F13", "out"), ("E1", "out"))), "E1.56b", "K3.87"),
    ]
    assert [check for check in wanted if check not in checks] == []


def test_a_coil_that_a_switch_grounds_is_measured_from_the_hot_post() -> None:
    """The horn push of the buggy: as it is and at the socket with the relay out."""
    checks = offers(walker_of("trail_buggy"), "P1:load")
    pressed = Condition("off", (("S10", "pressed"),))
    for condition, black in ((pressed, "K5.85"), (pressed, "S10.1"), (pressed.with_setting("K5", "out"), "K5.85")):
        assert Check(CheckKind.VOLTS, condition, red="G1.+", black=black) in checks


def test_the_socket_test_has_four_readings_in_the_order_of_the_trade() -> None:
    """30, 86, 85 and 87, the relay out; at 85 the red probe is on the hot post."""
    condition = Condition("off", (("S2", "head"), ("S3", "dip")))
    checks = socket_test(walker_of("trail_buggy"), "K3", condition, "G1.-")
    out = condition.with_setting("K3", "out")
    pairs = [(check.red, check.black) for check in checks]
    assert pairs == [("K3.30", "G1.-"), ("K3.86", "G1.-"), ("G1.+", "K3.85"), ("K3.87", "G1.-")]
    assert all(check.condition == out for check in checks)


def test_bridges_carry_no_more_than_the_fuse_of_their_own_circuit() -> None:
    """The dip beam hangs on 20 A, its coil behind the lighting switch on 7.5 A."""
    checks = offers(walker_of("trail_buggy"), "E1:dip")
    amps = {(check.red, check.black): check.fuse_amps for check in of_kind(checks, CheckKind.BRIDGE)}
    assert (amps["F13.out", "E1.56b"], amps["S2.30", "S2.56"]) == (20.0, 7.5)


def test_neither_lamp_nor_bridge_nor_unplugging_is_offered_at_the_fuel_pump() -> None:
    """The pump of the buggy: its relay is listened to, its points are measured, and no more."""
    checks = offers(walker_of("trail_buggy"), "M2:load")
    assert Check(CheckKind.VOLTS, Condition("ignition", (("S16", "set"),)), red="M2.+", black="G1.-") in checks
    assert not any("M2" in check.condition.by_name for check in checks)
    touching = of_kind(checks, CheckKind.LAMP) + of_kind(checks, CheckKind.BRIDGE) + of_kind(checks, CheckKind.OHMS)
    assert not any(point.startswith(("M2.", "K7.87")) for check in touching for point in check.points)
    assert Check(CheckKind.LISTEN, Condition("ignition", (("S16", "set"),)), part="K7") in checks


POSITIVE_GROUND = rig(
    'fuses = [ { id = "F1", amps = 10 } ]\nswitches = [ { id = "S1" } ]\n'
    'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\n'
    + wires("G1.- F1.in", "F1.out S1.1", "S1.2 E1.-", "E1.+ CHASSIS", "G1.+ CHASSIS"),
    build='nominal_volts = 6, ground_side = "positive"',
)


@pytest.mark.parametrize(("harness", "load"), [(POSITIVE_GROUND, "E1:load"), (demo("trail_buggy"), "E1:dip")])
def test_drops_are_asked_with_the_red_probe_on_the_more_positive_point(harness: Harness, load: str) -> None:
    """On positive ground the current comes to the load from the body."""
    walker = Walker(Bench(harness))
    for check in of_kind(offers(walker, load), CheckKind.DROP):
        settled = walker.bench.survey(check.condition).settled
        assert (settled.volts_at(check.red) or 0.0) >= (settled.volts_at(check.black) or 0.0) - 1e-9, check


def test_positive_ground_has_the_black_probe_on_the_plus_post() -> None:
    """And the feed reads below it."""
    checks = offers(Walker(Bench(POSITIVE_GROUND)), "E1:load")
    assert Check(CheckKind.VOLTS, Condition("off", (("S1", "on"),)), red="E1.-", black="G1.+") in checks


def test_a_fuse_that_blows_is_replaced_by_a_lamp_with_one_thing_apart_at_a_time() -> None:
    """Fuse F13 of the buggy: as it is, at rest, X1 apart, K3 out, the lamp unplugged."""
    checks = offers(walker_of("trail_buggy"), "E1:dip", symptom=Symptom.BLOWS_FUSE, fuse="F13")
    lamps = [check for check in of_kind(checks, CheckKind.LAMP) if check.condition.by_name.get("F13") == "out"]
    taken = [{name for name, value in check.condition.settings if value in ("out", "apart")} for check in lamps]
    for one in ({"F13"}, {"F13", "X1"}, {"F13", "K3"}, {"F13", "E1"}):
        assert one in taken
    assert Condition("off", (("F13", "out"),)) in [check.condition for check in lamps]


def test_a_load_that_stays_on_is_watched_while_one_thing_is_taken_out() -> None:
    """The dip beam at rest: relay out, fuse out, plug apart; and the feed with the fuse out."""
    checks = offers(walker_of("trail_buggy"), "E1:dip", symptom=Symptom.STAYS_ON, condition=Condition("off"))
    for name, value in (("K3", "out"), ("F13", "out"), ("X1", "apart")):
        assert Check(CheckKind.OBSERVE, Condition("off", ((name, value),)), load="E1:dip") in checks
    assert Check(CheckKind.VOLTS, Condition("off", (("F13", "out"),)), red="E1.56b", black="G1.-") in checks


def test_a_battery_and_a_charger_can_be_complained_of() -> None:
    """They have no walk: their posts, what is suspected beside them, and the drop across it."""
    walker = walker_of("trail_buggy")
    sites = ("W22", "F3", "G2", "G1", "W3", "GND8")
    checks = offers(walker, "G2", condition=Condition("running"), sites=sites)
    assert Check(CheckKind.VOLTS, Condition("running"), red="G2.+", black="G1.-") in checks
    assert Check(CheckKind.DROP, Condition("running"), red="F3.out", black="G2.+") in checks
    assert Check(CheckKind.OBSERVE, Condition("running"), load="G2") in checks
    assert Check(CheckKind.LOOK, Condition("running"), part="F3") in checks


@pytest.mark.slow
@pytest.mark.parametrize(
    ("site", "point"),
    [
        ("W62", "E1.56a"),
        ("X2.1", "X2.cab.1"),
        ("X2.1/2", "X2.engine.2"),
        ("X1.2/X2.3", "X2.cab.3"),
        ("E3:load", "E3.+"),
        ("K7:coil", "K7.86"),
        ("S5:49a-L", "S5.L"),
        ("K6.87", "K6.87"),
        ("W62.a", "E1.56a"),
    ],
)
def test_what_is_suspected_off_the_walk_is_measured_too(site: str, point: str) -> None:
    """Every spelling of a site leads to the points beside it."""
    harness = walker_of("trail_buggy").harness
    wire = next(one for one in harness.wires if "E1.56a" in (one.from_point, one.to_point))
    checks = offers(walker_of("trail_buggy"), "E1:dip", sites=(site.replace("W62", wire.id),))
    assert any(check.red == point for check in of_kind(checks, CheckKind.VOLTS))


def test_the_black_probe_may_stand_on_another_ground_point() -> None:
    """Volts and the test lamp move; a reading from the hot post and the lamp in place of a fuse do not."""
    walker = walker_of("trail_buggy")
    names = ground_points(walker.harness)
    assert names[:2] == ("G1.-", "GND1")
    assert {"CHASSIS", "BLOCK", "GND6"} <= set(names)
    here = Condition("off", (("S2", "side"),))
    volts = Check(CheckKind.VOLTS, here, red="E5.58", black="G1.-")
    assert with_black(volts, "GND6", walker.bench) == Check(CheckKind.VOLTS, here, red="E5.58", black="GND6")
    for fixed in (
        Check(CheckKind.VOLTS, here, red="G1.+", black="K3.85"),
        Check(CheckKind.DROP, here, red="E5.31", black="G1.-"),
        Check(CheckKind.VOLTS, here, red="GND6", black="G1.-"),
    ):
        assert with_black(fixed, "GND6", walker.bench) == fixed


def test_a_large_loom_has_four_hundred_checks_at_most() -> None:
    """A thousand wires, a load on a relay in the middle of it, with every part of the loom suspected."""
    harness = read_harness_text(loom_text(1000, 3), "loom.toml")
    walker = Walker(Bench(harness))
    load = harness.loads[len(harness.loads) // 2]
    element = next(one for one in all_elements(harness) if one.part_id == load.id)
    sites = tuple(chain((wire.id for wire in harness.wires), (fuse.id for fuse in harness.fuses)))
    checks = offers(walker, element.name, sites=sites)
    assert 60 <= len(checks) <= 400
    for check in checks:
        check_possible(harness, check)
        assert not isinstance(harness.parts.get(check.part), Fuse) or check.kind is not CheckKind.LISTEN
