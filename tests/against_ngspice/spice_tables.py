"""Resistances of wires and fuses, written down again from the standards for the second solver."""

import math

CLASS_5_MILLIOHMS_PER_M = {
    0.5: 39.0,
    0.75: 26.0,
    1.0: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4.0: 4.95,
    6.0: 3.30,
    10.0: 1.91,
    16.0: 1.21,
    25.0: 0.780,
    35.0: 0.554,
    50.0: 0.386,
    70.0: 0.272,
    95.0: 0.206,
    120.0: 0.161,
}
"""IEC 60228, class 5, plain copper: greatest resistance at 20 °C by size in mm²."""

COLD_FUSE_MILLIOHMS = {
    1.0: 123.0,
    2.0: 53.5,
    3.0: 31.1,
    4.0: 22.8,
    5.0: 17.9,
    7.5: 10.9,
    10.0: 7.7,
    15.0: 4.8,
    20.0: 3.4,
    25.0: 2.5,
    30.0: 2.0,
    35.0: 1.6,
    40.0: 1.44,
}
"""Blade fuses as ISO 8820-3: typical cold resistance by rating in amperes."""

PLAIN_MILLIOHM_MM2_PER_M = 19.5
ANNEALED_MILLIOHM_MM2_PER_M = 17.241
COPPER_PER_KELVIN = 0.00393
THERMAL_FUSE_OHMS = 0.005


def awg_area_mm2(name: str) -> float:
    """Return the area in mm² of `AWG 16` or `AWG 2/0`, by the diameters of ASTM B258."""
    gauge = name.removeprefix("AWG").strip()
    number = 1 - int(gauge.removesuffix("/0")) if gauge.endswith("/0") else int(gauge)
    diameter_mm: float = 0.127 * 92 ** ((36 - number) / 39)
    area_mm2: float = math.pi / 4 * diameter_mm**2
    return area_mm2


def ohms_per_m(size: float | str) -> float:
    """Return the greatest resistance in ohms of a metre of wire at 20 °C.

    Parameters
    ----------
    size
        mm² as a number, or a gauge such as `AWG 16`.
    """
    if isinstance(size, str):
        return 1.10 * ANNEALED_MILLIOHM_MM2_PER_M / awg_area_mm2(size) / 1000
    area_mm2 = float(size)
    return CLASS_5_MILLIOHMS_PER_M.get(area_mm2, PLAIN_MILLIOHM_MM2_PER_M / area_mm2) / 1000


def copper_factor(celsius: float) -> float:
    """Return by what copper at a temperature exceeds its resistance at 20 °C."""
    return 1 + COPPER_PER_KELVIN * (celsius - 20)


def cold_fuse_ohms(rating_amps: float) -> float:
    """Return the cold resistance in ohms of a fuse of a rating."""
    if rating_amps in COLD_FUSE_MILLIOHMS:
        return COLD_FUSE_MILLIOHMS[rating_amps] / 1000
    return 0.07 / rating_amps
