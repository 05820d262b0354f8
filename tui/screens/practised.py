"""How a practice went: what was hidden, and the person's checks and minutes beside the plan's."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from model.errors import FusewalkError
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.frame import Framed
from tui.text import assembled, lines
from tui.widgets.bars import BarFacts
from tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from model.tracing.practice import Planned, Practice

TRACING = "The same vehicle is being traced as the program would."


class PractisedScreen(Framed[bool]):
    """Gives back True where another fault is to be hidden.

    Parameters
    ----------
    practice
        It is over.
    facts
        The line on top of the screen below.
    """

    PLACE = Place.PRACTISED
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.PRACTISED)]
    AUTO_FOCUS = "#told"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = (
        Path(__file__).parent.parent / "styles/practice.tcss"
    )

    def __init__(self, practice: Practice, facts: BarFacts) -> None:
        super().__init__(facts)
        self.practice = practice
        self.compared: list[str] = [TRACING]

    def body(self) -> Iterable[Widget]:
        """Return what was hidden, then the comparison, which scrolls."""
        with VerticalScroll(id="told"):
            yield Static(id="verdict", classes="told lead")
            yield Hanging(id="compared", classes="told")

    def on_mount(self) -> None:
        """Say what it was, and trace it aside as the program would."""
        self.query_one("#verdict", Static).update(lines([assembled((one, "bold")) for one in self.verdict()]))
        self.show_compared()
        self.aside(self.planned, self.arrived, group="planned")

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle of the practice has its own."""

    def verdict(self) -> list[str]:
        """Say whether it was named right, and what it was."""
        from tui.practice_words import verdict_sentences

        assert self.practice.verdict is not None
        return list(verdict_sentences(self.practice, self.practice.verdict))

    def planned(self) -> Planned | FusewalkError:
        """Trace the vehicle; touches no widget."""
        try:
            return self.practice.planned()
        except FusewalkError as error:
            return error

    def arrived(self, planned: Planned | FusewalkError) -> None:
        """Show the plan's checks beside the person's."""
        from tui.practice_words import compared_sentences, seed_sentence

        if isinstance(planned, FusewalkError):
            told = [f"The plan came to no end: {planned.what}"]
        else:
            told = list(compared_sentences(self.practice, planned))
        self.compared = [*told, seed_sentence(self.practice)]
        self.show_compared()

    def show_compared(self) -> None:
        """Show the comparison as far as it is known."""
        self.query_one(Hanging).told = tuple(assembled(one) for one in self.compared)

    def action_another(self) -> None:
        """Hide another fault."""
        self.dismiss(True)

    def page(self) -> Page:
        """Return how it went as text."""
        return Page("practice", "\n".join([*self.verdict(), *self.compared]) + "\n")

    def action_back(self) -> None:
        """Go back to the loads."""
        self.dismiss(None)
