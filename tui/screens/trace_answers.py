"""What has been answered in a trace: each answer can be changed or struck out, what was out of reach be reached."""

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
from tui.screens.ask import AskScreen
from tui.screens.frame import Framed
from tui.text import assembled, plain
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from tui.trace_run import Seen


class AnswersScreen(Framed[Reply]):
    """Gives back what is to be changed; nothing where it is left.

    Parameters
    ----------
    seen
        The trace as it stands.
    facts
        The line on top of the screen below.
    """

    PLACE = Place.ANSWERS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.ANSWERS)]
    AUTO_FOCUS = "#answers"

    def __init__(self, seen: Seen, facts: BarFacts) -> None:
        super().__init__(replace(facts, doing=f"answers: {facts.doing}"))
        self.seen = seen

    def body(self) -> Iterable[Widget]:
        """Return the list over the marked answer in full."""
        lead = "Enter changes the marked answer, d strikes it out." if self.seen.answers else "Nothing is answered yet."
        yield Static(plain(lead), id="lead", classes="lead")
        yield RowList(id="answers")
        yield Static(id="detail", classes="told")

    def on_mount(self) -> None:
        """Show the list."""
        self.fit()

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle is traced as it stands."""

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.fit)

    def fit(self) -> None:
        """Make the rows for the width there is, the last answer marked at first."""
        from tui.trace_answer_rows import answer_rows

        rows = self.query_one(RowList)
        is_first = not rows.rows
        rows.show(answer_rows(self.seen, rows.room))
        if is_first and self.seen.answers:
            rows.mark_key(str(len(self.seen.answers) - 1))
        self.show_detail()

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_detail()

    def on_row_list_taken(self) -> None:
        """Change the answer that was clicked."""
        self.action_change()

    def show_detail(self) -> None:
        """Say the marked answer in full, and what is odd about it."""
        from tui.trace_answer_rows import answer_detail

        detail, place = self.query_one("#detail", Static), self.place()
        detail.display = place is not None
        if place is not None:
            detail.update(assembled(answer_detail(self.seen, place)))

    def place(self) -> int | None:
        """Return which answer is marked, counted from 0."""
        marked = self.query_one(RowList).marked_row
        return int(marked.key) if marked is not None and marked.key.isdecimal() else None

    def action_change(self) -> None:
        """Ask for the right value of the marked answer; of what was out of reach take it that it can be reached."""
        from model.tracing.asking import Change, Reached
        from model.tracing.check_words import check_part
        from model.tracing.typed_answer import read_answer
        from tui.trace_answer_rows import SKIPPED
        from tui.trace_step import check_title

        marked, place = self.query_one(RowList).marked_row, self.place()
        if marked is not None and marked.key.startswith(SKIPPED):
            self.dismiss(Reached(check_part(self.seen.skipped[int(marked.key.removeprefix(SKIPPED))])))
            return
        if place is None:
            self.say(self._unmarked())
            return
        check = self.seen.answers[place].check

        def read(typed: str) -> Reply:
            return Change(place, read_answer(check.kind, typed))

        question = f"{check_title(self.seen.harness, check)}: what was it really?"
        self.app.push_screen(AskScreen[Reply](question, "", read), self.leave_with)

    def leave_with(self, reply: Reply | None) -> None:
        """Go back with the change, where there is one."""
        if reply is not None:
            self.dismiss(reply)

    def action_strike(self) -> None:
        """Strike the marked answer out."""
        from model.tracing.asking import Strike

        place = self.place()
        if place is None:
            self.say(self._unmarked())
            return
        self.dismiss(Strike(place))

    def _unmarked(self) -> str:
        """Say why nothing can be changed."""
        from tui.trace_answer_rows import BEFORE

        marked = self.query_one(RowList).marked_row
        is_before = marked is not None and marked.key.startswith(BEFORE)
        return "That was read before the repair: o reads it anew." if is_before else "No answer is marked."

    def page(self) -> Page | None:
        """Return the answers as text."""
        from tui.trace_answer_rows import answer_detail

        told = [answer_detail(self.seen, place) for place in range(len(self.seen.answers))]
        return Page("trace answers", "\n".join(told) + "\n") if told else None

    def action_back(self) -> None:
        """Go back to the check that is asked."""
        self.dismiss(None)
