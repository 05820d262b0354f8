"""Whether the answer of a check is foregone: known beforehand, or one that sets no suspect aside."""

from __future__ import annotations

import numpy as np

from model.circuit.arrays import FloatArray, IntArray, sum_at

TELLS_SELDOM = 0.03
"""A check that sets a suspect aside less often than this is foregone, unless it moves the shares; judgement."""

MOVES_BITS = 0.1
"""What tells this much moves the shares of suspects that all stay."""

IN_PLAY_SHARE = 0.01
"""A suspect under this share is set aside."""

SET_ASIDE_SHARE = 0.03
"""Suspects that hold less than this together are no news when they are set aside; judgement."""


def is_foregone(gain_bits: float, rows: FloatArray, owner: IntArray, shares: FloatArray) -> bool:
    """Tell whether hardly an answer of a check would set a suspect aside or move the shares.

    Parameters
    ----------
    gain_bits
        What it is expected to tell.
    rows
        Shape (rows,), shares before it; they need not sum to one.
    owner
        Shape (rows,), the suspect of each row, counted from 0.
    shares
        Shape (outcomes, rows), how likely each answer is under each row.
    """
    if gain_bits >= MOVES_BITS:
        return False
    count = int(owner.max()) + 1
    before = sum_at(owner, rows, count)
    in_play = before >= IN_PLAY_SHARE * before.sum()
    tells = 0.0
    for outcome in shares:
        after = sum_at(owner, rows * outcome, count)
        total = float(after.sum())
        set_aside = in_play & (after < IN_PLAY_SHARE * total)
        if total > 0.0 and before[set_aside].sum() >= SET_ASIDE_SHARE * before.sum():
            tells += total
    return bool(tells < TELLS_SELDOM * np.sum(rows))
