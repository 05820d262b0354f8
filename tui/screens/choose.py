"""A short list to choose one row from before going on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.commands import Place
from tui.screens.left_once import LeftOnce
from tui.text import assembled
from tui.widgets.bars import bottom_line
from tui.widgets.rows import Row, RowList


class ChooseScreen(LeftOnce[str], ModalScreen[str]):
    """Gives back the key of the row that Enter takes; nothing where it was left.

    Parameters
    ----------
    question
        In a sentence.
    rows
        Each under a head: the head, the key, the words.
    """

    PLACE: ClassVar[Place] = Place.DIALOG
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "take", show=False),
        Binding("escape", "leave", show=False),
    ]
    AUTO_FOCUS = "#choices"

    def __init__(self, question: str, rows: Sequence[tuple[str, str, str]]) -> None:
        super().__init__()
        self.question = question
        self.choices = tuple(rows)

    def compose(self) -> ComposeResult:
        """Put the rows under the question."""
        yield Static(assembled((self.question, "bold")), classes="heading")
        yield RowList(id="choices")
        yield Static(bottom_line([("Enter", "take"), ("Esc", "back")], 40), classes="foot")

    def on_mount(self) -> None:
        """Show the rows, each head once."""
        rows: list[Row] = []
        last = None
        for head, key, words in self.choices:
            if head != last:
                rows.append(Row(assembled((head, "bold $feed")), can_be_marked=False))
            last = head
            rows.append(Row(assembled(words), key))
        self.query_one(RowList).show(rows)

    def on_row_list_taken(self) -> None:
        """Take the row that was clicked."""
        self.action_take()

    def action_take(self) -> None:
        """Go back with the marked row."""
        marked = self.query_one(RowList).marked_row
        self.dismiss(None if marked is None else marked.key)

    def action_leave(self) -> None:
        """Go back with nothing."""
        self.dismiss(None)
