"""A screen that shows a sheet of a review: rows under each other, the marked one in full below, Enter to its part."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path, PurePath
from typing import ClassVar

from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from tui.pages import Page
from tui.review_find import found_line, offered_lines
from tui.review_making import Reviewed
from tui.review_rows import Laid, Told, told_below
from tui.screens.frame import Framed
from tui.text import assembled, lines, plain
from tui.widgets.sheet_rows import SheetRows

WORKING_OUT = "It is being worked out."
_STYLES = Path(__file__).parent.parent / "styles/review.tcss"
_ROWS_LEAST = 5
_DETAIL_LEAST = 2
_RULE = 1
_STEM_AT_MOST = 30


class Sheeted(Framed[None]):
    """A screen with one sheet on it.

    Attributes
    ----------
    reviewed
        What is shown; None while it is being worked out.
    laid
        Its rows for the width there is.
    """

    AUTO_FOCUS = "#sheet"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = _STYLES
    reviewed: Reviewed | None = None
    laid = Laid()

    def body(self) -> Iterable[Widget]:
        """Return what came of it, the heads of the columns, the rows, and the marked one in full."""
        yield Static(plain(WORKING_OUT), id="lead", classes="lead")
        yield Static(id="heads", classes="heads")
        yield SheetRows(id="sheet")
        yield Static(id="detail", classes="told")

    def on_mount(self) -> None:
        """Follow the window with the heads."""
        self.watch(self.query_one(SheetRows), "scroll_y", self.show_heads, init=False)

    def show_reviewed(self, reviewed: Reviewed) -> None:
        """Show a review under a line that says what came of it."""
        self.reviewed = reviewed
        self.query_one("#lead", Static).update(plain(reviewed.outcome))
        self.lay()

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.lay)

    def lay(self) -> None:
        """Lay the sheet out aside: one of a large loom has thousands of rows; one that is shown no more is dropped."""
        reviewed = self.reviewed
        if reviewed is None:
            return
        room, height = self.query_one(SheetRows).room - 1, self.size.height

        def then(laid: Laid) -> None:
            if reviewed is self.reviewed:
                self._show_laid(laid)

        self.aside(partial(reviewed.lay, room, height), then, group="lay")

    def _show_laid(self, laid: Laid) -> None:
        is_first, self.laid = not self.laid.rows, laid
        rows = self.query_one(SheetRows)
        if is_first:
            rows.stay_on_top()
        rows.show(laid.rows)
        self.show_heads()
        self.show_detail()

    def show_heads(self) -> None:
        """Keep the heads of the columns in sight once they have gone out of the window."""
        heads = self.query_one("#heads", Static)
        heads.display = bool(self.laid.heads)
        shown = self.laid.heads_over(self.query_one(SheetRows).scroll_offset.y)
        heads.update(Content("") if shown is None else assembled("  ", shown))

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_detail()

    def marked(self) -> Told | None:
        """Return what the marked row tells; None where none is marked."""
        row = self.query_one(SheetRows).marked_row
        return None if row is None else self.laid.told.get(row.key)

    def show_detail(self) -> None:
        """Show what there is to say of the marked row besides, once the row is in sight."""
        told, detail, rows = self.marked(), self.query_one("#detail", Static), self.query_one(SheetRows)
        besides = () if told is None else self.besides(told)
        found = told_below(self.name_below(told), besides, self.size.width - 2) if told and besides else []
        room = rows.size.height + (detail.outer_size.height if detail.display else 0) - _RULE
        most = max(min(room - _ROWS_LEAST, room - rows.marked_lines), _DETAIL_LEAST)
        if len(found) > most:
            found = [*found[: most - 1], assembled(("a: all of it", "$quiet"))]
        detail.display = bool(found) and rows.would_show_mark(room - len(found))
        detail.update(lines(found))

    def besides(self, told: Told) -> tuple[tuple[str, str], ...]:
        """Return what there is to say of a row besides, and what it has no room for: heads and words."""
        below = self.reviewed.below if self.reviewed is not None else ()
        place = next(place for place, one in enumerate(self.laid.told.values()) if one is told)
        return (*told.left_out, *(below[place] if below else ()))

    def name_below(self, told: Told) -> str:
        """Return what a row is called where something of it stands below; a sentence needs no name."""
        return told.cells[0][1] if told.left_out else ""

    def on_row_list_taken(self) -> None:
        """Go to the part of the row that was clicked."""
        self.action_part()

    def action_part(self) -> None:
        """Go to the part that the marked row tells of, its point marked there."""
        told = self.marked()
        if told is None or not told.part:
            self.say("This row tells of no one part.")
            return
        from tui.screens.card import CardScreen

        part_id = told.part.partition(":")[0].partition(".")[0]
        self.app.push_screen(CardScreen(part_id, told.part if "." in told.part else None))

    def action_find_line(self) -> None:
        """Ask for a row and mark it."""
        from tui.screens.ask import AskScreen

        told = self.laid.told
        if not told:
            self.say("There is no row to find.")
            return
        ask: AskScreen[str] = AskScreen(
            "Find which row?", "letters of it: a part, a point, a place", partial(found_line, told),
            partial(offered_lines, told),
        )  # fmt: skip
        self.app.push_screen(ask, lambda key: self.query_one(SheetRows).mark_key(key) if key else None)

    def action_in_full(self) -> None:
        """Show the cautions that stand in one line, and all that there is to say of the marked row."""
        from tui.screens.dialog import MessageDialog

        told = self.marked()
        cautions = [f"Caution: {one}" for one in self.reviewed.cautions] if self.reviewed is not None else []
        if told is None and cautions:
            self.app.push_screen(MessageDialog(self.facts.doing, cautions))
            return
        if told is None:
            self.say("Mark a row first: a tells all of it.")
            return
        cells = (*told.cells, *(one for one in self.besides(told) if one not in told.cells))
        named = [f"{head[:1].upper()}{head[1:]}: {words}" if head else words for head, words in cells]
        self.app.push_screen(MessageDialog(self.facts.doing, [*cautions, *named]))

    def page(self) -> Page | None:
        """Return the sheet as Markdown."""
        if self.reviewed is None:
            return None
        return Page(self.page_name(self.reviewed), f"{self.reviewed.markdown()}\n", ".md")

    def page_name(self, reviewed: Reviewed) -> str:
        """Name what is written: of which file, and what it is."""
        standing = self.fusewalk.standing
        return " ".join(
            filter(None, (standing.path.stem[:_STEM_AT_MOST] if standing is not None else "", reviewed.title))
        )
