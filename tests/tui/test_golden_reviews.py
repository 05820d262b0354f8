"""What stands on the screens of the reviews of the trail buggy, sign for sign, at three sizes.

``UPDATE_GOLDEN=1`` writes the files anew; what has changed is then read in the difference.
"""

from __future__ import annotations

import pytest

from tests.tui.builds import BUGGY
from tests.tui.on_screen import at_rest
from tests.tui.reviewed import looking_over, open_review
from tests.tui.test_golden import SIZES, check
from tui.review_making import ReviewKind


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
async def test_the_list_what_is_live_and_the_findings(size: tuple[int, int]) -> None:
    """All outcomes in the list; live points by feed and by place; the second finding with what stands below it."""
    async with looking_over(BUGGY, size) as (app, pilot):
        check(app, "reviews")
        await open_review(app, pilot, ReviewKind.LIVE)
        check(app, "review_live")
        await pilot.press("n")
        await at_rest(pilot)
        await pilot.press("pagedown")
        await at_rest(pilot)
        await pilot.press("down", "down")
        await at_rest(pilot)
        check(app, "review_live_by_place")
        await pilot.press("escape")
        await open_review(app, pilot, ReviewKind.FINDINGS)
        await pilot.press("home", "end", "up")
        await at_rest(pilot)
        check(app, "review_findings")
