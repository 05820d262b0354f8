"""The list of reviews: each with what came of it, once that is worked out."""

from __future__ import annotations

from collections.abc import Mapping

from model.errors import FusewalkError
from tui.review_making import Made, Reviewed, ReviewKind
from tui.text import assembled, padded
from tui.widgets.rows import Row
from tui.widgets.sheet_rows import named_rows

WORKING_OUT = "being worked out"

_GAP = "  "
_NAME = max(len(kind) for kind in ReviewKind)
_OUTCOME_LEAST = 10


def outcome_words(made: Made | None) -> tuple[str, str]:
    """Say what came of a review, or why there is none, and in which style."""
    if made is None:
        return WORKING_OUT, "$quiet"
    if isinstance(made, Reviewed):
        return made.outcome, ""
    if isinstance(made, FusewalkError):
        return f"cannot be worked out: {made.what} {made.do}".rstrip(), "$caution"
    return "a fault of the program itself; Enter keeps a note of it", "$caution"


def list_rows(made: Mapping[ReviewKind, Made | None], cells: int) -> list[Row]:
    """Return the reviews for a list so many cells wide; an outcome that is too long goes on below."""
    room = max(cells - _NAME - len(_GAP), _OUTCOME_LEAST)
    outcomes = {kind: assembled(outcome_words(made[kind])) for kind in ReviewKind}
    return [row for kind, outcome in outcomes.items() for row in named_rows(str(kind), _NAME, outcome, room)]


def list_page(made: Mapping[ReviewKind, Made | None]) -> str:
    """Return the list as text."""
    return "".join(f"{padded(str(kind), _NAME)}{_GAP}{outcome_words(made[kind])[0]}\n" for kind in ReviewKind)
