"""A small problem of telling groups apart with hard outcomes, in which steps can be thought ahead.

Each hypothesis goes to its likeliest outcome; hypotheses of one group that go the same way under every option are one
*atom*. What is left in play is a set of atoms, held as the bits of a whole number.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic

import numpy as np

from model.circuit.arrays import FloatArray, IntArray, sum_at
from model.tracing.information import plus_log
from model.tracing.options import Costing, Option, State, told

LEAST_MINUTES = 1e-3
"""What costs less counts as this much, so that a gain per minute stays finite."""

FEW_OPTIONS = 15
"""So many options are few: then options that part alike are kept beside each other, for one may be cheaper later."""

MOST_OPTIONS = 40
"""So many options that part differently are thought of at most."""

_MOST_PENALTY = 4.0
_TELLS_BITS = 1e-9
_CALL_EFFORT = 3000
_SPLIT_EFFORT = 100


class HardProblem(Generic[State]):
    """Atoms, the options that part them, and what the options cost.

    Attributes
    ----------
    weights
        Shape (atoms,), shares that sum to one.
    groups
        Shape (atoms,).
    codes
        Shape (options, atoms): the outcome that each atom gives, counted from 0.
    numbers
        For each option here its number for the costing.
    penalties
        For each option the factor on its minutes; over 1 where its outcome is not as sure as a hard one.
    whole
        The set of all atoms.
    settling_share
        Where one group holds this share of a set, nothing more is asked there; 1 asks to the end.
    effort
        The measure of work so far: about the sums taken, some thirty of them in a microsecond.
    """

    def __init__(
        self,
        weights: FloatArray,
        groups: IntArray,
        codes: IntArray,
        costing: Costing[State],
        numbers: Sequence[int],
        penalties: Sequence[float] | None = None,
    ) -> None:
        self.weights = weights / weights.sum()
        self.groups = np.unique(groups, return_inverse=True)[1].astype(np.int64)
        self.codes = codes
        self.costing = costing
        self.numbers = tuple(numbers)
        self.penalties = tuple(penalties) if penalties is not None else (1.0,) * len(self.numbers)
        self.whole = (1 << len(weights)) - 1
        self.settling_share = 1.0
        self.effort = 0
        counts = codes.max(axis=1) + 1
        self._columns = codes + (np.cumsum(counts) - counts)[:, None]
        self._option_of = np.repeat(np.arange(len(codes)), counts)
        self._sides = [_sides(row) for row in codes]
        self._group_sets = _sides(self.groups)
        self._group_list = self.groups.tolist()
        self._shares: dict[int, float] = {}
        self._parts: dict[int, dict[int, tuple[int, ...]]] = {}
        self._shape: dict[int, tuple[float, float]] = {}
        self._gains: dict[int, FloatArray] = {}
        self._prices: dict[State, FloatArray] = {}
        self._after: dict[tuple[int, State], State] = {}

    def __len__(self) -> int:
        return len(self.numbers)

    def atoms(self, left: int) -> IntArray:
        """Give the numbers of the atoms in a set."""
        octets = np.frombuffer(left.to_bytes((len(self.weights) + 7) // 8, "little"), dtype=np.uint8)
        return np.unpackbits(octets, bitorder="little").nonzero()[0]

    def share(self, left: int) -> float:
        """Give how likely it is that the truth lies in a set."""
        if left not in self._shares:
            self._shares[left] = float(self.weights[self.atoms(left)].sum())
        return self._shares[left]

    def is_settled(self, left: int) -> bool:
        """Tell whether all atoms of a set are of one group, or one group holds the settling share of it."""
        lowest = (left & -left).bit_length() - 1
        if not left & ~self._group_sets[self._group_list[lowest]]:
            return True
        return self.settling_share < 1.0 and self._shapes(left)[1] >= self.settling_share

    def split(self, option: int, left: int) -> tuple[int, ...]:
        """Give the sets that the outcomes of an option leave of a set."""
        return tuple(left & side for side in self._sides[option] if left & side)

    def parts(self, left: int) -> dict[int, tuple[int, ...]]:
        """Give, for each option that parts a set, the sets that its outcomes leave; nothing where it is settled."""
        if left not in self._parts:
            found: dict[int, tuple[int, ...]] = {}
            if not self.is_settled(left):
                self.effort += _SPLIT_EFFORT * len(self)
                for option in range(len(self)):
                    children = self.split(option, left)
                    if len(children) > 1:
                        found[option] = children
            self._parts[left] = found
        return self._parts[left]

    def prices(self, state: State) -> FloatArray:
        """Give the minutes of every option in a state, shape (options,), with their penalties."""
        if state not in self._prices:
            minutes = [
                max(LEAST_MINUTES, self.costing.minutes(number, state)) * penalty
                for number, penalty in zip(self.numbers, self.penalties, strict=True)
            ]
            self._prices[state] = np.array(minutes)
        return self._prices[state]

    def after(self, option: int, state: State) -> State:
        """Give the state once an option has been taken."""
        key = option, state
        if key not in self._after:
            self._after[key] = self.costing.after(self.numbers[option], state)
        return self._after[key]

    def bits(self, left: int) -> float:
        """Give the entropy of the groups in a set."""
        return self._shapes(left)[0]

    def _shapes(self, left: int) -> tuple[float, float]:
        """Give the entropy of the groups in a set, and the share of the heaviest."""
        if left not in self._shape:
            atoms = self.atoms(left)
            masses = sum_at(self.groups[atoms], self.weights[atoms], len(self._group_sets))
            masses /= masses.sum()
            self._shape[left] = max(0.0, -float(plus_log(masses).sum())), float(masses.max())
        return self._shape[left]

    def gains(self, left: int) -> FloatArray:
        """Give what every option tells about the groups in a set, in bits, shape (options,)."""
        if left not in self._gains:
            atoms = self.atoms(left)
            part = self.weights[atoms]
            part = part / part.sum()
            groups, count = self._renumbered(self.groups[atoms])
            columns = len(self._option_of)
            cells = self._columns[:, atoms] * count + groups
            masses = sum_at(cells.ravel(), np.tile(part, len(cells)), columns * count).reshape(columns, count)
            self.effort += masses.size + cells.size + _CALL_EFFORT
            joint = plus_log(masses).sum(axis=1) - plus_log(masses.sum(axis=1))
            gains = self.bits(left) + sum_at(self._option_of, joint, len(self))
            self._gains[left] = np.where(gains > _TELLS_BITS, gains, 0.0)
        return self._gains[left]

    def _renumbered(self, groups: IntArray) -> tuple[IntArray, int]:
        """Count the groups that are there from 0; give how many they are."""
        are_there = np.zeros(len(self._group_sets), dtype=np.int64)
        are_there[groups] = 1
        numbers = np.cumsum(are_there)
        return numbers[groups] - 1, int(numbers[-1])


def hardened(
    weights: FloatArray,
    groups: IntArray,
    options: Sequence[Option],
    numbers: Sequence[int],
    costing: Costing[State],
) -> HardProblem[State]:
    """Make a hard problem of a soft one.

    An option whose outcome is not sure tells less than its hard twin: its minutes grow by how much less, at most
    fourfold, as if it had to be made that many times.

    Of options that part alike the first is kept, and the others while options are few.

    Parameters
    ----------
    weights, groups
        Shape (hypotheses,); only what is to be told apart.
    options
        Options whose columns are those hypotheses, in the order in which they are kept.
    numbers
        The number of each for the costing.
    """
    codes = np.stack([option.shares.argmax(axis=0) for option in options]).astype(np.int64)
    kept = _distinct(codes)
    codes = codes[kept]
    labels = np.unique(groups, return_inverse=True)[1].astype(np.int64)
    for row in codes:
        labels = np.unique(labels * (int(row.max()) + 1) + row, return_inverse=True)[1]
    firsts = np.unique(labels, return_index=True)[1]
    problem = HardProblem(
        sum_at(labels, weights, len(firsts)), groups[firsts], codes[:, firsts], costing, [numbers[i] for i in kept]
    )
    if kept:
        hard = problem.gains(problem.whole)
        soft = told([options[i] for i in kept], weights / weights.sum(), groups).gains
        factors = np.where(hard > _TELLS_BITS, hard / np.maximum(soft, _TELLS_BITS), 1.0)
        problem.penalties = tuple(np.clip(np.round(factors, 6), 1.0, _MOST_PENALTY).tolist())
    return problem


def _distinct(codes: IntArray) -> list[int]:
    """Give the options that part anything; of those that part alike the first, and more while they are few."""
    firsts: dict[bytes, int] = {}
    twins: list[int] = []
    for option, row in enumerate(codes):
        values, places, inverse = np.unique(row, return_index=True, return_inverse=True)
        if len(values) > 1:
            by_first = np.argsort(np.argsort(places))
            if firsts.setdefault(by_first[inverse].tobytes(), option) != option:
                twins.append(option)
    room = max(0, FEW_OPTIONS - len(firsts))
    return sorted([*list(firsts.values())[:MOST_OPTIONS], *twins[:room]])


def _sides(codes: IntArray) -> list[int]:
    """Give the set of atoms of each outcome of an option."""
    octets = np.packbits(codes == np.unique(codes)[:, None], axis=1, bitorder="little")
    return [int.from_bytes(row.tobytes(), "little") for row in octets]
