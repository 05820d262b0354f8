"""Conversions at the border: sizes as typed become mm² and ohms per metre, ratings become ohms.

Inside the program a length is metres, an area mm², a temperature degrees Celsius. The resistances of wires are
permitted maxima: a real wire reads a few percent lower.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from model.tables import conductor_ohms_per_km, fuse_figures

COPPER_MILLIOHM_MM2_PER_M = 17.241
"""Resistivity of annealed copper at 20 °C in mΩ·mm²/m (IEC 60028)."""

COPPER_PER_KELVIN = 0.00393
"""Temperature coefficient of annealed copper at 20 °C (IEC 60028)."""

UNLISTED_MILLIOHM_MM2_PER_M = 19.5
"""Used for a size that IEC 60228 does not list, in mΩ·mm²/m: class 5 at 1 mm²."""

AWG_ALLOWANCE = 1.10
"""Automotive strands are under the nominal area by 5 to 12 % (SAE J1128)."""

UNLISTED_FUSE_VOLTS = 0.07
"""Cold resistance times rating of a blade fuse, in volts; typical fuses of 5 to 40 A lie within a quarter of it."""

SHOWN_OPEN_OHMS = 50e6
"""From here on a meter on ohms shows open; its highest range ends about there (common for hand meters)."""

THERMAL_FUSE_OHMS = 0.005
"""Cold resistance of a thermal fuse of any rating."""

CLASS_5 = "IEC 60228 class 5"

_NUMBER = re.compile(
    r"\s*[+\-\u2212]?(?:nan|inf|(?:\d{1,30}(?:[.,]\d{0,30})?|[.,]\d{1,30})(?:e[+\-]?\d{1,3})?)\s*",
    re.ASCII | re.IGNORECASE,
)
_GAUGE = re.compile(r"[1-4]/0|[1-9]|[1-3][0-9]|40")


def number_typed(text: str) -> float:
    """Read a number as a person types it, without guessing: digits of ASCII, one point or comma before the decimals.

    Returns
    -------
    float
        May be infinite, or ``nan`` where that was typed: what is no quantity is for the caller to say.

    Raises
    ------
    ValueError
        For anything else: a digit of another script, an underscore between digits, two points.

    Examples
    --------
    >>> number_typed("12,4")
    12.4
    """
    if not _NUMBER.fullmatch(text):
        raise ValueError(f"{text[:40]!r} is no number")
    return float(text.strip().replace(",", ".").replace("\u2212", "-"))


class WireSize(NamedTuple):
    """A conductor's size as typed in a harness file.

    Attributes
    ----------
    area_mm2
        Nominal area in mm².
    is_awg
        Whether it was given as an American gauge.
    """

    area_mm2: float
    is_awg: bool


def awg_diameter_mm(gauge: str) -> float:
    """Give the diameter of a solid wire of an American gauge.

    Parameters
    ----------
    gauge
        ``1`` to ``40``, or ``1/0`` to ``4/0``.

    Returns
    -------
    float
        Diameter in mm.

    Raises
    ------
    ValueError
        Where it is no such gauge.

    Notes
    -----
    ASTM B258: 0.127 mm × 92^((36 − n) / 39), n = 0, −1, −2, −3 for 1/0 to 4/0.

    Examples
    --------
    >>> round(awg_diameter_mm("16"), 4)
    1.2908
    """
    if not _GAUGE.fullmatch(gauge):
        raise ValueError(f"{gauge!r} is no American wire gauge: write 1 to 40, or 1/0 to 4/0")
    number = 1 - int(gauge[0]) if gauge.endswith("/0") else int(gauge)
    return float(0.127 * 92 ** ((36 - number) / 39))


def awg_area_mm2(gauge: str) -> float:
    """Give the area in mm² of a solid wire of an American gauge (ASTM B258).

    Raises
    ------
    ValueError
        Where it is no such gauge.

    Examples
    --------
    >>> round(awg_area_mm2("2/0"), 2)
    67.43
    """
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


def parse_size(size: float | str) -> WireSize:
    """Read a wire size as it stands in a harness file.

    Parameters
    ----------
    size
        Area in mm² as a number, or text such as ``AWG 16`` or ``AWG 1/0``.

    Raises
    ------
    ValueError
        Where it is neither, or not a finite area above zero.
    """
    if isinstance(size, str):
        if not size.startswith("AWG "):
            raise ValueError(f'{size!r} is no wire size: write mm² as a number, or a gauge as "AWG 16" or "AWG 1/0"')
        return WireSize(awg_area_mm2(size.removeprefix("AWG ")), True)
    if isinstance(size, bool) or not math.isfinite(size) or size <= 0:
        raise ValueError(f"{size} is no wire size: an area in mm² is finite and above zero")
    return WireSize(float(size), False)


def wire_ohms_per_metre(size: float | str) -> float:
    """Give the largest permitted resistance of a copper wire at 20 °C.

    Parameters
    ----------
    size
        As `parse_size` takes it.

    Returns
    -------
    float
        Ohms per metre.

    Raises
    ------
    ValueError
        Where the size cannot be read.

    Notes
    -----
    IEC 60228 class 5, plain, for its sizes of 0.5 to 120 mm²; another metric size 19.5 mΩ·mm²/m over its area. A gauge
    1.10 times the resistance of solid copper of the area of ASTM B258.

    Examples
    --------
    >>> round(wire_ohms_per_metre(2.5), 5)
    0.00798
    """
    area_mm2, is_awg = parse_size(size)
    if is_awg:
        return AWG_ALLOWANCE * COPPER_MILLIOHM_MM2_PER_M / area_mm2 / 1000
    listed_ohms_per_km = conductor_ohms_per_km(CLASS_5).get(area_mm2)
    if listed_ohms_per_km is None:
        return UNLISTED_MILLIOHM_MM2_PER_M / area_mm2 / 1000
    return listed_ohms_per_km / 1000


def copper_factor(celsius: float) -> float:
    """Give the resistance of copper at a temperature as a multiple of that at 20 °C.

    Linear, with the coefficient of annealed copper at 20 °C (IEC 60028).

    Parameters
    ----------
    celsius
        Temperature in °C.
    """
    return 1 + COPPER_PER_KELVIN * (celsius - 20)


def fuse_cold_ohms(amps: float | None, style: str = "blade") -> float:
    """Give the cold resistance of a fuse by its rating.

    Parameters
    ----------
    amps
        Rating in amperes; may be missing for the style ``thermal``.
    style
        As in a harness file. Only ``thermal``, which opens by the heat around it and never by current, has a figure of
        its own.

    Returns
    -------
    float
        Ohms at 20 °C. Under load a fuse warms and drops 1.3 to 1.7 times as much.

    Raises
    ------
    ValueError
        Where the rating is missing or not a finite number above zero.

    Notes
    -----
    Typical figures of medium blade fuses (ISO 8820-3 type C); a rating not among them 70 mV over the rating.
    """
    if style == "thermal":
        return THERMAL_FUSE_OHMS
    if amps is None or not math.isfinite(amps) or amps <= 0:
        raise ValueError(f"a {style} fuse needs a rating in amperes above zero, not {amps}")
    listed_milliohms = fuse_figures("cold resistance").get(amps)
    return UNLISTED_FUSE_VOLTS / amps if listed_milliohms is None else listed_milliohms / 1000
