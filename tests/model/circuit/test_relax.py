"""Lamps, leds, electronics, diodes and inverters brought to rest."""

from __future__ import annotations

import pytest

from model.circuit.settle import Settled
from model.errors import HarnessFileError
from model.harness.harness import Harness
from tests.model.circuit.rig import harness, settled, volts


def one_load(row: str, *, emf: float = 12.0, series_ohms: float = 1.0) -> Harness:
    """Make a rig of one load behind a resistance; the battery's own is a microohm."""
    rows = f"""
loads = [ {{ id = "E1", {row} }} ]
joints = [ {{ id = "T1", from = "G1.+", to = "E1.+", ohms = {series_ohms} }} ]
wires = [ {{ id = "W1", from = "E1.-", to = "G1.-", length = 0 }} ]
"""
    return harness(rows, batteries=f'{{ id = "G1", emf = {emf}, ohms = 1e-6 }}')


def load_figures(found: Settled) -> tuple[float, float]:
    """Give volts and amperes of E1."""
    element = found.net.elements[0]
    across = float(found.volts[element.from_node] - found.volts[element.to_node])
    return across, sum(float(found.amps[branch]) for branch in element.branches)


def test_a_lamp_carries_as_its_volts_to_the_power_of_055() -> None:
    """A lamp of 12 W (1 A at 12 V) with 3 V across it carries (3/12)^0.55 = 0.466517 A.

    The battery therefore has 3 V and 0.466517 V across the 1 Ω before the lamp: 3.466517 V.
    """
    across, amps = load_figures(settled(one_load('kind = "lamp", watts = 12', emf=3.466516)))
    assert (across, amps) == pytest.approx((3.0, 0.466516), abs=3e-6)


def test_a_lamp_is_never_under_a_twelfth_of_its_rated_resistance() -> None:
    """12 Ω rated, 1 Ω cold: R = 12 (V/12)^0.45 comes under 1 Ω below 0.048 V. Two times 1 Ω halve 0.04 V."""
    across, amps = load_figures(settled(one_load('kind = "lamp", watts = 12', emf=0.04)))
    assert (across, amps) == pytest.approx((0.02, 0.02), abs=1e-6)


def test_a_lamp_stands_either_way_round() -> None:
    """With its minus to the battery's plus it carries the same the other way."""
    rows = """
loads = [ { id = "E1", kind = "lamp", watts = 12 } ]
joints = [ { id = "T1", from = "G1.+", to = "E1.-", ohms = 1 } ]
wires = [ { id = "W1", from = "E1.+", to = "G1.-", length = 0 } ]
"""
    rig = harness(rows, batteries='{ id = "G1", emf = 3.466516, ohms = 1e-6 }')
    assert load_figures(settled(rig)) == pytest.approx((-3.0, -0.466516), abs=3e-6)


PLAIN = ["motor", "heater", "horn", "solenoid"]


@pytest.mark.parametrize("kind", PLAIN)
def test_a_plain_load_is_its_rated_resistance(kind: str) -> None:
    """36 W at 12 V is 4 Ω; behind 2 Ω it has 8 V and 2 A."""
    found = settled(one_load(f'kind = "{kind}", watts = 36', series_ohms=2))
    assert load_figures(found) == pytest.approx((8, 2), abs=1e-5)


@pytest.mark.parametrize("rating", ["watts = 48, at = 24", "amps = 2, at = 24", "ohms = 12"])
def test_a_load_is_rated_by_watts_amperes_or_ohms(rating: str) -> None:
    """48 W at 24 V, 2 A at 24 V and 12 Ω are one and the same load: 12 V over 12 Ω and 4 Ω drive 0.75 A."""
    assert load_figures(settled(one_load(f'kind = "heater", {rating}', series_ohms=4))) == pytest.approx((9, 0.75))


ONE_WAY = {
    # kind, what it starts at, emf behind 1 Ω → volts, amperes: the line from (start, 0 A) to (12 V, 2 A)
    "led": ('kind = "led", amps = 2', 6.6, 12.0, 6.6 + 5.4 * 2.7 / 3.7, 5.4 / 3.7),
    "electronics": ('kind = "electronics", amps = 2', 6.0, 12.0, 6 + 6 * 3 / 4, 6 / 4),
    "led that starts at 9 V": ('kind = "led", amps = 2, starts_at = 0.75', 9.0, 12.0, 9 + 3 * 1.5 / 2.5, 3 / 2.5),
}


@pytest.mark.parametrize("name", ONE_WAY)
def test_a_led_carries_along_its_line_above_its_start(name: str) -> None:
    """The slope is (12 V - start) / 2 A: 2.7 Ω of a led (0.55), 3 Ω of electronics (0.5), 1.5 Ω from 9 V; 1 Ω before.

    Current = (12 V - start) / (slope + 1 Ω), volts = start + slope × current.
    """
    row, _, emf, across_volts, amps = ONE_WAY[name]
    assert load_figures(settled(one_load(row, emf=emf))) == pytest.approx((across_volts, amps), abs=1e-5)


