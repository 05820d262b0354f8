"""How likely each fault is before any reading: judgement, by the age of the loom and what wears on the place."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import prod
from types import MappingProxyType

from model.circuit.faults import FaultKind
from model.harness.fields import Exposure
from model.harness.harness import Harness
from model.harness.places import WIRE_ENDS, end_place, place_of
from model.harness.records import Wire
from model.harness.supply import wire_length_m
from model.tables import table_rows
from model.tracing.complaint import LoomAge

WORN = frozenset({FaultKind.OPEN, FaultKind.HIGH, FaultKind.TO_BODY, FaultKind.TOUCHES})
"""Faults that water, heat and movement bring about."""

_SHORTEST_SHARE = 0.8
_SHARE_A_METRE = 0.1
_LONGEST_COUNTED_M = 6.0


@cache
def _column(age: LoomAge) -> Mapping[tuple[str, str], float]:
    rows = table_rows("fault_weights")
    return MappingProxyType({(row["site_kind"], row["fault"]): float(row[age]) for row in rows})


def weight_of(site_kind: str, fault: str, age: LoomAge) -> float:
    """Give the weight of a fault at a kind of site, against the others of the table; or a factor of that table.

    Raises
    ------
    KeyError
        Where the table has no such row.
    """
    return _column(age)[site_kind, fault]


def wear_of_part(harness: Harness, part_id: str) -> float:
    """Give the factor by which a part's faults are likelier for what its place is exposed to."""
    return _factor(set(place_of(harness, part_id).exposure))


def wear_of_wire(harness: Harness, wire: Wire) -> float:
    """Give the factor by which a wire's faults are likelier for its places and trunks, and for its length.

    Notes
    -----
    A wire of 2 m counts as one; each metre more or less, up to 6 m, counts a tenth.
    """
    exposed = {one for end in WIRE_ENDS for one in end_place(harness, wire, end).exposure}
    exposed |= {one for name in wire.via for one in harness.trunks_by_name[name].exposure}
    counted_m = min(wire_length_m(harness, wire), _LONGEST_COUNTED_M)
    return _factor(exposed) * (_SHORTEST_SHARE + _SHARE_A_METRE * counted_m)


def _factor(exposed: set[Exposure]) -> float:
    return prod(weight_of("exposure", one, LoomAge.OLD) for one in sorted(exposed))
