"""Which reading is to be taken again where the readings fit nothing."""

from __future__ import annotations

import math
from collections.abc import Iterable

from model.tracing.belief import Belief
from model.tracing.checks import Check, CheckKind
from model.tracing.costs import Costs
from model.tracing.folding import Fold, battery_posts, target_of

_REPEATS_AT_MOST = 2
_LOSS_TO_REPEAT = 2.0
_NOT_REPEATED = frozenset({CheckKind.NEW_FUSE, CheckKind.SWAP})


def to_repeat(state: Fold, belief: Belief, costs: Costs) -> Check | None:
    """Choose the reading whose absence would help most of those not repeated yet; None after enough of that.

    What cannot be reached or held any more, and what told nothing when it was tried again, is let be.
    """
    checks = [one.check for one in state.answers]
    again = {check for check in checks if checks.count(check) > 1}
    if len(again) >= _REPEATS_AT_MOST:
        return None
    given = len(belief.answers) - len(checks)
    loss = {
        check: float(belief.logs[given + place].max() - _expected(belief, given + place))
        for place, check in enumerate(checks)
        if check not in again and check.kind not in _NOT_REPEATED and can_be_made(state, check, costs)
    }
    worst = max(loss, key=lambda check: loss[check], default=None)
    return worst if worst is not None and loss[worst] > _LOSS_TO_REPEAT else None


def as_asked(state: Fold, checks: Iterable[Check], costs: Costs) -> dict[Check, Check]:
    """Map checks that differ by their condition alone from one that told nothing onto that one, as it was asked.

    Who was not sure of a reading takes it once more as it was, without another switch held for it.
    """
    posts = battery_posts(costs.harness)
    was = {
        _apart_from_condition(check): check
        for check in state.unsure - state.unsure_again
        if target_of(check, posts) not in state.out_of_reach and math.isfinite(costs.minutes(check, state.standing))
    }
    found = ((check, was.get(_apart_from_condition(check))) for check in checks) if was else ()
    return {check: asked for check, asked in found if asked is not None}


def told_nothing_twice(state: Fold, checks: Iterable[Check]) -> set[Check]:
    """Give the checks that told nothing when they were made once more, and those like them in any other condition."""
    names = {_apart_from_condition(check) for check in state.unsure_again}
    return {check for check in checks if _apart_from_condition(check) in names} if names else set()


def _apart_from_condition(check: Check) -> tuple[object, ...]:
    return (check.kind, check.points, check.part, check.load, check.other, check.watts, check.fuse_amps)


def can_be_made(state: Fold, check: Check, costs: Costs) -> bool:
    """Tell whether a check can be made once more: it is in reach, can be held, and told something when tried."""
    target = target_of(check, battery_posts(costs.harness))
    is_out = check in state.unsure or target in state.out_of_reach
    return not is_out and math.isfinite(costs.minutes(check, state.standing))


def _expected(belief: Belief, place: int) -> float:
    """Give the mean logarithm of the likelihood of an answer under the shares without it."""
    return float(belief.without(place) @ belief.logs[place])
