"""Why a check is asked: the suspects with their shares, what each answer would leave, and the other checks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from model.tracing.asking import Reply
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.frame import Framed
from tui.text import assembled, plain, width
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from tui.trace_run import TraceRun, Why


class WhyScreen(Framed[Reply]):
    """Gives back the check that is taken in place of the one asked; nothing where it is left.

    Parameters
    ----------
    run
        The trace.
    facts
        The line on top of the screen below.
    """

    PLACE = Place.WHY
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.WHY)]
    AUTO_FOCUS = "#why"

    def __init__(self, run: TraceRun, facts: BarFacts) -> None:
        super().__init__(replace(facts, doing=f"why: {facts.doing}"))
        self.run_of = run
        self.why: Why | None = None

    def body(self) -> Iterable[Widget]:
        """Return the list, and the sentence that says what Enter does."""
        yield RowList(id="why")
        yield Static(plain("Weighing the other checks."), id="lead", classes="lead")

    def on_mount(self) -> None:
        """Weigh the other checks aside."""
        self.aside(self.run_of.why, self.show_why, group="why")

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle is traced as it stands."""

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.fit)

    def show_why(self, why: Why) -> None:
        """Show what was weighed."""
        self.why = why
        self.fit()

    def fit(self) -> None:
        """Make the rows for the width there is."""
        from tui.trace_why_rows import why_rows

        if self.why is None:
            return
        rows = self.query_one(RowList)
        rows.show(why_rows(self.run_of.harness, self.why, rows.room))
        lead = self.query_one("#lead", Static)
        lead.display = bool(self.why.offered)
        self.show_whole()

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_whole()

    def show_whole(self) -> None:
        """Say what Enter does, and name the marked check where its row has no room for it."""
        from tui.trace_why_rows import offered_titles, title_cells

        rows, words = self.query_one(RowList), "Enter makes the marked check instead."
        marked = rows.marked_row
        if self.why is not None and marked is not None and marked.key.isdecimal():
            title = offered_titles(self.run_of.harness, self.why)[int(marked.key)]
            words = f"Enter makes it instead: {title}." if width(title) > title_cells(rows.room) else words
        self.query_one("#lead", Static).update(assembled(words))

    def on_row_list_taken(self) -> None:
        """Take the check that was clicked."""
        self.action_take()

    def action_take(self) -> None:
        """Take the marked check in place of the one asked."""
        from model.tracing.asking import Take

        marked = self.query_one(RowList).marked_row
        if self.why is None or marked is None or not marked.key.isdecimal():
            self.say("No other check is marked: arrows mark one of those that could be made.")
            return
        self.dismiss(Take(self.why.offered[int(marked.key)].check))

    def page(self) -> Page | None:
        """Return suspects and checks as text."""
        rows = self.query_one(RowList).rows
        return Page("trace why", "\n".join(row.content.plain.rstrip() for row in rows) + "\n") if rows else None

    def action_back(self) -> None:
        """Go back to the check that is asked."""
        self.dismiss(None)
