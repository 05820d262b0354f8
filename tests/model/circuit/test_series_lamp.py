"""A lamp in series with the battery: its volts go with the amperes to the power 1.8."""

from __future__ import annotations

import pytest

from model.circuit.condition import Condition, make_condition
from model.circuit.meter import LampLight
from model.circuit.series_lamp import SeriesLamp, lamp_volts, read_series_lamp
from model.errors import ArgumentError
from model.harness.harness import Harness
from tests.model.tracing.rigs import DEMO_NAMES, demo, rig, wires

BATTERY = '{ id = "G1", emf = %s, ohms = 0.005 }'
HEATER = 'loads = [ { id = "E1", kind = "heater", ohms = %s } ]\n'


def heated(ohms: float, emf: float) -> Harness:
    """Give a heater on a battery, a metre of 1.5 mm² to each post: with the lamp some 0.03 Ω besides."""
    return rig(HEATER % ohms + wires("G1.+ E1.+", "E1.- G1.-"), batteries=BATTERY % emf)


def lamp_on(harness: Harness, key: str = "off", watts: float = 21.0, post: str = "G1.+") -> SeriesLamp:
    """Read the lamp at the live post."""
    return read_series_lamp(harness, Condition(key), post, watts)


@pytest.mark.parametrize(("amps", "volts"), [(0.5, 1.23), (1.0, 4.34), (1.5, 9.07)])
def test_the_volts_of_the_lamp_by_its_law(amps: float, volts: float) -> None:
    """A lamp of 21 W at 12 V takes 1.75 A there, and I goes with V to the power 0.55: V = 12 (I / 1.75)^(1 / 0.55).

    0.5 A: 12 × 0.2857^1.818 = 1.23 V. 1 A: 12 × 0.5714^1.818 = 4.34 V. 1.5 A: 12 × 0.8571^1.818 = 9.07 V. The heater
    is chosen so that just this current flows from what the lamp leaves of 12.7 V.
    """
    found = lamp_on(heated((12.7 - volts) / amps - 0.034, 12.7))
    assert found.volts == pytest.approx(volts, abs=0.02)
    assert found.amps == pytest.approx(amps, abs=0.005)


def test_twenty_milliamperes_give_eleven_millivolts() -> None:
    """Cold it has a twelfth of its 6.857 Ω: 20 mA × 0.571 Ω = 11.4 mV."""
    assert lamp_on(heated(12.7 / 0.020, 12.7)).volts == pytest.approx(0.0114, abs=0.0002)


def test_a_dead_short_lights_it_fully() -> None:
    """All but some millivolts stand across it, and 1.75 A × (12.7 / 12)^0.55 = 1.81 A flow."""
    found = read_series_lamp(heated(6.0, 12.7), Condition("off"), "G1.+", 21.0, touching=("E1.+", "G1.-"))
    assert found.volts == pytest.approx(12.7, abs=0.1)
    assert found.amps == pytest.approx(1.805, abs=0.01)
    assert found.light is LampLight.LIT


def test_nothing_flows_where_nothing_hangs_on_the_post() -> None:
    """A load of a megohm and more is as good as none."""
    assert lamp_on(heated(5e6, 12.7)).volts < 1e-5


@pytest.mark.parametrize(("build", "post"), [("negative", "G1.+"), ("positive", "G1.-")])
def test_the_lamp_stands_at_either_post(build: str, post: str) -> None:
    """With the plus grounded it stands at the minus post and shows the same."""
    harness = rig(
        HEATER % 20 + wires("G1.+ E1.+", "E1.- G1.-"),
        build=f'nominal_volts = 12, ground_side = "{build}"',
        batteries=BATTERY % 12.7,
    )
    assert lamp_on(harness, post=post).volts == pytest.approx(lamp_on(heated(20, 12.7)).volts, abs=1e-6)


def test_at_the_end_of_a_chain_all_of_its_volts_stand_behind_the_lamp() -> None:
    """Two batteries of 12.7 V, a lamp of 21 W at 24 V and a short: 25.4 V across it."""
    harness = rig(
        HEATER % 20 + wires("G1.+ E1.+", "E1.- G2.-", "G1.- G2.+"),
        build="nominal_volts = 24",
        batteries='{ id = "G1", emf = 12.7 }, { id = "G2", emf = 12.7 }',
    )
    found = read_series_lamp(harness, Condition("off"), "G1.+", 21.0, touching=("E1.+", "G2.-"))
    assert found.volts == pytest.approx(25.4, abs=0.1)


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_with_the_battery_out_the_lamp_is_dark(name: str) -> None:
    """Then nothing drives a current, whatever is on."""
    harness = demo(name)
    settings = tuple(f"{battery.id}=out" for battery in harness.batteries)
    condition = make_condition(harness, harness.key_names[1], settings)
    sign = "-" if harness.build.ground_side == "positive" else "+"
    assert read_series_lamp(harness, condition, f"G1.{sign}", 21.0).volts == pytest.approx(0.0, abs=1e-6)


def test_a_point_that_is_no_post_is_refused() -> None:
    """The lamp stands at a battery, nowhere else."""
    with pytest.raises(ArgumentError, match="no post of a battery"):
        lamp_on(heated(6.0, 12.7), post="E1.+")


def test_a_meter_may_stand_beside_the_lamp() -> None:
    """The volts across the heater and those across the lamp add up to the battery's."""
    found = read_series_lamp(heated(20.0, 12.7), Condition("off"), "G1.+", 21.0, probes=("E1.+", "E1.-"))
    across = found.read_volts("E1.+", "E1.-")
    assert across + found.volts == pytest.approx(12.7 - found.amps * 0.034, abs=0.01)


@pytest.mark.parametrize(
    ("amps", "watts", "volts", "expected"),
    [(0.02, 21.0, 6.0, 0.002857), (0.5, 21.0, 12.0, 1.23), (0.02, 21.0, 24.0, 0.0457)],
)
def test_the_volts_of_a_lamp_at_some_amperes(amps: float, watts: float, volts: float, expected: float) -> None:
    """Cold V² / W / 12 times the amperes; hot V (I / I rated)^(1 / 0.55)."""
    assert lamp_volts(amps, watts, volts) == pytest.approx(expected, rel=0.005)
