"""What the hypotheses of one complaint are made from, and how one is put together."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

from model.circuit.faults import HIGH_OHMS, Fault, FaultKind
from model.circuit.settle import Settled
from model.harness.fields import Part
from model.harness.harness import Harness
from model.harness.parts import (
    Battery,
    Charger,
    Diode,
    Fuse,
    Load,
    LoadKind,
    Module,
    Relay,
    ResistorPack,
    Switch,
)
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.tracing.bolted import is_thick
from model.tracing.complaint import Complaint, LoomAge
from model.tracing.fault_weights import weight_of
from model.tracing.graph import Link
from model.tracing.load_ways import BACKFEED, LoadWays, ground_points, reached
from model.tracing.suspects import Hypothesis

HIGH_STEPS_OHMS = (0.3, 1.0, 3.0, 10.0, 30.0, 100.0, 1000.0)
FINE_STEPS_OHMS = (0.01, 0.03, 0.1)
_HEAVY_AMPS = 50.0
_FED_TOGETHER_AT_MOST = 40
_FINE_UNDER_OHMS = 0.006


@dataclass(frozen=True)
class Scene:
    """A complaint on its harness.

    Attributes
    ----------
    settled
        The healthy circuit in the condition of the complaint.
    is_closed
        Tells whether a link joins its points there.
    disturbed
        Parts and sites that were worked on.
    """

    harness: Harness
    complaint: Complaint
    settled: Settled
    ways: LoadWays
    is_closed: Callable[[Link], bool]
    disturbed: frozenset[str] = frozenset()

    @property
    def age(self) -> LoomAge:
        """How long the loom has worked."""
        return self.complaint.age

    def weight(self, site_kind: str, fault: str) -> float:
        """Give a weight or factor of the table for a loom of this age."""
        return weight_of(site_kind, fault, self.age)

    @cached_property
    def way_wires(self) -> tuple[Wire, ...]:
        """The wires on the ways, in the order of the file."""
        parts = (self.harness.parts[part_id] for part_id in self.ways.part_ids_in_order)
        return tuple(part for part in parts if isinstance(part, Wire))

    @cached_property
    def fed_together(self) -> frozenset[str]:
        """The nearest points that are live as soon as a load complained of is, by what is closed.

        Empty where the symptom does not come by another load's current; the ground's metal is left out. No more than 40
        of each end.
        """
        if self.complaint.symptom not in BACKFEED:
            return frozenset()
        bodies = ground_points(self.harness)
        found: set[str] = set()
        for point in (point for one in self.ways.elements for point in (one.from_point, one.to_point)):
            if point not in bodies:
                live = reached(self.harness, point, lambda there: there not in bodies, self.is_closed)
                found.update(live[:_FED_TOGETHER_AT_MOST])
        return frozenset(found)

    @cached_property
    def is_heavy(self) -> bool:
        """Whether a load complained of takes so much that milliohms count: a solenoid or a starter."""
        return any(
            one.kind is LoadKind.SOLENOID
            or one.rated_amps >= _HEAVY_AMPS
            or (one.record is not None and (one.record.start_amps or 0.0) >= _HEAVY_AMPS)
            for one in self.ways.elements
        )

    @cached_property
    def thick_points(self) -> frozenset[str]:
        """Points on which a strap or battery cable ends."""
        thick = (wire for wire in self.harness.wires if is_thick(self.harness, wire))
        return frozenset(point for wire in thick for point in (wire.from_point, wire.to_point) if point)

    def is_fine(self, link: Link) -> bool:
        """Tell whether milliohms count in a link: in straps and battery cables, and in what carries a heavy current."""
        if self.is_heavy and link in self.ways.main:
            return True
        part = self.harness.parts[link.part_id]
        if isinstance(part, Wire):
            return link.ohms < _FINE_UNDER_OHMS and is_thick(self.harness, part)
        return link.ohms < _FINE_UNDER_OHMS and not self.thick_points.isdisjoint((link.one, link.other))


def one_fault(site: str, kind: FaultKind, weight: float, repair: str, partner: str = "") -> Hypothesis:
    """Put together a hypothesis that is solved in one way."""
    return Hypothesis(site, kind, partner, weight, (Fault(site, kind, partner),), repair)


def high_resistance(site: str, weight: float, repair: str, *, fine: bool = False) -> Hypothesis:
    """Put together a high resistance, solved at several sizes; with milliohms too where they count."""
    steps = (*FINE_STEPS_OHMS, *HIGH_STEPS_OHMS) if fine else HIGH_STEPS_OHMS
    ways = tuple(Fault(site, FaultKind.HIGH, added_ohms=ohms) for ohms in steps)
    return Hypothesis(site, FaultKind.HIGH, "", weight, ways, repair)


def typical_way(hypothesis: Hypothesis) -> Fault:
    """Give the one fault that stands for a hypothesis: of a high resistance the size taken where no figure is given."""
    fault = hypothesis.ways[0]
    if fault.kind is not FaultKind.HIGH:
        return fault
    return Fault(fault.site, FaultKind.HIGH, added_ohms=HIGH_OHMS)


def repair_of_part(part: Part) -> str:
    """Say which work mends a part as a whole: ``relay K1``."""
    return f"{_trade_word(part)} {part.id}"


def _trade_word(part: Part) -> str:
    words: Iterable[tuple[type[Part], str]] = (
        (Wire, "wire"),
        (Fuse, "fuse"),
        (Switch, "switch"),
        (Relay, "relay"),
        (Load, "load"),
        (Module, "module"),
        (Connector, "plug"),
        (GroundPoint, "ground"),
        (Joint, "joint"),
        (Battery, "battery"),
        (Charger, "charger"),
        (Diode, "diode"),
        (ResistorPack, "resistor"),
    )
    return next((word for kind, word in words if isinstance(part, kind)), "part")
