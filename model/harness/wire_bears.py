"""How many amperes a wire bears, by a wire maker's catalogue."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

from model.harness.harness import Harness
from model.harness.records import Wire
from model.harness.supply import wire_size
from model.tables import table_rows
from model.units import parse_size

BEARS_SOURCE = "a wire maker's catalogue, one wire in free air, JIS C 3406 type AV"
"""Where the figures come from, in words for a person."""


@cache
def _catalogue() -> tuple[tuple[float, float], ...]:
    """List areas in mm² with the amperes they bear, the thinnest first."""
    rows = ((row["area_mm2"], row["catalogue_amps"]) for row in table_rows("conductors"))
    return tuple(sorted((float(area), float(amps)) for area, amps in rows if amps))


def area_bears_amps(area_mm2: float) -> float:
    """Give the amperes that a wire of some area bears.

    Parameters
    ----------
    area_mm2
        Area of the copper in mm².

    Returns
    -------
    float
        Amperes. Between two sizes of the catalogue along the straight line of the logarithms; thinner or thicker than
        all of them in proportion to the area for the thinner, and as the thickest for the thicker.

    Notes
    -----
    JIS C 3406 type AV as printed in a wire maker's catalogue, the current of a single wire as calculated there. A
    bundle or a hot place bears less.

    Examples
    --------
    >>> area_bears_amps(2.091)
    28.0
    """
    listed = _catalogue()
    thinnest, thickest = listed[0], listed[-1]
    if area_mm2 <= thinnest[0]:
        return thinnest[1] * area_mm2 / thinnest[0]
    for (low_mm2, low_amps), (high_mm2, high_amps) in pairwise(listed):
        if area_mm2 < high_mm2:
            slope = math.log(high_amps / low_amps) / math.log(high_mm2 / low_mm2)
            return float(low_amps * (area_mm2 / low_mm2) ** slope)
    return thickest[1]


def wire_area_mm2(harness: Harness, wire: Wire) -> float:
    """Give the area of a wire in mm²: as typed, by its gauge, of the defaults, or as assumed."""
    return parse_size(wire_size(harness, wire)).area_mm2


def wire_bears_amps(harness: Harness, wire: Wire) -> float:
    """Give the amperes that a wire bears by its size, as `area_bears_amps` does."""
    return area_bears_amps(wire_area_mm2(harness, wire))
