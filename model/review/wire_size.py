"""The smallest wire that loses no more than is allowed on the way out and back, and bears what guards it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from model.harness.fuse_tables import wire_bears_amps
from model.tables import conductor_ohms_per_km
from model.units import CLASS_5, awg_area_mm2, wire_ohms_per_metre

OHM_CMIL_PER_FOOT = 10.75
"""Resistivity of copper in the wire-size formula of ABYC E-11, from memory: about that of copper at 30 °C."""

METRES_PER_FOOT = 0.3048
CMIL_PER_MM2 = (1000.0 / 25.4) ** 2 * 4.0 / math.pi
"""A circular mil is the area of a circle of a thousandth of an inch."""

AWG_GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "3/0", "4/0")
"""Gauges that are proposed, the thinnest first; what is thinner a hand crimps badly."""

_TOO_LITTLE = "no wire loses as little as {:g} V"


class SizeSystem(StrEnum):
    """In which sizes a wire is proposed."""

    METRIC = "mm²"
    AWG = "AWG"


@dataclass(frozen=True, slots=True)
class ProposedSize:
    """A size of wire, and what falls along it.

    Attributes
    ----------
    size
        As a harness file has it: mm² as a number, or ``AWG 10``.
    area_mm2
        Nominal area.
    drop_volts
        Out and back at the current asked for.
    """

    size: float | str
    area_mm2: float
    drop_volts: float


def least_cmil(amps: float, feet: float, drop_volts: float, ohm_cmil_per_foot: float = OHM_CMIL_PER_FOOT) -> float:
    """Give the least area of copper in circular mils: resistivity × amperes × feet ÷ volts.

    Parameters
    ----------
    amps
        Current in amperes.
    feet
        Length of conductor out and back, in feet.
    drop_volts
        Volts that may fall along it.

    Raises
    ------
    ValueError
        Where the volts are not above zero.
    """
    if drop_volts <= 0:
        raise ValueError(_TOO_LITTLE.format(drop_volts))
    return ohm_cmil_per_foot * amps * feet / drop_volts


def smallest_gauge(cmil: float, *, at_least: str = "18") -> str | None:
    """Give the thinnest American gauge with as much copper; None where not even 4/0 has it.

    Parameters
    ----------
    at_least
        The thinnest gauge that is wanted whatever the copper.
    """
    gauges = AWG_GAUGES[AWG_GAUGES.index(at_least) :]
    return next((gauge for gauge in gauges if awg_area_mm2(gauge) * CMIL_PER_MM2 >= cmil), None)


def smallest_wire(
    amps: float, length_m: float, drop_volts: float, *, fuse_amps: float = 0.0, system: SizeSystem = SizeSystem.METRIC
) -> ProposedSize | None:
    """Give the smallest wire for a current; None where no size that is sold serves.

    Parameters
    ----------
    amps
        Current in amperes that it carries.
    length_m
        Length of conductor out and back, in metres.
    drop_volts
        Volts that may fall along it.
    fuse_amps
        Rating of the fuse that guards it; it bears at least that.

    Raises
    ------
    ValueError
        Where the volts are not above zero.

    Notes
    -----
    Metric sizes by the largest resistance that IEC 60228 class 5 permits, so that no wire of that size loses more.
    Gauges by the formula of ABYC E-11, and by the resistance of strands for vehicles, which are under the nominal area
    (SAE J1128), so that neither is passed.
    """
    areas = _gauges(amps, length_m, drop_volts) if system is SizeSystem.AWG else _metric(amps, length_m, drop_volts)
    for size, area_mm2 in areas.items():
        if wire_bears_amps(area_mm2) >= max(amps, fuse_amps):
            return ProposedSize(size, area_mm2, amps * length_m * wire_ohms_per_metre(size))
    return None


def _metric(amps: float, length_m: float, drop_volts: float) -> dict[float | str, float]:
    """Give the sizes of IEC 60228 class 5 that lose no more, and their areas in mm², the thinnest first."""
    if drop_volts <= 0:
        raise ValueError(_TOO_LITTLE.format(drop_volts))
    sizes = sorted(conductor_ohms_per_km(CLASS_5).items())
    return {area: area for area, ohms in sizes if amps * length_m * ohms / 1000.0 <= drop_volts}


def _gauges(amps: float, length_m: float, drop_volts: float) -> dict[float | str, float]:
    """Give the gauges that lose no more, and their areas in mm², the thinnest first."""
    gauge = smallest_gauge(least_cmil(amps, length_m / METRES_PER_FOOT, drop_volts))
    gauges = () if gauge is None else AWG_GAUGES[AWG_GAUGES.index(gauge) :]
    areas: dict[float | str, float] = {f"AWG {one}": awg_area_mm2(one) for one in gauges}
    return {size: area for size, area in areas.items() if amps * length_m * wire_ohms_per_metre(size) <= drop_volts}
