"""The record of a loom: everything that was measured on it, by date."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from model.words import plural
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.plan_keeper import PlanKeeper
from tui.plan_record_rows import (
    RecordShown,
    entry_sentences,
    record_heads,
    record_page,
    record_rows,
    record_shown,
)
from tui.screens.measured import MeasuredScreen
from tui.text import assembled, plain
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.amending import Done


class RecordScreen(MeasuredScreen):
    """Lists what was measured, the marked entry told in full below."""

    PLACE = Place.RECORD
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.RECORD)]
    AUTO_FOCUS = "#entries"

    def __init__(self, keeper: PlanKeeper, vehicle: str) -> None:
        super().__init__(keeper, BarFacts(vehicle, "record"))
        self.shown = RecordShown((), ())

    def body(self) -> Iterable[Widget]:
        """Return the list over the marked entry in full."""
        yield Static(id="unkept")
        yield Static(plain(Place.RECORD.value), id="lead", classes="lead")
        yield Static(id="heads", classes="heads")
        yield RowList(id="entries")
        yield Static(id="detail", classes="told")

    def show_record(self) -> None:
        """List what the record holds, the last entry marked at first."""
        super().show_record()
        self.shown = record_shown(self.keeper.entries, self.keeper.trouble, self.keeper.unwritten)
        rows = self.query_one(RowList)
        is_first = not rows.rows
        self.show_list()
        if is_first and self.shown.entries:
            rows.mark_key(str(len(self.shown.entries) - 1))

    def show_list(self) -> None:
        """Make the rows for the width there is."""
        rows = self.query_one(RowList)
        self.query_one("#heads", Static).update(record_heads(self.shown, rows.room))
        rows.show(record_rows(self.shown, rows.room))
        self.facts = BarFacts(self.facts.vehicle, f"record, {plural(len(self.shown.entries), 'entry')}")
        self.show_detail()

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.show_list)

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_detail()

    def show_detail(self) -> None:
        """Say the marked entry in full."""
        marked = self.query_one(RowList).marked_row
        words = "Nothing has been measured yet." if self.keeper.is_open else "The record is being read."
        if marked is not None and marked.key.startswith("trouble "):
            trouble = self.shown.trouble[int(marked.key.removeprefix("trouble "))]
            words = f"Passed over, {trouble} It stays in the file as it is."
        elif marked is not None:
            place = int(marked.key)
            waits = place >= len(self.shown.entries) - self.shown.unwritten
            words = " ".join(entry_sentences(self.shown, self.shown.entries[place], waits))
        self.query_one("#detail", Static).update(assembled(words))

    def action_undo_amendment(self) -> None:
        """Take the last amendment back, asked about first."""
        from tui.amending_screens import ask_undo

        ask_undo(self, self.undone, self.beside)

    def beside(self, work: Callable[[], Done]) -> Done:
        """Do something that writes the record itself: it is let go for that."""
        self.keeper.release()
        return work()

    def undone(self, done: Done) -> None:
        """Go back to the loads, on the file as it was before the amendment."""
        from tui.putting_in import done_words
        from tui.restand import show_revision

        show_revision(self.fusewalk, done.after, said=done_words(done))

    def page(self) -> Page | None:
        """Return the record as text."""
        return Page("record", record_page(self.shown)) if self.shown.entries or self.shown.trouble else None
