"""What is uncertain in how a circuit comes to rest: relays that may or may not pull, fuses that may or may not blow."""

from __future__ import annotations

from dataclasses import dataclass

FUSE_MAY_OPEN_AT = 1.1
FUSE_MAY_HOLD_TO = 1.6
CASES_AT_MOST = 4


@dataclass(frozen=True, slots=True)
class Forced:
    """One thing that ends otherwise than by its figures.

    Attributes
    ----------
    relay
        Id of a relay, or the empty string.
    fuse
        Id of a fuse, or the empty string.
    is_on
        The relay is pulled in, or the fuse holds.
    """

    relay: str = ""
    fuse: str = ""
    is_on: bool = False


def may_end_otherwise(ratio: float) -> bool:
    """Tell of a fuse whether it may both blow and hold, by its current as a share of its rating."""
    return FUSE_MAY_OPEN_AT <= ratio <= FUSE_MAY_HOLD_TO
