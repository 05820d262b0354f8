"""Battery arithmetic and states of charge, each value beside its source."""

from __future__ import annotations

import pytest

from model.harness.parts import Battery
from model.review.battery_time import (
    Capacity,
    CapacityFrom,
    battery_time,
    capacity_of,
    peukert_hours,
    reserve_amp_hours,
)
from model.tables import table_rows


@pytest.mark.parametrize(("amps", "hours"), [(3.5, 20.0), (70.0, 1.0), (7.0, 10.0), (0.001, 70_000.0)])
def test_ampere_hours_are_amperes_times_hours(amps: float, hours: float) -> None:
    """70 Ah give 3.5 A for 20 h, 70 A for 1 h, 1 mA for 70 000 h (Lessons in Electric Circuits, DC, ch. 11)."""
    assert peukert_hours(70.0, 20.0, 1.0, amps) == pytest.approx(hours)


@pytest.mark.parametrize(("amps", "hours"), [(5.0, 20.0), (10.0, 8.706), (25.0, 2.899)])
def test_peukerts_law_stands_about_the_rated_current(amps: float, hours: float) -> None:
    """100 Ah at the 20 h rate, exponent 1.2: 20 x (100 / (20 A))**1.2 = 20 x 0.5**1.2 = 8.706 h at 10 A."""
    assert peukert_hours(100.0, 20.0, 1.2, amps) == pytest.approx(hours, abs=0.0006)


@pytest.mark.parametrize("exponent", [1.0, 1.05, 1.25, 1.6])
@pytest.mark.parametrize(("amp_hours", "rated_hours"), [(100.0, 20.0), (70.0, 20.0), (45.0, 10.0)])
def test_at_the_rated_current_it_lasts_the_rated_hours(exponent: float, amp_hours: float, rated_hours: float) -> None:
    """Capacity over exponentiated current, a formula of the web, gives 100 / 5**1.2 = 14.5 h in place of 20 h."""
    amps = amp_hours / rated_hours
    assert peukert_hours(amp_hours, rated_hours, exponent, amps) == pytest.approx(rated_hours)
    if exponent > 1.0:
        assert amp_hours / amps**exponent != pytest.approx(rated_hours, rel=0.01)


def test_twice_the_current_in_less_than_half_the_time_fits_one_exponent() -> None:
    """5 A for 20 h and 10 A for about 7.5 h are an exponent of log(20/7.5) / log 2 = 1.415 (a seller's page)."""
    assert peukert_hours(100.0, 20.0, 1.415, 10.0) == pytest.approx(7.5, abs=0.01)


def test_reserve_minutes_are_minutes_at_25_amperes() -> None:
    """115 min at 25 A are 47.9 Ah (reserve capacity as General Motors manuals give it: 25 A, to 10.5 V, 27 °C)."""
    assert reserve_amp_hours(115.0) == pytest.approx(47.92, abs=0.01)


@pytest.mark.parametrize("minutes", [115.0, 160.0, 180.0])
def test_the_capacity_by_reserve_minutes_lies_above_what_they_are_at_25_amperes(minutes: float) -> None:
    """A battery gives more at the 20 h rate than at 25 A: half the minutes and 16 Ah is 1.4 to 1.6 times as much."""
    capacity = capacity_of(Battery(id="G1", reserve_minutes=minutes))
    assert capacity.known_from is CapacityFrom.RESERVE
    assert 1.4 < capacity.amp_hours / reserve_amp_hours(minutes) < 1.6


def test_fifty_milliamperes_take_half_of_sixty_ampere_hours_in_25_days() -> None:
    """0.05 A x 24 h = 1.2 Ah a day; 30 Ah / 1.2 = 25 days. The battery's own 5 % a month, 4.1 mA, leave 23.1 days."""
    time = battery_time(Capacity(60.0, CapacityFrom.GIVEN), "lead", 0.05)
    assert time.usable_share * 60.0 / (0.05 * 24.0) == pytest.approx(25.0)
    assert time.days == pytest.approx(30.0 / ((0.05 + 60.0 * 0.05 / 730.0) * 24.0))
    assert time.days == pytest.approx(23.1, abs=0.05)


@pytest.mark.parametrize(("charge_percent", "volts"), [(100, 12.6), (75, 12.4), (50, 12.2), (25, 12.0), (0, 11.7)])
def test_open_circuit_volts_by_state_of_charge(charge_percent: int, volts: float) -> None:
    """12.6, 12.4, 12.2, 12.0 and 11.7 V for full to empty, rested (US Army TM 5-3805-262-20, p. 5-142)."""
    cells = [
        (row["low"], row["high"])
        for row in table_rows("batteries")
        if row["source"].startswith("US Army TM 5-3805-262-20") and row["charge_percent"] == str(charge_percent)
    ]
    assert cells
    assert volts in [float(cell) for pair in cells for cell in pair if cell]
