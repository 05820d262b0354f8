"""How likely a reading is when a fault is so: never one and never nought.

No reading sets a suspect aside or damns it for good: meters err, probes slip to the next cavity, and parts are off
their ratings. The tails are heavy (Student's t with four degrees of freedom, and a flat floor), since a hard band of
± 5 % loses the true fault in half of the cases that were simulated. Figures without a source are judgement.
"""

from __future__ import annotations

import math

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray
from model.circuit.bands import METER_DIGITS_VOLTS, METER_SHARE, PROBE_VOLTS

SLIP_SHARE = 0.03
"""How often a reading has nothing to do with what was asked: wrong point, wrong key state, misread."""

WIDER = 1.5
"""The spread that is taken is this many times the one that is computed."""

SUPPLY_SHARE = 0.04
"""One sigma of the supply where the posts were not read in that key state, as a share."""

FLOATING_OHMS = 50e3
"""A point behind more than this floats: what leaks in decides what a meter shows."""

FLOATING_FLAT_SHARE = 0.5
"""Of a floating point: the part of its readings that may lie anywhere from nothing to the battery's volts."""

RIGHT_WORD_SHARE = 0.94
"""How often what is seen, heard or felt is told as it is; the rest falls on the other words alike."""

RIGHT_CURE_SHARE = 0.98
"""How often a complaint that is gone with another part in is told as gone: it was looked at for just that."""

DOUBT_SHARE = 0.3
"""How often a number that who read it does not trust is one of something else; common practice: it is read again."""

_T4_AT_NOUGHT = 0.375


def t4_density(z: FloatArray) -> FloatArray:
    """Give the density of Student's t with four degrees of freedom: ``3/8 (1 + z²/4)^(-5/2)``.

    Source: M. Abramowitz and I. A. Stegun, "Handbook of Mathematical Functions" (1964), 26.7.1.
    """
    return np.asarray(_T4_AT_NOUGHT * (1.0 + z * z / 4.0) ** -2.5)


def t4_below(z: FloatArray) -> FloatArray:
    """Give how likely Student's t with four degrees of freedom lies below z.

    With ``u = z / sqrt(4 + z²)`` it is ``1/2 + 3/4 (u - u³/3)`` (Abramowitz and Stegun, 26.7.4).
    """
    u = z / np.sqrt(4.0 + z * z)
    return np.asarray(0.5 + 0.75 * (u - u**3 / 3.0))


def reading_likelihood(read: float, predicted: FloatArray, sigma: FloatArray, span: float) -> FloatArray:
    """Give the likelihood of a reading under each prediction, per unit of the reading.

    Parameters
    ----------
    predicted, sigma
        Shape (cases,), what each case should read and one sigma of it, in the unit of the reading.
    span
        The range over which a slip may read anything.
    """
    spread = WIDER * sigma
    return (1.0 - SLIP_SHARE) * t4_density((read - predicted) / spread) / spread + SLIP_SHARE / span


def floating_likelihood(read: float, predicted: FloatArray, sigma: FloatArray, supply_volts: float) -> FloatArray:
    """Give the likelihood of volts read at a point that floats: half anywhere up to the supply, half as predicted."""
    least = min(0.0, supply_volts) - 0.3
    most = max(0.0, supply_volts) + 0.3
    flat = 1.0 / (most - least) if least <= read <= most else SLIP_SHARE / (most - least)
    as_predicted = reading_likelihood(read, predicted, sigma, most - least)
    return FLOATING_FLAT_SHARE * flat + (1.0 - FLOATING_FLAT_SHARE) * as_predicted


def doubted_likelihood(as_read: FloatArray, flat: float) -> FloatArray:
    """Give the likelihood of a reading in doubt: of something else in :data:`DOUBT_SHARE` of all cases.

    A probe that slipped reads what its neighbour shows, which may well be just what some suspect foresees here:
    anything is therefore as likely as the suspect that foresees the reading best. So no two suspects are moved apart by
    more than ``1 / DOUBT_SHARE``, and one such reading alone neither sets aside nor convicts.

    Parameters
    ----------
    as_read
        Shape (rows,), the likelihoods of the same reading were it sure.
    flat
        That of a reading of which nothing is known.
    """
    return (1.0 - DOUBT_SHARE) * as_read + DOUBT_SHARE * max(float(as_read.max()), flat)


