"""The list of reviews of a loom, each with what came of it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.review_list import list_page, list_rows
from tui.review_making import ABOUT, Made, ReviewKind, reviews_of
from tui.screens.frame import Framed
from tui.text import assembled, plain
from tui.widgets.bars import BarFacts
from tui.widgets.sheet_rows import SheetRows

if TYPE_CHECKING:
    from tui.standing import Standing

_STYLES = Path(__file__).parent.parent / "styles/review.tcss"


class ReviewsScreen(Framed[None]):
    """Lists what a loom is looked over for; each review is made in a thread.

    Parameters
    ----------
    standing
        The harness that is looked over: as its file has it, without the faults and settings put in.
    """

    PLACE = Place.REVIEWS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.REVIEWS)]
    AUTO_FOCUS = "#reviews"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = _STYLES

    def __init__(self, standing: Standing) -> None:
        super().__init__(BarFacts(standing.harness.build.name, "the loom looked over"))
        self.bench = standing.walks.bench
        self.path = standing.path
        self.reviews = reviews_of(standing.harness)

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the loom is looked over as its file has it."""

    def body(self) -> Iterable[Widget]:
        """Return the sentence, the list, and what the marked review tells."""
        yield Static(plain(Place.REVIEWS.value), id="lead", classes="lead")
        yield SheetRows(id="reviews")
        yield Static(id="detail", classes="told")

    def on_mount(self) -> None:
        """Show what is known, and make the reviews aside."""
        self.show_list()
        self.make_next()

    def make_next(self) -> None:
        """Make the next review that has not been made, the marked one first."""
        missing = next((kind for kind in (self.marked_kind(), *ReviewKind) if self.reviews.kept(kind) is None), None)
        if missing is not None:
            self.aside(partial(self.reviews.make, missing, self.bench), self._arrived, group="reviews")

    def _arrived(self, _: Made) -> None:
        self.show_list()
        self.make_next()

    def show_list(self) -> None:
        """Show the list as far as it is known."""
        rows = self.query_one(SheetRows)
        rows.show(list_rows({kind: self.reviews.kept(kind) for kind in ReviewKind}, rows.room))
        self.show_detail()

    def on_resize(self) -> None:
        """Fit the outcomes to the width."""
        self.call_after_refresh(self.show_list)

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_detail()

    def show_detail(self) -> None:
        """Say what the marked review tells."""
        self.query_one("#detail", Static).update(assembled(ABOUT[self.marked_kind()]))

    def marked_kind(self) -> ReviewKind:
        """Return which review is marked."""
        marked = self.query_one(SheetRows).marked_row
        return next(iter(ReviewKind)) if marked is None else ReviewKind(marked.key)

    def on_row_list_taken(self) -> None:
        """Open what was clicked."""
        self.action_open_marked()

    def action_open_marked(self) -> None:
        """Open the marked review."""
        from tui.screens.review import open_review

        open_review(self.fusewalk, self.marked_kind())

    def page(self) -> Page:
        """Return the list as text."""
        return Page(f"{self.path.stem} looked over", list_page({kind: self.reviews.kept(kind) for kind in ReviewKind}))
