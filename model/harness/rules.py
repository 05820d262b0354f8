"""Every rule that a harness file must keep, one function each, in one list."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from model.harness import rules_keys, rules_names, rules_parts, rules_points
from model.harness.draft import Complaint, Draft

Rule = Callable[[Draft], Iterator[Complaint]]

RULES: tuple[Rule, ...] = (*rules_names.RULES, *rules_keys.RULES, *rules_points.RULES, *rules_parts.RULES)


def broken_rules(draft: Draft) -> Iterator[Complaint]:
    """Give everything in which a draft breaks a rule."""
    for rule in RULES:
        yield from rule(draft)
