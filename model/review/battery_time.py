"""How long a battery bears a draw: capacity, usable share, Peukert's law, its own loss."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from model.harness.parts import Battery
from model.review.draw_figures import figure

_HOURS_A_MONTH = 730.0


class CapacityFrom(StrEnum):
    """Where a capacity comes from."""

    GIVEN = "given in the file"
    RESERVE = "estimated from the reserve minutes"
    ASSUMED = "assumed: the file gives none"


@dataclass(frozen=True, slots=True)
class Capacity:
    """What a battery holds, in ampere hours at its rated current."""

    amp_hours: float
    known_from: CapacityFrom


@dataclass(frozen=True, slots=True)
class BatteryTime:
    """How long a battery bears a draw.

    Attributes
    ----------
    hours
        From full until the usable share is drawn.
    draw_amps, own_amps
        What the vehicle draws, and what the battery loses by itself.
    usable_share
        Of the capacity, from 0 to 1.
    is_fast
        True where the draw is above capacity over 20 h, so that Peukert's law is reckoned with.
    """

    capacity: Capacity
    hours: float
    draw_amps: float
    own_amps: float
    usable_share: float
    is_fast: bool

    @property
    def days(self) -> float:
        """The same in days."""
        return self.hours / 24.0


def capacity_of(battery: Battery) -> Capacity:
    """Give the capacity of a battery: as given, else by its reserve minutes, else assumed.

    Notes
    -----
    Half the reserve minutes and 16 Ah, an estimate from memory. Reserve minutes are those at 25 A to 10.5 V at 27 °C
    (General Motors workshop manuals), so that they alone are fewer ampere hours than at the 20 h rate.
    """
    if battery.amp_hours is not None:
        return Capacity(battery.amp_hours, CapacityFrom.GIVEN)
    if battery.reserve_minutes is not None:
        return Capacity(battery.reserve_minutes / 2.0 + 16.0, CapacityFrom.RESERVE)
    return Capacity(figure("assumed capacity").value, CapacityFrom.ASSUMED)


def reserve_amp_hours(reserve_minutes: float) -> float:
    """Give the ampere hours that reserve minutes are at the current that they are given for."""
    return reserve_minutes / 60.0 * figure("reserve current").value


def peukert_hours(amp_hours: float, rated_hours: float, exponent: float, amps: float) -> float:
    """Give the hours in which a current empties a battery.

    Parameters
    ----------
    amp_hours
        Capacity, drawn in `rated_hours`.
    exponent
        1 of a battery that gives the same at every current.

    Notes
    -----
    Peukert's law about the rated current: hours = rated hours × (capacity / (current × rated hours)) ** exponent. At
    the rated current these are the rated hours, whatever the exponent.
    """
    return float(rated_hours * (amp_hours / (amps * rated_hours)) ** exponent)


def battery_time(capacity: Capacity, chemistry: str, draw_amps: float) -> BatteryTime:
    """Give how long a battery bears a draw, from full.

    Parameters
    ----------
    chemistry
        ``lead`` or ``lithium``.
    draw_amps
        Current in amperes that the vehicle draws; none of it where a charger holds the battery.

    Notes
    -----
    Up to the 20 h current the capacity is taken as it is: slower discharge gives hardly more. Above it Peukert's law
    holds. The usable share is a judgement.
    """
    rated_hours = figure("capacity rating").value
    usable_share = figure("usable share", chemistry).value / 100.0
    own_amps = capacity.amp_hours * figure("own loss", chemistry).value / 100.0 / _HOURS_A_MONTH
    amps = max(draw_amps, 0.0) + own_amps
    is_fast = amps > capacity.amp_hours / rated_hours
    hours = capacity.amp_hours / amps
    if is_fast:
        hours = peukert_hours(capacity.amp_hours, rated_hours, figure("exponent", chemistry).value, amps)
    return BatteryTime(capacity, usable_share * hours, draw_amps, own_amps, usable_share, is_fast)


def time_words(time: BatteryTime) -> str:
    """Say how long a battery bears a draw: hours as far as two days, then days."""
    if time.hours < 48.0:
        return f"{time.hours:.1f} h"
    return f"{time.days:.0f} days"
