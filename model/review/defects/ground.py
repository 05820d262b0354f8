"""Defects of the ground side: no way to ground at all, and grounds that too many loads share."""

from __future__ import annotations

from collections.abc import Iterator

from model.review.defects.pairs import Pair, pairs_without_volts
from model.review.element_said import element_said, sentence_start
from model.review.finding import Finding, FindingRule, Gravity
from model.review.review_scene import ReviewScene
from model.tracing.names import point_name
from model.words import clean


def no_path_to_ground(scene: ReviewScene) -> Iterator[Finding]:
    """Give what nothing joins to the grounded post, however everything is switched; once for a terminal.

    What no wire reaches on either side is told as not fed.
    """
    told: set[str] = set()
    for pair, _ in pairs_without_volts(scene):
        point = _ungrounded(scene, pair)
        if point is None or point in told:
            continue
        told.add(point)
        name = clean(point_name(scene.harness, point))
        yield Finding(
            FindingRule.NO_GROUND,
            Gravity.FAILS,
            f"{sentence_start(element_said(scene.harness, pair.name))} can never carry current: "
            f"nothing leads from {name} to the grounded side, whatever is switched.",
            f"Look whether a wire is on {point} that the file leaves out; else lay one to a ground point.",
            (pair.part_id,),
            (point,),
        )


def _ungrounded(scene: ReviewScene, pair: Pair) -> str | None:
    """Name the end of something that should be grounded and cannot be; None where an end can be, or none is fed."""
    one, other = pair.ends
    fed = [end in scene.may_be_fed for end in pair.ends]
    grounded = [end in scene.may_be_grounded for end in pair.ends]
    if not any(fed) or (fed[0] and grounded[1]) or (fed[1] and grounded[0]):
        return None
    return other if fed[0] else one
