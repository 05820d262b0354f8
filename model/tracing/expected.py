"""Expected minutes of a way to choose, reckoned over every outcome of a noiseless problem."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from model.circuit.arrays import IntArray
from model.tracing.choose import ranked
from model.tracing.exact_plan import ExactPlan
from model.tracing.hard_problem import HardProblem
from model.tracing.options import Option, State

Rule = Callable[[int, State], int]
"""Gives the option that is taken, for what is left and a state."""


def expected_minutes(problem: HardProblem[State], rule: Rule[State], state: State) -> float:
    """Give the minutes that a rule takes until one group is left, or none that can be told apart.

    Parameters
    ----------
    rule
        It is asked only where something can be told apart; an option that tells nothing there costs its minutes.

    Raises
    ------
    ValueError
        Where the rule goes on with options that tell nothing.
    """
    known: dict[tuple[int, State], float] = {}

    def follow(left: int, state: State, wasted: int) -> float:
        if not problem.parts(left):
            return 0.0
        if wasted > len(problem):
            raise ValueError("the rule takes options that tell nothing, over and over")
        if (left, state) not in known:
            option = rule(left, state)
            children = problem.split(option, left)
            after = problem.after(option, state)
            price = float(problem.prices(state)[option])
            again = wasted + 1 if len(children) == 1 else 0
            known[left, state] = problem.share(left) * price + sum(follow(child, after, again) for child in children)
        return known[left, state]

    return follow(problem.whole, state, 0)


def optimal_minutes(problem: HardProblem[State], state: State) -> float:
    """Give the minutes that the best plan takes; the work is not bounded."""
    return ExactPlan(problem).minutes(problem.whole, state)


def hard_options(codes: IntArray) -> list[Option]:
    """Give options of which each hypothesis surely gives one outcome.

    Parameters
    ----------
    codes
        Shape (options, hypotheses), the outcome of each, counted from 0.
    """
    return [Option((row == np.arange(int(row.max()) + 1)[:, None]).astype(np.float64)) for row in codes]


def planner_rule(problem: HardProblem[State]) -> Rule[State]:
    """Give the rule that takes what `ranked` puts first."""
    options = hard_options(problem.codes)

    def rule(left: int, state: State) -> int:
        weights = np.zeros(len(problem.weights))
        atoms = problem.atoms(left)
        weights[atoms] = problem.weights[atoms]
        return ranked(weights, problem.groups, options, problem.costing, state)[0].option

    return rule
