"""What a list has no room for stands whole elsewhere on the screen."""

from __future__ import annotations

from typing import Any

from textual.content import Content
from textual.pilot import Pilot

from tests.tui.on_bench import looking_at, put_on_bench
from tests.tui.on_screen import at_rest, screen_text
from tui.screens.ask import NOTHING_FITS, AskScreen
from tui.screens.choose import ChooseScreen
from tui.screens.settings import SettingsScreen
from tui.widgets.hanging import hung_lines
from tui.widgets.rows import RowList
from tui.widgets.whole import WholeRow

LONG = "a plug behind the dash, under the scuttle, its cover held by three wing nuts and a strap"
NARROW = (60, 20)


def words(pilot: Pilot[Any]) -> str:
    """Return what stands on the screen as one line of words."""
    return " ".join(screen_text(pilot.app).split())


async def test_a_row_that_is_offered_is_told_whole() -> None:
    """The marked one of what fits stands below the list where the list cuts it; of nothing that fits it is said."""
    ask: AskScreen[str] = AskScreen(
        "Which?", "a name", str, lambda typed: [("X1", LONG), ("X2", "short")] if "x" in typed else []
    )
    async with looking_at(ask, put_on_bench(), NARROW) as pilot:
        await pilot.press("x")
        assert not pilot.app.screen.query_one(WholeRow).display
        await pilot.press("down")
        await at_rest(pilot)
        assert LONG in words(pilot)
        await pilot.press("down")
        await at_rest(pilot)
        assert not pilot.app.screen.query_one(WholeRow).display
        await pilot.press("backspace", "y")
        await at_rest(pilot)
        assert NOTHING_FITS in words(pilot)


async def test_a_long_choice_goes_on_below() -> None:
    """No choice is cut, in a window of any width; both lines of the marked one are marked, and one is taken."""
    choose = ChooseScreen("Which?", [("parts", "X1", LONG), ("parts", "X2", "short")])
    async with looking_at(choose, put_on_bench(), NARROW) as pilot:
        assert LONG in words(pilot)
        await pilot.resize_terminal(40, 20)
        await at_rest(pilot)
        assert LONG in words(pilot)
        assert "…" not in words(pilot)
        await pilot.press("down")
        assert pilot.app.screen.query_one(RowList).marked_row is choose.query_one(RowList).rows[-1]


def row_of(column: RowList) -> str:
    """Return what the marked row says."""
    assert column.marked_row is not None
    return column.marked_row.content.plain


async def test_a_setting_with_many_positions_is_told_whole() -> None:
    """All positions of the marked switch stand below the list where its row has no room for them."""
    async with looking_at(SettingsScreen(), put_on_bench(), NARROW) as pilot:
        column = pilot.app.screen.query_one(RowList)
        column.mark_key("S21")
        await at_rest(pilot)
        assert "S21 Gear selector switch: [park], reverse, neutral, drive" in words(pilot)
        for name in ("F23", "S3", "S2"):
            column.mark_key(name)
            await at_rest(pilot)
            assert pilot.app.screen.query_one(WholeRow).display == ("…" in row_of(column)), name


def test_lines_hang_behind_their_sign() -> None:
    """What begins with a point, a number or a share goes on under its words; anything else at the edge."""
    told = [
        Content("50 %  contact does not close"),
        Content("· it pulls in again"),
        Content("9 amps, and no more of it"),
    ]
    assert [line.plain.rstrip() for line in hung_lines(told, 18)] == [
        "50 %  contact does",
        "      not close",
        "· it pulls in",
        "  again",
        "9 amps, and no",
        "more of it",
    ]
