"""What each load does in a condition, against the healthy circuit."""

from __future__ import annotations

import pytest

from model.circuit.survey import LoadState, load_state
from model.harness.parts import LoadKind
from tests.model.circuit.rig import CHAIN, harness, surveyed

RATED = (12.0, 1.0)

BORDERS = {
    # volts and amperes now, healthy → state; 12 V and 1 A rated
    ((2.99, 0.25), (2.99, 0.25)): LoadState.OFF,
    ((0.0, 0.0), (0.0, 0.0)): LoadState.OFF,
    ((3.0, 0.25), (3.0, 0.25)): LoadState.WORKS,
    ((12.0, 1.0), (12.0, 1.0)): LoadState.WORKS,
    ((10.21, 0.86), (12.0, 1.0)): LoadState.WORKS,
    ((10.19, 0.86), (12.0, 1.0)): LoadState.WEAK,
    ((12.0, 0.84), (12.0, 1.0)): LoadState.WEAK,
    ((3.01, 0.26), (12.0, 1.0)): LoadState.WEAK,
    ((2.99, 0.26), (12.0, 1.0)): LoadState.DEAD,
    ((12.0, 0.24), (12.0, 1.0)): LoadState.DEAD,
    ((12.0, 0.0), (12.0, 1.0)): LoadState.DEAD,
    ((3.01, 0.25), (0.0, 0.0)): LoadState.UNASKED,
    ((3.01, 0.25), (2.99, 0.25)): LoadState.UNASKED,
    ((2.99, 0.25), (0.0, 0.0)): LoadState.OFF,
}


@pytest.mark.parametrize(("now", "healthy"), BORDERS)
def test_a_state_follows_from_volts_and_amperes(now: tuple[float, float], healthy: tuple[float, float]) -> None:
    """Off under 25 % of rated volts where healthy so too; works from 85 % of both; dead under 25 % of either."""
    assert load_state(LoadKind.LAMP, now, healthy, RATED) is BORDERS[now, healthy]


@pytest.mark.parametrize("kind", [LoadKind.LED, LoadKind.ELECTRONICS])
def test_only_a_led_or_electronics_glows(kind: LoadKind) -> None:
    """Unasked by its volts, yet under a quarter of its rated current: it glows; from a quarter on it is unasked."""
    assert load_state(kind, (7.0, 0.24), (0, 0), RATED) is LoadState.GLOWS
    assert load_state(kind, (7.0, 0.26), (0, 0), RATED) is LoadState.UNASKED
    assert load_state(LoadKind.LAMP, (7.0, 0.0), (0, 0), RATED) is LoadState.UNASKED


STATES = {
    "S1=off": "off",
    "S1=on": "works",
    "S1=on !W4=1.1": "works",  # 6 Ω of 7 Ω: 86 %
    "S1=on !W4=1.3": "weak",  # 6 Ω of 7.2 Ω: 83 %
    "S1=on !W4=high": "weak",  # 6 Ω of 11 Ω: 55 %
    "S1=on !W4=18": "weak",  # 6 Ω of 23.9 Ω: 25.1 %
    "S1=on !W4=19": "dead",  # 6 Ω of 24.9 Ω: 24.1 %
    "S1=on !W4=open": "dead",
    "S1=on !GND1=open": "dead",
    "S1=on !E1:load=open": "dead",
    "S1=on !E1:load=short": "dead",  # no volts, whatever the current
    "S1=on !E1:load=low draw": "weak",  # more volts, a quarter and a little of the current
    "S1=off !S1:1-2=stuck": "unasked",
    "S1=on E1=out": "off",
    "S1=on F1=out": "off",  # it is out in the healthy circuit as well
}


@pytest.mark.parametrize("words", STATES)
def test_a_load_is_told_against_the_healthy_circuit(words: str) -> None:
    """Of the healthy 2 A and 9.6 V the chain keeps 6 Ω / (6 Ω + what the fault adds)."""
    found = surveyed(harness(CHAIN), *words.split(" ", 1))
    assert found.loads["E1:load"].state == STATES[words]


