"""A trace that asks what a test tells it to, for the tests of those who ask its questions."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from io import BytesIO, StringIO
from typing import Any

from model.circuit.condition import Condition
from model.errors import AnswerError
from model.harness.harness import Harness
from model.harness.toml_file import read_harness
from model.tracing.asking import (
    Also,
    Answered,
    Change,
    Finding,
    Offered,
    Outlook,
    Question,
    Reached,
    Read,
    Repaired,
    Reply,
    Stop,
    Strike,
    Take,
)
from model.tracing.checks import Check, CheckKind, Outcome, measured
from model.tracing.complaint import Complaint
from model.tracing.suspects import NOT_SHOWN, Suspect
from tests.tui.builds import BUGGY
from tui.line_input import LineInput
from tui.line_mode import run_json
from tui.line_words import Conversation
from tui.trace_rounds import Rounds
from tui.trace_run import Keeper

SUSPECTS = (
    Suspect("W9", "touches", "BB2", 0.3123456),
    Suspect("W9", "elsewhere", "M2.+", 0.2),
    Suspect("", NOT_SHOWN, "", 0.1),
    Suspect("GND1", "open", "", 0.05),
)
IGNITION = Condition("ignition")
VOLTS = Check(CheckKind.VOLTS, Condition("ignition", (("S2", "head"),)), red="G1.+", black="G1.-")
OTHER = replace(VOLTS, red="BB1")
FOUND = Finding(
    (Suspect("W9", "open", "", 0.97123456),), 0.97123456, 2, 7.123, sentence="W9 is open.", because=("12.4 V",),
    repair="Cut W9 out.", cautions=("Battery off first.",), prove=VOLTS, prove_low=11.9, prove_high=12.6,
)  # fmt: skip


def question(
    check: Check = VOLTS,
    step: int = 1,
    *,
    socket: tuple[int, int] = (1, 1),
    band: tuple[float | None, float | None, float | None] = (12.3149876, 11.9, 12.6),
) -> Question:
    """Give a question with plain figures.

    Parameters
    ----------
    socket
        Which of how many readings of the step it is.
    band
        What the sound circuit shows, least and most of a good reading.
    """
    healthy, low, high = band
    return Question(
        step=step, reading=socket[0], of=socket[1], check=check, healthy=healthy, low=low, high=high,
        healthy_words="lit", why="It halves the suspects.", minutes=1.84, cautions=("Engine off.",),
        suspects=SUSPECTS, outlooks=(Outlook("near 12.3 V", 0.6, 3, measured(12.3)),),
        posts_volts=12.52, posts_read=True,
    )  # fmt: skip


@cache
def buggy() -> Harness:
    """Read the trail buggy once."""
    return read_harness(BUGGY)


class LineTrace:
    """Asks the questions it is given, one after another, and ends as it is told.

    Attributes
    ----------
    finding
        How it ends, behind the last question and after each repair that did not cure.
    refused
        Why no reply fits; empty where all do.
    swapped
        Whether readings below zero look as if the leads were swapped.
    """

    def __init__(self, *questions: Question, finding: Finding = FOUND, refused: str = "") -> None:
        self.harness = buggy()
        self.complaint = Complaint(("M2:load",))
        self.condition = IGNITION
        self.minutes = 0.0
        self.questions = questions
        self.finding = finding
        self.refused = refused
        self.told: list[Reply] = []
        self.swapped = False

    @property
    def replies(self) -> tuple[Reply, ...]:
        """Everything replied."""
        return tuple(self.told)

    @property
    def answers(self) -> tuple[Answered, ...]:
        """Every reading that was taken in."""
        readings = [(reply.outcome, at) for at, reply in enumerate(self.told) if isinstance(reply, Read)]
        return tuple(Answered(self.questions[at].check, outcome, at + 1, 1.0) for outcome, at in readings)

    def next(self) -> Question | Finding:
        """Give the question that waits, or the end."""
        if any(isinstance(reply, Stop) for reply in self.told):
            return replace(self.finding, group=(), group_probability=0.0, stopped="stopped on request", prove=None)
        unmoving = (Also, Take, Repaired, Strike, Change, Reached)
        place = sum(not isinstance(reply, unmoving) for reply in self.told)
        return self.questions[place] if place < len(self.questions) else self.finding

    def prepare(self) -> None:
        """Work out nothing ahead."""

    def reply(self, reply: Reply) -> None:
        """Keep a reply."""
        if self.refused:
            raise AnswerError(self.refused)
        self.told.append(reply)

    def undo(self) -> None:
        """Drop the last reply."""
        if not self.told:
            raise AnswerError("There is no answer to take back.")
        self.told.pop()

    def suspects(self, most: int = 50) -> tuple[Suspect, ...]:
        """Give the same suspects always."""
        return SUSPECTS[:most]

    def offered(self, most: int = 50) -> tuple[Offered, ...]:
        """Offer the first check and another."""
        return (Offered(VOLTS, 0.9, 1.8), Offered(OTHER, 0.8, 2.5))[:most]

    def marks(self) -> Mapping[str, str]:
        """Mark nothing."""
        return {}

    def did(self) -> str:
        """Say how many replies there were."""
        return f"Replies so far: {len(self.told)}."

    def looks_swapped(self, outcome: Outcome) -> bool:
        """Tell what the test says of readings below zero."""
        return self.swapped and outcome.value < 0

    def question_for(self, check: Check) -> Question:
        """Ask any check."""
        return question(check)


STOP = {"stop": True}


def run(trace: LineTrace, *lines: object) -> tuple[int, list[dict[str, Any]]]:
    """Answer with objects, or with bytes as they are, and give the exit code and what was written."""
    sent = b"".join(line if isinstance(line, bytes) else json.dumps(line).encode() + b"\n" for line in lines)
    out = StringIO()
    code = run_json(trace, LineInput(BytesIO(sent)), out)
    written = out.getvalue()
    assert written.endswith("\n")
    return code, [json.loads(line) for line in written.splitlines()]


def talk(
    trace: LineTrace, *lines: str, keeper: Keeper | None = None, rounds: Rounds | None = None
) -> tuple[int, list[str]]:
    """Type lines, and give the exit code and the sentences behind the first."""
    out = StringIO()
    typed = BytesIO("".join(f"{line}\n" for line in lines).encode("utf-8", "surrogateescape"))
    code = Conversation(trace, LineInput(typed), out, keeper, rounds).run()
    assert out.getvalue().endswith("\n")
    first, *sentences = out.getvalue().splitlines()
    assert first == "Type ? for the words that are understood."
    return code, sentences
