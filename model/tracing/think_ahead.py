"""Thinking the best few options ahead: exactly where little is left, else by rollout, with bounded work."""

from __future__ import annotations

import math
from collections.abc import Container, Sequence

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.tracing.exact_plan import ExactPlan, OutOfWorkError, in_order
from model.tracing.hard_problem import FEW_OPTIONS, HardProblem, hardened
from model.tracing.information import group_shares
from model.tracing.options import Costing, Option, State, heaviest
from model.tracing.rollout import Rollout

EXACT_GROUPS = 12
AHEAD_OPTIONS = 10
"""So many first steps are compared by rollout."""

LEFT_SHARE = 0.99
"""Where few groups hold this much together, they are those left; a plan ends where one of them does."""

_AHEAD_HYPOTHESES = 160
_AHEAD_SHARE = 0.98
_EXACT_EFFORT = 800_000
_ALIKE = 1.0 + 1e-9
_LEAST_SHARE = 1e-12
_DEPTHS = (2, 3, 4, 6, 9, 12)
_ROLLOUT_EFFORT = 800_000


def minutes_to_go(
    shares: FloatArray,
    groups: IntArray,
    options: Sequence[Option],
    best: Sequence[int],
    firsts: frozenset[int],
    costing: Costing[State],
    state: State,
) -> dict[int, float]:
    """Give the expected minutes until the groups are told apart, for the options worth thinking ahead.

    Parameters
    ----------
    shares, groups
        Shape (hypotheses,).
    best
        Numbers of options by gain per minute, the best first.
    firsts
        Those of them that may come first.

    Returns
    -------
    dict
        Minutes by the number of the option taken first; an option that is missing is dearer, or was not looked at.
    """
    if not best:
        return {}
    kept, are_few = in_play(shares, groups)
    narrowed = [Option(options[option].shares[:, kept]) for option in best]
    problem = hardened(shares[kept], groups[kept], narrowed, best, costing)
    if not len(problem):
        return {}
    problem.settling_share = LEFT_SHARE
    if problem.is_settled(problem.whole):
        problem.settling_share = 1.0
    if are_few and len(problem) <= FEW_OPTIONS:
        try:
            return exact_minutes(problem, state, firsts, _EXACT_EFFORT)
        except OutOfWorkError:
            pass
    return rollout_minutes(problem, problem.whole, state, firsts, problem.effort + _ROLLOUT_EFFORT)


def in_play(shares: FloatArray, groups: IntArray) -> tuple[IntArray, bool]:
    """Give the hypotheses that are thought of, and whether their groups are few enough for an exact plan.

    They are those of the twelve heaviest groups where these hold 99 %, else the heaviest of all.
    """
    masses = group_shares(shares, groups)
    left = heaviest(masses, EXACT_GROUPS, 1.0)
    are_few = float(masses[left].sum()) >= LEFT_SHARE
    within = np.where(np.isin(groups, left), shares, 0.0) if are_few else shares
    kept = heaviest(within / within.sum(), _AHEAD_HYPOTHESES, 1.0 if are_few else _AHEAD_SHARE)
    return kept[within[kept] > _LEAST_SHARE * within.sum()], are_few


def exact_minutes(
    problem: HardProblem[State], state: State, firsts: Container[int], effort: float = math.inf
) -> dict[int, float]:
    """Give the expected minutes of the best plan, of its equals, and of what seemed best until it came up.

    Parameters
    ----------
    firsts
        Numbers of the options that may come first.

    Raises
    ------
    OutOfWorkError
        Where it takes more effort than allowed.
    """
    plan = ExactPlan(problem, effort)
    found: dict[int, float] = {}
    least = math.inf
    for option in in_order(problem, problem.whole, problem.prices(state)):
        if problem.numbers[option] not in firsts:
            continue
        limit = least * _ALIKE
        minutes = plan.through(option, problem.whole, state, limit)
        if minutes < limit:
            least = min(least, minutes)
            found[problem.numbers[option]] = minutes
    return found


def rollout_minutes(
    problem: HardProblem[State], left: int, state: State, firsts: Container[int], effort: float = math.inf
) -> dict[int, float]:
    """Give the expected minutes when gain per minute rules after the first step, as deep as the work allows.

    Parameters
    ----------
    firsts
        Numbers of the options that may come first; the ten with the best gain per minute are looked at.
    effort
        Once the problem has cost this much no deeper look is taken.

    Returns
    -------
    dict
        Minutes, times the share of what is left, by the number of the option taken first.
    """
    order = in_order(problem, left, problem.prices(state))
    candidates = [option for option in order if problem.numbers[option] in firsts][:AHEAD_OPTIONS]
    found: dict[int, float] = {}
    for depth in _DEPTHS:
        rollout = Rollout(problem, depth, effort)
        deeper = {problem.numbers[option]: rollout.through(option, left, state) for option in candidates}
        if problem.effort >= effort and found:
            break
        found = deeper
    return found
