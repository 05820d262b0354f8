"""What wires bear and in which ratings fuses are made, by the tables."""

from __future__ import annotations

import math
from functools import cache

from model.tables import table_rows

_STANDARD = "JIS C 3406 AV"


def wire_bears_amps(area_mm2: float) -> float:
    """Give the current that a single wire bears, in amperes.

    Parameters
    ----------
    area_mm2
        Area of its copper in mm².

    Notes
    -----
    Between the sizes of the table on a line through the logarithms, beyond them on the line of the last two. The
    figures are for a single wire of JIS C 3406 AV cable in free air: a wire in a bundle or in the heat bears less.
    """
    rows = [row for row in table_rows("conductors") if row["standard"] == _STANDARD and row["catalogue_amps"]]
    known = sorted((float(row["area_mm2"]), float(row["catalogue_amps"])) for row in rows)
    place = next((n for n, (area, _) in enumerate(known) if area >= area_mm2), len(known) - 1)
    (low_area, low_amps), (high_area, high_amps) = known[max(place - 1, 0)], known[max(place, 1)]
    slope = math.log(high_amps / low_amps) / math.log(high_area / low_area)
    return float(low_amps * (area_mm2 / low_area) ** slope)


@cache
def standard_ratings() -> tuple[float, ...]:
    """List the ratings of blade fuses in amperes, the smallest first (ISO 8820-3, types C, E and F)."""
    return tuple(sorted({float(row["rating_amps"]) for row in table_rows("fuse_colours")}))


def rating_borne(amps: float) -> float:
    """Give the largest rating that is made and not above what a wire bears; of a thinner wire the smallest made."""
    return max((one for one in standard_ratings() if one <= amps), default=standard_ratings()[0])
