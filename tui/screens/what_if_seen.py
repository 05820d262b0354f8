"""What one would see of a fault: the loads that change in each key state, fuses that open, relays that buzz."""

from __future__ import annotations

from collections.abc import Iterable
from time import monotonic
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.events import Resize
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static
from textual.worker import get_current_worker

from tui.commands import Place, bindings_of
from tui.fault_words import fault_words
from tui.pages import Page
from tui.screens.frame import Framed
from tui.text import plain
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.circuit.faults import Fault
    from tui.standing import Standing
    from tui.what_if_run import Outcome

_TOLD_EVERY_S = 0.1


class SeenScreen(Framed[bool]):
    """Works out what a fault does; gives back whether it has been put in."""

    PLACE = Place.SEEN
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.SEEN)]
    AUTO_FOCUS = "#seen"

    class Progress(Message):
        """How far it is, in words."""

        def __init__(self, words: str) -> None:
            super().__init__()
            self.words = words

    def __init__(self, fault: Fault) -> None:
        super().__init__(BarFacts("", f"what if: {fault_words(fault)}"))
        self.fault = fault
        self.outcome: Outcome | None = None

    def body(self) -> Iterable[Widget]:
        """Return what is being done over the loads."""
        yield Static(plain("Working it out."), id="progress", classes="lead")
        yield RowList(id="seen")

    def on_mount(self) -> None:
        """Work it out aside; what is left is not worked out to its end."""
        standing = self.fusewalk.standing
        if standing is None:
            return
        self.facts = BarFacts(standing.harness.build.name, self.facts.doing)
        self.aside(lambda: self.worked_out(standing), self.show_outcome)

    def worked_out(self, standing: Standing) -> Outcome | None:
        """Work out what the fault does; touches no widget."""
        from tui.what_if_run import NobodyWaitsError, run_what_if

        worker, last, begun = get_current_worker(), 0.0, ""

        def told(words: str) -> None:
            nonlocal last, begun
            beginning = words.partition(":")[0]
            if beginning != begun or monotonic() - last >= _TOLD_EVERY_S:
                last, begun = monotonic(), beginning
                self.post_message(self.Progress(words))

        try:
            return run_what_if(standing, self.fault, told, lambda: worker.is_cancelled)
        except NobodyWaitsError:
            return None

    def on_seen_screen_progress(self, event: Progress) -> None:
        """Say how far it is."""
        if self.outcome is None:
            self.query_one("#progress", Static).update(plain(f"{event.words} Enter puts it in, Esc leaves it."))

    def show_outcome(self, outcome: Outcome | None) -> None:
        """Show what one would see."""
        if outcome is None:
            return
        self.outcome = outcome
        self.query_one("#progress", Static).update(plain(self.summary(outcome)))
        self.fit_rows()

    def summary(self, outcome: Outcome) -> str:
        """Say how much changes."""
        from model.words import plural

        return (
            f"With {fault_words(self.fault)}: {plural(len(outcome.seen.loads), 'load')} would change. Enter puts it in."
        )

    def on_resize(self, _: Resize) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.fit_rows)

    def fit_rows(self) -> None:
        """Fill the list."""
        standing = self.fusewalk.standing
        if self.outcome is None or standing is None:
            return
        from tui.fault_rows import seen_rows

        column = self.query_one(RowList)
        cells = column.room
        column.show(seen_rows(standing.harness, self.outcome.seen, self.outcome.buzzing, cells))

    def on_row_list_taken(self) -> None:
        """Put the fault in."""
        self.action_keep()

    def action_keep(self) -> None:
        """Put the fault in: every screen then shows the vehicle with it."""
        standing = self.fusewalk.standing
        if standing is None:
            return
        self.fusewalk.standing = standing.with_fault(self.fault)
        self.dismiss(True)

    def page(self) -> Page | None:
        """Return what one would see as text."""
        standing = self.fusewalk.standing
        if self.outcome is None or standing is None:
            return None
        from tui.fault_rows import seen_text

        head = f"What if: {fault_words(self.fault)}"
        text = seen_text(standing.harness, self.outcome.seen, self.outcome.buzzing)
        return Page(f"what if {self.fault.site} {self.fault.kind}", f"{head}\n\n{text}")
