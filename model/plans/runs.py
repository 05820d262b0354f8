"""What the rows of a continuity plan measure: conductors from one probe point to another, and the contacts of plugs."""

from __future__ import annotations

from dataclasses import dataclass

from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.metal import wire_points, wires_at
from model.harness.points import all_points
from model.harness.records import Connector, Splice, Wire


@dataclass(frozen=True, slots=True)
class Run:
    """One measurement.

    Attributes
    ----------
    red, black
        Points on which the probes stand.
    sites
        The wires on its way in their order, or the one contact.
    own
        Those of them whose row it is.
    """

    red: str
    black: str
    sites: tuple[str, ...]
    own: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A wire that is not measured, and why."""

    wire_id: str
    why: str


def wire_runs(harness: Harness) -> tuple[tuple[Run, ...], tuple[LeftOut, ...]]:
    """Give the runs that prove every wire, and the wires that nobody may or need measure.

    Notes
    -----
    A splice lies under its sleeve and is no probe point: a wire that ends on one is measured through it, to the far end
    of another wire there. Wires that share a measurement share the run.
    """
    runs: dict[tuple[str, ...], Run] = {}
    left_out = []
    for wire in harness.wires:
        why = why_left_out(harness, wire)
        if why:
            left_out.append(LeftOut(wire.id, why))
            continue
        run = _run_of(harness, wire)
        if run.red == run.black:
            left_out.append(LeftOut(wire.id, "both its ends are on one point, or lead to one: no meter can tell it."))
            continue
        ends = (min(run.red, run.black), max(run.red, run.black))
        known = runs.get(ends)
        if known is None:
            runs[ends] = run
        elif set(known.sites) == set(run.sites):
            runs[ends] = Run(known.red, known.black, known.sites, (*known.own, wire.id))
        else:
            runs[(*ends, wire.id)] = run
    return tuple(runs.values()), tuple(left_out)


def why_left_out(harness: Harness, wire: Wire) -> str:
    """Say why a wire is not measured; empty where it is."""
    for point in wire_points(harness, wire):
        refusal = may_be_probed(harness, point)
        if refusal is not None:
            return refusal.reason
    if wire.superseded_by is not None:
        return f"{wire.superseded_by} does its work now."
    return ""


def _run_of(harness: Harness, wire: Wire) -> Run:
    start, end = wire_points(harness, wire)
    red, before = _probe_point(harness, wire, start)
    black, after = _probe_point(harness, wire, end)
    return Run(red, black, (*reversed(before), wire.id, *after), (wire.id,))


def _probe_point(harness: Harness, wire: Wire, point: str) -> tuple[str, list[str]]:
    """Give where a probe can stand for the end of a wire, and the further wires on the way there."""
    parts = harness.parts
    if not isinstance(parts.get(point.partition(".")[0]), Splice):
        return point, []
    seen = {wire.id}
    waiting: list[tuple[str, list[str]]] = [(point, [])]
    while waiting:
        at, way = waiting.pop(0)
        for other in wires_at(harness).get(at, ()):
            if other.id in seen or why_left_out(harness, other):
                continue
            seen.add(other.id)
            ends = wire_points(harness, other)
            far = ends[1] if ends[0] == at else ends[0]
            if not isinstance(parts.get(far.partition(".")[0]), Splice):
                return far, [*way, other.id]
            waiting.append((far, [*way, other.id]))
    return point, []


def contact_runs(harness: Harness) -> tuple[Run, ...]:
    """Give the runs across each mated contact that has a wire on both sides, wire side to wire side."""
    ends = wires_at(harness)
    found = []
    for plug in harness.connectors:
        if plug.rest != "mated":
            continue
        for cavity in range(1, plug.cavities + 1):
            red, black = (f"{plug.id}.{half}.{cavity}" for half in plug.halves)
            if not (ends.get(red) and ends.get(black)):
                continue
            if may_be_probed(harness, red) is None and may_be_probed(harness, black) is None:
                site = f"{plug.id}.{cavity}"
                found.append(Run(red, black, (site,), (site,)))
    return tuple(found)


def plug_of(harness: Harness, point: str) -> str:
    """Name the plug half or part whose plug a point is in; empty where it is in none."""
    known = all_points(harness).get(point)
    part = harness.parts.get(point.partition(".")[0])
    if known is None or part is None:
        return ""
    if isinstance(part, Connector):
        return f"{part.id}.{known.half}"
    return part.id if known.terminal and not isinstance(part, Wire) else ""
