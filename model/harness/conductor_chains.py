"""Wires that plugs and splices join one behind another to one conductor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from model.errors import ArgumentError
from model.harness.harness import Harness
from model.harness.places import WIRE_ENDS
from model.harness.records import Connector, Wire


@dataclass(frozen=True, slots=True)
class Chain:
    """Wires one behind another.

    Attributes
    ----------
    outer
        The two ends that lead out of the chain, each a wire and which of its ends; the first is the first wire's.
    """

    wires: tuple[Wire, ...]
    outer: tuple[tuple[Wire, str], tuple[Wire, str]]

    def turned(self) -> Chain:
        """Give the chain from its other end."""
        return Chain(self.wires[::-1], (self.outer[1], self.outer[0]))


def chain_of(harness: Harness, wires: Sequence[Wire]) -> Chain:
    """Set wires one behind another.

    Raises
    ------
    ArgumentError
        Where there is none, one is named twice, or two neighbours do not meet in a plug or on a point.
    """
    if not wires:
        raise ArgumentError("No wire is named.", do="Name the wires, a comma between them: W25,W26.")
    if len({wire.id for wire in wires}) < len(wires):
        raise ArgumentError(
            f"{', '.join(wire.id for wire in wires)}: a wire is named twice.",
            do="Name each wire once, one behind the other as they run.",
        )
    if len(wires) == 1:
        return Chain(tuple(wires), ((wires[0], "a"), (wires[0], "b")))
    meets = [_meeting(harness, one, other) for one, other in pairwise(wires)]
    first = WIRE_ENDS[meets[0][0] == WIRE_ENDS[0]]
    last = WIRE_ENDS[meets[-1][1] == WIRE_ENDS[0]]
    return Chain(tuple(wires), ((wires[0], first), (wires[-1], last)))


def _meeting(harness: Harness, one: Wire, other: Wire) -> tuple[str, str]:
    """Give the ends at which two wires meet: on one point, or in the two halves of a cavity."""
    for end, here in _ends(one):
        for far_end, there in _ends(other):
            if here == there or here in mates_of(harness, there):
                return end, far_end
    raise ArgumentError(
        f"{one.id} and {other.id} do not meet in a plug or on a point.",
        do="Name the wires one behind the other as they run; what lies between two of them is missing.",
    )


def _ends(wire: Wire) -> list[tuple[str, str]]:
    points = zip(WIRE_ENDS, (wire.from_point, wire.to_point), strict=True)
    return [(end, point) for end, point in points if point]


def mates_of(harness: Harness, point: str) -> tuple[str, ...]:
    """Give the other halves of the cavity that a point is; none where it is none."""
    part_id, _, rest = point.partition(".")
    part = harness.parts.get(part_id)
    if not isinstance(part, Connector):
        return ()
    half, _, cavity = rest.partition(".")
    return tuple(f"{part_id}.{one}.{cavity}" for one in part.halves if one != half)
