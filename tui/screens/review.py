"""One review of a loom: its sheet as rows, Enter to the part of the marked one."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType

from tui.commands import Place, bindings_of
from tui.review_making import Made, ReviewKind, reviews_of
from tui.screens.sheeted import Sheeted
from tui.widgets.bars import BarFacts

if TYPE_CHECKING:
    from tui.app import FusewalkApp
    from tui.standing import Standing


class ReviewScreen(Sheeted):
    """Shows a review of the harness as its file has it.

    Parameters
    ----------
    standing
        The harness that is looked over, without the faults and settings put in.
    """

    PLACE = Place.REVIEW
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.REVIEW)]

    def __init__(self, standing: Standing, kind: ReviewKind) -> None:
        super().__init__(BarFacts(standing.harness.build.name, str(kind)))
        self.bench = standing.walks.bench
        self.kind = kind

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the loom is looked over as its file has it."""

    def on_mount(self) -> None:
        """Show the review."""
        self.make_review()

    def make_review(self) -> None:
        """Show the review, made aside where it has not been."""
        reviews = reviews_of(self.bench.harness)
        known = reviews.kept(self.kind)
        if known is None:
            self.aside(partial(reviews.make, self.kind, self.bench), self.take_review, group="review")
        else:
            self.take_review(known)

    def take_review(self, made: Made) -> None:
        """Show a review, or say why there is none."""
        if isinstance(made, Exception):
            self.dismiss(None)
            self.app.call_later(self.fusewalk.tell, made)
            return
        self.show_reviewed(made)


def open_review(app: FusewalkApp, kind: ReviewKind) -> None:
    """Open a review of the harness that the app holds."""
    standing = app.standing
    if standing is None:
        return
    if kind is ReviewKind.LIVE:
        from tui.screens.live import open_live

        open_live(app, standing)
    elif kind is ReviewKind.DRAW:
        from tui.screens.draw import DrawScreen

        app.push_screen(DrawScreen(standing))
    else:
        app.push_screen(ReviewScreen(standing, kind))