def test_a_reading_has_volts_amperes_and_watts() -> None:
    """9.6 V and 2 A are 19.2 W."""
    reading = surveyed(harness(CHAIN), "S1=on").loads["E1:load"]
    assert (reading.volts, reading.amps, reading.watts) == pytest.approx((9.6, 2, 19.2), abs=1e-6)


def test_both_circuits_stand_at_the_volts_read() -> None:
    """At 11 V of posts the faulty heater is told against a healthy one at 11 V.

    With 5 Ω more in W4 the load keeps 5.9 / 10.9 of its volts at the same posts: weak.
    """
    rig = harness(CHAIN)
    found = surveyed(rig, "S1=on", "!W4=high", battery=11)
    assert found.settled.posts_volts == pytest.approx(11, abs=1e-6)
    assert found.healthy.posts_volts == pytest.approx(11, abs=1e-6)
    reading = found.loads["E1:load"]
    assert reading.volts == pytest.approx(4.8 * 11 / 10.9, abs=1e-5)
    assert reading.state is LoadState.WEAK


LED = """
loads = [ { id = "E1", kind = "led", watts = 12 } ]
resistors = [ { id = "R1", elements = [ { name = "r", from = "1", to = "2", ohms = 100 } ] } ]
switches = [ { id = "S1" } ]
wires = [
  { id = "W1", from = "G1.+", to = "R1.1", length = 0 }, { id = "W2", from = "R1.2", to = "E1.+", length = 0 },
  { id = "W3", from = "E1.-", to = "S1.1", length = 0 }, { id = "W4", from = "S1.2", to = "G1.-", length = 0 },
]
"""


def test_a_led_glows_through_a_stuck_switch_and_a_resistance() -> None:
    """(12 - 6.6) V over 100.2 + 5.4 Ω are 51 mA of 1 A: 6.88 V stand at it, and it glows."""
    reading = surveyed(harness(LED), "!S1:1-2=stuck").loads["E1:load"]
    assert reading.state is LoadState.GLOWS
    assert reading.amps == pytest.approx(5.4 / 105.7, abs=2e-4)


def test_a_load_with_a_floating_end_has_no_volts() -> None:
    """The led's plus hangs on 12 V, its minus floats behind the open switch: 0 V across it and off."""
    reading = surveyed(harness(LED)).loads["E1:load"]
    assert (reading.volts, reading.amps, reading.state) == (0, 0, LoadState.OFF)


FEED = """
wires = [
  { id = "W1", from = "G1.+", to = "A1.15", length = 1 }, { id = "W2", from = "A1.31", to = "G1.-", length = 1 },
]

[[modules]]
id = "A1"
feeds = [ { terminal = "15", amps = 2, asleep_amps = 0.02 } ]
"""


def test_a_feed_of_a_module_is_a_load() -> None:
    """6 Ω and 0.3 Ω: 11.43 V; asleep it draws a hundredth and works no less, since healthy means asleep too."""
    rig = harness(FEED)
    reading = surveyed(rig).loads["A1:15"]
    assert reading.volts == pytest.approx(12 * 6 / 6.3, abs=1e-5)
    assert reading.state is LoadState.WORKS
    asleep = surveyed(rig, "A1=asleep").loads["A1:15"]
    assert asleep.amps == pytest.approx(12 / 600.3, abs=1e-6)
    assert asleep.state is LoadState.WORKS
    assert surveyed(rig, "!A1:15=open").loads["A1:15"].state is LoadState.DEAD


BUZZES = """
relays = [ { id = "K1", contacts = "break" } ]
loads = [ { id = "E1", kind = "lamp", watts = 5 } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 0 }, { id = "W2", from = "K1.87a", to = "K1.86", length = 0 },
  { id = "W3", from = "K1.85", to = "G1.-", length = 0 }, { id = "W4", from = "K1.87a", to = "E1.+", length = 0 },
  { id = "W5", from = "E1.-", to = "G1.-", length = 0 },
]
"""


