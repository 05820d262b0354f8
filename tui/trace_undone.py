"""What was taken back from a trace, in words for the bottom line."""

from __future__ import annotations

from typing import assert_never

from model.tracing.answer_words import outcome_words
from model.tracing.asking import (
    Also,
    Change,
    NoHelper,
    Reached,
    Read,
    Repaired,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from tui.trace_run import Seen
from tui.trace_step import check_title


def undone_words(seen: Seen) -> str:
    """Say what taking the last reply back takes back; empty where there was none.

    The answer comes before its check: where the line is short it is the check that is cut.
    """
    match seen.last:
        case None:
            return ""
        case Read() | Also():
            said = _last_answer(seen)
        case Take():
            said = "the choice of another check"
        case Skip():
            said = "cannot reach"
        case Unsure():
            said = "not sure"
        case NoHelper():
            said = "nobody can help"
        case Reached():
            said = "can be reached after all"
        case Strike():
            said = "an answer struck out"
        case Change():
            said = "the change of an answer"
        case Repaired(cured=cured):
            said = "cured" if cured else "repaired in vain"
        case Stop():
            said = "the end of the trace"
        case _:
            assert_never(seen.last)
    return f"Taken back: {said}."


def _last_answer(seen: Seen) -> str:
    if not seen.answers:
        return "the last answer"
    answered = seen.answers[-1]
    return f"{outcome_words(answered.check, answered.outcome)}, {check_title(seen.harness, answered.check)}"
