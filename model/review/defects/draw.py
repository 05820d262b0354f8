"""A defect of what is fed with the key off: it draws more than a battery should bear."""

from __future__ import annotations

from collections.abc import Iterator

from model.errors import CircuitError
from model.review.draw import DrawReview, draw_review
from model.review.element_said import element_said
from model.review.finding import Finding, FindingRule, Gravity, Rule
from model.review.review_scene import ReviewScene
from model.tracing.names import either
from model.words import amps_text

_NAMED_AT_MOST = 6


def draw_above_limit(scene: ReviewScene) -> Iterator[Finding]:
    """Give the draw with the key off and everything asleep where it is above the limit; nothing where none rests."""
    try:
        review = draw_review(scene.bench)
    except CircuitError:
        return
    if review.asleep_amps > review.limit_amps and not review.unsettled:
        yield _above(scene, review)


def _above(scene: ReviewScene, review: DrawReview) -> Finding:
    drawers = [(one.asleep_amps, one.name) for fuse in review.fuses for one in fuse.drawers]
    drawers += [(one.asleep_amps, one.name) for bank in review.banks for one in bank.unfused]
    named = [row for row in sorted(drawers, key=lambda row: (-row[0], row[1])) if row[0] > 0][:_NAMED_AT_MOST]
    parts = tuple(dict.fromkeys(name.partition(":")[0] for _, name in named))
    shares = either([f"{element_said(scene.harness, name)} {amps_text(amps)}" for amps, name in named], "and")
    limit, limit_amps, draw_amps = review.limit, review.limit_amps, review.asleep_amps
    return Finding(
        FindingRule.DRAW,
        Gravity.WEARS,
        f"With the key off and everything at rest and asleep {amps_text(draw_amps)} leave the battery, where "
        f"{amps_text(limit_amps)} is usual: {shares}.",
        "Put what need not be fed always behind the key, or a switch in its feed; then measure the draw.",
        parts or tuple(battery.id for battery in scene.harness.batteries),
        value=round(draw_amps, 4),
        unit="A",
        rule_text=Rule(f"{limit.quantity}, {limit.condition}", limit_amps, "A", limit.source, limit.source_kind),
    )
