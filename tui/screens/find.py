"""The search: commands and whatever the screen below offers, found by a few letters."""

from collections.abc import Callable, Sequence
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from tui.commands import Command, Place, bindings_of, commands_of, key_label
from tui.screens.frame import Findable, Framed
from tui.text import assembled, padded, plain, width
from tui.widgets.bars import bottom_line
from tui.widgets.rows import Row, RowList

SHOWN_MOST = 50
_WORDS_MOST = 48


def found(typed: str, choices: Sequence[Findable]) -> list[Findable]:
    """Return the choices that hold every word typed, those that begin with the first word in front.

    Capitals do not matter; nothing typed gives all of them in their order.
    """
    words = typed.casefold().split()
    if not words:
        return list(choices)

    def rank(choice: Findable) -> int:
        name = choice.words.casefold()
        if name.startswith(words[0]):
            return 0
        return 1 if any(part.startswith(words[0]) for part in name.split()) else 2

    hits = [choice for choice in choices if all(word in f"{choice.words} {choice.note}".casefold() for word in words)]
    return sorted(hits, key=rank)


def findable_commands(below: Framed[Any]) -> list[Findable]:
    """Return the commands of a screen as choices of the search."""

    def runner(command: Command) -> Callable[[], object]:
        return lambda: below.call_later(below.app.run_action, command.action, below)

    return [
        Findable(command.search, f"key {key_label(command.keys[0])}", runner(command))
        for command in commands_of(below.PLACE)
        if command.search
    ]


class FindScreen(ModalScreen[Findable | None]):
    """Asks for a few letters, gives back what was chosen.

    Parameters
    ----------
    choices
        Everything that can be found from here.
    """

    PLACE: ClassVar[Place] = Place.FIND
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.FIND)]
    AUTO_FOCUS = "#typed"

    def __init__(self, choices: Sequence[Findable]) -> None:
        super().__init__()
        self.choices = tuple(choices)
        self.hits: list[Findable] = []

    def compose(self) -> ComposeResult:
        """Put the entry over the list."""
        yield Static(assembled(Place.FIND.value), classes="lead")
        yield Input(placeholder="letters", id="typed", compact=True)
        yield RowList(id="hits")
        yield Static(bottom_line([("Enter", "go there"), ("Esc", "back")], 40), classes="foot")

    def on_mount(self) -> None:
        """Show everything at first."""
        self.query_one(RowList).can_focus = False
        self.show_hits("")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what matches what has been typed."""
        self.show_hits(event.value)

    def on_input_submitted(self) -> None:
        """Go to the marked one."""
        self.action_go()

    def on_row_list_taken(self) -> None:
        """Go to the one that was clicked."""
        self.action_go()

    def key_up(self) -> None:
        """Mark the one above."""
        self.query_one(RowList).action_step(-1)

    def key_down(self) -> None:
        """Mark the one below."""
        self.query_one(RowList).action_step(1)

    def show_hits(self, typed: str) -> None:
        """Fill the list, the first one marked."""
        self.hits = found(typed, self.choices)[:SHOWN_MOST]
        column = min(max((width(hit.words) for hit in self.hits), default=0), _WORDS_MOST)
        rows = [
            Row(plain(f"{padded(hit.words, column)}   {hit.note}"), f"{place} {hit.words}")
            for place, hit in enumerate(self.hits)
        ]
        self.query_one(RowList).show(rows)

    def action_go(self) -> None:
        """Go back with the marked one, where there is one."""
        marked = self.query_one(RowList).marked
        if marked is not None:
            self.dismiss(self.hits[marked])

    def action_back(self) -> None:
        """Go back with nothing."""
        self.dismiss(None)
