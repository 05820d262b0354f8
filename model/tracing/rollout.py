"""Thinking ahead with a rule of thumb: what each first step costs when gain per minute rules from there on.

Rollout over an information heuristic: F. Tu and K. Pattipati, Rollout strategies for sequential fault diagnosis,
AUTOTESTCON 2002.
"""

from __future__ import annotations

import math
from typing import Generic

import numpy as np

from model.circuit.arrays import FloatArray
from model.tracing.hard_problem import HardProblem
from model.tracing.options import State

FIRST_SHARE = 0.4
"""An option that tells less than this share of what the best one tells is not taken first, however cheap."""

PACE_SHARE = 0.4
"""The best one is sought among those with at least this share of the best gain per minute; judgement.

What tells most, but for an hour's work, keeps no short check from coming first.
"""


def first_gain(gains: FloatArray, prices: FloatArray, share: float = FIRST_SHARE) -> float:
    """Give the gain under which an option is not taken first.

    Parameters
    ----------
    gains, prices
        Shape (options,), bits and minutes; an infinite price with a gain of 0.
    """
    paces = gains / prices
    return share * float(gains[paces >= PACE_SHARE * paces.max()].max())


class Rollout(Generic[State]):
    """Expected minutes when the best gain per minute is taken at every step.

    Attributes
    ----------
    depth
        After this many steps the rest is estimated by its entropy, at the pace of the last step.
    effort
        Once the problem has cost this much, everything is estimated.
    """

    def __init__(
        self,
        problem: HardProblem[State],
        depth: int = 12,
        effort: float = math.inf,
        first_share: float = FIRST_SHARE,
    ) -> None:
        self.problem = problem
        self.depth = depth
        self.effort = effort
        self.first_share = first_share
        self._known: dict[tuple[int, State, int], float] = {}

    def choice(self, left: int, state: State) -> tuple[int, float] | None:
        """Give the option with the best gain per minute, and its bits per minute; None where none tells."""
        if self.problem.is_settled(left):
            return None
        gains = self.problem.gains(left)
        prices = self.problem.prices(state)
        telling = np.where(np.isfinite(prices), gains, 0.0)
        most = float(telling.max())
        if most <= 0.0:
            return None
        paces = np.where(telling >= self.first_share * most, telling / prices, 0.0)
        option = int(np.argmax(np.round(paces, 9)))
        return option, float(paces[option])

    def minutes(self, left: int, state: State) -> float:
        """Give the expected minutes from a set to one group, times the share of the set."""
        return self._minutes(left, state, self.depth)

    def through(self, option: int, left: int, state: State) -> float:
        """Give the same where a given option is taken first."""
        return self._through(option, left, state, self.depth)

    def _minutes(self, left: int, state: State, depth: int) -> float:
        """Follow the rule from a set."""
        if self.problem.is_settled(left):
            return 0.0
        key = left, state, depth
        if key not in self._known:
            chosen = self.choice(left, state)
            self._known[key] = 0.0 if chosen is None else self._through(chosen[0], left, state, depth)
        return self._known[key]

    def _through(self, option: int, left: int, state: State, depth: int) -> float:
        price = float(self.problem.prices(state)[option])
        gain = float(self.problem.gains(left)[option])
        total = self.problem.share(left) * price
        if depth <= 1 or self.problem.effort >= self.effort:
            return total * max(1.0, self.problem.bits(left) / gain) if gain > 0.0 else total
        after = self.problem.after(option, state)
        children = self.problem.split(option, left)
        return total + sum(self._minutes(child, after, depth - 1) for child in children)
