"""What one would see if a part were faulty."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.circuit.faults import FaultKind, parse_fault
from model.harness.harness import Harness, all_elements
from model.tracing.what_if import WhatIf, fault_sites, what_if
from model.tracing.working import working_condition
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

RIG = rig(
    """
fuses = [ { id = "F1", amps = 10 }, { id = "F2", amps = 10 } ]
switches = [ { id = "S1" }, { id = "S2" } ]
loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 21 } ]
grounds = [ { id = "GND1" }, { id = "GND2" }, { id = "GND3" } ]
"""
    + wires(
        "G1.+ F1.in", "F1.out S1.1", "S1.2 E1.+", "E1.- GND1",
        "G1.+ F2.in", "F2.out S2.1", "S2.2 E2.+", "E2.- GND2", "GND3 G1.-",
    )
)  # fmt: skip
"""Two lamps, each behind a fuse and a switch of its own."""


def seen(harness: Harness, typed: str, *settings: str) -> WhatIf:
    """Give what a fault shows, with something set as it is now."""
    bench = Bench(harness)
    needs = {element.name: working_condition(bench, element).condition for element in all_elements(harness)}
    return what_if(bench, parse_fault(harness, typed), needs, make_condition(harness, settings=settings))


def states(found: WhatIf, load: str, key: str = "off") -> tuple[str, str]:
    """Give healthy and faulty state of a load."""
    one = found.loads[load][key]
    return str(one.healthy), str(one.faulty)


def test_a_break_kills_its_load_and_healthy_loads_are_not_listed() -> None:
    """The first lamp goes from works to dead in every key state, its switch on; the second is not told."""
    found = seen(RIG, "W3=open")
    assert list(found.loads) == ["E1:load"]
    assert {key: states(found, "E1:load", key) for key in RIG.key_names} == dict.fromkeys(
        RIG.key_names, ("works", "dead")
    )
    assert found.loads["E1:load"]["off"].settings == (("S1", "on"),)
    assert (found.blown, found.trouble) == ({}, {})


def test_two_wires_that_touch_light_a_lamp_that_nobody_asked_for() -> None:
    """W3 and W7 touch behind the switches: with one switch on the other lamp burns; told with what was set.

    All switches at rest nothing shows: it takes the other lamp's settings to see it.
    """
    found = seen(RIG, "W3=touches:E2.+")
    assert states(found, "E2:load") == ("off", "unasked")
    assert found.loads["E2:load"]["off"].settings == (("S1", "on"),)
    assert states(found, "E1:load") == ("off", "unasked")


def test_a_wire_on_the_body_blows_its_fuse_and_darkens_what_hangs_on_it() -> None:
    """Behind the switch: with S1 on, F1 blows and its lamp is dead."""
    found = seen(RIG, "W3=to body")
    assert found.blown == dict.fromkeys(RIG.key_names, ("F1",))
    assert states(found, "E1:load") == ("works", "dead")
    assert "E2:load" not in found.loads


def test_a_poor_ground_makes_a_load_weak() -> None:
    """5 Ω more before a lamp of 6.9 Ω."""
    assert states(seen(RIG, "GND1=high"), "E1:load") == ("works", "weak")


def test_a_fuse_that_blows_without_the_fault_is_not_its_doing() -> None:
    """A lamp of 21 W behind 1 A blows it anyway: told of no fault elsewhere."""
    harness = rig(
        'fuses = [ { id = "F1", amps = 1 } ]\n'
        'loads = [ { id = "E1", kind = "lamp", watts = 21 }, { id = "E2", kind = "lamp", watts = 5 } ]\n'
        + wires("G1.+ F1.in", "F1.out E1.+", "E1.- G1.-", "G1.+ E2.+", "E2.- G1.-")
    )
    found = seen(harness, "W4=open")
    assert found.blown == {}
    assert list(found.loads) == ["E2:load"]


def test_a_fault_in_what_is_set_now_shows_too() -> None:
    """A stuck switch: with all at rest its lamp burns unasked; with it on nothing is seen."""
    found = seen(RIG, "S1:1-2=stuck")
    assert states(found, "E1:load") == ("off", "unasked")
    assert found.loads["E1:load"]["off"].settings == ()


def test_a_fault_that_nothing_shows_lists_nothing() -> None:
    """A spare wire's break."""
    harness = rig(
        'loads = [ { id = "E1", kind = "lamp", watts = 21 } ]\nsplices = [ { id = "J1" } ]\n'
        + wires("G1.+ E1.+", "E1.- G1.-", "E1.+ J1")
    )
    assert seen(harness, "W3=open").loads == {}


def test_the_condition_as_it_is_now_may_hold_posts_that_were_read() -> None:
    """They belong to one key state and are left away."""
    bench = Bench(RIG)
    now = make_condition(RIG, settings=("S1=on",), posts_volts=12.2)
    found = what_if(bench, parse_fault(RIG, "W3=open"), {"E1:load": Condition("off", (("S1", "on"),))}, now)
    assert states(found, "E1:load") == ("works", "dead")


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        ("W1", {"W1": "open"}),
        ("F1", {"F1": "blown", "F1.in": "open", "F1.out": "high"}),
        ("S1", {"S1:1-2": "stuck", "S1.1": "open"}),
        ("E1", {"E1:load": "low draw", "E1.+": "high"}),
        ("G1", {"G1": "flat", "G1.+": "high", "G1.-": "open"}),
        ("GND1", {"GND1": "open"}),
    ],
)
def test_the_sites_of_a_part_at_which_a_fault_can_be(part: str, expected: dict[str, str]) -> None:
    """The part itself, its contacts and circuits, its terminals, each with what can be wrong there."""
    found = dict(fault_sites(RIG, part))
    for site, kind in expected.items():
        assert kind in found[site]


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_site_listed_can_be_typed(name: str) -> None:
    """Each fault without a partner is one that the command line takes, and is spelled as it was typed."""
    harness = demo(name)
    count = 0
    for part in harness.each_part():
        for site, kinds in fault_sites(harness, part.id):
            for kind in kinds:
                if kind in (FaultKind.TOUCHES, FaultKind.ELSEWHERE) or (
                    kind is FaultKind.TO_BODY and not harness.build.chassis
                ):
                    continue
                assert parse_fault(harness, f"{site}={kind}").spelled() == f"{site}={kind}"
                count += 1
    assert count > 150


def test_cavities_are_sites_and_neighbours_can_be_swapped() -> None:
    """A plug of three: three contacts and two pairs."""
    harness = rig('connectors = [ { id = "X1", cavities = 3 } ]\n' + wires("G1.+ X1.plug.1", "X1.socket.1 G1.-"))
    assert [site for site, _ in fault_sites(harness, "X1")] == ["X1.1", "X1.2", "X1.3", "X1.1/2", "X1.2/3"]
