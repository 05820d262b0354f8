"""Numbers that who read them does not trust: none of them decides anything before it was read again."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from model.circuit.arrays import FloatArray
from model.tracing.answer_words import outcome_words
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import Check
from model.tracing.costs import Costs
from model.tracing.ending import LIKELY_SHARE, Ending, settled_group, untold_group
from model.tracing.folding import Fold
from model.tracing.repeating import can_be_made

STILL_AT_MOST = 2
"""Once so many were read again and are in doubt still, none is asked again: then it is not the probe that slipped."""

_RESTS = "This rests on numbers in doubt: read them again before anything is cut or bought."

Ends = Callable[[Belief, Sequence[FloatArray]], Ending | None]
"""A rule that a trace ends by."""


def trusted_ending(ends: Ends, belief: Belief, shares: Sequence[FloatArray]) -> Ending | None:
    """Give the group that a trace ends with by some rule; None where it would not, were the numbers in doubt unread.

    Parameters
    ----------
    shares
        Of every check that can be made: shape (outcomes, rows).
    """
    ending = ends(belief, shares)
    of_trusted = belief.of_trusted()
    if ending is None or of_trusted is belief:
        return ending
    without = ends(of_trusted, shares)
    return ending if without is not None and without.members[0] in ending.members else None


def hangs_on_doubted(belief: Belief, shares: Sequence[FloatArray], *, is_last: bool) -> bool:
    """Tell whether a number in doubt decides what a trace ends with.

    Parameters
    ----------
    is_last
        True where no other check is left that tells anything.
    """
    if belief.of_trusted() is belief:
        return False
    if settled_group(belief, shares) is not None:
        return trusted_ending(settled_group, belief, shares) is None
    return is_last and trusted_ending(untold_group, belief, shares) is None


def may_be_read_again(state: Fold, one: Evidence, costs: Costs) -> bool:
    """Tell whether an answer is in doubt, was not read again yet, and can be."""
    is_once = [answer.check for answer in state.answers].count(one.check) == 1
    return one.outcome.in_doubt and is_once and can_be_made(state, one.check, costs)


def doubted_again(state: Fold, belief: Belief, costs: Costs) -> tuple[Check, str] | None:
    """Give the check of the number in doubt on which most hangs, and why it is made again; None where none is left.

    Each is asked again once, and none any more after :data:`STILL_AT_MOST` that are in doubt still.
    """
    checks = [one.check for one in state.answers]
    still = [one for place, one in enumerate(state.answers) if one.outcome.in_doubt and one.check in checks[:place]]
    if len(still) >= STILL_AT_MOST:
        return None
    leading = belief.field.owner == int(np.argmax(belief.hypotheses()))
    left = {
        place: float(np.abs(belief.without(place) - belief.rows)[leading].sum())
        for place, one in enumerate(belief.answers)
        if may_be_read_again(state, one, costs)
    }
    most = max(left, key=lambda place: left[place], default=None)
    if most is None:
        return None
    one = belief.answers[most]
    return one.check, f"Again: {outcome_words(one.check, one.outcome)}, would decide what is wrong."


def rests_on_doubt(belief: Belief, ending: Ending) -> tuple[str, ...]:
    """Say that a group rests on numbers in doubt, where without them it would not be likely enough for an end."""
    of_trusted = belief.of_trusted()
    share = float(of_trusted.hypotheses()[list(ending.members)].sum())
    return () if of_trusted is belief or share >= LIKELY_SHARE else (_RESTS,)
