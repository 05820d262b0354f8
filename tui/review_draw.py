"""The draw with the key off as the screen shows it: before what is computed stands the way to the plan."""

from __future__ import annotations

from dataclasses import replace

from model.harness.harness import Harness
from model.review.draw import BankDraw, DrawReview
from model.sheets.draw_sheet import draw_sheet, time_words
from model.sheets.review_sheet import Section
from model.words import amps_text
from tui.review_making import Reviewed, sheet_reviewed

PLAN_WORDS = "The plan that measures the draw, step by step: Enter opens it."
"""The row that leads to the plan."""


def draw_reviewed(harness: Harness, review: DrawReview) -> Reviewed:
    """Give the draw as computed, behind the row that leads to its plan."""
    sheet = draw_sheet(harness, review)
    shown = replace(sheet, sections=(Section(items=(PLAN_WORDS,)), *sheet.sections))
    return sheet_reviewed(sheet, draw_outcome(review), shown)


def draw_outcome(review: DrawReview) -> str:
    """Say how much is drawn, whether that is within what is usual, and how long each bank bears it."""
    if review.unsettled:
        return "the circuit does not stand still at rest: no figure holds"
    total = abs(review.asleep_amps)
    within = "over" if total > review.limit_amps else "within"
    times = [f"{_bank_name(bank, len(review.banks))}{time_words(bank.time)}" for bank in review.banks]
    return ", ".join((f"{amps_text(total)}, {within} {review.limit.value:g} mA", *times))


def _bank_name(bank: BankDraw, banks: int) -> str:
    return f"{'+'.join(bank.batteries)} " if banks > 1 else ""
