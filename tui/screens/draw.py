"""The draw with the key off as computed, and the way to the plan that measures it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from model.plans.plan import PlanKind
from tui.review_making import ReviewKind
from tui.screens.review import ReviewScreen
from tui.widgets.sheet_rows import SheetRows

if TYPE_CHECKING:
    from tui.standing import Standing


class DrawScreen(ReviewScreen):
    """Shows the draw; its first rows lead to the plan."""

    def __init__(self, standing: Standing) -> None:
        super().__init__(standing, ReviewKind.DRAW)
        self.standing = standing

    def make_review(self) -> None:
        """Show the draw with what the record holds of it by now."""
        from tui.review_draw import draw_now

        self.aside(partial(draw_now, self.standing), self.take_review, group="review")

    def on_screen_resume(self) -> None:
        """Show it anew: the plan may have been gone on with meanwhile."""
        if self.reviewed is not None:
            self.make_review()

    def action_part(self) -> None:
        """Open the plan from its row and from where to look next, which stands above; else go to the part."""
        from tui.review_draw import PLAN_WORDS

        row, keys = self.query_one(SheetRows).marked_row, list(self.laid.told)
        if row is None or row.key not in keys[: keys.index(PLAN_WORDS) + 1]:
            super().action_part()
            return
        from tui.screens.plans import PlansScreen

        self.app.push_screen(PlansScreen(self.standing, PlanKind.DRAW))
