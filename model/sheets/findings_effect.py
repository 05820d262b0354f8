"""What a change of the file did to the findings, in one line."""

from __future__ import annotations

from collections.abc import Sequence

from model.review.finding import Finding
from model.words import clean

_NAMED_AT_MOST = 3


def findings_effect(before: Sequence[Finding], after: Sequence[Finding]) -> str:
    """Say how many findings there are now, which are gone and which are new: ``findings 12, now 11; gone: …``."""
    gone, new = _without(before, after), _without(after, before)
    counted = (
        f"findings {len(before)}, now {len(after)}"
        if gone or new or len(before) != len(after)
        else f"findings {len(after)}, as before"
    )
    return "; ".join(
        [counted, *(f"{head}: {_named(found)}" for head, found in (("gone", gone), ("new", new)) if found)]
    )


def _without(found: Sequence[Finding], others: Sequence[Finding]) -> list[Finding]:
    """Give the findings that the others do not have."""
    return [one for one in found if not any(_is_same(one, other) for other in others)]


def _is_same(one: Finding, other: Finding) -> bool:
    """Tell whether two findings are one: of the same rule, about the same parts or some of them."""
    parts = set(one.part_ids), set(other.part_ids)
    return one.rule is other.rule and (parts[0] <= parts[1] or parts[1] <= parts[0])


def _named(found: Sequence[Finding]) -> str:
    names = [clean(f"{one.rule} ({', '.join(one.part_ids[:2])})", 120) for one in found[:_NAMED_AT_MOST]]
    more = len(found) - len(names)
    return f"{', '.join(names)}{f' and {more} more' if more else ''}"
