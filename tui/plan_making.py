"""The plans of a harness as the screens ask for them: each made once, in a thread."""

from __future__ import annotations

from threading import Lock

from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.plans.plan import LoomState, Plan, PlanKind

Made = Plan | Exception
"""A plan, or why there is none: what a person can mend as a `FusewalkError`."""


class PlansMade:
    """The plans of one harness.

    Making one may take seconds and belongs in a thread.
    """

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self._made: dict[tuple[PlanKind, LoomState], Made] = {}
        self._lock = Lock()

    def kept(self, kind: PlanKind, state: LoomState) -> Made | None:
        """Give a plan that has been made before; None where it has not.

        Parameters
        ----------
        state
            Of the loom; of a continuity plan alone.
        """
        return self._made.get(_name(kind, state))

    def make(self, kind: PlanKind, state: LoomState) -> Made:
        """Give a plan, or why it cannot be made."""
        name = _name(kind, state)
        with self._lock:
            if name not in self._made:
                self._made[name] = _made(self._harness, *name)
            return self._made[name]


@once_per_harness
def plans_of(harness: Harness) -> PlansMade:
    """Give the plans of a harness: one object for as long as it lives."""
    return PlansMade(harness)


def _name(kind: PlanKind, state: LoomState) -> tuple[PlanKind, LoomState]:
    return kind, state if kind is PlanKind.CONTINUITY else LoomState.APART


def _made(harness: Harness, kind: PlanKind, state: LoomState) -> Made:
    # imported late: it pulls in the solver, which the first screen does without
    from model.plans.every_plan import make_plan

    try:
        return make_plan(harness, kind, state)
    except Exception as error:  # the other plans are made all the same, and the screen tells it
        return error
