"""The hypotheses of a complaint as rows to be weighed, each solved in whatever condition a check is made in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Protocol

import numpy as np

from model.circuit.arrays import FloatArray, IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.condition import Condition
from model.circuit.faults import Fault, FaultKind
from model.circuit.many_faults import FaultBench
from model.tracing.complaint import Complaint
from model.tracing.suspects import NOT_SHOWN, Hypothesis
from model.tracing.symptoms import symptom_likelihood

SHOWN_AT_LEAST = 0.02
"""A way that shows what is complained of less likely than this counts among those that do not show it."""

NOT_SHOWN_SHARE = 0.01
"""Of the weight of what does not show the complaint, so much stays: the complaint itself may be told wrong."""

NOT_SHOWN_AT_MOST = 0.05
"""And no more than this against what shows it, however rare a complaint is; judgement."""


@dataclass(frozen=True)
class Field:
    """Hypotheses as rows: one for each way of each, and one for each hypothesis that is not solved.

    Attributes
    ----------
    hypotheses
        Those that show the complaint, and those that are not solved behind them.
    owner
        Shape (rows,), the hypothesis of each row.
    weights
        Shape (rows,), before any reading; they sum to 1.
    solved
        How many of the rows are solved; they stand first, and row r is variant r + 1 of the bench.
    bench
        Where the sound circuit (variant 0) and the rows are solved.
    points
        Points on which probes may stand.
    whole
        What the weights summed to before they were made to sum to 1; of two fields of one complaint it says how they
        stand to each other.
    """

    hypotheses: tuple[Hypothesis, ...]
    owner: IntArray
    weights: FloatArray
    variants: tuple[Variant, ...]
    solved: int
    bench: FaultBench
    points: tuple[str, ...]
    whole: float

    @property
    def count(self) -> int:
        """How many rows there are."""
        return len(self.weights)

    def with_new_fuses(self, fuse_ids: frozenset[str]) -> Field:
        """Give the same rows with new fuses of the rating that they should have in some places."""
        if not fuse_ids:
            return self
        found = self._renewed.get(fuse_ids)
        if found is None:
            variants = tuple(_renewed(variant, fuse_ids) for variant in self.variants)
            bench = FaultBench(self.bench.bench, [Variant(), *variants], self.points)
            found = self._renewed[fuse_ids] = replace(self, variants=variants, bench=bench)
        return found

    def only(self, rows: IntArray) -> Field:
        """Give the field of some of the solved rows, and of all that are not solved.

        Parameters
        ----------
        rows
            Places of the solved rows that stay, rising.
        """
        kept = np.concatenate((rows, np.arange(self.solved, self.count)))
        places, owner = np.unique(self.owner[kept], return_inverse=True)
        weights = self.weights[kept]
        variants = tuple(self.variants[row] for row in rows.tolist())
        return Field(
            tuple(self.hypotheses[place] for place in places.tolist()),
            owner.astype(np.int64),
            weights / weights.sum(),
            variants,
            len(variants),
            FaultBench(self.bench.bench, [Variant(), *variants], self.points),
            self.points,
            self.whole * float(weights.sum()),
        )

    def joined(self, more: Field) -> Field:
        """Give the rows of two fields of one complaint: the solved ones of the other between those of this one."""
        variants = (*self.variants, *more.variants)
        own, theirs = self.weights * self.whole, more.weights[: more.solved] * more.whole
        weights = np.concatenate((own[: self.solved], theirs, own[self.solved :]))
        others = more.owner[: more.solved] + len(self.hypotheses)
        whole = float(weights.sum())
        return Field(
            (*self.hypotheses, *more.hypotheses[: int(more.owner[: more.solved].max(initial=-1)) + 1]),
            np.concatenate((self.owner[: self.solved], others, self.owner[self.solved :])),
            weights / whole,
            variants,
            len(variants),
            FaultBench(self.bench.bench, [Variant(), *variants], self.points),
            self.points,
            whole,
        )

    @cached_property
    def _renewed(self) -> dict[frozenset[str], Field]:
        return {}

    def by_hypothesis(self, rows: FloatArray) -> FloatArray:
        """Sum what belongs to the rows of each hypothesis, shape (hypotheses,)."""
        return np.bincount(self.owner, rows, len(self.hypotheses)).astype(np.float64)


def complained_field(
    bench: Bench,
    complaint: Complaint,
    condition: Condition,
    hypotheses: Sequence[Hypothesis],
    points: Sequence[str],
) -> Field:
    """Solve hypotheses in the condition of a complaint and keep what shows it.

    Fuses that blow with the complaint stay blown in every other condition.

    Raises
    ------
    CircuitError
        Where the sound circuit cannot be solved in the condition.
    """
    ways = [(place, Variant(fault)) for place, one in enumerate(hypotheses) for fault in _ways(one)]
    tried = FaultBench(bench, [Variant(), *(variant for _, variant in ways)], points)
    cases = tried.cases(condition)
    shown = symptom_likelihood(bench, complaint, cases)
    rows: dict[tuple[int, frozenset[str]], float] = {}
    for variant, share, blown, likely in zip(
        cases.variant.tolist(), cases.share.tolist(), cases.blown, shown.tolist(), strict=True
    ):
        if variant > 0 and likely >= SHOWN_AT_LEAST:
            rows[variant, blown] = rows.get((variant, blown), 0.0) + share * likely
    counts = [max(1, len(_ways(one))) for one in hypotheses]
    owners: list[int] = []
    weights: list[float] = []
    variants: list[Variant] = []
    for (number, blown), likely in sorted(rows.items(), key=lambda row: (row[0][0], sorted(row[0][1]))):
        place, variant = ways[number - 1]
        owners.append(place)
        weights.append(hypotheses[place].weight / counts[place] * likely)
        variants.append(Variant(variant.faults, blown))
    return _field(bench, hypotheses, (owners, weights, variants), points)


def _field(
    bench: Bench,
    hypotheses: Sequence[Hypothesis],
    rows: tuple[list[int], list[float], list[Variant]],
    points: Sequence[str],
) -> Field:
    owners, weights, variants = rows
    unsolved = [place for place, one in enumerate(hypotheses) if not one.ways]
    kept = [*dict.fromkeys(owners), *unsolved]
    number = {place: count for count, place in enumerate(kept)}
    solved_weight, shown_weight = sum(one.weight for one in hypotheses if one.ways), sum(weights)
    lost_weight = max(solved_weight - shown_weight, 0.0) * NOT_SHOWN_SHARE
    shows = 1.0
    if shown_weight > 0:
        lost_weight = min(lost_weight, NOT_SHOWN_AT_MOST * shown_weight)
        # what is not solved is taken to show the complaint as often as what is
        shows = min(shown_weight / solved_weight, 1.0)
    not_shown = Hypothesis("", NOT_SHOWN, "", lost_weight, (), NOT_SHOWN)
    found = (*(hypotheses[place] for place in kept), not_shown)
    owner = [number[place] for place in owners] + [number[place] for place in unsolved] + [len(kept)]
    weight = np.array([*weights, *(hypotheses[place].weight * shows for place in unsolved), lost_weight])
    return Field(
        found,
        np.array(owner, dtype=np.int64),
        weight / weight.sum(),
        tuple(variants),
        len(variants),
        FaultBench(bench, [Variant(), *variants], points),
        tuple(points),
        float(weight.sum()),
    )


def _renewed(variant: Variant, fuse_ids: frozenset[str]) -> Variant:
    """Give a variant with new fuses; what is loose in a fuse's place stays."""
    kept = tuple(fault for fault in variant.faults if fault.site not in fuse_ids or fault.kind is FaultKind.HIGH)
    return Variant(kept, variant.blown - fuse_ids)


