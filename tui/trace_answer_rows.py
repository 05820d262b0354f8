"""The rows of the answers of a trace."""

from __future__ import annotations

from collections.abc import Iterator

from model.sheets.condition_words import condition_words
from model.tracing.answer_words import outcome_words
from model.tracing.check_words import check_part
from model.tracing.names import part_name
from tui.text import assembled, padded, width
from tui.trace_run import Seen
from tui.trace_step import answer_title, check_title
from tui.widgets.rows import Row

SKIPPED = "skipped "
BEFORE = "before "
_NUMBER = 3
_CAME_MOST = 22


def answer_rows(seen: Seen, cells: int) -> list[Row]:
    """Return a row for each answer, then for each reading before a repair, then for each check that was not made."""
    return [*_answers(seen, cells), *_before(seen, cells), *_skipped(seen, cells)]


def answer_detail(seen: Seen, place: int) -> str:
    """Return an answer in full: the check, its condition, what came of it, and what is odd about it."""
    answered = seen.answers[place]
    words = f"{place + 1}. {answer_title(seen.harness, answered)}"
    words += f" ({condition_words(seen.harness, answered.check.condition)})."
    return f"{words} {answered.surprise_words}".rstrip()


def _answers(seen: Seen, cells: int) -> Iterator[Row]:
    came = [outcome_words(answered.check, answered.outcome) for answered in seen.answers]
    came_cells = min(max([0, *(width(words) for words in came)]), _CAME_MOST)
    for place, answered in enumerate(seen.answers):
        odd = " odd" if answered.surprising else ""
        title_cells = max(cells - _NUMBER - 2 - came_cells - len(" odd") - 1, 8)
        content = assembled(
            padded(str(place + 1), _NUMBER, right=True),
            "  ",
            padded(check_title(seen.harness, answered.check), title_cells),
            " ",
            (padded(came[place], came_cells, right=True), "bold"),
            (odd, "$suspect"),
        )
        yield Row(content, str(place))


def _before(seen: Seen, cells: int) -> Iterator[Row]:
    if seen.before:
        yield Row(assembled(("read before the repair, not weighed any more", "bold")), can_be_marked=False)
    for place, answered in enumerate(seen.before):
        yield Row(assembled(padded(answer_title(seen.harness, answered), cells)), f"{BEFORE}{place}")


def _skipped(seen: Seen, cells: int) -> Iterator[Row]:
    if not seen.skipped:
        return
    yield Row(assembled(("could not be reached; Enter: it can after all", "bold")), can_be_marked=False)
    for place, check in enumerate(seen.skipped):
        name = part_name(seen.harness, check_part(check))
        words = f"{check_title(seen.harness, check)}, on {name}"
        yield Row(assembled(padded(words, cells)), f"{SKIPPED}{place}")
