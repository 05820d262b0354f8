"""A short list to choose one row or several from before going on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, TypeVar

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

Result = TypeVar("Result")

_SET_IN = "  "
_TICKED, _NOT_TICKED = "[x] ", "[ ] "


class ChooseFrom(LeftOnce[Result], ModalScreen[Result]):
    """A question over rows; a subclass takes what was chosen by `action_take`. Nothing comes back where it was left.

    What a click does is the subclass's alone: a handler here would be called besides its own.

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
    FOOT: ClassVar[tuple[tuple[str, str], ...]] = (("Enter", "take"), ("Esc", "back"))

    def __init__(self, question: str, rows: Sequence[tuple[str, str, str]]) -> None:
        super().__init__()
        self.question = question
        self.choices = tuple(rows)

    def compose(self) -> ComposeResult:
        """Put the rows under the question."""
        yield Static(assembled((self.question, "bold")), classes="heading")
        yield SheetRows(id="choices")
        yield Static(bottom_line(list(self.FOOT), 40), classes="foot")

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
            rows += _lines(self.row_words(key, words), key, column.room)
        column.show(rows)

    def row_words(self, key: str, words: str) -> str:
        """Return what a row says."""
        return words

    def marked_key(self) -> str | None:
        """Return the key of the marked row."""
        marked = self.query_one(SheetRows).marked_row
        return None if marked is None else marked.key

    def action_leave(self) -> None:
        """Go back with nothing."""
        self.dismiss(None)


class ChooseScreen(ChooseFrom[str]):
    """Gives back the key of the row that Enter takes."""

    def on_row_list_taken(self) -> None:
        """Take the row that was clicked."""
        self.action_take()

    def action_take(self) -> None:
        """Go back with the marked row."""
        self.dismiss(self.marked_key())


class ChooseSeveral(ChooseFrom[tuple[str, ...]]):
    """Gives back the keys of the rows that are ticked, in their order; of the marked one where none is."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("space", "tick", show=False)]
    FOOT = (("Enter", "take"), ("Space", "tick"), ("Esc", "back"))

    def __init__(self, question: str, rows: Sequence[tuple[str, str, str]]) -> None:
        super().__init__(question, rows)
        self.ticked: set[str] = set()

    def row_words(self, key: str, words: str) -> str:
        """Return what a row says, its tick before it."""
        return f"{_TICKED if key in self.ticked else _NOT_TICKED}{words}"

    def on_row_list_taken(self) -> None:
        """Tick the row that was clicked."""
        self.action_tick()

    def action_tick(self) -> None:
        """Tick the marked row, or take its tick away."""
        key = self.marked_key()
        if key is not None:
            self.ticked ^= {key}
            self.show_rows()

    def action_take(self) -> None:
        """Go back with what is ticked, else with the marked row."""
        marked = self.marked_key()
        ticked = tuple(key for _, key, _ in self.choices if key in self.ticked)
        self.dismiss(ticked or (None if marked is None else (marked,)))


def _lines(words: str, key: str, room: int) -> list[Row]:
    """Return the lines of one choice; from the second on they are set in."""
    first, *rest = assembled(words).wrap(max(room, 8))
    if rest:
        below = " ".join(line.plain for line in rest)
        rest = assembled(below).wrap(max(room - len(_SET_IN), 8))
    lines = [first, *(assembled(_SET_IN, line) for line in rest)]
    return [Row(line, key, can_be_marked=place == 0) for place, line in enumerate(lines)]
