"""Relays that pull in, hold, drop out, hold themselves and buzz."""

from __future__ import annotations

import pytest

from model.circuit.condition import make_condition
from model.circuit.settle import Settled, settle
from model.harness.harness import Harness
from tests.model.circuit.rig import harness, settled

COIL = """
relays = [ { id = "K1", coil_ohms = 100, ROW } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.86", length = 0 },
  { id = "W2", from = "K1.85", to = "G1.-", length = 0 },
]
"""


def coil_at(coil_volts: float, row: str = 'contacts = "make"', nominal_volts: int = 12) -> Harness:
    """Make a rig of one coil with some volts on it."""
    stiff = f'{{ id = "G1", emf = {coil_volts}, ohms = 1e-6 }}'
    return harness(COIL.replace("ROW", row), build=f"nominal_volts = {nominal_volts}", batteries=stiff)


PULLED = {
    # volts on the coil, row, nominal → pulled in, told as uncertain
    (7.21, "", 12): (True, False),
    (7.19, "", 12): (False, True),
    (5.41, "", 12): (False, True),
    (5.39, "", 12): (False, False),
    (14.41, "", 24): (True, False),
    (14.39, "", 24): (False, True),
    (4.81, "pull_in = 0.4", 12): (True, False),
    (4.79, "pull_in = 0.4", 12): (False, True),
    (3.61, "pull_in = 0.4", 12): (False, True),
    (3.59, "pull_in = 0.4", 12): (False, False),
    (4.19, "pull_in = 0.3", 12): (True, True),
    (4.21, "pull_in = 0.3", 12): (True, False),
}


@pytest.mark.parametrize(("coil_volts", "row", "nominal_volts"), PULLED)
def test_a_relay_pulls_in_at_its_share_of_nominal(coil_volts: float, row: str, nominal_volts: int) -> None:
    """60 % of 12 V is 7.2 V; from 75 % of that, 5.4 V, it may or may not; held under 35 %, 4.2 V, likewise."""
    rig = coil_at(coil_volts, f'contacts = "make", {row}' if row else 'contacts = "make"', nominal_volts)
    pulled, is_uncertain = PULLED[coil_volts, row, nominal_volts]
    found = settled(rig)
    assert found.relays == {"K1": pulled}
    assert found.uncertain == (("K1",) if is_uncertain else ())


def test_a_coil_pulls_in_either_way_round() -> None:
    """Its plus and minus exchanged, a coil without a diode pulls in all the same."""
    rows = COIL.replace("ROW", 'contacts = "make"').replace("K1.86", "K1.x").replace("K1.85", "K1.86")
    rig = harness(rows.replace("K1.x", "K1.85"), batteries='{ id = "G1", emf = 12, ohms = 1e-6 }')
    assert settled(rig).relays == {"K1": True}


def test_a_faulty_coil_is_judged_by_its_current() -> None:
    """50 Ω in place of 100 Ω behind a 10 Ω wire: 6 V in all, 5 V on it, 0.1 A: as much as 10 V on a good coil.

    200 Ω with 12 V on them carry 0.06 A: as 6 V on a good coil, under the 7.2 V of its pull-in, and uncertain.
    """
    rows = COIL.replace("ROW", 'contacts = "make"').replace('"K1.86", length = 0', '"K1.86", length = 100')
    assert settled(harness(rows, batteries='{ id = "G1", emf = 6, ohms = 1e-6 }')).relays == {"K1": False}
    shorted = settled(harness(rows, batteries='{ id = "G1", emf = 6, ohms = 1e-6 }'), "!K1:coil=50")
    assert shorted.relays == {"K1": True}
    weak = settled(coil_at(12), "!K1:coil=200")
    assert (weak.relays, weak.uncertain) == ({"K1": False}, ("K1",))


HOLDS = """
relays = [ { id = "K1" } ]
switches = [ { id = "S1", follows = { on = "on" } }, { id = "S2", rest = "on" } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 0 }, { id = "W2", from = "G1.+", to = "S1.1", length = 0 },
  { id = "W3", from = "S1.2", to = "K1.86", length = 0 }, { id = "W4", from = "K1.87", to = "S2.1", length = 0 },
  { id = "W5", from = "S2.2", to = "K1.86", length = 0 }, { id = "W6", from = "K1.85", to = "G1.-", length = 0 },
]
"""


def moved_on(rig: Harness, first: str, then: str, *settings: str) -> Settled:
    """Settle one key state from rest and the next from where the first ended."""
    before = settle(rig, make_condition(rig, first, settings))
    return settle(rig, make_condition(rig, then, settings), before=before)


def test_a_relay_that_feeds_its_own_coil_holds_when_its_start_is_gone() -> None:
    """From rest it stays out in the state ``running``; from ``on``, where S1 pulls it in, it holds itself."""
    rig = harness(HOLDS)
    assert settled(rig, key="running").relays == {"K1": False}
    assert settled(rig, key="on").relays == {"K1": True}
    assert moved_on(rig, "on", "running").relays == {"K1": True}
    assert moved_on(rig, "on", "running", "S2=off").relays == {"K1": False}, "its own feed is cut"


HELD = {
    # ohms of the contact that holds → held, told as uncertain
    157: (True, False),
    158: (True, True),
    764: (True, True),
    766: (False, False),
}


