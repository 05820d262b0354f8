"""How far the wires run without a fuse: from each post that feeds to the first fuse of every branch, or to its end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.faults import part_of_site
from model.circuit.survey import Survey
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.points import resolve_point
from model.review.live_paths import LivePaths
from model.review.live_points import Length, length_of
from model.review.live_steps import LiveStep, StepKind


@dataclass(frozen=True, slots=True)
class UnfusedRun:
    """What hangs on a post without a fuse, as far as one of its ends.

    Attributes
    ----------
    source
        The post of a battery or charger that feeds.
    end
        The point at which the first fuses sit, or at which the branch ends without one.
    fuses
        Those that sit at the end; none where no fuse guards what is before it, or what a contact there would feed.
    wires
        From the source on.
    """

    source: str
    end: str
    fuses: tuple[str, ...]
    wires: tuple[str, ...]
    length: Length


def unfused_runs(survey: Survey) -> tuple[UnfusedRun, ...]:
    """Give for every post that feeds the wires between it and the first fuse on each branch, as contacts now stand.

    Those that end without a fuse come first, then the longer ones.
    """
    paths = LivePaths(survey.settled)
    runs = [run for source in paths.posts for run in _runs_from(paths, source)]
    return tuple(sorted(runs, key=lambda run: (bool(run.fuses), -run.length.metres)))


def _runs_from(paths: LivePaths, source: int) -> Iterator[UnfusedRun]:
    found = paths.unfused_from(source)
    gone_on_from = {one.before for one in found.values()}
    fuses_at = _fuses_at(paths.harness)
    names = paths.net.names
    for node in found:
        fuses = fuses_at.get(names[node], ())
        if not fuses and (node in gone_on_from or node in paths.posts):
            continue
        steps: list[LiveStep] = []
        at = node
        while found[at].before >= 0:
            steps.append(paths.step(found[at].branch, found[at].before))
            at = found[at].before
        path = tuple(reversed(steps))
        wires = tuple(dict.fromkeys(part_of_site(step.site) for step in path if step.kind is StepKind.WIRE))
        if wires or fuses:
            yield UnfusedRun(
                names[source].removesuffix(" inside"), names[node], fuses, wires, length_of(paths.harness, path)
            )


@once_per_harness
def _fuses_at(harness: Harness) -> dict[str, tuple[str, ...]]:
    """Index the fuses by the points at their ends, in or out of their holders."""
    found: dict[str, tuple[str, ...]] = {}
    for fuse in harness.fuses:
        for point in (resolve_point(harness, f"{fuse.id}.in"), f"{fuse.id}.out"):
            found[point] = (*found.get(point, ()), fuse.id)
    return found
