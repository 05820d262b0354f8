"""The check that makes a likely group stand without any one answer: read at the suspect, not all round it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray
from model.tracing.belief import Belief
from model.tracing.choose import SHORT_MINUTES, Ranked
from model.tracing.ending import STRUCK_SHARE, leading_rows

CONFIRMS_SHARE = 0.5
"""A check that lets the group stand less often than this, were it the true one, confirms nothing; judgement."""


def confirming(
    belief: Belief, weak: Sequence[int], ranked: Sequence[Ranked], shares: Sequence[FloatArray]
) -> int | None:
    """Give the place of the check that most surely lets the trace end, for its minutes; None where none is likely to.

    A group that is likely, but hangs on some answer alone, stands once it would be likely without that answer too.
    Looked for is what the group itself foresees and hardly anything else does: that says in one reading what whittling
    the others away, one by one, says in many. No place is opened for it that costs more than some such readings.

    Parameters
    ----------
    weak
        The places of the answers that it hangs on.
    ranked, shares
        The checks that can be made, and of each the shares of its outcomes: shape (outcomes, rows).
    """
    if not weak or not ranked:
        return None
    is_leading, struck = leading_rows(belief), [belief.without(place) for place in weak]
    often = [_stands(is_leading, belief.rows, struck, each) for each in shares]
    most = max(SHORT_MINUTES, ranked[0].minutes)
    worth = [
        chance / one.minutes if chance >= CONFIRMS_SHARE and one.minutes <= most else 0.0
        for chance, one in zip(often, ranked, strict=True)
    ]
    best = int(np.argmax(worth))
    return best if worth[best] > 0.0 else None


def _stands(is_leading: BoolArray, rows: FloatArray, without: Sequence[FloatArray], shares: FloatArray) -> float:
    """Give how likely a check, were the group the true one, lets it stand without any of the answers it hangs on."""
    foreseen = shares[:, is_leading] @ rows[is_leading] / rows[is_leading].sum()
    holds = np.ones(len(shares), dtype=bool)
    for struck in without:
        everything = shares @ struck
        holds &= shares[:, is_leading] @ struck[is_leading] >= STRUCK_SHARE * everything
    return float(foreseen[holds].sum())
