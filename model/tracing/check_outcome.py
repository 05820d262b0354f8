"""Whether an outcome is one that a check can have."""

from __future__ import annotations

import math

from model.errors import AnswerError
from model.tracing.checks import MEASURED, WORDS_OF, Check, CheckKind, Outcome


def check_outcome(check: Check, outcome: Outcome) -> None:
    """Refuse an outcome that a check cannot have.

    Raises
    ------
    AnswerError
        Where a word is wanted and a number was given, or the other way round, or the number is none.
    """
    if check.kind in MEASURED:
        if outcome.word is not None or math.isnan(outcome.least) or math.isnan(outcome.most):
            raise AnswerError("This check is answered with a number.", do="Type what the meter shows.")
        if check.kind is not CheckKind.OHMS and math.isinf(outcome.least + outcome.most):
            raise AnswerError("Only ohms can be open.", do="Type what the meter shows.")
        return
    words = WORDS_OF[check.kind]
    if outcome.word not in words:
        raise AnswerError("This check is answered with a word.", do=f"One of: {', '.join(words)}.")