@pytest.mark.parametrize("name", ONE_WAY)
def test_a_led_is_open_below_its_start(name: str) -> None:
    """A hair under the start nothing flows and the led has all the volts; a hair over it carries."""
    row, start, _, _, _ = ONE_WAY[name]
    assert load_figures(settled(one_load(row, emf=start - 1e-4))) == pytest.approx((start - 1e-4, 0), abs=1e-9)
    assert load_figures(settled(one_load(row, emf=start + 1e-4)))[1] > 1e-5


def test_a_led_the_wrong_way_round_is_dark() -> None:
    """One way only: backwards it carries nothing at any volts, and the point behind it floats."""
    rows = """
loads = [ { id = "E1", kind = "led", watts = 5 } ]
joints = [ { id = "T1", from = "G1.+", to = "E1.-", ohms = 1 } ]
wires = [ { id = "W1", from = "E1.+", to = "G1.-", length = 0 } ]
"""
    found = settled(harness(rows, batteries='{ id = "G1", emf = 60, ohms = 1e-6 }'))
    assert load_figures(found) == pytest.approx((-60, 0))


DIODE = """
loads = [ { id = "E1", kind = "heater", ohms = 10 } ]
diodes = [ { id = "V1", volts = 0.7, ohms = 0.3 } ]
wires = [
  { id = "W1", from = "G1.+", to = "V1.anode", length = 0 },
  { id = "W2", from = "V1.cathode", to = "E1.+", length = 0 },
  { id = "W3", from = "E1.-", to = "G1.-", length = 0 },
]
"""
STIFF = '{ id = "G1", emf = 11, ohms = 1e-6 }'


def test_a_diode_drops_its_volts_and_a_little() -> None:
    """(11 V - 0.7 V) over 10.3 Ω is 1 A: 10 V at the heater."""
    assert volts(settled(harness(DIODE, batteries=STIFF)), "E1.+") == pytest.approx([10], abs=1e-5)


DIODE_FAULTS = {
    "V1=short": 11 * 10 / 10.01,
    "V1=open": 0.0,
    "V1=reversed": 0.0,
    "V1=1": 10.0,
    "E1:load=short": 10.3 * 0.01 / 0.31,
    "E1:load=low draw": 10.3 * 40 / 40.3,
    "E1:load=open": 10.3,
}


@pytest.mark.parametrize("fault", DIODE_FAULTS)
def test_a_faulty_diode_or_load_changes_the_volts(fault: str) -> None:
    """Shorted 0.01 Ω, open or reversed nothing, 1 Ω in its place 11 V × 10/11; the load 0.01 Ω, 40 Ω or nothing.

    With the load open the diode carries nothing, and the point behind it is told as floating.
    """
    found = settled(harness(DIODE, batteries=STIFF), f"!{fault}")
    if fault == "E1:load=open":
        assert found.volts_at("E1.+") is None
    else:
        assert volts(found, "E1.+") == pytest.approx([DIODE_FAULTS[fault]], abs=1e-4)


def test_a_diode_below_its_volts_is_open() -> None:
    """With 0.69 V before it nothing passes; with 1.73 V 0.1 A do."""
    low = '{ id = "G1", emf = 0.69, ohms = 1e-6 }'
    assert volts(settled(harness(DIODE, batteries=low)), "E1.+") == pytest.approx([0], abs=1e-9)
    assert volts(settled(harness(DIODE, batteries=low.replace("0.69", "1.73"))), "E1.+") == pytest.approx([1], abs=1e-5)


def test_a_diode_before_a_led_starts_together_with_it() -> None:
    """0.7 V and 6.6 V: nothing flows at 7.29 V; at 10 V (10 - 7.3) over 0.3 + 2.7 Ω: 0.9 A, 9.03 V at the led."""
    rows = DIODE.replace('kind = "heater", ohms = 10', 'kind = "led", amps = 2')
    dark = settled(harness(rows, batteries='{ id = "G1", emf = 7.29, ohms = 1e-6 }'))
    assert load_figures(dark)[1] == pytest.approx(0)
    lit = settled(harness(rows, batteries='{ id = "G1", emf = 10, ohms = 1e-6 }'))
    assert load_figures(lit) == pytest.approx((6.6 + 2.7 * 0.9, 0.9), abs=1e-5)


INVERTER = 'kind = "inverter", watts = 100'


def test_an_inverter_takes_constant_power_at_the_upper_of_two_volts() -> None:
    """V (12 - V) / 0.32 Ω = 100 W: V = 6 + √(36 - 32) = 8 V with 12.5 A; cut_out 0.6 lets it run there."""
    found = settled(one_load(f"{INVERTER}, cut_out = 0.6", series_ohms=0.32))
    assert load_figures(found) == pytest.approx((8, 12.5), abs=1e-4)


