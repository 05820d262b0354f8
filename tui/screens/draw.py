"""The draw with the key off as computed, and the way to the plan that measures it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.plans.plan import PlanKind
from tui.review_making import ReviewKind
from tui.screens.review import ReviewScreen
from tui.widgets.sheet_rows import SheetRows

if TYPE_CHECKING:
    from tui.standing import Standing


class DrawScreen(ReviewScreen):
    """Shows the draw; its first row leads to the plan."""

    def __init__(self, standing: Standing) -> None:
        super().__init__(standing, ReviewKind.DRAW)
        self.standing = standing

    def action_part(self) -> None:
        """Open the plan from its row; from the others go to the part."""
        from tui.review_draw import PLAN_WORDS

        row = self.query_one(SheetRows).marked_row
        if row is None or row.key != PLAN_WORDS:
            super().action_part()
            return
        from tui.screens.plans import PlansScreen

        self.app.push_screen(PlansScreen(self.standing, PlanKind.DRAW))
