"""Every point that has volts in a condition, and why: the way from its source, the fuses and loads on that way."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from model.circuit.condition import Condition
from model.circuit.faults import part_of_site
from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.metal import same_metal
from model.harness.parts import Module
from model.harness.records import Wire
from model.harness.supply import assumed_of, wire_length_m
from model.review.live_paths import LIVE_VOLTS, LivePaths
from model.review.live_steps import CONTACTS, LiveStep, StepKind

__all__ = [
    "CONTACTS",
    "LIVE_VOLTS",
    "Length",
    "LiveKind",
    "LivePoint",
    "LivePoints",
    "LiveStep",
    "StepKind",
    "live_among",
    "live_points",
]


class LiveKind(StrEnum):
    """How volts come to a point."""

    FED = "fed"
    """Along metal and closed contacts, from a source."""
    THROUGH = "through"
    """Through a load, coil, diode or resistance: no metal leads there from a source, nor to the ground side."""
    GROUND = "ground"
    """The point is on the ground side, and current in the metal there lifts it."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length of wire in metres, and whether some of it is assumed."""

    metres: float = 0.0
    is_assumed: bool = False


@dataclass(frozen=True, slots=True)
class LivePoint:
    """A point that has volts, and why.

    Attributes
    ----------
    volts
        Against the reference.
    source
        The point from which the volts come: a post of a battery or charger, an output of a module.
    path
        From the source to the point; none at the source itself.
    back
        Of a point on the ground side the way along metal to the reference.
    fuses
        Fuses on the path, from the source on; of an output those before the feed of its module too.
    fused_by
        The last fuse before the point; None where a battery or charger reaches it without one.
    through
        Sites of the loads, coils, diodes and resistances on the path.
    unfused, length
        Wire on the path as far as the first fuse, and in all.
    metal
        A name for the piece of bare metal that the point is of.
    may_be_probed
        False of restraint and high voltage.
    """

    point: str
    volts: float
    kind: LiveKind
    source: str
    path: tuple[LiveStep, ...]
    back: tuple[LiveStep, ...]
    fuses: tuple[str, ...]
    fused_by: str | None
    through: tuple[str, ...]
    unfused: Length
    length: Length
    metal: str
    may_be_probed: bool

    @property
    def own_path(self) -> tuple[LiveStep, ...]:
        """The steps behind the last fuse; all of them where there is none."""
        last = max((place for place, step in enumerate(self.path) if step.kind is StepKind.FUSE), default=-1)
        return self.path[last + 1 :]


@dataclass(frozen=True, slots=True)
class LivePoints:
    """What is live in a condition.

    Attributes
    ----------
    points
        Those without a fuse first, then fuse by fuse in the order of the file, the ground side last; along each feed
        the nearer first.
    floating, unsettled
        Points that have no figure: nothing joins them to the reference, or a relay that buzzes never lets them rest.
        The unsettled ones are to be taken as live.
    """

    condition: Condition
    points: tuple[LivePoint, ...]
    floating: tuple[str, ...]
    unsettled: tuple[str, ...]

    @property
    def by_name(self) -> dict[str, LivePoint]:
        """Each live point by its name."""
        return {one.point: one for one in self.points}


def live_points(survey: Survey) -> LivePoints:
    """Give the points that have over 0.1 V against the reference, either way, and why.

    Parameters
    ----------
    survey
        A harness settled in a condition: the first key state with nothing set is what a vehicle that stands has live.

    Notes
    -----
    A way is one along which volts really come: each step joins its points in the settled circuit, and never leads to
    more volts. One along metal goes before one through a load, the least resistance before more.
    """
    settled = survey.settled
    names = settled.net.names
    return LivePoints(
        settled.condition,
        live_among(LivePaths(settled), settled.point_nodes),
        tuple(names[node] for node in settled.point_nodes if node in settled.floating),
        tuple(names[node] for node in settled.point_nodes if node in settled.unsettled),
    )


def live_among(paths: LivePaths, nodes: Iterable[int]) -> tuple[LivePoint, ...]:
    """Give those of some nodes that are live, in the order of :class:`LivePoints`."""
    settled = paths.settled
    found = [
        (_rank(paths, node), _live_point(paths, node))
        for node in nodes
        if node not in settled.idle and abs(float(settled.volts[node])) > LIVE_VOLTS
    ]
    order = {fuse.id: place for place, fuse in enumerate(paths.harness.fuses)}
    found.sort(key=lambda one: (_feed_rank(one[1], order), one[0]))
    return tuple(point for _, point in found)


def _rank(paths: LivePaths, node: int) -> tuple[int, float, int]:
    reached = paths.reached.get(node)
    return (reached.loads, reached.ohms, node) if reached is not None else (len(paths.net.names), 0.0, node)


def _feed_rank(point: LivePoint, order: dict[str, int]) -> tuple[bool, int]:
    return point.kind is LiveKind.GROUND, -1 if point.fused_by is None else order[point.fused_by]


def _live_point(paths: LivePaths, node: int) -> LivePoint:
    harness, name = paths.harness, paths.net.names[node]
    path = paths.path_to(node)
    reached = paths.reached.get(node)
    source = node if reached is None else reached.source
    kind = _kind(paths, node)
    fuses = (*_fuses_of_output(paths, source), *(step.site for step in path if step.kind is StepKind.FUSE))
    is_bare = kind is LiveKind.FED and _is_unfused(paths, node)
    first = next((place for place, step in enumerate(path) if step.kind is StepKind.FUSE), len(path))
    return LivePoint(
        name,
        float(paths.settled.volts[node]),
        kind,
        paths.net.names[source].removesuffix(" inside"),
        path,
        paths.path_back(node) if kind is LiveKind.GROUND else (),
        fuses,
        None if is_bare or not fuses else fuses[-1],
        tuple(step.site for step in path if step.kind.is_through),
        length_of(harness, path[:first]),
        length_of(harness, path),
        same_metal(harness, name),
        may_be_probed(harness, name) is None,
    )


def _kind(paths: LivePaths, node: int) -> LiveKind:
    if paths.is_fed(node):
        return LiveKind.FED
    return LiveKind.GROUND if paths.is_on_ground(node) else LiveKind.THROUGH


def _is_unfused(paths: LivePaths, node: int) -> bool:
    """Tell whether metal without a fuse joins a node to a post of a battery or charger that feeds."""
    return paths.unfused_metal[node] in paths.bare_feeds


def _fuses_of_output(paths: LivePaths, source: int) -> tuple[str, ...]:
    """Name the fuses before the feed of the module whose output a source is."""
    owner, _, terminal = paths.net.names[source].removesuffix(" inside").partition(".")
    module = paths.harness.parts.get(owner)
    if not isinstance(module, Module):
        return ()
    row = next((one for one in module.outputs if one.terminal == terminal), None)
    feed = (row.from_terminal if row is not None else None) or module.feeds[0].terminal
    path = paths.path_to(paths.net.index[f"{owner}.{feed}"])
    return tuple(step.site for step in path if step.kind is StepKind.FUSE)


def length_of(harness: Harness, path: tuple[LiveStep, ...]) -> Length:
    """Sum the wires of a path, each once though a fault parts it."""
    names = dict.fromkeys(part_of_site(step.site) for step in path if step.kind is StepKind.WIRE)
    wires = [harness.part_of(name, Wire) for name in names]
    metres = sum((wire_length_m(harness, wire) for wire in wires), 0.0)
    return Length(metres, any("length" in assumed_of(harness, wire) for wire in wires))
