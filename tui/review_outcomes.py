"""What came of each review, in one line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from model.review.finding import Finding, Gravity
from model.review.fuse_use import FuseUse
from model.review.key_feeds import LoadFeeds
from model.words import plural

_OF_ONE = {gravity: str(gravity) for gravity in Gravity}
_OF_MANY = _OF_ONE | {Gravity.FAILS: "do not work", Gravity.WEARS: "work badly"}


def findings_outcome(findings: Sequence[Finding]) -> str:
    """Count the findings, the gravest first."""
    if not findings:
        return "no findings"
    counted = Counter(finding.gravity for finding in findings)
    grave = [f"{n} {(_OF_ONE if n == 1 else _OF_MANY)[gravity]}" for gravity in Gravity if (n := counted[gravity])]
    return f"{plural(len(findings), 'finding')}: {', '.join(grave)}"


def fuses_outcome(uses: Sequence[FuseUse]) -> str:
    """Count the fuses, and those to be thought over."""
    concerned = sum(bool(use.concerns) for use in uses)
    return f"{plural(len(uses), 'fuse')}, {concerned or 'none'} to think over"


def feeds_outcome(loads: Sequence[LoadFeeds]) -> str:
    """Count the loads, and those whose feed is not as the file asks."""
    odd = sum(bool(load.oddities) for load in loads)
    asked = sum(load.works_in is not None for load in loads)
    if not odd:
        return f"{plural(len(loads), 'load circuit')}{', as the file asks' if asked else ', the file asks nothing'}"
    return f"{plural(len(loads), 'load circuit')}, {odd} not as the file asks"