def test_an_inverter_at_the_limit_of_its_supply_still_runs() -> None:
    """At 0.36 Ω less a thousandth the supply can just give 100 W, at 6 V and a little; at a thousandth more it cannot.

    12² / (4 × 0.36) = 100 W.
    """
    rig = f"{INVERTER}, cut_out = 0.3, cut_in = 0.4"
    across, amps = load_figures(settled(one_load(rig, series_ohms=0.36 * 0.999)))
    assert across * amps == pytest.approx(100, abs=1e-3)
    assert across == pytest.approx(6 + 6 * 0.001**0.5, abs=1e-3)
    over = settled(one_load(rig, series_ohms=0.36 * 1.001))
    assert load_figures(over)[1] == 0
    assert not over.buzzing


def test_an_inverter_that_its_supply_cannot_carry_rests_as_off() -> None:
    """1 Ω before it gives 36 W at most: it is off, the volts without load stand at it, and nothing buzzes."""
    found = settled(one_load(INVERTER, series_ohms=1))
    assert load_figures(found) == pytest.approx((12, 0))
    assert (found.buzzing, found.states) == ((), (False,))


def test_an_inverter_below_cut_out_goes_off_and_comes_on_again() -> None:
    """0.32 Ω leave it 8 V under load, below its cut-out of 10.2 V, and 12 V without, above its cut-in: it buzzes."""
    found = settled(one_load(INVERTER, series_ohms=0.32))
    assert found.buzzing == ("E1:load",)
    assert found.volts_at("E1.+") is None
    assert found.volts_at("G1.+") == pytest.approx(12, abs=1e-4)


def test_an_inverter_between_cut_out_and_cut_in_stays_as_it_is() -> None:
    """At 11 V, between 10.2 V and 11.4 V, it is on, as it starts."""
    rig = one_load(INVERTER, emf=11, series_ohms=0.01)
    found = settled(rig)
    assert load_figures(found)[1] == pytest.approx(100 / load_figures(found)[0], abs=1e-3)


@pytest.mark.parametrize("watts", ["1e9", "1e12"])
def test_an_inverter_beyond_all_measure_is_off(watts: str) -> None:
    """A slip of the pen in the watts is no crash: the supply cannot carry it."""
    assert load_figures(settled(one_load(f'kind = "inverter", watts = {watts}')))[1] == 0


def test_a_socket_is_open_until_something_is_plugged_in() -> None:
    """At rest nothing; on, its rated 4 Ω behind 2 Ω have 8 V."""
    rig = one_load('kind = "socket", watts = 36', series_ohms=2)
    assert load_figures(settled(rig)) == pytest.approx((12, 0))
    assert load_figures(settled(rig, "E1=on")) == pytest.approx((8, 2), abs=1e-5)
    assert load_figures(settled(rig, "E1=out")) == pytest.approx((12, 0))


def test_a_shorted_socket_is_shorted_with_nothing_plugged_in() -> None:
    """0.01 Ω behind 2 Ω at rest; a low draw shows only with something in it: 16 Ω behind 2 Ω."""
    rig = one_load('kind = "socket", watts = 36', series_ohms=2)
    assert load_figures(settled(rig, "!E1:load=short"))[1] == pytest.approx(12 / 2.01, abs=1e-5)
    assert load_figures(settled(rig, "!E1:load=low draw"))[1] == 0
    assert load_figures(settled(rig, "!E1:load=low draw", "E1=on"))[1] == pytest.approx(12 / 18, abs=1e-5)


LOW_DRAW = {
    "heater": ('kind = "heater", watts = 36', 12 / 17),
    "led": ('kind = "led", amps = 2', 5.4 / (10.8 + 1)),
    "electronics": ('kind = "electronics", amps = 2', 6 / (12 + 1)),
}


@pytest.mark.parametrize("kind", LOW_DRAW)
def test_low_draw_is_a_quarter_of_the_rated_current(kind: str) -> None:
    """Four times the resistance, or four times the slope above the same start; 1 Ω before it."""
    row, amps = LOW_DRAW[kind]
    assert load_figures(settled(one_load(row), "!E1:load=low draw"))[1] == pytest.approx(amps, abs=1e-6)


def test_figures_beyond_all_measure_are_told_in_words() -> None:
    """A battery of 1e308 V is refused with the file, not with a traceback or a warning."""
    with pytest.raises(HarnessFileError, match="no vehicle has more than"):
        one_load('kind = "lamp", watts = 12', emf=1e308)


EXTREMES = ["watts = 1e-9", "watts = 1e12", "ohms = 1e-9", "ohms = 1e12", "amps = 5, at = 1e-9"]


@pytest.mark.parametrize("kind", ["lamp", "led", "heater", "electronics"])
@pytest.mark.parametrize("rating", EXTREMES)
def test_a_rating_beyond_all_measure_breaks_nothing(kind: str, rating: str) -> None:
    """Next to nothing is open, far too much a short: the volts at the load lie between 0 V and 12 V."""
    across, _ = load_figures(settled(one_load(f'kind = "{kind}", {rating}')))
    assert -1e-6 <= across <= 12 + 1e-6
