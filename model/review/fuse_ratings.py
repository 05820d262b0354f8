"""The ratings in which fuses are made, and what a wire bears where it lies."""

from __future__ import annotations

from model.harness.derived import once_per_harness
from model.harness.fuse_tables import standard_ratings
from model.harness.harness import Harness
from model.harness.records import Wire
from model.review.finding import rule_of
from model.tracing.fuse_words import bears_amps
from model.tracing.wire_bears import Thinnest, guards_of

__all__ = [
    "RATINGS_SOURCE",
    "bears_in_loom_amps",
    "largest_rating",
    "next_rating",
    "standard_ratings",
    "thinnest_in_bundle",
]

RATINGS_SOURCE = "ISO 8820-3, ratings of blade fuses"
"""Where the ratings come from, in words for a person."""


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


def bears_in_loom_amps(harness: Harness, wire: Wire) -> float:
    """Give the amperes that a wire bears: as one in free air, or less where it runs through a trunk; a judgement."""
    alone_amps = bears_amps(harness, wire)
    return alone_amps * rule_of("wire in a bundle").figure if wire.via else alone_amps


@once_per_harness
def thinnest_in_bundle(harness: Harness) -> dict[str, Thinnest]:
    """Give of each fuse the wire behind it, in a trunk and with no other fuse between, that bears least there."""
    found: dict[str, Thinnest] = {}
    for wire in harness.wires:
        here = Thinnest(wire.id, bears_in_loom_amps(harness, wire))
        for fuse_id in guards_of(harness, wire) if wire.via else ():
            if fuse_id not in found or here.amps < found[fuse_id].amps:
                found[fuse_id] = here
    return found
