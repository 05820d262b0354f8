"""Why a check is made beside the load's own way: what on that way it tells about."""

from __future__ import annotations

from collections import deque
from collections.abc import Container

from model.circuit.settle import Settled
from model.errors import CircuitError
from model.harness.harness import Harness
from model.harness.points import resolve_point
from model.tracing.checks import Check, CheckKind
from model.tracing.graph import closed_test
from model.tracing.inquiry import Inquiry
from model.tracing.names import point_name
from model.tracing.nets import nets_of, possible_neighbours
from model.tracing.symptoms import elements_by_name

_LIVE_VOLTS = 1.0


def off_way_words(inquiry: Inquiry, check: Check) -> str:
    """Say what on the load's way a check beside it tells about; empty of a check on the way, or of a dead feed.

    Examples
    --------
    ``It tells whether busbar BB4 (Ignition bus) is live.``
    """
    on_way = {point for walk in inquiry.walks for point in walk.points()}
    starts = _points_beside(inquiry, check, on_way)
    if not starts or not on_way:
        return ""
    try:
        settled = inquiry.bench.survey(check.condition).settled
    except CircuitError:
        return ""
    for start in starts:
        found = _nearest(inquiry, check, start, on_way)
        state = _state(inquiry.harness, settled, found, inquiry.walks[0].black) if found else ""
        if state:
            return f"It tells whether {point_name(inquiry.harness, found)} is {state}."
    return ""


def _state(harness: Harness, settled: Settled, point: str, black: str) -> str:
    """Say what a point should be: live, or grounded; nothing of one on the feed side that is dead."""
    if settled.volts_across(point, black) > _LIVE_VOLTS:
        return "live"
    return "grounded" if point in nets_of(harness).grounded else ""


def _points_beside(inquiry: Inquiry, check: Check, on_way: Container[str]) -> tuple[str, ...]:
    """Name the points of a check that are on no way: those of its probes, or of another load that is looked at."""
    if check.kind is CheckKind.OBSERVE:
        element = elements_by_name(inquiry.harness).get(check.load)
        if element is None or check.load in inquiry.complaint.loads:
            return ()
        ends: tuple[str, ...] = (element.from_point, element.to_point)
    elif check in inquiry.off_way:
        ends = check.points
    else:
        return ()
    points = (resolve_point(inquiry.harness, point) for point in ends)
    return tuple(point for point in points if point not in on_way)


def _nearest(inquiry: Inquiry, check: Check, start: str, on_way: Container[str]) -> str:
    """Name the point of the way that the fewest closed links join to a point; empty where none does."""
    is_closed = closed_test(inquiry.harness, inquiry.bench.survey(check.condition).settled)
    neighbours = possible_neighbours(inquiry.harness)
    seen = {start}
    waiting = deque([start])
    while waiting:
        point = waiting.popleft()
        if point in on_way:
            return point
        for other, link in neighbours.get(point, ()):
            if other not in seen and is_closed(link):
                seen.add(other)
                waiting.append(other)
    return ""
