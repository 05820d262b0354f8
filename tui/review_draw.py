"""The draw with the key off as the screen shows it: before what is computed stands the way to the plan."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from model.harness.harness import Harness
from model.plans.draw_next import look_next
from model.plans.draw_read import read_words as read_of_whole
from model.plans.kept import kept_answers
from model.plans.plan import LoomState, PlanKind
from model.record import read_record
from model.review.battery_time import time_words
from model.review.draw import BankDraw, DrawReview, draw_review
from model.sheets.draw_sheet import draw_sheet
from model.sheets.review_sheet import Section
from model.words import amps_text
from tui.plan_making import plans_of
from tui.review_making import Made, Reviewed, ReviewKind, reviews_of, sheet_reviewed

if TYPE_CHECKING:
    from tui.standing import Standing

PLAN_WORDS = "The plan that measures the draw, step by step: Enter opens it."
"""The row that leads to the plan."""


def draw_reviewed(
    harness: Harness, review: DrawReview, next_words: tuple[str, ...] = (), read_words: tuple[str, ...] = ()
) -> Reviewed:
    """Give the draw as computed, behind the row that leads to its plan; where to look next stands before all.

    Parameters
    ----------
    next_words
        Where to look next by what was read, in full sentences.
    read_words
        What was read of the whole draw, in full sentences.
    """
    sheet = draw_sheet(harness, review, next_words, read_words)
    shown = replace(sheet, sections=(Section(items=(PLAN_WORDS,)), *sheet.sections))
    if next_words:
        following, *rest = sheet.sections
        shown = replace(sheet, about=(), sections=(following, Section(words=sheet.about, items=(PLAN_WORDS,)), *rest))
    return sheet_reviewed(sheet, draw_outcome(review), shown)


def draw_now(standing: Standing) -> Made:
    """Give the draw as computed, with what the record holds of it by now, or why there is none."""
    harness, bench = standing.harness, standing.walks.bench
    made = reviews_of(harness).make(ReviewKind.DRAW, bench)
    plan = plans_of(harness).make(PlanKind.DRAW, LoomState.APART)
    if isinstance(made, Exception) or isinstance(plan, Exception):
        return made
    kept = kept_answers(plan, read_record(standing.path).entries)
    if not kept:
        return made
    review = draw_review(bench)
    return draw_reviewed(harness, review, look_next(harness, plan, kept), read_of_whole(harness, review, plan, kept))


def draw_outcome(review: DrawReview) -> str:
    """Say how much is drawn, whether that is within what is usual, and how long each bank bears it."""
    if review.unsettled:
        return "the circuit does not stand still at rest: no figure holds"
    total = abs(review.asleep_amps)
    within = "over" if total > review.limit_amps else "within"
    times = [f"{_bank_name(bank, len(review.banks))}lasts {time_words(bank.time)}" for bank in review.banks]
    return ", ".join((f"{amps_text(total)}, {within} {review.limit.value:g} mA", *times))


def _bank_name(bank: BankDraw, banks: int) -> str:
    return f"{'+'.join(bank.batteries)} " if banks > 1 else ""
