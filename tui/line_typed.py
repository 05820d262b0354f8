"""What a person types at a question of the trace in sentences: a reading, or one of a few words."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

from model.circuit.condition import Condition
from model.errors import AnswerError, ArgumentError
from model.harness.harness import Harness
from model.tracing.asking import (
    Change,
    NoHelper,
    Offered,
    Question,
    Reached,
    Read,
    Reply,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from model.tracing.checks import CheckKind
from model.tracing.typed_answer import read_answer
from model.words import FIND_PART, clean, did_you_mean
from tui.line_also import EXAMPLES, read_also
from tui.line_replies import Undo
from tui.trace_run import Tracing


class Told(StrEnum):
    """Words that are answered with words and change nothing."""

    WHY = "why"
    OTHERS = "others"
    ANSWERS = "answers"
    AGAIN = "again"
    HELP = "?"


HELP = (
    "Type what you read or saw: 12.4, 0.3 mV, 4.7k, OL, lit, works; where a reading swings, 0.1..12.3.",
    "12.1? is a number that you do not trust: it decides nothing by itself.",
    "skip: it cannot be reached. unsure: it told nothing. no helper: nobody can hold the switch meanwhile.",
    "undo: the last answer is taken back. answers: all of them. change 2 12.1, strike 2: answer 2.",
    "why: what may be wrong, and what this check tells. others: other checks. take 3: the third of them instead.",
    "also K7.30 12.4: a reading that was not asked, against the grounded post, with the key and switches as asked now;",
    f"the same of others: {', '.join(EXAMPLES[kind] for kind in CheckKind if kind is not CheckKind.VOLTS)};",
    "also lamp F3 lit: of a lamp in that fuse's place.",
    "reached X2: that part can be reached after all. again: the question once more. stop: the trace ends, after a yes.",
)

_NO_ANSWER = "Where you cannot tell: unsure; where it cannot be reached: skip."
CHECKS_SAID = 12
_LONGEST_NUMBER = 6

_PLAIN: dict[str, Callable[[], Reply]] = {
    "skip": Skip,
    "unsure": Unsure,
    "no helper": NoHelper,
    "no_helper": NoHelper,
    "nohelper": NoHelper,
    "stop": Stop,
}
_TOLD = {str(told): told for told in Told} | {"help": Told.HELP}


def read_typed(trace: Tracing, condition: Condition, typed: str) -> Reply | Undo | Told | None:
    """Read a line that is one of the words of the trace; None where it is none of them.

    Parameters
    ----------
    condition
        In which the check is made that is asked now: a reading that was not asked is taken in it.

    Raises
    ------
    AnswerError, ArgumentError
        Where a word lacks what belongs to it.
    """
    words = typed.split()
    folded = " ".join(words).casefold()
    if folded in _PLAIN:
        return _PLAIN[folded]()
    if folded in _TOLD:
        return _TOLD[folded]
    if folded == "undo":
        return Undo()
    match words[0].casefold() if words else "":
        case "take":
            return _take(trace, words[1:])
        case "strike":
            return Strike(_place(trace, words[1:2], words[2:]))
        case "change":
            place = _place(trace, words[1:2], [])
            return Change(place, read_answer(trace.answers[place].check.kind, " ".join(words[2:])))
        case "reached":
            return _reached(trace.harness, words[1:])
        case "also":
            return read_also(trace.harness, condition, words[1:])
    return None


def other_checks(trace: Tracing) -> tuple[Offered, ...]:
    """Give the checks that can be made in place of the one that is asked, the best first."""
    asked = trace.next()
    check = asked.check if isinstance(asked, Question) else None
    return tuple(one for one in trace.offered(CHECKS_SAID + 1) if one.check != check)[:CHECKS_SAID]


def _take(trace: Tracing, words: list[str]) -> Take:
    offered = other_checks(trace)
    number = _whole(words[0]) if len(words) == 1 else 0
    if not 1 <= number <= len(offered):
        raise AnswerError(
            "Which of the other checks is not said.", do=f"Type take and 1 to {len(offered)}; see others."
        )
    return Take(offered[number - 1].check)


def _place(trace: Tracing, words: list[str], rest: list[str]) -> int:
    count = len(trace.answers)
    number = _whole(words[0]) if words else 0
    if rest or not 1 <= number <= count:
        do = f"Give its number, 1 to {count}; answers lists them." if count else "There is none yet."
        raise AnswerError("Which answer is not said.", do=do)
    return number - 1


def _whole(word: str) -> int:
    """Read the number of an answer or a check; 0 for anything else, and for one that no list is as long as."""
    return int(word) if word.isascii() and word.isdigit() and len(word) <= _LONGEST_NUMBER else 0


def _reached(harness: Harness, words: list[str]) -> Reached:
    name = " ".join(words)
    if name not in harness.parts:
        do = did_you_mean(name, harness.parts, FIND_PART)
        raise ArgumentError(f"There is no part “{clean(name)}”.", do=do)
    return Reached(name)


def read_or_command(trace: Tracing, asked: Question, typed: str) -> Reply | Undo | Told:
    """Read a line typed at a question: one of the words, else what came of the check that is asked.

    Raises
    ------
    AnswerError, ArgumentError
        Where it is neither.
    """
    command = read_typed(trace, asked.check.condition, typed)
    if command is not None:
        return command
    try:
        return Read(read_answer(asked.check.kind, typed, asked.high))
    except AnswerError as error:
        if any(sign.isdigit() for sign in typed):
            raise
        raise AnswerError(error.what, do=f"{error.do} {_NO_ANSWER}".strip()) from None