def volts_sigma(predicted: FloatArray, spread: FloatArray, supply_share: float, *, across_joint: bool) -> FloatArray:
    """Give one sigma of volts read: the meter's, the probes' contact, the parts' own tolerance and the supply.

    Parameters
    ----------
    predicted, spread
        Shape (cases,), volts, and one sigma of them by the parts' tolerances alone.
    supply_share
        One sigma of the supply as a share; 0 where the posts were read in this key state.
    across_joint
        True where both probes stand on one joint, in millivolts.
    """
    digits_volts = METER_DIGITS_VOLTS / 100 if across_joint else METER_DIGITS_VOLTS
    probe_volts = PROBE_VOLTS / 10 if across_joint else PROBE_VOLTS
    meter_volts = METER_SHARE * np.abs(predicted) + digits_volts
    return np.sqrt(meter_volts**2 + probe_volts**2 + spread**2 + (supply_share * predicted) ** 2)


def bin_shares(edges: FloatArray, predicted: FloatArray, sigma: FloatArray) -> FloatArray:
    """Give how likely a reading falls between each two edges.

    Parameters
    ----------
    edges
        Shape (edges,), rising.
    predicted, sigma
        Any shape.

    Returns
    -------
    FloatArray
        Shape (edges + 1, shape of `predicted`); every column sums to 1, a slip falls into any of them alike.
    """
    spread = WIDER * sigma
    below = t4_below((edges.reshape(-1, *([1] * predicted.ndim)) - predicted) / spread)
    ones = np.ones((1, *predicted.shape))
    within = np.diff(np.concatenate((0.0 * ones, below, ones)), axis=0)
    return np.asarray((1.0 - SLIP_SHARE) * within + SLIP_SHARE / (len(edges) + 1))


def soft_steps(value: FloatArray, borders: tuple[float, ...], soft: float) -> FloatArray:
    """Give how likely a value is told as each of the steps that borders part, those near a border as both.

    Parameters
    ----------
    value
        Shape (cases,).
    borders
        Rising.
    soft
        One sigma of where a border is drawn, in the unit of the value.

    Returns
    -------
    FloatArray
        Shape (borders + 1, cases), the step under the first border first.
    """
    below = np.array([_normal_below((border - value) / soft) for border in borders])
    ones = np.ones((1, len(value)))
    return np.asarray(np.diff(np.concatenate((0.0 * ones, below, ones)), axis=0))


def told(shares: FloatArray, right_share: float = RIGHT_WORD_SHARE) -> FloatArray:
    """Send what is there through what people tell: right in 94 of 100, else any of the other words.

    Parameters
    ----------
    shares
        Shape (words, cases), each column summing to 1.
    right_share
        How often the word is right.
    """
    others = (1.0 - right_share) / (len(shares) - 1)
    return right_share * shares + others * (1.0 - shares)


def one_of(words: int, which: FloatArray | BoolArray) -> FloatArray:
    """Give the shares of words of which each case shows one: shape (words, cases) from places of shape (cases,)."""
    shares = np.zeros((words, len(which)))
    shares[np.asarray(which, dtype=np.int64), np.arange(len(which))] = 1.0
    return shares


def _normal_below(z: FloatArray) -> FloatArray:
    """Give about how likely a normal figure lies below z, within 2e-4.

    Source: K. D. Tocher, "The Art of Simulation" (1963), by a logistic curve; with the cubic term of S. R. Bowling and
    others, Journal of Industrial Engineering and Management 2 (2009) 114-127.
    """
    return np.asarray(1.0 / (1.0 + np.exp(np.clip(-(1.5976 * z + 0.07056 * z**3), -60.0, 60.0))))


def surprise_p(squared: float, count: int) -> float:
    """Give how likely squared residuals of so many readings sum to this or more, were all as predicted.

    The upper tail of chi-square, by its finite series for even, and with the error function for odd numbers of readings
    (Abramowitz and Stegun, 26.4.4 and 26.4.5).
    """
    half = squared / 2.0
    if count <= 0:
        return 1.0
    if count % 2 == 0:
        term, total = 1.0, 1.0
        for k in range(1, count // 2):
            term *= half / k
            total += term
        return min(1.0, math.exp(-half) * total)
    total = math.erfc(math.sqrt(half))
    term = math.exp(-half) * math.sqrt(squared) * math.sqrt(2.0 / math.pi)
    for k in range(1, (count - 1) // 2 + 1):
        total += term
        term *= squared / (2 * k + 1)
    return min(1.0, total)
