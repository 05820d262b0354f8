"""A short list to choose one row or several from."""

import pytest

from tests.tui.on_screen import until
from tui.app import FusewalkApp
from tui.screens.choose import ChooseFrom, ChooseScreen, ChooseSeveral
from tui.widgets.rows import RowList
from tui.widgets.sheet_rows import SheetRows

ROWS = [("it feeds", "E1:load", "Lamp"), ("it feeds", "E2:load", "Tell-tale")]


@pytest.mark.parametrize(
    ("screen", "left_with"), [(ChooseScreen("Which?", ROWS), ["E2:load"]), (ChooseSeveral("Which?", ROWS), [])]
)
async def test_a_click_takes_the_one_row_and_ticks_of_several(
    screen: ChooseFrom[str] | ChooseFrom[tuple[str, ...]], left_with: list[str]
) -> None:
    """Of several nothing is taken before Enter: a second one could never be ticked else."""
    app = FusewalkApp()
    taken: list[object] = []
    async with app.run_test() as pilot:
        app.push_screen(screen, taken.append)
        await until(pilot, lambda: app.screen is screen)
        await pilot.pause()
        await pilot.press("down")
        rows = screen.query_one(SheetRows)
        marked = rows.marked_row
        assert marked is not None
        rows.post_message(RowList.Taken(marked))
        await pilot.pause()
        assert taken == left_with
        if isinstance(screen, ChooseSeveral):
            assert screen.ticked == {"E2:load"}
            await pilot.press("enter")
            await until(pilot, lambda: bool(taken))
            assert taken == [("E2:load",)]
