"""Worked examples of textbooks and manuals that are no ready circuit: wire sizes, batteries, bridges."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.circuit.solver import Branch, solve
from model.units import awg_diameter_mm, copper_factor, wire_ohms_per_metre

MM_PER_MIL = 0.0254
M_PER_FOOT = 0.3048
COPPER_OHM_CMIL_PER_FT = 10.09
BRIDGE_ARMS = ((1, 2, 150.0), (1, 3, 50.0), (3, 2, 100.0), (2, 0, 300.0), (3, 0, 250.0))


def circular_mils(gauge: str) -> float:
    """Give the area of a gauge as the American books do: the square of its diameter in thousandths of an inch."""
    return (awg_diameter_mm(gauge) / MM_PER_MIL) ** 2


def test_the_long_feeder_needs_2_0() -> None:
    """230 V, 25 A, 2300 ft each way, 220 V wanted: 10.09 × 2300 / 0.2 = 116 035 cmil, so 2/0 and not 1/0.

    T. Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 12.
    """
    ends_with_volts = {}
    for gauge in ("1/0", "2/0"):
        wire_ohms = COPPER_OHM_CMIL_PER_FT * 2300 / circular_mils(gauge)
        volts = solve(
            4, [Branch(0, 1, 0, 230), Branch(1, 2, wire_ohms), Branch(2, 3, 220 / 25), Branch(3, 0, wire_ohms)]
        ).volts
        ends_with_volts[gauge] = volts[2] - volts[3]
    assert circular_mils("1/0") < 116_035 < circular_mils("2/0")
    assert ends_with_volts["1/0"] < 220 < ends_with_volts["2/0"]


def test_the_same_feeder_in_14_chokes_even_a_dead_short() -> None:
    """14 AWG: 10.09 × 2300 / 4107 = 5.651 Ω a wire, 11.301 Ω both; a short takes 230 / 11.301 = 20.352 A.

    T. Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 12.
    """
    wire_ohms = COPPER_OHM_CMIL_PER_FT * 2300 / circular_mils("14")
    amps = solve(4, [Branch(0, 1, 0, 230), Branch(1, 2, wire_ohms), Branch(2, 3, 0.0), Branch(3, 0, wire_ohms)]).amps
    assert wire_ohms == pytest.approx(5.651, abs=0.001)
    assert amps == pytest.approx([20.352] * 4, abs=0.003)


def test_a_hundred_foot_pair_of_16_drops_four_volts() -> None:
    """4.99 Ω/1000 ft at 75 °C (NEC ch. 9 table 8), 100 ft out and back, 4 A: 3.992 V, 16.6 % of 24 V (printed 16.7).

    The gauge's formula with 2 % strand lay gives the same: 13.17 Ω/km × 1.02 × (1 + 0.00393 × 55).
    """
    printed_ohms = 4.99 / 1000 * 100
    solid_ohms_per_m = wire_ohms_per_metre("AWG 16") / 1.10
    own_ohms = solid_ohms_per_m * 1.02 * copper_factor(75) * 100 * M_PER_FOOT
    for wire_ohms in (printed_ohms, own_ohms):
        load_ohms = 24 / 4 - 2 * wire_ohms
        solution = solve(
            4, [Branch(0, 1, 0, 24), Branch(1, 2, wire_ohms), Branch(2, 3, load_ohms), Branch(3, 0, wire_ohms)]
        )
        drop_volts = 24 - (solution.volts[2] - solution.volts[3])
        assert solution.amps[0] == pytest.approx(4)
        assert drop_volts == pytest.approx(3.992, rel=0.006)
        assert 100 * drop_volts / 24 == pytest.approx(16.63, abs=0.12)


@pytest.mark.parametrize(
    ("gauge", "allowed_volts", "enough"),
    [("10", 0.36, True), ("12", 0.36, False), ("16", 1.2, True), ("18", 1.2, False)],
)
def test_a_bilge_pump_gets_the_gauge_of_the_marine_chart(gauge: str, allowed_volts: float, enough: bool) -> None:
    """10 A over 11 ft out and 10 ft back at 12 V: 10 AWG for 3 %, 16 AWG for 10 %, and one size less is too thin.

    Marine wire chart of a chandler's catalogue (Holland Marine, pp. 52-53).
    """
    drop_volts = wire_ohms_per_metre(f"AWG {gauge}") * 21 * M_PER_FOOT * 10
    assert (drop_volts <= allowed_volts) is enough


@pytest.mark.parametrize(
    ("gauge", "amps", "printed_milliohms_per_m", "printed_volts", "printed_watts"),
    [("12", 18.9, 5.73, 0.108, 2.05), ("14", 18.9, 9.08, 0.172, 3.24), ("16", 9.45, 14.3, 0.135, 1.28)],
)
def test_a_metre_of_tinned_wire_drops_what_its_data_sheet_says(
    gauge: str, amps: float, printed_milliohms_per_m: float, printed_volts: float, printed_watts: float
) -> None:
    """One metre out and back under 18.9 A (9.45 A for 16 AWG): the sheet's figure, and ours within 2 % of it.

    Tinned hook-up wire data sheet, as restated in public engineering notes: 9.08 mΩ/m × 18.9 A = 0.172 V, 3.24 W.
    """
    sheet = solve(
        2, [Branch(0, 1, printed_milliohms_per_m / 1000, printed_milliohms_per_m / 1000 * amps), Branch(1, 0, 0)]
    )
    assert sheet.amps[0] == pytest.approx(amps)
    own_volts = wire_ohms_per_metre(f"AWG {gauge}") * amps
    assert own_volts == pytest.approx(printed_volts, rel=0.02)
    assert own_volts * amps == pytest.approx(printed_watts, rel=0.02)


def test_three_percent_allows_two_metres_of_14() -> None:
    """0.36 V / (9.08 mΩ/m × 18.9 A) = 2.10 m of conductor at 12 V (same notes); ours allows no more."""
    own_metres = 0.36 / (wire_ohms_per_metre("AWG 14") * 18.9)
    assert own_metres == pytest.approx(2.10, rel=0.01)
    assert own_metres < 2.10


def test_micro_ohms_beside_ohms_keep_their_digits() -> None:
    """An aluminium bar 4 × 3 × 125 cm of 2.65 µΩ·cm has 2.65 × 125 / 12 = 27.604 µΩ: 100 A drops 2.7604 mV in it.

    T. Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 12 gives the bar; the drop is worked out here.
    """
    bar_ohms = 27.604e-6
    volts = solve(3, [Branch(0, 1, 0, 100 * (bar_ohms + 0.12)), Branch(1, 2, bar_ohms), Branch(2, 0, 0.12)]).volts
    assert volts[1] - volts[2] == pytest.approx(2.7604e-3, rel=1e-6)


def test_a_battery_charged_with_eight_amps_shows_its_internal_resistance() -> None:
    """12.0 V inside, 15.0 V at the posts with 8.00 A going in: r = 3.0 / 8.00 = 0.375 Ω.

    OpenStax, College Physics (2012), section 21.2, problems.
    """
    amps = solve(2, [Branch(0, 1, 0, 15.0), Branch(0, 1, 0.375, 12.0)]).amps
    assert amps == pytest.approx([8.00, -8.00])


@given(emf_volts=st.floats(12, 30), first_amps=st.floats(0.5, 20))
def test_two_readings_give_the_resistance_and_never_the_emf(emf_volts: float, first_amps: float) -> None:
    """2.00 V less for 5.00 A more means 0.400 Ω, whatever the volts inside.

    OpenStax, College Physics (2012), section 21.2, problems.
    """
    post_volts = []
    for amps in (first_amps, first_amps + 5.00):
        solution = solve(2, [Branch(0, 1, 0.400, emf_volts), Branch(1, 0, emf_volts / amps - 0.400)])
        assert solution.amps[0] == pytest.approx(amps)
        post_volts.append(solution.volts[1])
    assert post_volts[0] - post_volts[1] == pytest.approx(2.00)


def test_a_torch_bulb_on_a_dry_cell() -> None:
    """1.58 V behind 0.100 Ω on 2.30 Ω: 1.58 / 2.40 = 0.658 A and 0.997 W.

    OpenStax, College Physics (2012), section 21.2, problems.
    """
    amps = float(solve(2, [Branch(0, 1, 0.100, 1.58), Branch(1, 0, 2.30)]).amps[1])
    assert amps == pytest.approx(0.658, abs=0.0005)
    assert amps**2 * 2.30 == pytest.approx(0.997, abs=0.0005)


@pytest.mark.parametrize(("unknown_ohms", "balancing_ohms"), [(10.0, 5.00), (10_000.0, 5_000.0)])
def test_the_bridge_balances_at_both_ends_of_its_range(unknown_ohms: float, balancing_ohms: float) -> None:
    """With R2 / R1 = 2.000, 10 Ω to 10 kΩ are found with R3 from 5.00 Ω to 5.00 kΩ: no volts between the middles.

    OpenStax, College Physics (2012), section 21.5, problems.
    """
    middles = [Branch(1, 2, 100), Branch(2, 0, 200), Branch(1, 3, balancing_ohms), Branch(3, 0, unknown_ohms)]
    volts = solve(4, [Branch(0, 1, 0, 12), *middles]).volts
    assert volts[2] - volts[3] == pytest.approx(0, abs=1e-9)
    spoiled = solve(4, [Branch(0, 1, 0, 12), *middles[:3], Branch(3, 0, unknown_ohms * 1.01)]).volts
    assert abs(spoiled[2] - spoiled[3]) > 0.01


def test_the_bridge_by_mesh_currents() -> None:
    """The book's three mesh equations of the bridge out of balance give the currents of R2, R5 and the battery.

    T. Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 10: -0.093793, 0.077241, 0.136092 A.
    """
    mesh = np.linalg.solve([[300, 100, 150], [100, 650, -300], [-150, 300, -450]], [0, 0, -24])
    amps = solve(4, [Branch(0, 1, 0, 24), *(Branch(a, b, ohms) for a, b, ohms in BRIDGE_ARMS)]).amps
    assert [-amps[2], amps[5], amps[0]] == pytest.approx([-0.093793, 0.077241, 0.136092], abs=1e-6)
    assert [-amps[2], amps[5], amps[0]] == pytest.approx(mesh.tolist(), rel=1e-9)


def test_the_bridge_fed_with_a_current() -> None:
    """0.136092 A driven into the top of the same bridge gives 24.000, 17.655 and 19.310 V at its points.

    T. Kuphaldt, Lessons in Electric Circuits, vol. I DC, ch. 10. The current comes from 136 MV behind 1 GΩ.
    """
    driver = Branch(0, 1, 1e9, 0.136092 * 1e9)
    volts = solve(4, [driver, *(Branch(a, b, ohms) for a, b, ohms in BRIDGE_ARMS)]).volts
    assert volts[1:] == pytest.approx([24.000, 17.655, 19.310], abs=6e-4)
    assert not math.isclose(volts[2], volts[3], abs_tol=1)
