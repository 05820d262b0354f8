"""Batteries, in series and side by side, and chargers with their exciters, as branches of the circuit."""

from __future__ import annotations

import pytest

from tests.model.circuit.rig import CHAIN, harness, settled, volts

SERIES = """
loads = [ { id = "E1", kind = "heater", ohms = 11.7 }, { id = "E2", kind = "heater", ohms = 1000 } ]
joints = [ { id = "T1", from = "G1.-", to = "G2.+" } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", length = 0 },
  { id = "W2", from = "E1.-", to = "G2.-", length = 0 },
]
"""
PAIR = '{ id = "G1", ohms = 0.1 }, { id = "G2", ohms = 0.1 }'


def test_batteries_in_series_share_the_nominal_volts() -> None:
    """24 V over two: 12 V each, emf 1.058 × 12 = 12.696 V; 25.392 V over 0.1 + 0.1 + 0.1 + 11.7 = 12 Ω is 2.116 A.

    The reference is the outermost minus, G2.-.
    """
    rig = harness(SERIES, build="nominal_volts = 24", batteries=PAIR)
    found = settled(rig)
    drop = 0.1 * 2.116
    assert volts(found, "G2.-", "G2.+", "G1.-", "G1.+") == pytest.approx(
        [0, 12.696 - drop, 12.696 - 2 * drop, 25.392 - 3 * drop], abs=2e-6
    )


def test_a_positive_ground_counts_from_its_plus() -> None:
    """The same two with the positive post on the body: the reference is the outermost plus, all else below it."""
    rig = harness(SERIES, build='nominal_volts = 24, ground_side = "positive"', batteries=PAIR)
    assert volts(settled(rig), "G1.+", "G2.-") == pytest.approx([0, -(25.392 - 3 * 0.2116)], abs=2e-6)


def test_the_file_may_choose_the_reference() -> None:
    """All volts are told against the point that the build names."""
    rig = harness(CHAIN, build='nominal_volts = 12, reference = "CHASSIS"')
    found = settled(rig, "S1=on")
    assert volts(found, "CHASSIS", "G1.-", "E1.+") == pytest.approx([0, -0.4, 10.0], abs=2e-6)


CHARGING = """
chargers = [ { id = "G2", volts = 15, ohms = 0.4, exciter = { terminal = "61", ohms = 6 } } ]
loads = [ { id = "E1", kind = "heater", ohms = 5.5 }, { id = "E2", kind = "heater", ohms = 6 } ]
wires = [
  { id = "W1", from = "G1.+", to = "E1.+", length = 0 },
  { id = "W2", from = "E1.-", to = "G1.-", length = 0 },
  { id = "W3", from = "G2.+", to = "G1.+", length = 0 },
  { id = "W4", from = "G2.-", to = "G1.-", length = 0 },
  { id = "W5", from = "G1.+", to = "E2.+", length = 0 },
  { id = "W6", from = "E2.-", to = "G2.61", length = 0 },
]
"""
CHARGED = '{ id = "G1", emf = 12, charged_emf = 13, ohms = 0.1 }'


def test_a_charger_charges_a_battery_above_its_charged_emf() -> None:
    """15 V behind 0.4 Ω against 13 V behind 0.1 Ω and the load's 5.5 Ω: the post stands at V.

    (15 - V) / 0.4 = (V - 13) / 0.1 + V / 5.5: 37.5 + 130 = 12.681818 V, V = 13.207885.
    """
    found = settled(harness(CHARGING, batteries=CHARGED), key="running")
    assert volts(found, "G1.+") == pytest.approx([167.5 / (2.5 + 10 + 1 / 5.5)])


def test_a_battery_between_its_two_emfs_carries_nothing() -> None:
    """With charged_emf at 14.9 V: 15 V over 0.4 + 5.5 Ω leave 13.983051 V at the post, the battery idle."""
    rig = harness(CHARGING, batteries='{ id = "G1", emf = 12, charged_emf = 14.9, ohms = 0.1 }')
    assert volts(settled(rig, key="running"), "G1.+") == pytest.approx([15 * 5.5 / 5.9])


def test_an_exciter_leans_on_minus_while_the_charger_is_off_and_on_plus_while_it_is_on() -> None:
    """Off, the lamp of 6 Ω on the exciter's 6 Ω has half of the post's volts across it; on, nothing.

    Off: 5.5 ∥ 12 Ω = 3.771429 Ω behind 0.1 Ω: post 11.690037 V, exciter 5.845018 V.
    """
    rig = harness(CHARGING, batteries=CHARGED)
    off = settled(rig)
    assert volts(off, "G1.+", "G2.61") == pytest.approx([11.690037, 5.845018], abs=1e-6)
    on = settled(rig, key="running")
    assert on.volts_at("G2.61") == pytest.approx(on.volts_at("G1.+"))


def test_a_charger_without_output_is_as_one_at_rest() -> None:
    """Its exciter leans on minus, so that the charge lamp burns with the engine running."""
    rig = harness(CHARGING, batteries=CHARGED)
    assert volts(settled(rig, "!G2=no output", key="running"), "G2.61") == pytest.approx([5.845018], abs=1e-6)


def test_a_charger_is_set_on_and_off_and_pulled() -> None:
    """``on`` without the engine, ``off`` with it; out, its exciter's terminal is joined to the lamp alone: 0 A."""
    rig = harness(CHARGING, batteries=CHARGED)
    assert volts(settled(rig, "G2=on"), "G1.+") == pytest.approx([13.207885], abs=1e-5)
    assert volts(settled(rig, "G2=off", key="running"), "G1.+") == pytest.approx([11.690037], abs=1e-6)
    out = settled(rig, "G2=out", key="running")
    assert volts(out, "G2.61", "G1.+") == pytest.approx([12 * 5.5 / 5.6] * 2)


def test_a_charger_never_takes_current() -> None:
    """A shore charger of 11 V on a battery of 12 V: nothing flows back, the load has what it has without it."""
    rows = CHARGING.replace("volts = 15", "volts = 11")
    assert volts(settled(harness(rows, batteries=CHARGED), "G2=on"), "G1.+") == pytest.approx([12 * 5.5 / 5.6])


def test_a_battery_out_leaves_all_behind_it_floating() -> None:
    """No point has a closed way to the reference but through the load: all stand at 0 V."""
    found = settled(harness(CHAIN), "S1=on", "G1=out")
    assert volts(found, "G1.-", "E1.+") == pytest.approx([0, 0], abs=2e-6)
