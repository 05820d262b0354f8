"""What to expect at a point, the load plugged in and unplugged, in each key state."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition, make_condition
from model.harness.harness import Harness
from model.tracing.expect import Expectations, reading_at
from tests.model.tracing.rigs import rig, settled, wires

ROWS = """
chargers = [ { id = "G2", volts = 14.4, ohms = 0.001 } ]
switches = [
  { id = "S0", key = true, terminals = [30, 15], positions = { off = [], on = [[30, 15]], running = [[30, 15]] } },
]
splices = [ { id = "J1" } ]
loads = [ { id = "E1", kind = "heater", ohms = 2.0 }, { id = "E2", kind = "heater", ohms = 4.0 } ]
resistors = [ { id = "R1", elements = [ { name = "r", from = "a", to = "b", ohms = 0.4 } ] } ]
"""
RIG = rig(
    ROWS
    + wires("G1.+ S0.30", "S0.15 R1.a", "R1.b E1.+", "E1.- G1.-", "R1.b E2.+", "E2.- G1.-", "G2.+ G1.+", "G2.- G1.-"),
    batteries='{ id = "G1", emf = 12, ohms = 0.001 }',
)
WORKING = Condition("on")


def expectations(harness: Harness, condition: Condition = WORKING, load_id: str | None = "E1") -> Expectations:
    """Give the expectations with one load unplugged or not."""
    return Expectations(Bench(harness), condition, load_id, "G1.-")


def test_volts_plugged_in_and_unplugged_by_hand() -> None:
    """0.4 Ω and the wires before 2 Ω beside 4 Ω: 12 × 1.333 / 1.78; without the 2 Ω 12 × 4 / 4.45.

    A wire of a metre of 1.5 mm² has 13.3 mΩ and two crimps of 0.5 mΩ, a switch 10 mΩ: 0.4 + 2 × 0.0143 + 0.01 before
    R1.b, then 0.0143 on each side of each load: 2.0286 Ω beside 4.0286 Ω is 1.3492 Ω, of 1.7888 in all: 9.05 V. With E2
    alone 12 × 4.0286 / 4.4682 = 10.82 V.
    """
    expect = expectations(RIG).at("R1.b")["on"]
    assert expect.on == pytest.approx(9.05, abs=0.01)
    assert expect.unplugged == pytest.approx(10.82, abs=0.01)
    assert expect.low is not None
    assert expect.high is not None
    assert expect.low < 9.05 < expect.high


def test_each_key_state_is_told() -> None:
    """Off 0 V behind the key; running, the charger's 14.4 V in place of the battery's 12."""
    expect = expectations(RIG).at("R1.b")
    assert list(expect) == ["off", "on", "running"]
    assert expect["off"].on == pytest.approx(0.0, abs=1e-6)
    running_volts = 9.05 * (14.4 - 2 * 0.0143 * 9) / 12  # some 9 A and what charges come through the charger's wires
    assert expect["running"].on == pytest.approx(running_volts, abs=0.3)


def test_where_nothing_holds_a_point_a_word_stands() -> None:
    """A splice of its own floats; so does a load's feed side once the load that held it is out."""
    loose = expectations(RIG).at("J1")["on"]
    assert (loose.on, loose.low, loose.high, loose.word, loose.unplugged_word) == (
        None,
        None,
        None,
        "floating",
        "floating",
    )
    harness = rig(
        'switches = [ { id = "S1" } ]\nloads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + wires("G1.+ S1.1", "S1.2 E1.+", "E1.- G1.-")
    )
    expect = expectations(harness, Condition("off")).at("E1.+")["off"]
    assert (expect.on, expect.word) == (0.0, "")
    assert (expect.unplugged, expect.unplugged_word) == (None, "floating")


def test_where_a_relay_chatters_a_word_stands() -> None:
    """The contact that feeds its own coil gives no figure."""
    harness = rig(
        'relays = [ { id = "K1", contacts = "break" } ]\nloads = [ { id = "E1", kind = "lamp", watts = 5 } ]\n'
        + wires("G1.+ K1.30", "K1.87a K1.86", "K1.85 G1.-", "G1.+ E1.+", "E1.- G1.-")
    )
    expect = expectations(harness, Condition("off")).at("K1.86")["off"]
    assert (expect.on, expect.word) == (None, "unsettled")


def test_a_load_that_must_not_be_unplugged_is_not() -> None:
    """No unplugged volts, and the word that says so."""
    expect = expectations(RIG, load_id=None).at("R1.b")["on"]
    assert (expect.unplugged, expect.unplugged_word) == (None, "never")


def test_the_posts_read_in_one_key_state_hold_for_the_others_by_their_emf() -> None:
    """11.8 V at the posts with 6.7 A through 1 mΩ: the emf, and off the posts show it.

    The key state that was read has the narrower band.
    """
    found = expectations(RIG, make_condition(RIG, "on", posts_volts=11.8)).at("G1.+")
    assert found["on"].on == pytest.approx(11.8, abs=1e-5)
    assert found["off"].on == pytest.approx(11.8 + 0.0066, abs=0.0005)
    on, off = found["on"], found["off"]
    assert on.low is not None
    assert off.low is not None
    assert 11.8 - on.low < 0.2 < 0.9 < 11.8 - off.low


def test_unplugged_the_battery_has_the_emf_that_was_read() -> None:
    """The load's current gone, the posts rise by what it drew over the battery's ohms, and by no more."""
    harness = rig(
        'loads = [ { id = "E1", kind = "heater", ohms = 1.2 } ]\n' + wires("G1.+ E1.+", "E1.- G1.-"),
        batteries='{ id = "G1", ohms = 0.02 }',
    )
    condition = make_condition(harness, "off", posts_volts=12.0)
    expect = expectations(harness, condition).at("G1.+")["off"]
    amps = 12.0 / (1.2 + 2 * 0.0143)
    assert expect.unplugged == pytest.approx(12.0 + amps * 0.02, abs=0.002)


def test_across_two_points_the_red_is_taken_against_the_black() -> None:
    """Across the load: its volts; unplugged what its plug shows, 10.82 V as at R1.b."""
    across = expectations(RIG).across("E1.+", "E1.-")["on"]
    assert across.on == pytest.approx(12 * 1.3492 / 1.7888 * 2.0 / 2.0286, abs=0.02)
    assert across.unplugged == pytest.approx(10.82, abs=0.01)


def test_what_the_load_does_is_told_by_key_state() -> None:
    """Off it takes nothing; on it takes 4.5 A and works."""
    found = expectations(RIG)
    assert (found.load("off", "E1:load").state, found.load("on", "E1:load").state) == ("off", "works")
    assert found.load("on", "E1:load").amps == pytest.approx(4.46, abs=0.02)


def test_a_fault_in_the_condition_is_in_the_expectations() -> None:
    """With the wire to the load open, nothing at the load."""
    found = expectations(RIG, make_condition(RIG, "on", faults=("W3=open",)))
    assert found.at("E1.+")["on"].on == pytest.approx(0.0, abs=1e-6)
    assert found.load("on", "E1:load").state == "dead"


def test_a_reading_is_against_the_black_probe() -> None:
    """On another ground than the reference the difference counts."""
    circuit = settled(RIG, key="on")
    volts, word = reading_at(circuit, "E1.-", "E2.-")
    ground_side, other = circuit.volts_at("E1.-"), circuit.volts_at("E2.-")
    assert ground_side is not None
    assert other is not None
    assert volts == pytest.approx(ground_side - other)
    assert word == ""