def _ways(hypothesis: Hypothesis) -> list[tuple[Fault, ...]]:
    """Give the faults of each way; both at once of a pair."""
    if hypothesis.is_pair:
        return [hypothesis.ways]
    return [(way,) for way in hypothesis.ways]


class Shared(Protocol):
    """Cases with the variant that each belongs to and its share of that, shape (cases,) both."""

    @property
    def variant(self) -> IntArray:
        """The variant that each case belongs to."""
        ...

    @property
    def share(self) -> FloatArray:
        """The part of its variant's weight that each case has."""
        ...


class CaseRows:
    """Which cases belong to which variant, to sum over them quickly.

    Parameters
    ----------
    variants
        How many variants there are; each has at least one case.
    """

    def __init__(self, cases: Shared, variants: int) -> None:
        self.cases = cases
        self._order = np.argsort(cases.variant, kind="stable")
        self._share = cases.share[self._order]
        self._starts = np.searchsorted(cases.variant[self._order], np.arange(variants))

    def of_variants(self, values: FloatArray) -> FloatArray:
        """Give the shares' mean of something of the cases for each variant.

        Parameters
        ----------
        values
            Shape (..., cases).

        Returns
        -------
        FloatArray
            Shape (..., variants).
        """
        return np.add.reduceat(values[..., self._order] * self._share, self._starts, axis=-1)

    def least_of_variants(self, values: FloatArray) -> FloatArray:
        """Give the figure of least size among the cases of each variant, shape (variants,)."""
        return np.minimum.reduceat(np.abs(values[self._order]), self._starts)

    def sound(self, values: FloatArray) -> float:
        """Give the figure of the sound circuit."""
        return float(values[self._order[self._starts[0]]])
