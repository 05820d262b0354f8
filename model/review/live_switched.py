"""Loads and coils that are fed all the time and switched on their ground side: live at both ends, and no fault."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.faults import part_of_site
from model.circuit.survey import Survey
from model.review.live_paths import LivePaths
from model.review.live_steps import StepKind
from model.tracing.graph import LinkKind, closed_test, links_of

_OFF_AMPS = 1e-3
_OPENS = frozenset({LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER})


@dataclass(frozen=True, slots=True)
class GroundSwitched:
    """A load or a coil that waits for its ground.

    Attributes
    ----------
    site
        ``E9:load``, ``K5:coil``.
    fed, far
        Its end on the feed, and the other, which its own metal lifts to the same volts.
    switched_by
        Sites of the open contacts and drivers that would ground it.
    """

    site: str
    part_id: str
    fed: str
    far: str
    switched_by: tuple[str, ...]


def ground_switched(survey: Survey) -> tuple[GroundSwitched, ...]:
    """List what is fed and off in a condition because a contact on its ground side is open."""
    paths = LivePaths(survey.settled)
    return tuple(_waiting(survey, paths))


def _waiting(survey: Survey, paths: LivePaths) -> Iterator[GroundSwitched]:
    grounds = _open_to_ground(survey, paths)
    net, names = paths.net, paths.net.names
    for branch, kind in enumerate(paths.kinds):
        if kind not in (StepKind.LOAD, StepKind.COIL, StepKind.FEED) or not paths.joins[branch]:
            continue
        if abs(float(survey.settled.amps[branch])) > _OFF_AMPS:
            continue
        ends = net.one[branch], net.other[branch]
        loads = [paths.reached[end].loads if end in paths.reached else -1 for end in ends]
        if 0 not in loads or max(loads) < 1:
            continue
        fed, far = ends if loads[0] == 0 else ends[::-1]
        opened = grounds.get(int(paths.metal[far]), ())
        if opened:
            site = net.sites[branch]
            yield GroundSwitched(site, part_of_site(site), names[fed], names[far], opened)


def _open_to_ground(survey: Survey, paths: LivePaths) -> dict[int, tuple[str, ...]]:
    """Index what is open towards the ground side by the metal on its other side."""
    index = paths.net.index
    is_closed = closed_test(paths.harness, survey.settled)
    ground = paths.metal[paths.net.reference]
    found: dict[int, tuple[str, ...]] = {}
    for link in links_of(paths.harness):
        if link.kind in _OPENS and not is_closed(link):
            for here, there in ((link.one, link.other), (link.other, link.one)):
                metal = int(paths.metal[index[here]])
                if paths.metal[index[there]] == ground and metal != ground:
                    found[metal] = tuple(dict.fromkeys((*found.get(metal, ()), link.site)))
    return found
