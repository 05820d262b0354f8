"""Whether readings bound a suspect on both sides: as sound at one end of it, and not so at the other."""

from __future__ import annotations

from model.circuit.condition import Condition
from model.harness.points import resolve_point
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import CheckKind
from model.tracing.names import site_points
from model.tracing.suspects import Hypothesis

GOOD_SIGMAS = 3.0
"""A reading within so many sigmas of the sound circuit's is as sound."""

OFF_SHARE = 0.25
"""One that is off by this share of the battery's volts is not; judgement. In between it bounds nothing."""


def is_bounded(belief: Belief, hypothesis: Hypothesis) -> bool:
    """Tell whether volts were read at both ends of what a fault lies in, right at one and far off at the other.

    Both are read in one condition and against one and the same point. Then no other reading tells more of where the
    fault is: what comes after it can only read wrong too.
    """
    if hypothesis.is_pair:
        return False
    harness = belief.foresight.bench.harness
    ends = frozenset(resolve_point(harness, point) for point in site_points(harness, hypothesis.site))
    if len(ends) != 2:
        return False
    right: dict[tuple[str, Condition], set[str]] = {}
    wrong: dict[tuple[str, Condition], set[str]] = {}
    for one in belief.answers:
        if one.check.kind is not CheckKind.VOLTS or one.outcome.swings or one.outcome.in_doubt:
            continue
        red, black = (resolve_point(harness, point) for point in (one.check.red, one.check.black))
        is_sound = _is_sound(belief, one) if red in ends else None
        if is_sound is not None:
            (right if is_sound else wrong).setdefault((black, one.check.condition), set()).add(red)
    return any(
        len(right[where]) == len(wrong[where]) == 1 and right[where] | wrong[where] == ends
        for where in right.keys() & wrong.keys()
    )


def _is_sound(belief: Belief, one: Evidence) -> bool | None:
    """Tell whether a reading is as the sound circuit's; None where it is neither that nor far off."""
    numbers, _ = belief.foresight.exact_numbers(one.check, belief.known)
    away = abs(one.outcome.value - numbers.sound)
    if away <= GOOD_SIGMAS * numbers.sound_sigma:
        return True
    return False if away >= OFF_SHARE * abs(numbers.supply_volts) else None
