"""The rows of a practice: the checks by place with what came of them, and the suspects that may be named."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from textual.content import Content

from model.harness.places import NO_PLACE_WORDS
from model.tracing.answer_words import outcome_words
from model.tracing.check_words import check_place
from model.tracing.checks import Check
from model.tracing.named_checks import named_check, told_apart
from model.tracing.practice import Practice
from tui.practice_words import asked_sentence, hypothesis_words
from tui.text import assembled, fit, padded, wrapped_lines
from tui.trace_layout import caution_lines, folded_cautions
from tui.widgets.rows import Row

OFFERED_MOST = 12
_READ_CELLS = 18
_ALL_OF_IT = " a: all of it"

Place = tuple[str, list[Check]]


def practice_checks(practice: Practice, hinted: Sequence[Check] = ()) -> list[Place]:
    """List the checks by place: those that are offered, and behind them points read besides, and others hinted at."""
    found: dict[str, dict[Check, None]] = {}
    for check in (*practice.offered, *(one.check for one in practice.made), *hinted):
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


@dataclass(frozen=True, slots=True)
class WantsRoom:
    """How many lines what a check wants done may take: at all, and with cautions that are not folded."""

    most: int
    unfolded_most: int


def wanted_lines(practice: Practice, check: Check, cells: int, room: WantsRoom) -> list[Content]:
    """Say what a check wants done, cautions first: folded into one row where they would take the step's room.

    Where there is no room for all of the step its end is cut, with the key that shows it.
    """
    asked = wrapped_lines(assembled(asked_sentence(practice, check)), max(cells, 8))
    cautions = practice.cautions(check)
    before = caution_lines(cautions, cells, room.unfolded_most - len(asked))
    if before and len(before) + len(asked) > room.unfolded_most:
        before = [folded_cautions(cautions, cells)]
    left = room.most - len(before)
    if len(asked) > left:
        rest = " ".join(line.plain.strip() for line in asked[left - 1 :])
        asked = [*asked[: left - 1], assembled(fit(rest, cells - len(_ALL_OF_IT)), (_ALL_OF_IT, "bold"))]
    return [*before, *asked]


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
