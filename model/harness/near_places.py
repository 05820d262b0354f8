"""Which places lie next to each other: a hand's reach apart by the wires of the file."""

from __future__ import annotations

from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.places import BODY_PLACE, WIRE_ENDS, end_place
from model.harness.records import Wire

NEXT_TO_M = 0.5
"""Places that a wire of no more than this joins lie next to each other; judgement."""


def known_end_place(harness: Harness, wire: Wire, end: str) -> str:
    """Name the place of an end of a wire; empty where none is given, and of bare metal, which is everywhere."""
    place = end_place(harness, wire, end)
    return "" if place == BODY_PLACE else place.name


def lie_next_to(harness: Harness, one: str, other: str) -> bool:
    """Tell whether two places are one and the same, or next to each other."""
    return one == other or frozenset((one, other)) in _next_places(harness)


@once_per_harness
def _next_places(harness: Harness) -> frozenset[frozenset[str]]:
    """Give each two places that a wire of known length joins, where it is short."""
    found = set()
    for wire in harness.wires:
        if wire.length is not None and wire.length <= NEXT_TO_M:
            places = frozenset(known_end_place(harness, wire, end) for end in WIRE_ENDS)
            if len(places) == len(WIRE_ENDS) and all(places):
                found.add(places)
    return frozenset(found)
