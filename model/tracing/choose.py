"""Which check comes next: what each is expected to tell about repairs, for the minutes it takes.

The planner knows no harness. It sees hypotheses with weights and the group of repair of each, options with soft
outcomes, and what they cost. Gain per minute orders all options; the best few are then thought ahead, exactly where
few groups and few distinct options are left. The same input gives the same order.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.tracing.hard_problem import LEAST_MINUTES
from model.tracing.information import normalised
from model.tracing.options import Costing, Option, OptionTable, State, screened, told
from model.tracing.rollout import first_gain
from model.tracing.think_ahead import minutes_to_go

__all__ = ["Costing", "Option", "OptionTable", "Ranked", "ranked"]

SCREENED_OPTIONS = 60
"""So many options at most are worked out without shortcuts."""

SHORT_MINUTES, LONG_MINUTES, SHORT_BITS = 3.0, 15.0, 0.3
"""A check of so few minutes that tells this much comes before one that takes so many; judgement."""

_TELLS_BITS = 1e-9

Nearer = Callable[[int], tuple[object, ...]]


@dataclass(frozen=True, slots=True, eq=False)
class Ranked:
    """An option in its place.

    Attributes
    ----------
    option
        Its number among the options given.
    gain_bits
        What it is expected to tell about the groups, in bits.
    minutes
        What it takes from here.
    worth
        Bits per minute.
    outcomes
        Shape (outcomes,), how likely each outcome is.
    minutes_to_go
        Expected minutes until the groups are told apart where it is taken first; None where not thought ahead. Those
        thought ahead come first, in its order, but for a short check before what opens a buried place; all others in
        the order of their worth.
    """

    option: int
    gain_bits: float
    minutes: float
    worth: float
    outcomes: FloatArray
    minutes_to_go: float | None = None


def by_number(option: int) -> tuple[object, ...]:
    """Sort equals by their number."""
    return (option,)


def ranked(
    weights: FloatArray,
    groups: IntArray,
    options: Sequence[Option] | OptionTable,
    costing: Costing[State],
    state: State,
    *,
    nearer: Nearer = by_number,
) -> list[Ranked]:
    """Put options in the order in which they are best offered.

    Parameters
    ----------
    weights
        Shape (hypotheses,), how likely each is by now; need not sum to one.
    groups
        Shape (hypotheses,), the repair of each, counted from 0.
    options
        A table spares laying the same options out again after each reading.
    costing, state
        What each option costs from where one stands. An option that takes infinite minutes is left out.
    nearer
        Sort key among options that are worth as much and cost as much.

    Returns
    -------
    list of Ranked
        The best first. An option that tells under 0.4 of what the best one tells is never first, however cheap; what
        gives little per minute is no best one.
    """
    if not len(options):
        return []
    shares = normalised(weights)
    everything = options.options if isinstance(options, OptionTable) else tuple(options)
    first_order = _by_worth(shares, groups, options, costing, state, nearer)
    telling = [entry for entry in first_order[:SCREENED_OPTIONS] if entry.gain_bits > _TELLS_BITS]
    floor = _first_gain(first_order)
    firsts = frozenset(entry.option for entry in telling if entry.gain_bits >= floor)
    best = [entry.option for entry in telling]
    ahead = minutes_to_go(shares, groups, everything, best, firsts, costing, state)
    places = {entry.option: place for place, entry in enumerate(first_order)}
    short = _short_before_long(ahead, first_order)
    return sorted(
        (
            replace(entry, minutes_to_go=ahead[entry.option]) if entry.option in ahead else entry
            for entry in first_order
        ),
        key=lambda entry: (
            entry.option != short,
            entry.minutes_to_go is None,
            _rounded(entry.minutes_to_go or 0.0),
            places[entry.option],
        ),
    )


def _short_before_long(ahead: Mapping[int, float], entries: Sequence[Ranked]) -> int | None:
    """Name the short check with the best gain per minute where else a buried place is opened first; None elsewhere.

    Thinking ahead takes every answer as certain and so goes where most suspects are at once. Who has to take up a floor
    tries the switch beside it first: a minute that may spare twenty.
    """
    best = min(ahead, key=lambda option: ahead[option], default=None)
    minutes = {entry.option: entry.minutes for entry in entries}
    if best is None or minutes[best] < LONG_MINUTES:
        return None
    short = [one for one in entries if one.minutes <= SHORT_MINUTES and one.gain_bits >= SHORT_BITS]
    return max(short, key=lambda one: _rounded(one.worth)).option if short else None


def _rounded(figure: float) -> float:
    """Give eight digits, so that sums taken in another order make no difference."""
    return float(f"{figure:.8g}")


def _first_gain(entries: Sequence[Ranked]) -> float:
    """Give the gain under which an option does not come first, however cheap it is."""
    if not entries:
        return 0.0
    gains = np.array([entry.gain_bits for entry in entries])
    return first_gain(gains, np.array([entry.minutes for entry in entries])) - _TELLS_BITS


def _by_worth(
    shares: FloatArray,
    groups: IntArray,
    options: Sequence[Option] | OptionTable,
    costing: Costing[State],
    state: State,
    nearer: Nearer,
) -> list[Ranked]:
    """Order by gain per minute; what tells little against the best comes after all that does not."""
    minutes = np.array([max(LEAST_MINUTES, costing.minutes(option, state)) for option in range(len(options))])
    entries = _entries(shares, groups, options, minutes)
    floor = _first_gain(entries)
    return sorted(
        entries,
        key=lambda entry: (
            entry.gain_bits < floor,
            -_rounded(entry.worth),
            _rounded(entry.minutes),
            nearer(entry.option),
            entry.option,
        ),
    )


def _entries(
    shares: FloatArray, groups: IntArray, options: Sequence[Option] | OptionTable, minutes: FloatArray
) -> list[Ranked]:
    """Work out every option that can be made: the promising ones in full, the others by the screen."""
    possible = np.flatnonzero(np.isfinite(minutes))
    everything = options.options if isinstance(options, OptionTable) else tuple(options)
    gains = np.zeros(len(everything))
    outcomes: dict[int, FloatArray] = {}
    full = possible
    if len(possible) > SCREENED_OPTIONS:
        table = options if isinstance(options, OptionTable) else OptionTable(everything)
        rough = screened(table, shares, groups)
        gains = rough.gains
        outcomes = dict(enumerate(rough.outcomes))
        full = np.sort(_promising(gains[possible], minutes[possible], possible))
    if len(full):
        exact = told([everything[option] for option in full], shares, groups)
        gains[full] = exact.gains
        outcomes |= dict(zip(full.tolist(), exact.outcomes, strict=True))
    return [
        Ranked(
            option,
            float(gains[option]),
            float(minutes[option]),
            float(gains[option] / minutes[option]),
            outcomes[option],
        )
        for option in possible.tolist()
    ]


def _promising(gains: FloatArray, minutes: FloatArray, possible: IntArray) -> IntArray:
    """Choose the options that are worked out in full: by gain per minute, what tells too little last."""
    worth = np.round(gains / minutes, 6)
    tells_little = gains < 0.9 * first_gain(gains, minutes)
    order = np.lexsort((possible, minutes, -worth, tells_little))
    chosen = order[: SCREENED_OPTIONS - 1]
    most = np.lexsort((possible, minutes, -np.round(gains, 6)))[:1]
    return np.asarray(np.union1d(possible[chosen], possible[most]), dtype=np.int64)
