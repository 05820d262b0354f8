"""A line to type a reading into, with what it is understood as beside it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Input, Static

from model.words import volts_text
from tui.text import plain
from tui.typed import typed_volts
from tui.widgets.line import Line

_NO_READING = "That is no reading: type 12.4 or 12400 mV."


class VoltsEntry(Vertical):
    """Asks for volts; what was typed counts once Enter has been pressed on what stands there in words.

    Parameters
    ----------
    takes
        What Enter does with a reading.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "give_up", show=False)]

    class Taken(Message):
        """Volts have been typed, or nothing."""

        def __init__(self, volts: float | None) -> None:
            super().__init__()
            self.volts = volts

    def __init__(self, takes: str) -> None:
        super().__init__()
        self.question = ""
        self.takes = takes
        self.display = False

    def compose(self) -> ComposeResult:
        """Put the entry over what it is understood as."""
        yield Line(id="volts", most=30)
        yield Static(plain(self.question), id="understood")

    def ask(self, question: str) -> None:
        """Show the line, empty, and go into it; where it stands there already just go into it."""
        entry = self.query_one(Input)
        if not self.display:
            self.question = question
            self.display = True
            entry.value = ""
            self.understand(self.question)
        entry.focus()

    def understand(self, words: str) -> None:
        """Say what is understood."""
        self.query_one("#understood", Static).update(plain(words))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say in words what has been typed so far."""
        event.stop()
        if not event.value.strip():
            self.understand(self.question)
            return
        volts = typed_volts(event.value)
        self.understand(_NO_READING if volts is None else f"{volts_text(volts)} V. {self.takes}")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Give the volts on, where they are any."""
        event.stop()
        volts = typed_volts(event.value)
        if volts is not None or not event.value.strip():
            self.post_message(self.Taken(volts))

    def action_give_up(self) -> None:
        """Empty the line; where it is empty, leave it."""
        entry = self.query_one(Input)
        if entry.value:
            entry.value = ""
        else:
            self.close()

    def close(self) -> None:
        """Hide the line."""
        self.display = False
        self.screen.set_focus(next((one for one in self.screen.query("RowList")), None))
