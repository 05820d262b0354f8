"""Everything told of what is live in a condition: points, unfused runs, pulled fuses, isolators, another condition."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.review.live_compared import Compared, compared
from model.review.live_isolators import IsolatorsOpen, isolators_of, isolators_open
from model.review.live_points import LivePoints, live_points
from model.review.live_pulled import StaysLive, stays_live
from model.review.live_switched import GroundSwitched, ground_switched
from model.review.live_unfused import UnfusedRun, unfused_runs


@dataclass(frozen=True, slots=True)
class LiveReview:
    """What is live in a condition, and what follows from it.

    Attributes
    ----------
    pulled
        Fuses that leave something live behind them.
    isolators
        What is live with the isolators open; None where the loom has none, or cannot be solved so.
    has_isolator
        Tells these two apart.
    against
        What another condition changes, where one was asked for.
    """

    survey: Survey
    live: LivePoints
    unfused: tuple[UnfusedRun, ...]
    pulled: tuple[StaysLive, ...]
    isolators: IsolatorsOpen | None
    has_isolator: bool
    switched: tuple[GroundSwitched, ...]
    against: Compared | None


def live_review(bench: Bench, condition: Condition, other: Condition | None = None) -> LiveReview:
    """Review what is live in a condition, and what changes in another.

    Raises
    ------
    CircuitError
        Where the circuit cannot be as one of the conditions says.
    """
    survey = bench.survey(condition)
    if condition.posts_volts is not None:
        # what the posts read holds for this condition alone: the others follow from the battery
        bench = bench.at_posts(condition)
        condition = replace(condition, posts_volts=None)
    try:
        isolators = isolators_open(bench, condition)
    except CircuitError:
        isolators = None
    return LiveReview(
        survey,
        live_points(survey),
        unfused_runs(survey),
        stays_live(bench, bench.survey(condition)),
        isolators,
        bool(isolators_of(bench.harness)),
        ground_switched(survey),
        None if other is None else compared(survey, bench.survey(other)),
    )
