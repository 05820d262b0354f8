"""A defect of the feed: none in any setting."""

from __future__ import annotations

from collections.abc import Iterator

from model.review.defects.pairs import Pair, pairs_without_volts
from model.review.element_said import element_said, sentence_start
from model.review.finding import Finding, FindingRule, Gravity
from model.review.review_scene import ReviewScene
from model.tracing.names import point_name
from model.words import volts_text


def no_feed_in_any_setting(scene: ReviewScene) -> Iterator[Finding]:
    """Give what never has the volts to do anything: in no key state, whatever is switched; once for a terminal."""
    told: set[str] = set()
    for pair, volts in pairs_without_volts(scene):
        finding = _unfed(scene, pair, volts)
        if finding is not None and finding.points[0] not in told:
            told.add(finding.points[0])
            yield finding


def _unfed(scene: ReviewScene, pair: Pair, volts: float) -> Finding | None:
    """Give the finding of something without feed; None where it is fed and lacks a ground alone."""
    fed = [end in scene.may_be_fed for end in pair.ends]
    grounded = [end in scene.may_be_grounded for end in pair.ends]
    name = sentence_start(element_said(scene.harness, pair.name))
    if not any(fed):
        end = pair.ends[1] if grounded[0] and not grounded[1] else pair.ends[0]
        what = f"nothing leads from a battery to {point_name(scene.harness, end)}, whatever is switched"
        do = f"Look whether a wire is on {end} that the file leaves out; else give it a feed through a fuse."
    elif not pair.is_coil and ((fed[0] and grounded[1]) or (fed[1] and grounded[0])):
        end = pair.ends[0]
        what = (
            f"metal and contacts can join it to the battery, but in no key state with any switch has it more than "
            f"{volts_text(volts)} V, where it needs {volts_text(pair.asked_volts)}"
        )
        do = "Look at its switches, relays and diodes one by one: one is never in the position that feeds it."
    else:
        return None
    return Finding(
        FindingRule.NO_FEED,
        Gravity.FAILS,
        f"{name} never has its feed: {what}.",
        do,
        (pair.part_id,),
        (end,),
        value=round(volts, 2),
        unit="V",
    )
