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
from tui.widgets.rows import Row
from tui.widgets.sheet_rows import SheetRows

_SET_IN = "  "


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
        yield SheetRows(id="choices")
        yield Static(bottom_line([("Enter", "take"), ("Esc", "back")], 40), classes="foot")

    def on_mount(self) -> None:
        """Show the rows."""
        self.show_rows()

    def on_resize(self) -> None:
        """Wrap the rows anew."""
        self.call_after_refresh(self.show_rows)

    def show_rows(self) -> None:
        """Show the rows, each head once; what is longer than a line goes on below."""
        column = self.query_one(SheetRows)
        rows: list[Row] = []
        last = None
        for head, key, words in self.choices:
            if head != last:
                rows.append(Row(assembled((head, "bold $feed")), can_be_marked=False))
            last = head
            rows += _lines(words, key, column.room)
        column.show(rows)

    def on_row_list_taken(self) -> None:
        """Take the row that was clicked."""
        self.action_take()

    def action_take(self) -> None:
        """Go back with the marked row."""
        marked = self.query_one(SheetRows).marked_row
        self.dismiss(None if marked is None else marked.key)

    def action_leave(self) -> None:
        """Go back with nothing."""
        self.dismiss(None)


def _lines(words: str, key: str, room: int) -> list[Row]:
    """Return the lines of one choice; from the second on they are set in."""
    first, *rest = assembled(words).wrap(max(room, 8))
    if rest:
        below = " ".join(line.plain for line in rest)
        rest = assembled(below).wrap(max(room - len(_SET_IN), 8))
    lines = [first, *(assembled(_SET_IN, line) for line in rest)]
    return [Row(line, key, can_be_marked=place == 0) for place, line in enumerate(lines)]
