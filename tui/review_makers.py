"""How each review is made for the screen: its sheet, and what came of it in one line."""

from __future__ import annotations

from collections.abc import Callable

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.review.draw import draw_review
from model.review.fed_points import fed_in
from model.review.findings import find_all
from model.review.fuse_use import fuse_review
from model.review.glance_build import glance
from model.review.key_feeds import key_feeds
from model.review.live_review import live_review
from model.review.spread import spread_of
from model.review.sweep import sweep
from model.review.terminal_feeds import terminal_remarks
from model.sheets.feeds_sheet import FeedsReview, feeds_sheet
from model.sheets.findings_brief import below_finding, findings_brief
from model.sheets.findings_sheet import findings_sheet
from model.sheets.fuses_sheet import fuses_sheet
from tui.review_draw import draw_reviewed
from tui.review_glance import glance_reviewed
from tui.review_live import live_reviewed
from tui.review_making import Reviewed, ReviewKind, sheet_reviewed
from tui.review_outcomes import feeds_outcome, findings_outcome, fuses_outcome


def live(bench: Bench) -> Reviewed:
    """Review what is live with the key in its first state and everything at rest."""
    return live_reviewed(live_review(bench, Condition(bench.harness.key_names[0])))


def draw(bench: Bench) -> Reviewed:
    """Review the draw with the key off."""
    return draw_reviewed(bench.harness, draw_review(bench))


def fuses(bench: Bench) -> Reviewed:
    """Review the fuses."""
    found = fuse_review(bench)
    return sheet_reviewed(fuses_sheet(bench.harness, found), fuses_outcome(found))


def feeds(bench: Bench) -> Reviewed:
    """Review the feeds by key state."""
    swept = sweep(bench)
    terminals = terminal_remarks(bench.harness, fed_in(spread_of(swept)))
    found = FeedsReview(bench.harness, key_feeds(bench, swept, is_alone=True), terminals)
    return sheet_reviewed(feeds_sheet(found), feeds_outcome(found.loads))


def findings(bench: Bench) -> Reviewed:
    """Review the design."""
    harness, found = bench.harness, find_all(bench)
    below = tuple(below_finding(harness, finding) for finding in found)
    return sheet_reviewed(
        findings_sheet(harness, found), findings_outcome(found), findings_brief(harness, found), below
    )


def at_a_glance(bench: Bench) -> Reviewed:
    """Review what feeds what."""
    return glance_reviewed(bench.harness, glance(bench.harness))


MAKERS: dict[ReviewKind, Callable[[Bench], Reviewed]] = {
    ReviewKind.LIVE: live,
    ReviewKind.DRAW: draw,
    ReviewKind.FUSES: fuses,
    ReviewKind.FEEDS: feeds,
    ReviewKind.FINDINGS: findings,
    ReviewKind.GLANCE: at_a_glance,
}
"""What makes each review."""
