"""A question that is answered by typing, with what fits below it; a near miss is told."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from model.errors import FusewalkError
from tui.commands import Place
from tui.screens.left_once import LeftOnce
from tui.text import assembled, padded, width
from tui.widgets.bars import bottom_line
from tui.widgets.line import Line
from tui.widgets.rows import Row, RowList
from tui.widgets.whole import WholeRow

NOTHING_FITS = "Nothing fits that."
_SEVERAL_FIT = "Enter takes the marked one, the arrows mark another."

Answer = TypeVar("Answer")


class AskScreen(LeftOnce[Answer], ModalScreen[Answer]):
    """Gives back what was typed, read by `read`; None where it was left.

    Parameters
    ----------
    question
        In a sentence.
    hint
        What stands in the empty entry.
    read
        Reads what was typed; a `FusewalkError` is told under the entry where nothing that is offered fits.
    offer
        Names rows that fit what was typed: what to take, and how it is shown.
    """

    PLACE: ClassVar[Place] = Place.DIALOG
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", show=False)]
    AUTO_FOCUS = "#typed"

    def __init__(
        self,
        question: str,
        hint: str,
        read: Callable[[str], Answer],
        offer: Callable[[str], list[tuple[str, str]]] | None = None,
    ) -> None:
        super().__init__()
        self.question = question
        self.hint = hint
        self.read = read
        self.offer = offer
        self.chooses = False
        self.offered: list[tuple[str, str]] = []

    def compose(self) -> ComposeResult:
        """Put the entry under the question."""
        yield Static(assembled((self.question, "bold")), classes="heading")
        yield Line(placeholder=self.hint, id="typed")
        yield Static(assembled(""), id="wrong")
        yield RowList(id="offered")
        yield WholeRow()
        keys = [("Enter", "take"), ("Esc", "back")]
        yield Static(bottom_line([*keys, *([("Down", "choose")] if self.offer else [])], 40), classes="foot")

    def on_mount(self) -> None:
        """Keep the keys in the entry."""
        self.query_one(Input).cursor_blink = False
        self.query_one(RowList).can_focus = False
        self.say_wrong("")

    def on_resize(self) -> None:
        """Say the marked row whole where the new width cuts it."""
        self.call_after_refresh(self.show_whole)

    def on_line_refused(self, event: Line.Refused) -> None:
        """Say that there is no room."""
        self.say_wrong(event.sentence)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Offer what fits."""
        self.chooses = False
        self.say_wrong("")
        offered = self.offer(event.value) if self.offer is not None and event.value.strip() else []
        self.offered = offered
        self.show_offered()

    def show_offered(self) -> None:
        """Show what fits; nothing is marked until the arrows choose among it."""
        column = max((width(name) for name, _ in self.offered), default=0)
        rows = [
            Row(assembled(padded(name, column), "   ", shown), name, can_be_marked=self.chooses)
            for name, shown in self.offered
        ]
        if not rows and self.offer is not None and self.query_one(Input).value.strip():
            rows = [Row(assembled((NOTHING_FITS, "$quiet")), can_be_marked=False)]
        self.query_one(RowList).show(rows)
        self.show_whole()

    def on_row_list_marked(self) -> None:
        """Say the marked row whole."""
        self.show_whole()

    def show_whole(self) -> None:
        """Say what the list has no room for."""
        self.query_one(WholeRow).tell(self.query_one(RowList).cut_words)

    def on_input_submitted(self) -> None:
        """Take what was typed; the marked row where the arrows have been in the list."""
        marked = self.query_one(RowList).marked_row
        typed = marked.key if self.chooses and marked is not None else self.query_one(Input).value.strip()
        self.take(typed, is_last=self.chooses)

    def take(self, typed: str, is_last: bool) -> None:
        """Give back what was typed; else, unless it is the last try, the one thing that fits it, or mark the first.

        Where nothing that is offered has all that was typed it is said what is wrong: nothing is guessed.
        """
        try:
            answer = self.read(typed)
        except FusewalkError as error:
            fitting = [name for name, shown in self.offered if _words(typed) <= _words(f"{name} {shown}")]
            if is_last or not fitting:
                self.say_wrong(f"{error.what} {error.do}")
            elif len(fitting) == 1:
                self.take(fitting[0], is_last=True)
            else:
                self.choose(1)
                self.query_one(RowList).mark_key(fitting[0])
                self.say_wrong(f"{error.what} {_SEVERAL_FIT}")
            return
        self.dismiss(answer)

    def on_row_list_taken(self) -> None:
        """Take the row that was clicked."""
        self.on_input_submitted()

    def key_up(self) -> None:
        """Mark the row above."""
        self.choose(-1)

    def key_down(self) -> None:
        """Go into the list, then mark the row below."""
        self.choose(1)

    def choose(self, way: int) -> None:
        """Mark a row of what is offered; the first arrow marks the first one."""
        if self.chooses:
            self.query_one(RowList).action_step(way)
            return
        self.chooses = True
        self.show_offered()

    def say_wrong(self, sentence: str) -> None:
        """Say under the entry why it cannot be taken."""
        wrong = self.query_one("#wrong", Static)
        wrong.update(assembled((sentence, "bold $caution")))
        wrong.display = bool(sentence)

    def action_leave(self) -> None:
        """Go back with nothing."""
        self.dismiss(None)


def _words(text: str) -> set[str]:
    """Give the words and figures of a text: ``X2.cab.6`` has three."""
    return set(re.findall(r"\w+", text.casefold()))