@pytest.mark.parametrize("contact_ohms", HELD)
def test_a_relay_holds_down_to_its_drop_out(contact_ohms: int) -> None:
    """The coil has 12 V × 85 / (85.2 + R): 4.2 V, 35 % of nominal, at 157.66 Ω; 1.2 V, its drop-out, at 764.8 Ω."""
    rig = harness(HOLDS)
    before = settle(rig, make_condition(rig, "on"))
    running = make_condition(rig, "running", faults=(f"K1:30-87={contact_ohms}",))
    found = settle(rig, running, before=before)
    held, is_uncertain = HELD[contact_ohms]
    assert found.relays == {"K1": held}
    assert found.uncertain == (("K1",) if is_uncertain else ())


BUZZER = """
relays = [ { id = "K1", contacts = "break" } ]
loads = [ { id = "E1", kind = "heater", ohms = 100 } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 0 }, { id = "W2", from = "K1.87a", to = "K1.86", length = 0 },
  { id = "W3", from = "K1.85", to = "G1.-", length = 0 }, { id = "W4", from = "G1.+", to = "E1.+", length = 0 },
  { id = "W5", from = "E1.-", to = "G1.-", length = 0 },
]
"""


def test_a_relay_that_cuts_its_own_coil_buzzes() -> None:
    """It never comes to rest: its contact and coil are unsettled and told as 0; the rest keeps its volts."""
    found = settled(harness(BUZZER, batteries='{ id = "G1", emf = 12, ohms = 1e-6 }'))
    assert found.buzzing == ("K1",)
    assert not found.rests_one_at_a_time
    assert {found.net.names[node] for node in found.unsettled} == {"K1.87a", "K1.86"}
    assert found.volts[found.net.index["K1.86"]] == 0
    assert found.volts_at("E1.+") == pytest.approx(12, abs=1e-4)


FLIP_FLOP = """
relays = [ { id = "K1", contacts = "break" }, { id = "K2", contacts = "break" } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 0 }, { id = "W2", from = "K1.87a", to = "K2.86", length = 0 },
  { id = "W3", from = "K2.85", to = "G1.-", length = 0 }, { id = "W4", from = "G1.+", to = "K2.30", length = 0 },
  { id = "W5", from = "K2.87a", to = "K1.86", length = 0 }, { id = "W6", from = "K1.85", to = "G1.-", length = 0 },
]
"""


def test_two_relays_that_cut_each_other_end_one_of_two_ways() -> None:
    """Moving together both go in and out for ever; one at a time one wins: which, is not known."""
    found = settled(harness(FLIP_FLOP))
    assert found.buzzing == ("K1", "K2")
    assert found.rests_one_at_a_time


CASCADE = """
relays = [ { id = "K1" }, { id = "K2" }, { id = "K3" } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.86", length = 0 }, { id = "W2", from = "K1.85", to = "G1.-", length = 0 },
  { id = "W3", from = "G1.+", to = "K1.30", length = 0 }, { id = "W4", from = "K1.87", to = "K2.86", length = 0 },
  { id = "W5", from = "K2.85", to = "G1.-", length = 0 }, { id = "W6", from = "G1.+", to = "K2.30", length = 0 },
  { id = "W7", from = "K2.87", to = "K3.86", length = 0 }, { id = "W8", from = "K3.85", to = "G1.-", length = 0 },
]
"""


def test_relays_pull_in_one_behind_the_other() -> None:
    """Three steps: each is fed by the contact of the one before."""
    rig = harness(CASCADE)
    assert settled(rig).relays == {"K1": True, "K2": True, "K3": True}
    assert settled(rig, "!K1:30-87=open").relays == {"K1": True, "K2": False, "K3": False}


def test_a_floating_coil_is_not_pulled_in() -> None:
    """One end of the coil fed and the other hanging free: no volts across it, whatever the free end stands at."""
    rig = harness(CASCADE)
    assert settled(rig, "!W2=open").relays == {"K1": False, "K2": False, "K3": False}


def test_a_point_that_floats_in_one_state_only_is_unsettled() -> None:
    """The wire behind a buzzing contact has no way to the reference while it is open: unsettled, and not floating."""
    rows = BUZZER.replace(
        '"K1.86", length = 0 },', '"K1.86", length = 0 }, { id = "W6", from = "K1.87a", length = 1 },'
    )
    found = settled(harness(rows), "!K1:coil=open")
    assert found.buzzing == ()
    found = settled(harness(rows))
    assert found.volts_at("W6.b") is None
    assert found.net.index["W6.b"] in found.unsettled


LAMP_CHOPPER = """
loads = [ { id = "E1", kind = "lamp", watts = 21 } ]
switches = [ { id = "S1", pulses = true } ]
wires = [
  { id = "W1", from = "G1.+", to = "S1.1", length = 0 }, { id = "W2", from = "S1.2", to = "E1.+", length = 0 },
  { id = "W3", from = "E1.-", to = "G1.-", length = 0 },
]
"""


def test_a_flasher_that_pulses_is_solved_closed() -> None:
    """``pulses`` tells a reader of the file; the circuit is that of its position."""
    assert settled(harness(LAMP_CHOPPER), "S1=on").volts_at("E1.+") == pytest.approx(11.65, abs=0.05)
