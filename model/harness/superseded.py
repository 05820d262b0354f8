"""Conductors whose work others do now, and where their ends are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.places import NO_PLACE_WORDS, WIRE_ENDS, end_place
from model.harness.records import Wire


@once_per_harness
def in_place_of(harness: Harness) -> Mapping[str, tuple[Wire, ...]]:
    """Map each wire that took over work to the wires whose work it does, in the order of the file."""
    found: dict[str, tuple[Wire, ...]] = {}
    for wire in harness.wires:
        if wire.superseded_by is not None:
            found[wire.superseded_by] = (*found.get(wire.superseded_by, ()), wire)
    return found


def old_end_words(harness: Harness, wire: Wire) -> Iterator[str]:
    """Say of each end of a wire out of work where it is: off its terminal, or on what it still is."""
    for end, point in zip(WIRE_ENDS, (wire.from_point, wire.to_point), strict=True):
        place = end_place(harness, wire, end).name or NO_PLACE_WORDS
        state = f"still on {point}" if point else "off its terminal: capped, or to be capped"
        yield f"{wire.id}.{end} at {place}: {state}"
