"""Loads of so many amperes that they are never fed without a switch, a relay or a solenoid of their own."""

from __future__ import annotations

from model.harness.harness import Harness, all_elements
from model.review.finding import Rule, rule_of

_OVER_RATED = 1.5
"""How many times its rated amperes a load takes at most at the volts of a battery (a judgement)."""


def heavy_load_rule() -> Rule:
    """Give the amperes from which on a load counts as heavy, and what that rests on."""
    return rule_of("heavy load switched")


def has_heavy_load(harness: Harness) -> bool:
    """Tell by ratings alone whether a load may be heavy, so that solving the circuit can find one."""
    return any(one.rated_amps * _OVER_RATED > heavy_load_rule().figure for one in all_elements(harness))
