"""Rows of which one thing may take several lines."""

import pytest
from textual.app import App, ComposeResult

from tests.tui.on_screen import screen_text
from tui.text import plain
from tui.widgets.rows import Row, RowList
from tui.widgets.sheet_rows import SheetRows


def block(key: str, lines: int) -> list[Row]:
    """Return a row of several lines."""
    return [Row(plain(f"{key} line {n}"), key, can_be_marked=n == 0) for n in range(lines)]


def text(lines: int) -> list[Row]:
    """Return sentences that cannot be marked."""
    return [Row(plain(f"sentence {n}"), can_be_marked=False) for n in range(lines)]


class Sheet(App[None]):
    """One list, and what was taken."""

    def __init__(self) -> None:
        super().__init__()
        self.column = SheetRows()
        self.taken: list[str] = []

    def compose(self) -> ComposeResult:
        """Show the list alone."""
        yield self.column

    def on_row_list_taken(self, event: RowList.Taken) -> None:
        """Note what was taken."""
        self.taken.append(event.row.key)


async def test_all_lines_of_what_is_marked_are_marked() -> None:
    """Three lines stand in the style of the mark, the sign before the first alone."""
    app = Sheet()
    async with app.run_test(size=(40, 10)) as pilot:
        app.column.show([*text(1), *block("W7", 3), *block("W8", 2)])
        await pilot.pause()
        assert [app.column.is_marked(place) for place in range(6)] == [False, True, True, True, False, False]
        shown = screen_text(app).splitlines()
        assert shown[1].startswith("› W7 line 0")
        assert shown[2].startswith("  W7 line 1")


async def test_a_click_on_any_line_marks_the_whole() -> None:
    """A click on the second line of another row marks that row; a second click takes it, once."""
    app = Sheet()
    async with app.run_test(size=(40, 10)) as pilot:
        app.column.show([*block("W7", 3), *block("W8", 2)])
        await pilot.pause()
        await pilot.click(SheetRows, offset=(3, 4))
        assert app.column.marked_row is not None
        assert app.column.marked_row.key == "W8"
        await pilot.click(SheetRows, offset=(3, 4))
        assert app.taken == ["W8"]


async def test_the_last_line_of_what_is_marked_is_in_the_window() -> None:
    """Going down to a row of four lines at the lower edge shows all four."""
    app = Sheet()
    async with app.run_test(size=(40, 8)) as pilot:
        app.column.show([*block("W7", 3), *text(4), *block("W8", 4), *block("W9", 1)])
        app.column.focus()
        await pilot.press("down")
        await pilot.pause()
        assert "W8 line 3" in screen_text(app)
        assert "W8 line 0" in screen_text(app)


@pytest.mark.slow
async def test_no_long_text_is_passed_over() -> None:
    """Each of forty sentences between two rows has stood in the window on the way down, and on the way up again."""
    app = Sheet()
    async with app.run_test(size=(40, 8)) as pilot:
        app.column.show([*block("W7", 1), *text(40), *block("W8", 1)])
        app.column.focus()
        for key, aim in (("down", "W8"), ("up", "W7")):
            seen: set[str] = set()
            presses = 0
            while app.column.marked_row is None or app.column.marked_row.key != aim:
                seen |= {" ".join(line.split()[:2]) for line in screen_text(app).splitlines()}
                await pilot.press(key)
                await pilot.pause()
                presses += 1
                assert presses < 40
            seen |= {" ".join(line.split()[:2]) for line in screen_text(app).splitlines()}
            assert {f"sentence {n}" for n in range(40)} <= seen


async def test_from_what_is_read_first_the_mark_is_come_to_before_it_moves() -> None:
    """Above the first row stands a long text: down goes through it to the first row, and only then to the second."""
    app = Sheet()
    async with app.run_test(size=(40, 8)) as pilot:
        app.column.show([*text(30), *block("W7", 2), *block("W8", 2)])
        app.column.stay_on_top()
        app.column.focus()
        await pilot.pause()
        assert "sentence 0" in screen_text(app)
        assert not app.column.would_show_mark(8)
        while "W7 line 1" not in screen_text(app):
            await pilot.press("down")
            await pilot.pause()
            assert app.column.marked_row is not None
            assert app.column.marked_row.key == "W7"
        await pilot.press("down")
        marked = app.column.marked_row
        assert marked is not None
        assert marked.key == "W8"
