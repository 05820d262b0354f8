"""What a change did to the findings, in one line."""

from model.review.finding import Finding, FindingRule, Gravity
from model.sheets.findings_effect import findings_effect


def finding(rule: FindingRule, *part_ids: str) -> Finding:
    """Give a finding about some parts."""
    return Finding(rule, Gravity.FAILS, "It is so.", "Mend it.", part_ids)


FED = finding(FindingRule.NO_FUSE, "W1")
ASSUMED = finding(FindingRule.ASSUMED, "W2", "W3")


def test_what_is_gone_and_what_is_new_is_named() -> None:
    """Both counts, then the rules with their parts."""
    found = findings_effect((FED, ASSUMED), (ASSUMED, finding(FindingRule.DRAW, "A1"), finding(FindingRule.DRAW, "A2")))
    assert found == (
        "findings 2, now 3; gone: fed with no fuse (W1); new: draw with the key off (A1), draw with the key off (A2)"
    )


def test_a_finding_about_fewer_parts_is_the_same_finding() -> None:
    """One wire less is assumed: nothing is new, and nothing gone."""
    assert findings_effect((FED, ASSUMED), (FED, finding(FindingRule.ASSUMED, "W3"))) == "findings 2, as before"


def test_of_many_the_first_are_named_and_the_others_counted() -> None:
    """Three names at most."""
    many = [finding(FindingRule.NO_FUSE, f"W{number}") for number in range(5)]
    assert findings_effect(many, ()).endswith("(W0), fed with no fuse (W1), fed with no fuse (W2) and 2 more")
