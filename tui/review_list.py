"""The list of reviews: each with what came of it, once that is worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from model.errors import FusewalkError
from tui.review_making import Made, Reviewed, ReviewKind
from tui.text import assembled, padded
from tui.widgets.rows import Row

WORKING_OUT = "being worked out"

_GAP = "  "
_NAME = max(len(kind) for kind in ReviewKind)
_OUTCOME_LEAST = 16


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
    return [row for kind in ReviewKind for row in _rows(kind, made[kind], cells)]


def _rows(kind: ReviewKind, made: Made | None, cells: int) -> Iterator[Row]:
    words, style = outcome_words(made)
    lines = assembled((words, style)).wrap(max(cells - _NAME - len(_GAP), _OUTCOME_LEAST))
    for place, line in enumerate(lines):
        name = padded(str(kind) if place == 0 else "", _NAME)
        yield Row(assembled((name, "bold"), _GAP, line), str(kind), can_be_marked=place == 0)


def list_page(made: Mapping[ReviewKind, Made | None]) -> str:
    """Return the list as text."""
    return "".join(f"{padded(str(kind), _NAME)}{_GAP}{outcome_words(made[kind])[0]}\n" for kind in ReviewKind)
