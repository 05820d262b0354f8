"""The column of rows."""

from textual.app import App, ComposeResult

from tests.tui.on_screen import NASTY, screen_text
from tui.text import assembled, is_paint, plain, swatch
from tui.widgets.rows import Row, RowList, marked_content

ROWS = [
    Row(plain("feed"), can_be_marked=False),
    Row(plain("G1 +"), "G1.+"),
    Row(plain("│ RD 10"), can_be_marked=False),
    Row(plain("F5 in"), "F5.in"),
    Row(plain("F5 out"), "F5.out"),
    Row(plain("load"), can_be_marked=False),
]


class Column(App[None]):
    """One column, and what it said."""

    def __init__(self) -> None:
        super().__init__()
        self.column = RowList()
        self.said: list[tuple[str, str]] = []

    def compose(self) -> ComposeResult:
        """Show the column alone."""
        yield self.column

    def on_row_list_marked(self, event: RowList.Marked) -> None:
        """Note what was marked."""
        self.said.append(("marked", event.row.key))

    def on_row_list_taken(self, event: RowList.Taken) -> None:
        """Note what was taken."""
        self.said.append(("taken", event.row.key))


async def test_the_mark_passes_over_heads() -> None:
    """Arrows go from point to point; at the ends the mark stays."""
    app = Column()
    async with app.run_test(size=(40, 10)) as pilot:
        app.column.show(ROWS)
        app.column.focus()
        seen = [app.column.marked_row]
        for key in ("down", "down", "down", "up", "home", "end"):
            await pilot.press(key)
            seen.append(app.column.marked_row)
    keys = [row.key for row in seen if row]
    assert keys == ["G1.+", "F5.in", "F5.out", "F5.out", "F5.in", "G1.+", "F5.out"]


async def test_the_mark_is_a_sign_first() -> None:
    """The marked row has its sign before it, so it is seen without colour."""
    app = Column()
    async with app.run_test(size=(40, 10)) as pilot:
        app.column.show(ROWS)
        app.column.mark_key("F5.in")
        await pilot.pause()
        lines = [line.rstrip() for line in screen_text(app).splitlines()]
    assert lines[3] == "› F5 in"
    assert lines[:3] == ["  feed", "  G1 +", "  │ RD 10"]


async def test_the_mark_stays_on_its_key() -> None:
    """Rows shown anew in another order keep the mark on the same point; where it is gone the first has it."""
    app = Column()
    async with app.run_test(size=(40, 10)):
        app.column.show(ROWS)
        app.column.mark_key("F5.in")
        app.column.show(list(reversed(ROWS)))
        assert app.column.marked_row == ROWS[3]
        app.column.show(ROWS[:3])
        assert app.column.marked_row == ROWS[1]
        app.column.show([])
        assert app.column.marked_row is None


async def test_rows_without_a_point_scroll() -> None:
    """Where nothing can be marked the arrows scroll."""
    app = Column()
    async with app.run_test(size=(40, 4)) as pilot:
        app.column.show([Row(plain(str(number)), can_be_marked=False) for number in range(20)])
        app.column.focus()
        await pilot.pause()
        await pilot.press("down", "down", "pagedown")
        assert app.column.scroll_offset.y == 6


async def test_the_marked_row_is_in_the_window() -> None:
    """A far row is brought into the window, also after the window shrinks; the first shows the heads above it."""
    app = Column()
    rows = [Row(plain("head"), can_be_marked=False), *(Row(plain(f"row {n}"), str(n)) for n in range(200))]
    async with app.run_test(size=(40, 10)) as pilot:
        app.column.show(rows)
        app.column.focus()
        await pilot.press("end")
        assert "› row 199" in screen_text(app)
        await pilot.press("pageup")
        assert app.column.marked == 191
        await pilot.resize_terminal(40, 5)
        await pilot.pause()
        assert "› row 190" in screen_text(app)
        await pilot.press("home")
        assert screen_text(app).splitlines()[0].rstrip().startswith("  head")


async def test_a_click_marks_and_a_second_takes() -> None:
    """One click can do no harm; a head cannot be clicked."""
    app = Column()
    async with app.run_test(size=(40, 10)) as pilot:
        app.column.show(ROWS)
        await pilot.click(RowList, offset=(4, 3))
        await pilot.click(RowList, offset=(4, 3))
        await pilot.click(RowList, offset=(4, 0))
        await pilot.click(RowList, offset=(4, 9))
    assert app.said == [("marked", "F5.in"), ("taken", "F5.in")]


async def test_nasty_labels_in_rows() -> None:
    """Any label stands in a row as it is, cut where there is no room, marked or not."""
    app = Column()
    async with app.run_test(size=(24, 20)) as pilot:
        app.column.show([Row(assembled(label, (label, "bold")), str(n)) for n, label in enumerate(NASTY)])
        app.column.focus()
        for _ in NASTY:
            await pilot.press("down")
        shown = screen_text(app)
    assert "[@click=app.quit]x[/]" in shown
    assert "S1 [on]S1 [on]" in shown
    assert app.return_code in {0, None}


async def test_thousands_of_rows() -> None:
    """Only the lines of the window are drawn, however long the list is."""
    app = Column()
    async with app.run_test(size=(40, 10)) as pilot:
        app.column.show([Row(plain(f"row {n}"), str(n)) for n in range(5000)])
        app.column.focus()
        lines: list[int] = []
        draw = app.column.render_line
        app.column.render_line = lambda y: lines.append(y) or draw(y)  # type: ignore[method-assign,func-returns-value]
        await pilot.press("end")
        await pilot.pause()
        assert app.column.marked == 4999
        assert lines
        assert set(lines) <= set(range(10))


async def test_the_first_rows_can_be_kept_in_the_window_until_the_mark_moves() -> None:
    """Far from the mark the list stays on top, also through a change of size; a step then goes to the mark."""
    app = Column()
    async with app.run_test(size=(40, 10)) as pilot:
        rows = app.column
        rows.show([Row(plain(f"row {number}"), str(number)) for number in range(40)])
        rows.mark_key("30")
        rows.stay_on_top()
        await pilot.resize_terminal(40, 8)
        await pilot.pause()
        assert (rows.marked, rows.scroll_offset.y) == (30, 0)
        await pilot.press("down")
        assert rows.marked == 31
        assert rows.scroll_offset.y > 20


def test_the_marked_row_keeps_the_colours_of_wires() -> None:
    """Its own styles give way to the bar, the painted cells stay in their place behind the sign."""
    row = assembled(("W25 ", "bold"), swatch("RD/BU"))
    marked = marked_content("› ", row)
    assert marked.plain == f"› {row.plain}"
    assert [(span.start, span.end) for span in marked.spans] == [(7, 8), (8, 9), (9, 10)]
    assert all(is_paint(str(span.style)) for span in marked.spans)
