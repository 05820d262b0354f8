"""Whether a reply fits what is asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from model.errors import AnswerError
from model.tracing.asking import (
    Also,
    Change,
    Finding,
    NoHelper,
    Question,
    Reached,
    Read,
    Repaired,
    Reply,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from model.tracing.check_outcome import check_outcome
from model.tracing.checks import Check
from model.tracing.folding import Counted


def refuse_misfit(
    reply: Reply, asked: Question | Finding, answers: Sequence[Counted], refuse: Callable[[Check], None]
) -> None:
    """Refuse a reply that does not fit.

    Parameters
    ----------
    answers
        Those that count now.
    refuse
        Raises AnswerError for a check that must never be made, or cannot be computed.

    Raises
    ------
    AnswerError
        Saying what does not fit and what would.
    """
    match reply:
        case Read(outcome=outcome) if isinstance(asked, Question):
            check_outcome(asked.check, outcome)
        case Also(check=check, outcome=outcome):
            refuse(check)
            check_outcome(check, outcome)
        case Take(check=check):
            refuse(check)
        case Strike(place=place) | Change(place=place):
            if not 0 <= place < len(answers):
                raise AnswerError(f"There is no answer {place + 1}.", do=f"There are {len(answers)}.")
            if isinstance(reply, Change):
                check_outcome(answers[place].check, reply.outcome)
        case Repaired() if isinstance(asked, Question):
            raise AnswerError("Nothing has been found yet.", do="Answer the check.")
        case Read() | Skip() | Unsure() | NoHelper() | Stop() if isinstance(asked, Finding):
            raise AnswerError("The trace has ended.", do="Say whether the repair cured it, or change an answer.")
        case Read() | Skip() | Unsure() | NoHelper() | Stop() | Reached() | Repaired():
            return
