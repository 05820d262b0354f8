"""What a check tells: shares of repairs before and after it, in bits.

Two hypotheses with one repair need no telling apart, so that entropy and gain are taken over groups of hypotheses. An
expected gain is the entropy of the groups less the entropy to be expected once the outcome is known (J. de Kleer and
B. Williams, Diagnosing multiple faults, Artificial Intelligence 32, 1987).
"""

from __future__ import annotations

import math

import numpy as np

from model.circuit.arrays import FloatArray, IntArray, sum_at

_BITS_PER_NAT = 1.0 / math.log(2.0)


def plus_log(shares: FloatArray) -> FloatArray:
    """Give p · log2 p of each share, 0 where p is 0, in the kind and shape of what is given."""
    logs = np.maximum(shares, np.finfo(shares.dtype).tiny)
    np.log(logs, out=logs)
    logs *= shares
    logs *= _BITS_PER_NAT
    return logs


def entropy_bits(shares: FloatArray) -> float:
    """Give the entropy in bits of shares that sum to one."""
    return max(0.0, -float(plus_log(shares).sum()))


def normalised(weights: FloatArray) -> FloatArray:
    """Give the weights as shares that sum to one.

    Raises
    ------
    ValueError
        Where a weight is negative or not finite, or all are 0.
    """
    total = float(weights.sum())
    if not np.isfinite(total) or total <= 0.0 or float(weights.min()) < 0.0:
        raise ValueError("weights must be finite, none negative, and not all 0")
    return np.asarray(weights / total, dtype=np.float64)


def group_shares(weights: FloatArray, groups: IntArray) -> FloatArray:
    """Sum the hypotheses of each group.

    Parameters
    ----------
    weights
        Shape (hypotheses,); need not sum to one.
    groups
        Shape (hypotheses,), the group of each, counted from 0.

    Returns
    -------
    FloatArray
        Shape (groups,), shares that sum to one.
    """
    return sum_at(groups, normalised(weights), int(groups.max()) + 1)


def updated(weights: FloatArray, *likelihoods: FloatArray) -> FloatArray:
    """Weigh the hypotheses by what was read.

    Parameters
    ----------
    weights
        Shape (hypotheses,), before the readings.
    likelihoods
        Shape (hypotheses,) for each reading: how likely it is under each hypothesis, up to a factor for all.

    Returns
    -------
    FloatArray
        Shape (hypotheses,), shares that sum to one. The order of the readings does not matter.

    Raises
    ------
    ValueError
        Where a reading is impossible under every hypothesis: a likelihood wants a floor.
    """
    shares = normalised(weights)
    for likelihood in likelihoods:
        shares = normalised(shares * likelihood)
    return shares


def outcome_shares(weights: FloatArray, shares: FloatArray) -> FloatArray:
    """Give how likely each outcome of an option is.

    Parameters
    ----------
    weights
        Shape (hypotheses,).
    shares
        Shape (outcomes, hypotheses), how likely each outcome is under each hypothesis; each column sums to one.

    Returns
    -------
    FloatArray
        Shape (outcomes,).
    """
    return np.asarray(shares @ normalised(weights), dtype=np.float64)


def group_posteriors(weights: FloatArray, groups: IntArray, shares: FloatArray) -> FloatArray:
    """Give the shares of the groups after each outcome of an option.

    Returns
    -------
    FloatArray
        Shape (outcomes, groups); a row sums to one, or is all 0 where its outcome cannot come.
    """
    weighted = shares * normalised(weights)
    count = int(groups.max()) + 1
    masses = np.stack([sum_at(groups, row, count) for row in weighted])
    likely = masses.sum(axis=1, keepdims=True)
    return np.asarray(masses / np.where(likely > 0.0, likely, 1.0), dtype=np.float64)


def gain_bits(weights: FloatArray, groups: IntArray, shares: FloatArray) -> float:
    """Give what an option is expected to tell about the groups, in bits.

    Parameters
    ----------
    weights, groups
        Shape (hypotheses,).
    shares
        Shape (outcomes, hypotheses), each column sums to one.

    Returns
    -------
    float
        From 0 to the entropy of the groups.
    """
    before = entropy_bits(group_shares(weights, groups))
    after = group_posteriors(weights, groups, shares)
    expected = -float(outcome_shares(weights, shares) @ plus_log(after).sum(axis=1))
    return min(max(0.0, before - expected), before)
