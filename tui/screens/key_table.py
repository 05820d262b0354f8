"""All key states side by side: the points of a walk as rows, the key states as columns."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from tui.commands import Place, bindings_of
from tui.key_columns import key_table
from tui.pages import Page
from tui.screens.told import FINDING, WORKING_OUT, ToldScreen
from tui.text import plain
from tui.walk_rows import row_of
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.tracing.rows import WalkRow


class KeyTableScreen(ToldScreen):
    """Shows what to expect at every point of a walk in each key state; the key moves through the columns."""

    PLACE = Place.KEYS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.KEYS)]
    AUTO_FOCUS = "#points"

    def body(self) -> Iterable[Widget]:
        """Return the sentence, the heads and the rows."""
        yield Static(plain(FINDING), id="set_for", classes="heads")
        yield Static(id="heads", classes="heads")
        yield RowList(id="points")

    def on_resize(self) -> None:
        """Fit the columns to the new size."""
        self.call_after_refresh(self.show_told)

    def show_told(self) -> None:
        """Show the table, once it holds for what stands now."""
        standing, told, points = self.fusewalk.standing, self.now, self.query_one(RowList)
        line = self.query_one("#set_for", Static)
        if standing is None or told is None:
            line.update(plain(self.trouble or WORKING_OUT))
            points.show([])
            return
        table = key_table(standing.harness, told, standing.condition.key, points.room)
        line.update(plain(table.words))
        heads = self.query_one("#heads", Static)
        heads.styles.height = "auto"
        heads.update(table.heads)
        points.show(table.rows)

    def marked(self) -> WalkRow | None:
        """Return the marked row of the walk."""
        told, row = self.now, self.query_one(RowList).marked_row
        return None if told is None or row is None else row_of(told, row.key)

    def on_row_list_taken(self) -> None:
        """Show the card of the part that was clicked."""
        self.action_card()

    def action_card(self) -> None:
        """Show the card of the part of the marked row."""
        from tui.screens.walk import open_card

        open_card(self, self.marked())

    def page(self) -> Page | None:
        """Return the table as text, every key state in it."""
        standing, told = self.fusewalk.standing, self.now
        if standing is None or told is None:
            return None
        table = key_table(standing.harness, told, standing.condition.key, 10_000)
        lines = [
            f"{self.label}. {table.words}",
            *table.heads.plain.splitlines(),
            *(f"  {row.content.plain}" for row in table.rows),
        ]
        return Page(f"key states {self.label}", "\n".join(line.rstrip() for line in lines) + "\n")