def test_a_load_on_an_unsettled_point_has_no_figures() -> None:
    """Its volts come and go with the buzzing contact: 0 V, 0 A."""
    reading = surveyed(harness(BUZZES)).loads["E1:load"]
    assert (reading.volts, reading.amps) == (0, 0)


HOLDS = """
relays = [ { id = "K1" } ]
switches = [ { id = "S1", follows = { on = "on" } } ]
loads = [ { id = "E1", kind = "heater", ohms = 10 } ]
wires = [
  { id = "W1", from = "G1.+", to = "K1.30", length = 0 }, { id = "W2", from = "G1.+", to = "S1.1", length = 0 },
  { id = "W3", from = "S1.2", to = "K1.86", length = 0 }, { id = "W4", from = "K1.87", to = "K1.86", length = 0 },
  { id = "W5", from = "K1.85", to = "G1.-", length = 0 }, { id = "W6", from = "K1.87", to = "E1.+", length = 0 },
  { id = "W7", from = "E1.-", to = "G1.-", length = 0 },
]
"""


def test_both_ends_are_told_where_the_key_state_before_decides() -> None:
    """From rest ``running`` leaves the relay out; reached from ``on``, which pulls it in, it holds itself."""
    rig = harness(HOLDS)
    found = surveyed(rig, key="running")
    assert found.settled.relays == {"K1": False}
    assert found.from_before is not None
    assert found.from_before.relays == {"K1": True}


@pytest.mark.parametrize("key", ["off", "on"])
def test_one_end_is_told_where_the_key_state_before_does_not_matter(key: str) -> None:
    """The first state has none before it; ``on`` pulls in from anywhere."""
    assert surveyed(harness(HOLDS), key=key).from_before is None


def test_an_inverter_starts_on_whatever_the_key_state_before_left_it() -> None:
    """In ``on`` a winch of 0.3 Ω behind the battery's 0.1 Ω leaves 8.25 V and pulls it off; then 11 V come back.

    11 V lie between cut-out and cut-in: relays alone start from the state before.
    """
    rows = """
loads = [ { id = "E1", kind = "inverter", watts = 10 }, { id = "E2", kind = "heater", ohms = 0.3 } ]
switches = [ { id = "S1", follows = { on = "on" }, ohms = 1e-6 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", length = 0 }, { id = "W2", from = "E1.-", to = "G1.-", length = 0 },
  { id = "W3", from = "G1.+", to = "S1.1", length = 0 }, { id = "W4", from = "S1.2", to = "E2.+", length = 0 },
  { id = "W5", from = "E2.-", to = "G1.-", length = 0 },
]
"""
    rig = harness(rows, batteries='{ id = "G1", emf = 11, ohms = 0.1 }')
    assert surveyed(rig, key="on").loads["E1:load"].amps == 0
    found = surveyed(rig, key="running")
    assert found.loads["E1:load"].amps == pytest.approx(10 / 10.9, abs=0.01)
    assert found.from_before is None


def test_fuses_are_told_with_their_amperes() -> None:
    """2 A through the chain's fuse; 0 A where it is out, blown or missing."""
    rig = harness(CHAIN)
    assert surveyed(rig, "S1=on").fuse_amps == {"F1": pytest.approx(2)}
    assert surveyed(rig, "S1=on", "F1=out").fuse_amps == {"F1": 0}
    assert surveyed(rig, "S1=on", "!F1=missing").fuse_amps == {"F1": 0}
    small = harness(CHAIN.replace("amps = 100", "amps = 1"))
    found = surveyed(small, "S1=on")
    assert (found.settled.blown, found.fuse_amps) == (("F1",), {"F1": 0})


def test_a_survey_without_faults_settles_once() -> None:
    """Healthy and as found are one and the same where nothing is faulty."""
    found = surveyed(harness(CHAIN), "S1=on")
    assert found.healthy is found.settled
