"""The cheapest order of checks, by dynamic programming over sets of what is left.

Test sequencing as an and-or search: K. Pattipati and M. Alexandridis, Application of heuristic search and information
theory to sequential fault diagnosis, IEEE Transactions on Systems, Man, and Cybernetics 20 (4), 1990.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Generic

from model.circuit.arrays import FloatArray
from model.tracing.hard_problem import HardProblem
from model.tracing.options import State

_OPENED_EFFORT = 300


class OutOfWorkError(Exception):
    """The search would take more work than it was given."""


class ExactPlan(Generic[State]):
    """Expected minutes under the best order, kept by set and prices.

    Two states that ask the same minutes of every option that still tells something count as one.
    """

    def __init__(self, problem: HardProblem[State], effort: float = math.inf) -> None:
        self.problem = problem
        self.effort = effort
        self._known: dict[tuple[int, tuple[float, ...]], tuple[float, bool]] = {}

    def minutes(self, left: int, state: State, limit: float = math.inf) -> float:
        """Give the expected minutes from a set to one group, times the share of the set.

        Parameters
        ----------
        limit
            From here on a bound from below is enough.

        Raises
        ------
        OutOfWorkError
            Once the problem has cost more than the effort allowed.
        """
        parts = self.problem.parts(left)
        prices = self.problem.prices(state)
        if not any(prices[option] < math.inf for option in parts):
            return 0.0
        key = left, tuple(prices[list(parts)].tolist())
        known, is_exact = self._known.get(key, (0.0, False))
        if is_exact or known >= limit:
            return known
        self.problem.effort += _OPENED_EFFORT * len(parts)
        if self.problem.effort > self.effort:
            raise OutOfWorkError
        least = math.inf
        for option in in_order(self.problem, left, prices):
            least = min(least, self.through(option, left, state, min(least, limit)))
        self._known[key] = least, least < limit
        return least

    def through(self, option: int, left: int, state: State, limit: float = math.inf) -> float:
        """Give the same where a given option is taken first; from ``limit`` on a bound from below."""
        children = self.problem.parts(left)[option]
        after = self.problem.after(option, state)
        after_prices = self.problem.prices(after)
        floors = [self._floor(child, after_prices) for child in children]
        total = self.problem.share(left) * float(self.problem.prices(state)[option]) + sum(floors)
        for child, floor in zip(children, floors, strict=True):
            if total >= limit:
                break
            total += self.minutes(child, after, limit - total + floor) - floor
        return total

    def _floor(self, left: int, prices: FloatArray) -> float:
        """Give what a set costs at the least: the cheapest option that parts it."""
        parts = self.problem.parts(left)
        cheapest = min((float(prices[option]) for option in parts), default=0.0)
        return self.problem.share(left) * cheapest if cheapest < math.inf else 0.0


def in_order(problem: HardProblem[State], left: int, prices: FloatArray) -> Sequence[int]:
    """Give the options that part a set, the best gain per minute first."""
    gains = problem.gains(left)
    affordable = [option for option in problem.parts(left) if prices[option] < math.inf]
    return sorted(affordable, key=lambda option: -round(float(gains[option] / prices[option]), 9))
