"""What came of the last answer, in words: a bad one stands out, and says first what it asks for."""

from __future__ import annotations

from collections.abc import Mapping

from textual.content import Content

from model.plans.judging import Standing
from model.plans.plan import PlanKind
from tui.text import CUT, assembled, fit, lines
from tui.trace_layout import at_most

_WHOLE = " a: all of it"
BAD_WORD = "BAD"
STOP = "STOP: supply off, grounded clamp off. Fit nothing more until it is found."


def verdict_words(kind: PlanKind, standing: Standing, title: str, when: str, why: str) -> str:
    """Say how a row stands and why; of a bad one that word first, and in first power to stop before all else.

    Parameters
    ----------
    title
        Of the row where another is marked, else empty.
    when
        Whether and when it was kept.
    """
    if standing is not Standing.BAD:
        return f"{f'{title}: ' if title else ''}{str(standing).upper()}, {when}. {why}"
    stop = f". {STOP} {when[:1].upper()}{when[1:]}" if kind is PlanKind.FIRST_POWER else f", {when}"
    return f"{BAD_WORD}{stop}. {f'{title}: ' if title else ''}{why}"


def ended_words(counted: Mapping[Standing, int]) -> str:
    """Say how the rows of a plan stand once all have an answer, and which to go to; nothing while one is open.

    Examples
    --------
    ``All rows answered: 15 good, 2 bad, 3 unproven. First the bad ones: f shows them.``
    """
    if counted[Standing.OPEN] or not any(counted.values()):
        return ""
    told = ", ".join(f"{count} {standing}" for standing, count in counted.items() if count)
    left = [str(one) for one in (Standing.BAD, Standing.SKIPPED, Standing.UNPROVEN) if counted[one]]
    first = f" First the {left[0]} ones: f shows them." if left else ""
    return f"All rows answered: {told}.{first}"


def verdict_content(words: str, cells: int, height: int) -> Content:
    """Return the verdict wrapped into so many lines; the word of a bad one in reverse video.

    Where it is cut the key that shows it whole stands behind the cut.
    """
    told = at_most(words, cells, height)
    if told.plain.endswith(CUT):
        *above, last = told.plain.split("\n")
        told = lines([assembled(line) for line in (*above, f"{fit(last, cells - len(_WHOLE))}{_WHOLE}")])
    is_bad = words.startswith(BAD_WORD) and not words[len(BAD_WORD) : len(BAD_WORD) + 1].isalnum()
    return told.stylize("bold reverse", 0, len(BAD_WORD)) if is_bad else told
