"""Answers that hardly fit all the others: named at once, and what was said before the first check is asked anew."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from model.harness.harness import Harness
from model.tracing.answer_words import outcome_words
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import Check
from model.tracing.complaint_told import complained_name
from model.tracing.costs import Costs
from model.tracing.folding import Fold
from model.tracing.repeating import can_be_made


def doubt_sentences(harness: Harness, before: Belief, after: Belief) -> Iterator[str]:
    """Name the answers that hardly fit the others any more since the last one, and say how each is struck."""
    given = sum(one.given for one in after.answers)
    known = {(one.check, one.outcome) for one in _doubtful(before)}
    for place in after.doubtful():
        one = after.answers[place]
        if (one.check, one.outcome) not in known:
            yield _given_words(harness, one) if one.given else _answer_words(one, place - given + 1)


def not_seen_again(given: Iterable[Evidence], answers: Iterable[Evidence]) -> list[Evidence]:
    """Give what was said before the first check and was not looked at again since: who looks again means that."""
    looked_at = {one.check for one in answers}
    return [one for one in given if one.check not in looked_at]


def seen_again(harness: Harness, state: Fold, belief: Belief, costs: Costs) -> tuple[Check, str] | None:
    """Give the check of what was said before the first one and hardly fits the answers, and why it is made again."""
    doubtful = (one for one in _doubtful(belief) if one.given)
    one = next((one for one in doubtful if can_be_made(state, one.check, costs)), None)
    return None if one is None else (one.check, f"Again: it hardly fits the answers that {_said(harness, one)}.")


def _doubtful(belief: Belief) -> list[Evidence]:
    return [belief.answers[place] for place in belief.doubtful()]


def _said(harness: Harness, one: Evidence) -> str:
    return f"{complained_name(harness, one.check.load)} {outcome_words(one.check, one.outcome).removeprefix('it ')}"


def _given_words(harness: Harness, one: Evidence) -> str:
    return f"It hardly fits that {_said(harness, one)}: look again."


def _answer_words(one: Evidence, number: int) -> str:
    words = outcome_words(one.check, one.outcome)
    return f"Answer {number}, {words}, hardly fits the others: take it again, or strike it among the answers."
