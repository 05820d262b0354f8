"""The ratings in which fuses are made."""

from __future__ import annotations

from functools import cache

from model.tables import table_rows

RATINGS_SOURCE = "ISO 8820-3, ratings of blade fuses"
"""Where the ratings come from, in words for a person."""


@cache
def standard_ratings() -> tuple[float, ...]:
    """List the ratings of blade fuses in amperes, the smallest first (ISO 8820-3, types C, E and F)."""
    return tuple(sorted({float(row["rating_amps"]) for row in table_rows("fuse_colours")}))


def largest_rating(at_most_amps: float) -> float | None:
    """Give the largest rating that is not above so many amperes; None where every fuse that is made is above it.

    Examples
    --------
    >>> largest_rating(8.35)
    7.5
    """
    return max((amps for amps in standard_ratings() if amps <= at_most_amps), default=None)


def next_rating(at_least_amps: float) -> float | None:
    """Give the smallest rating that is not under so many amperes; None where no fuse is made that large.

    Examples
    --------
    >>> next_rating(10.0 / 0.8)
    15.0
    """
    return next((amps for amps in standard_ratings() if amps >= at_least_amps), None)
