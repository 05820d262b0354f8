"""The reviews of a harness as the screens ask for them: each made once, in a thread."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from threading import Lock

from model.circuit.bench import Bench
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.sheets.review_sheet import ReviewSheet
from tui.review_rows import Laid, lay_out

Words = tuple[tuple[str, str], ...]
"""Heads and what there is to say under each."""


class ReviewKind(StrEnum):
    """What a loom is looked over for, in the order of the list."""

    LIVE = "what is live"
    DRAW = "draw with the key off"
    FUSES = "fuses"
    FEEDS = "key feeds"
    FINDINGS = "findings"
    GLANCE = "the loom at a glance"


ABOUT = {
    ReviewKind.LIVE: "Every point with volts on it, and why. Turn the key or make settings there: it follows.",
    ReviewKind.DRAW: "What leaves the battery with everything at rest, fuse by fuse, and how long that can go on.",
    ReviewKind.FUSES: "What each fuse feeds and carries, what its wire bears, and what dies when it is pulled.",
    ReviewKind.FEEDS: "In which key states each load has feed, beside those in which the file asks for it.",
    ReviewKind.FINDINGS: "What in the design can hurt, fails or works badly, the gravest first, and what to do.",
    ReviewKind.GLANCE: "From the sources down: what feeds what, fuse by fuse.",
}
"""What each review tells."""


@dataclass(frozen=True)
class Reviewed:
    """A review.

    Attributes
    ----------
    title
        What it is, in words that make a file name.
    outcome
        What came of it, in one line.
    lay
        Lays it out in rows of at most so many cells, for a window of so many lines.
    markdown
        Prints it.
    below
        What there is to say besides of each row that can be marked, in their order; empty where the rows say it all.
    cautions
        Those that the rows may have in one line; empty where they always have them whole.
    """

    title: str
    outcome: str
    lay: Callable[[int, int], Laid]
    markdown: Callable[[], str]
    below: tuple[Words, ...] = ()
    cautions: tuple[str, ...] = ()


def sheet_reviewed(
    sheet: ReviewSheet, outcome: str, shown: ReviewSheet | None = None, below: tuple[Words, ...] = ()
) -> Reviewed:
    """Give a review that is a sheet.

    Parameters
    ----------
    shown
        The sheet as the rows of a screen have it, where they say less of each thing.
    """
    return Reviewed(sheet.title, outcome, partial(lay_out, shown or sheet), partial(_markdown, sheet), below)


def _markdown(sheet: ReviewSheet) -> str:
    from model.sheets.review_markdown import review_markdown

    return review_markdown(sheet)


Made = Reviewed | Exception
"""A review, or why there is none: what a person can mend as a `FusewalkError`."""


class ReviewsMade:
    """The reviews of one harness.

    Making one may take a second and belongs in a thread.
    """

    def __init__(self) -> None:
        self._made: dict[ReviewKind, Made] = {}
        self._lock = Lock()

    def kept(self, kind: ReviewKind) -> Made | None:
        """Give a review that has been made before; None where it has not."""
        return self._made.get(kind)

    def make(self, kind: ReviewKind, bench: Bench) -> Made:
        """Give a review, or why it cannot be made.

        Parameters
        ----------
        bench
            With the battery as the file has it.
        """
        with self._lock:
            if kind not in self._made:
                self._made[kind] = _made(kind, bench)
            return self._made[kind]


@once_per_harness
def reviews_of(harness: Harness) -> ReviewsMade:
    """Give the reviews of a harness: one object for as long as it lives."""
    return ReviewsMade()


def _made(kind: ReviewKind, bench: Bench) -> Made:
    try:
        # imported late: it pulls in the solver, which the first screen does without
        from tui.review_makers import MAKERS

        return MAKERS[kind](bench)
    except Exception as error:  # the other reviews are made all the same, and the screen tells it
        return error
