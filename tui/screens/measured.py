"""What the screens of the plans share: the keeper of what is measured, told where it cannot write."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path, PurePath
from typing import ClassVar

from textual.screen import ModalScreen
from textual.widgets import Static

from tui.plan_keeper import PlanKeeper, record_words
from tui.screens.dialog import QuestionDialog
from tui.screens.frame import Framed
from tui.text import assembled
from tui.widgets.bars import BarFacts

_STYLES = Path(__file__).parent.parent / "styles"


class MeasuredScreen(Framed[None]):
    """A screen beside the record of what is measured; the record is let go while a trace writes it.

    Parameters
    ----------
    keeper
        Shared by the screens that lie above each other.
    facts
        For the line on top.
    """

    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = [_STYLES / "trace.tcss", _STYLES / "plans.tcss"]

    def __init__(self, keeper: PlanKeeper, facts: BarFacts) -> None:
        super().__init__(facts)
        self.keeper = keeper

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the loom is proven as it stands."""

    def on_screen_resume(self) -> None:
        """Open the record, and show what stands in it."""
        if self.keeper.is_open:
            self.show_record()
        else:
            self.aside(self.keeper.open, lambda _: self.show_record(), group="record")

    def on_screen_suspend(self) -> None:
        """Let the record go for whatever else writes it."""
        above = self.app.screen
        if above is not self and not isinstance(above, MeasuredScreen | ModalScreen):
            self.keeper.release()

    def show_record(self) -> None:
        """Show what the record holds now."""
        self.show_trouble()

    def show_trouble(self) -> None:
        """Say what stands between the answers and the record."""
        words, unkept = record_words(self.keeper), self.query_one("#unkept", Static)
        unkept.display = bool(words)
        unkept.update(assembled(words))

    def action_record(self) -> None:
        """Show everything that was measured."""
        from tui.screens.plan_record import RecordScreen

        self.app.push_screen(RecordScreen(self.keeper, self.facts.vehicle))

    def action_quit(self) -> None:
        """Quit; answers that are not written are asked about first."""
        self.ask_unwritten("Quit?", "quit", self.fusewalk.action_leave)

    def ask_unwritten(self, title: str, does: str, go: Callable[[], object]) -> None:
        """Go on with something that gives up what is not written, asked about first where there is such a thing."""
        if self.keeper.unwritten:
            self.keeper.write()
        if not self.keeper.unwritten:
            go()
            return

        def answer(leave: bool | None) -> None:
            if leave:
                go()
            else:
                self.show_trouble()

        question = (
            f"{record_words(self.keeper)} "
            f"What is left is printed when the program ends, to be put into the record by hand."
        )
        self.app.push_screen(QuestionDialog(title, question, does, "go on here"), answer)
