"""The rows of a practice: the checks by place with what came of them, and the suspects that may be named."""

from __future__ import annotations

from collections.abc import Callable

from textual.content import Content

from model.harness.places import NO_PLACE_WORDS
from model.tracing.answer_words import outcome_words
from model.tracing.check_words import check_place
from model.tracing.checks import Check
from model.tracing.named_checks import named_check, told_apart
from model.tracing.practice import Practice
from tui.practice_words import asked_sentence, hypothesis_words
from tui.text import assembled, fit, padded
from tui.trace_layout import caution_lines
from tui.widgets.rows import Row

OFFERED_MOST = 12
_READ_CELLS = 18
_WANTS_LINES = 7

Place = tuple[str, list[Check]]


def practice_checks(practice: Practice) -> list[Place]:
    """List the checks by place: those that are offered, and behind them points read besides."""
    found: dict[str, dict[Check, None]] = {}
    for check in (*practice.offered, *(one.check for one in practice.made)):
        place = check_place(practice.harness, check) or NO_PLACE_WORDS
        found.setdefault(place, {})[check] = None
    return [(place, list(checks)) for place, checks in found.items()]


def check_rows(practice: Practice, checks: list[Place], cells: int) -> list[Row]:
    """Return the rows: heads of places, and each check with its last outcome; its key is its name."""
    read = {one.check: outcome_words(one.check, one.outcome) for one in practice.made}
    rows: list[Row] = []
    for place, there in checks:
        rows.append(Row(assembled((place, "bold")), can_be_marked=False))
        for check in there:
            name = named_check(practice.harness, check, practice.condition)
            told = told_apart(practice.harness, check, practice.condition)
            rows.append(Row(_maker(told, read.get(check, ""), cells), name))
    return rows


def _maker(told: str, read: str, cells: int) -> Callable[[], Content]:
    """Make a row when it comes into the window; a check that has not been made has all of it."""
    if not read:
        return lambda: assembled(fit(told, cells))
    room = max(cells - _READ_CELLS - 2, 8)
    return lambda: assembled(padded(told, room), "  ", (padded(read, _READ_CELLS, right=True), "bold"))


def wanted_lines(practice: Practice, check: Check, cells: int, most: int = _WANTS_LINES) -> list[Content]:
    """Say what a check wants done: cautions first, as many as there is room for, then where the probes stand."""
    asked = list(assembled(asked_sentence(practice, check)).wrap(max(cells, 8)))
    return [*caution_lines(practice.cautions(check), cells, most - len(asked)), *asked]


def offered_suspects(practice: Practice, typed: str) -> list[tuple[str, str]]:
    """Name the suspects that have every word typed: what to take, and how it is shown."""
    wanted = typed.casefold().split()
    found: list[tuple[str, str]] = []
    for one in practice.suspects:
        name = f"{one.site} {one.fault} {one.partner}".strip()
        shown = hypothesis_words(practice.harness, one)
        if all(word in f"{name} {shown}".casefold() for word in wanted):
            found.append((name, shown))
        if len(found) == OFFERED_MOST:
            break
    return found
