"""Published volts lost in wires: worked examples, and the marine table of wire sizes for 3 % at 12 V."""

from __future__ import annotations

import pytest

from model.harness.fuse_tables import wire_bears_amps
from model.review.wire_size import (
    AWG_GAUGES,
    CMIL_PER_MM2,
    METRES_PER_FOOT,
    SizeSystem,
    least_cmil,
    smallest_gauge,
    smallest_wire,
)
from model.units import awg_area_mm2

BOOK_OHM_CMIL_PER_FOOT = 10.09
TABLE_AMPS = (5, 10, 15, 20, 25, 30, 40, 50)
TABLE = {
    10: ("18", "14", "12", "12", "10", "10", "8", "8"),
    15: ("16", "12", "10", "10", "8", "8", "6", "6"),
    20: ("14", "10", "10", "8", "6", "6", "6", "4"),
    25: ("12", "10", "8", "6", "6", "6", "4", "4"),
    30: ("12", "10", "8", "6", "4", "4", "4", "2"),
    40: ("10", "8", "6", "6", "4", "4", "2", "2"),
    50: ("10", "6", "6", "4", "4", "2", "2", "1"),
}
"""Feet out and back → gauge for each current, 12 V, 3 %: Navico marine wire catalogue 2024, appendix, p. 62."""


def _cmil(gauge: str) -> float:
    return awg_area_mm2(gauge) * CMIL_PER_MM2


def test_the_load_of_25_amperes_at_2300_feet_wants_2_0() -> None:
    """T. Kuphaldt, Lessons in Electric Circuits I, ch. 12: 5 V in 2300 ft each way at 25 A want 116,035 cmil.

    2/0 (133,100 cmil) is enough and 1/0 (105,500 cmil) is not; 10 V may fall out and back along 4600 ft.
    """
    cmil = least_cmil(25, 4600, 10, BOOK_OHM_CMIL_PER_FOOT)
    assert cmil == pytest.approx(116_035, rel=1e-4)
    assert smallest_gauge(cmil) == "2/0"
    assert _cmil("2/0") == pytest.approx(133_100, rel=1e-3)
    assert _cmil("1/0") == pytest.approx(105_500, rel=1e-3)


def test_the_same_load_on_14_gauge_starves() -> None:
    """Same book: 14 AWG (4,107 cmil) has 5.651 Ω a wire, 11.301 Ω in all; a dead short takes 20.352 A of 230 V."""
    wire_ohms = BOOK_OHM_CMIL_PER_FOOT * 2300 / _cmil("14")
    assert wire_ohms == pytest.approx(5.651, abs=0.001)
    assert 2 * wire_ohms == pytest.approx(11.301, abs=0.001)
    assert 230 / (2 * wire_ohms) == pytest.approx(20.352, abs=0.005)


def test_16_gauge_of_the_building_code_loses_four_volts_of_24() -> None:
    """NEC chapter 9, Table 8 has 4.99 Ω/kft for 16 AWG: 100 ft both ways at 4 A lose 3.992 V, 16.63 % of 24 V.

    Solved for the area: at the resistivity that 4.99 Ω/kft means, 3.992 V ask for just the copper of 16 AWG.
    """
    ohm_cmil_per_foot = 4.99e-3 * _cmil("16")
    assert smallest_gauge(least_cmil(4, 200, 3.992 + 1e-6, ohm_cmil_per_foot)) == "16"
    assert smallest_gauge(least_cmil(4, 200, 3.99, ohm_cmil_per_foot)) == "14"
    assert smallest_gauge(least_cmil(4, 200, 0.1664 * 24, ohm_cmil_per_foot)) == "16"
    assert smallest_gauge(least_cmil(4, 200, 0.1662 * 24, ohm_cmil_per_foot)) == "14"


def test_a_bilge_pump_of_10_amperes_21_feet_out_and_back() -> None:
    """Holland Marine catalogue 2022, pp. 52-53: 16 AWG for 10 %; for 3 % 10 AWG, since its chart goes by 25 ft.

    21 ft at 10 A: 6,271 cmil for 0.36 V, which 12 AWG has; for 25 ft 7,465 cmil, which it has not.
    """
    assert least_cmil(10, 21, 0.36) == pytest.approx(6271, abs=1)
    assert least_cmil(10, 21, 1.2) == pytest.approx(1881, abs=1)
    assert smallest_gauge(least_cmil(10, 21, 1.2)) == "16"
    assert smallest_gauge(least_cmil(10, 25, 0.36)) == "10"


def test_45_amperes_on_40_feet_at_10_percent() -> None:
    """ZRD wire size page: 12 V, 10 %, 40 ft out and back, 45 A, 1800 ft·A: 8 AWG."""
    assert least_cmil(45, 40, 1.2) == pytest.approx(16_125)
    assert smallest_gauge(least_cmil(45, 40, 1.2)) == "8"


def test_100_amperes_on_10_feet_are_a_matter_of_heat() -> None:
    """ZRD wire size page: 24 V, 3 %, 10 ft, 100 A: 6 AWG, where the volts lost alone would let 8 AWG do.

    6 AWG comes from its table of amperes; the catalogue of JIS C 3406 AV, 78 A for 10 mm², asks for more.
    """
    assert smallest_gauge(least_cmil(100, 10, 0.72)) == "8"
    found = smallest_wire(100, 10 * METRES_PER_FOOT, 0.72, system=SizeSystem.AWG)
    assert found is not None
    assert found.area_mm2 >= awg_area_mm2("6")
    assert wire_bears_amps(found.area_mm2) >= 100


def test_a_metre_of_14_gauge_at_18_9_amperes() -> None:
    """Tinned 14 AWG at 9.08 mΩ/m loses 0.172 V at 18.9 A in 1 m; 3 % of 12 V let 2.10 m of it do.

    Public notes on a vehicle's loom. In Ω·cmil/ft those 9.08 mΩ/m are 11.37 against the 10.75 of the formula.
    """
    ohm_cmil_per_foot = 9.08e-3 * METRES_PER_FOOT * _cmil("14")
    feet = 1.0 / METRES_PER_FOOT
    assert smallest_gauge(least_cmil(18.9, feet, 0.1717, ohm_cmil_per_foot)) == "14"
    assert smallest_gauge(least_cmil(18.9, feet, 0.1715, ohm_cmil_per_foot)) == "12"
    assert least_cmil(18.9, 2.0979 * feet, 0.36, ohm_cmil_per_foot) == pytest.approx(_cmil("14"), rel=1e-3)


def test_the_marine_table_is_met_in_49_cells_and_never_undercut() -> None:
    """K = 10.75 Ω·cmil/ft (ABYC E-11): of 56 cells 49 are equal, in 7 the table is one size larger, none smaller."""
    steps = []
    for feet, gauges in TABLE.items():
        for amps, printed in zip(TABLE_AMPS, gauges, strict=True):
            found = smallest_gauge(least_cmil(amps, feet, 0.36))
            assert found is not None
            steps.append(AWG_GAUGES.index(printed) - AWG_GAUGES.index(found))
    assert len(steps) == 56
    assert steps.count(0) == 49
    assert steps.count(1) == 7
