"""The rows of the reasons of a trace: suspects with their shares, what each answer leaves, the other checks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from textual.content import Content

from model.harness.harness import Harness
from model.tracing.asking import Offered
from model.tracing.fault_words import suspect_words
from model.tracing.named_checks import apart_words
from model.tracing.suspects import Suspect
from model.words import plural
from tui.text import Part, assembled, padded, painted, wrapped_lines
from tui.trace_run import Why
from tui.trace_step import check_title, minutes_words
from tui.widgets.rows import Row

BEST_SHOWN = 5
SUSPECTS_SHOWN = 8
_SHARE = 5
_MINUTES = 14
_LEAST_SHARE = 0.005


def why_rows(harness: Harness, why: Why, cells: int) -> list[Row]:
    """Return the rows: those of the other checks can be marked, their keys count from 0.

    The best of them stand before the suspects: what Enter takes is then in the window. Once the trace has ended every
    suspect is listed, before all else.
    """
    rows: list[Row] = []
    if why.question is None:
        rows += _suspects(harness, why.suspects, cells, len(why.suspects))
    else:
        rows += _paragraph(why.question.why, cells)
        rows += _outlooks(why, cells)
    titles = offered_titles(harness, why)
    checks = [_check(titles[place], place, offered, cells) for place, offered in enumerate(why.offered)]
    rows += _head("other checks" if checks else "no other check can be made now")
    rows += checks[:BEST_SHOWN]
    if why.question is not None:
        rows += _suspects(harness, why.suspects, cells, SUSPECTS_SHOWN)
    if checks[BEST_SHOWN:]:
        rows += _head("further checks")
    return rows + checks[BEST_SHOWN:]


def offered_titles(harness: Harness, why: Why) -> list[str]:
    """Name the other checks; of those that are named alike it is said first what is set otherwise than usual."""
    titles = [check_title(harness, one.check) for one in why.offered]
    counts = Counter(titles)
    return [
        ": ".join(filter(None, (apart_words(harness, one.check, why.usual), title))) if counts[title] > 1 else title
        for one, title in zip(why.offered, titles, strict=True)
    ]


def _check(title: str, place: int, offered: Offered, cells: int) -> Row:
    minutes = padded(minutes_words(offered.minutes), _MINUTES, right=True)
    return Row(assembled(padded(title, title_cells(cells)), "  ", (minutes, "$quiet")), str(place))


def title_cells(cells: int) -> int:
    """Return how many cells the name of a check has in a list so many cells wide."""
    return max(cells - _MINUTES - 2, 8)


def suspect_lines(harness: Harness, suspects: tuple[Suspect, ...], most: int) -> Iterator[tuple[str, str]]:
    """Give share and words of the likeliest suspects, then how many there are besides."""
    shown = suspects[:most]
    for suspect in shown:
        yield share_text(suspect.probability), suspect_words(harness, suspect)
    if len(suspects) > len(shown):
        rest = sum(suspect.probability for suspect in suspects[most:])
        yield share_text(rest), f"{plural(len(suspects) - most, 'other')} together"


def share_text(share: float) -> str:
    """Return a share in hundredths: ``31 %``, ``<1 %``."""
    return "<1 %" if share < _LEAST_SHARE else f"{100 * share:.0f} %"


def _suspects(harness: Harness, suspects: tuple[Suspect, ...], cells: int, most: int) -> Iterator[Row]:
    yield from _head("suspects")
    for share, words in suspect_lines(harness, suspects, most):
        lines = wrapped_lines(painted(words), max(cells - _SHARE - 2, 8))
        for place, line in enumerate(lines):
            head: Part = (padded("" if place else share, _SHARE, right=True), "bold")
            yield _line(assembled(head, "  ", line))


def _outlooks(why: Why, cells: int) -> Iterator[Row]:
    assert why.question is not None
    if why.question.outlooks:
        yield from _head("what each answer would leave")
    for outlook in why.question.outlooks:
        share = (padded(share_text(outlook.likely), _SHARE, right=True), "$quiet")
        yield _line(assembled(share, f"  {outlook.words}: {plural(outlook.left, 'suspect')}").truncate(cells))


def _head(words: str) -> Iterator[Row]:
    yield _line(Content(""))
    yield _line(assembled((words, "bold")))


def _paragraph(words: str, cells: int) -> Iterator[Row]:
    yield from (_line(line) for line in wrapped_lines(painted(words), max(cells, 8)))


def _line(content: Content) -> Row:
    return Row(content, can_be_marked=False)
