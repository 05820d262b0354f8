"""Options: checks as the planner sees them, and what many of them tell at once."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Protocol, TypeVar

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.tracing.information import plus_log

State = TypeVar("State", bound=Hashable)

SCREENED_HYPOTHESES = 1000
"""The screen looks at this many of the heaviest hypotheses."""

_SCREENED_SHARE = 0.99


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """A check that could be made.

    Attributes
    ----------
    shares
        Shape (outcomes, hypotheses): how likely each outcome is under each hypothesis; each column sums to one.
    """

    shares: FloatArray


class Costing(Protocol[State]):
    """What options cost, from where one stands.

    A state says everything that changes a cost: places already open, the key state, plugs apart.
    """

    def minutes(self, option: int, state: State) -> float:
        """Give the minutes that an option takes in a state; infinite where it cannot be made."""

    def after(self, option: int, state: State) -> State:
        """Give the state once the option has been taken."""


class OptionTable:
    """Options side by side, laid out once for as long as the options stay the same.

    Attributes
    ----------
    options
        The options, as given.
    columns
        Shape (hypotheses, outcomes of all options), single precision; the outcomes of an option stand together.
    starts
        Shape (options,), the first column of each.
    """

    def __init__(self, options: Sequence[Option]) -> None:
        self.options = tuple(options)
        self.starts = _starts(self.options)
        self.columns = _columns([option.shares for option in self.options], np.dtype(np.float32))

    def __len__(self) -> int:
        return len(self.options)


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What options tell.

    Attributes
    ----------
    gains
        Shape (options,), bits about the groups.
    outcomes
        For each option the shares of its outcomes.
    """

    gains: FloatArray
    outcomes: tuple[FloatArray, ...]


def _columns(shares: Sequence[FloatArray], kind: np.dtype[Any]) -> FloatArray:
    """Lay options side by side, a hypothesis a row, so that adding rows runs through memory in order."""
    return np.ascontiguousarray(np.concatenate(shares, axis=0, dtype=kind).T)


def _starts(options: Sequence[Option]) -> IntArray:
    """Give where the outcomes of each option start."""
    return np.cumsum([0, *(len(option.shares) for option in options[:-1])], dtype=np.int64)


def heaviest(weights: FloatArray, most: int = SCREENED_HYPOTHESES, share: float = _SCREENED_SHARE) -> IntArray:
    """Give the numbers of the heaviest hypotheses, in rising order.

    Parameters
    ----------
    weights
        Shape (hypotheses,), shares that sum to one.
    most
        At most this many.
    share
        No more than are needed to hold this share together.
    """
    order = np.argsort(-weights, kind="stable")
    needed = int(np.searchsorted(np.cumsum(weights[order]), share)) + 1
    return np.sort(order[: min(most, needed, int(np.count_nonzero(weights)))])


def screened(table: OptionTable, weights: FloatArray, groups: IntArray) -> Told:
    """Give what every option tells about the heaviest hypotheses, in single precision."""
    kept = heaviest(weights)
    part = weights[kept] / weights[kept].sum()
    return _told(table.columns, table.starts, part.astype(np.float32), groups[kept], kept)


def told(options: Sequence[Option], weights: FloatArray, groups: IntArray, kept: IntArray | None = None) -> Told:
    """Give what options tell, without shortcuts.

    Parameters
    ----------
    options
        Which options.
    weights
        Shape (hypotheses,), shares that sum to one.
    groups
        Shape (hypotheses,).
    kept
        Hypotheses to which it is narrowed; their shares are taken anew.
    """
    wanted = np.arange(len(weights), dtype=np.int64) if kept is None else kept
    part = weights[wanted] / weights[wanted].sum()
    columns = _columns([option.shares[:, wanted] for option in options], np.dtype(np.float64))
    return _told(columns, _starts(options), part, groups[wanted], np.arange(len(wanted), dtype=np.int64))


def _told(columns: FloatArray, starts: IntArray, part: FloatArray, groups: IntArray, rows: IntArray) -> Told:
    """Work out gains from a table of which the given rows are weighed, one a hypothesis."""
    order = np.argsort(groups, kind="stable")
    ordered = groups[order]
    firsts = np.flatnonzero(np.r_[True, ordered[1:] != ordered[:-1]])
    masses = np.empty((len(firsts), columns.shape[1]), dtype=columns.dtype)
    for number, (first, end) in enumerate(pairwise([*firsts.tolist(), len(order)])):
        members = order[first:end]
        np.dot(part[members], columns[rows[members]], out=masses[number])
    likely = masses.sum(axis=0, dtype=np.float64)
    joint = plus_log(masses).sum(axis=0, dtype=np.float64) - plus_log(likely)
    before = -plus_log(np.add.reduceat(part[order], firsts, dtype=np.float64)).sum()
    gains = np.clip(before + np.add.reduceat(joint, starts), 0.0, max(before, 0.0))
    return Told(gains, tuple(likely[first:end] for first, end in pairwise([*starts.tolist(), len(likely)])))
