"""The parts of a harness as they are in a key state with nothing set: copied, and exchanged where a condition differs.

A condition sets a few parts of a thousand. So a netlist is copied from that of its key state, and what the condition
concerns is taken out of it and built anew.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple, TypeVar

from model.circuit.netlist import Netlist

T = TypeVar("T")


class Counts(NamedTuple):
    """How many branches and rows of each kind a netlist has so far."""

    branches: int
    lamps: int
    lines: int
    movers: int
    fuses: int
    elements: int


@dataclass(frozen=True, slots=True)
class PlainParts:
    """Everything but metal as it is while nothing is set and nothing is faulty.

    Attributes
    ----------
    net
        Its branches and rows alone; no node stands in it that is no point of the harness.
    spans
        Part id → the counts before it and behind it, in the order in which parts are built.
    """

    net: Netlist
    spans: dict[str, tuple[Counts, Counts]]


def counts_of(net: Netlist) -> Counts:
    """Count what a netlist has."""
    return Counts(len(net.one), len(net.lamps), len(net.lines), len(net.movers), len(net.fuses), len(net.elements))


def put_in(net: Netlist, plain: PlainParts) -> None:
    """Put all plain parts into a netlist that has no branches yet."""
    net.one += plain.net.one
    net.other += plain.net.other
    net.sites += plain.net.sites
    net.ohms += plain.net.ohms
    net.emf_volts += plain.net.emf_volts
    net.lamps += plain.net.lamps
    net.lines += plain.net.lines
    net.movers += plain.net.movers
    net.fuses += plain.net.fuses
    net.elements += plain.net.elements
    net.first_battery_tie = plain.net.first_battery_tie


def take_out(net: Netlist, plain: PlainParts, part_ids: Sequence[str]) -> None:
    """Take the branches of some parts out: each stays as one that is open and leads nowhere, so that no number moves.

    The lists of rows are left empty for the parts that come instead; :func:`exchange` puts them together.
    """
    for part_id in part_ids:
        before, behind = plain.spans[part_id]
        begin, end = before.branches, behind.branches
        nowhere = [net.reference] * (end - begin)
        net.one[begin:end], net.other[begin:end] = nowhere, nowhere
        net.ohms[begin:end] = [math.inf] * (end - begin)
        net.emf_volts[begin:end] = [0.0] * (end - begin)
        net.sites[begin:end] = [""] * (end - begin)
    net.lamps, net.lines, net.movers, net.fuses, net.elements = [], [], [], [], []


def exchange(net: Netlist, plain: PlainParts, part_ids: Sequence[str], counts: Sequence[Counts]) -> None:
    """Put the rows of parts that were built anew where their plain rows stood.

    Parameters
    ----------
    counts
        Before the first of them and behind each, as they were built.
    """
    spans = [plain.spans[part_id] for part_id in part_ids]
    new = list(pairwise(counts))
    net.lamps = _exchanged(plain.net.lamps, _places(spans, 1), net.lamps, _places(new, 1))
    net.lines = _exchanged(plain.net.lines, _places(spans, 2), net.lines, _places(new, 2))
    net.movers = _exchanged(plain.net.movers, _places(spans, 3), net.movers, _places(new, 3))
    net.fuses = _exchanged(plain.net.fuses, _places(spans, 4), net.fuses, _places(new, 4))
    net.elements = _exchanged(plain.net.elements, _places(spans, 5), net.elements, _places(new, 5))


def _places(spans: Sequence[tuple[Counts, Counts]], kind: int) -> list[tuple[int, int]]:
    return [(before[kind], behind[kind]) for before, behind in spans]


def _exchanged(
    rows: list[T], spans: Sequence[tuple[int, int]], instead: list[T], new: Sequence[tuple[int, int]]
) -> list[T]:
    """Give rows with some spans of them, in rising order, exchanged for spans of others."""
    found: list[T] = []
    begin = 0
    for (first, following), (new_first, new_following) in zip(spans, new, strict=True):
        found += rows[begin:first]
        found += instead[new_first:new_following]
        begin = following
    found += rows[begin:]
    return found
