"""What is live as the screen shows it: all of it, or only what the next key state changes."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from model.review.live_compared import Compared
from model.review.live_points import LiveKind
from model.review.live_review import LiveReview, live_review
from model.sheets.live_follows import compared_sections
from model.sheets.live_sheet import NOT_LISTED, live_sheet
from model.sheets.review_sheet import ReviewSheet, Section
from model.words import clean, plural
from tui.review_making import Reviewed, sheet_reviewed
from tui.review_rows import lay_out

if TYPE_CHECKING:
    from tui.standing import Standing


def live_reviewed(found: LiveReview, is_by_place: bool = False) -> Reviewed:
    """Give what is live in a condition; where another was asked for, only what differs there."""
    sheet = live_sheet(found, by_place=is_by_place)
    if found.against is None:
        return _rows_first(sheet, live_outcome(found))
    sections = tuple(compared_sections(found.survey.settled.net.harness, found.against))
    return _rows_first(replace(sheet, sections=sections), compared_outcome(found.against))


def live_now(standing: Standing, is_by_place: bool, is_compared: bool) -> Reviewed:
    """Give what is live as the loom stands, or what the next key state changes in that.

    Raises
    ------
    CircuitError
        Where the circuit cannot be so.
    """
    bench, condition = standing.asked(standing.condition.key)
    other = standing.turned(1).condition if is_compared else None
    return live_reviewed(live_review(bench, condition, other), is_by_place)


def _rows_first(sheet: ReviewSheet, outcome: str) -> Reviewed:
    """Give a sheet whose points stand on the first page: long cautions in one row, what is said of all at the end."""
    besides = tuple(words for words in sheet.about if words != NOT_LISTED)
    sections = (*sheet.sections, Section("Of all these points", words=besides))
    shown = replace(sheet, about=(NOT_LISTED,), sections=sections)
    reviewed = sheet_reviewed(sheet, outcome)
    return replace(reviewed, lay=partial(lay_out, shown, folds=True), cautions=sheet.cautions)


def live_outcome(found: LiveReview) -> str:
    """Count what is live, and what of it has no fuse before it."""
    points = [one for one in found.live.points if one.kind is not LiveKind.GROUND]
    unfused = sum(one.fused_by is None for one in points)
    key = clean(found.live.condition.key, 20)
    unsettled = f", {len(found.live.unsettled)} never at rest" if found.live.unsettled else ""
    if not points:
        return f"nothing live with the key {key}{unsettled}"
    return f"{plural(len(points), 'point')} live with the key {key}, {unfused or 'none'} unfused{unsettled}"


def compared_outcome(found: Compared) -> str:
    """Count what comes alive, dies and changes."""
    keys = f"{clean(found.before.key, 20)} to {clean(found.after.key, 20)}"
    told = ((found.alive, "come alive"), (found.dead, "die"), (found.changed, "change"))
    counted = ", ".join(f"{len(changes) or 'none'} {word}" for changes, word in told)
    restless = f", {len(found.restless)} never at rest" if found.restless else ""
    return f"{keys}: {counted}{restless}"
