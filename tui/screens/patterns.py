"""The patterns that a new circuit is made after."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from tui.commands import Place, bindings_of
from tui.screens.frame import Framed
from tui.text import assembled, plain, width
from tui.widgets.bars import BarFacts
from tui.widgets.sheet_rows import SheetRows, named_rows

if TYPE_CHECKING:
    from tui.standing import Standing

_STYLES = Path(__file__).parent.parent / "styles/forms.tcss"


class PatternsScreen(Framed[None]):
    """Lists the patterns.

    Parameters
    ----------
    standing
        The harness that gets a new circuit.
    """

    PLACE = Place.PATTERNS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.PATTERNS)]
    AUTO_FOCUS = "#fields"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = _STYLES

    def __init__(self, standing: Standing) -> None:
        super().__init__(BarFacts(standing.harness.build.name, "a new circuit"))
        self.standing_before = standing

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: it is the file that is changed here."""

    def body(self) -> Iterable[Widget]:
        """Return the sentence over the list."""
        yield Static(plain(Place.PATTERNS.value), id="lead", classes="lead")
        yield SheetRows(id="fields")

    def on_mount(self) -> None:
        """List the patterns."""
        self.show()

    def on_resize(self) -> None:
        """Fit the words to the width."""
        self.call_after_refresh(self.show)

    def show(self) -> None:
        """Show each pattern with what it is, on as many lines as that takes."""
        from model.review.patterns import PATTERNS

        rows = self.query_one(SheetRows)
        names = max(width(str(pattern)) for pattern in PATTERNS)
        room = max(rows.room - names - 2, 8)
        told = {str(pattern): assembled(words) for pattern, words in PATTERNS.items()}
        rows.show([row for name, words in told.items() for row in named_rows(name, names, words, room)])

    def on_row_list_taken(self) -> None:
        """Open the pattern that was clicked."""
        self.action_open_marked()

    def action_open_marked(self) -> None:
        """Ask what the marked pattern needs."""
        from model.review.patterns import Pattern
        from tui.screens.circuit import CircuitScreen

        marked = self.query_one(SheetRows).marked_row
        if marked is not None:
            self.app.push_screen(CircuitScreen(self.standing_before, Pattern(marked.key)))
