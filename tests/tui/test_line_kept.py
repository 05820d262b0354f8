"""What a trace in sentences hands to the record."""

from __future__ import annotations

from collections.abc import Callable

from model.errors import RecordError
from model.record_entries import AnyEntry
from model.tracing.asking import (
    Answered,
    Finding,
    Question,
    Read,
    Repaired,
    Reply,
    Stop,
)
from model.tracing.checks import Check, CheckKind, Word, measured, seen
from tests.tui.line_trace import FOUND, IGNITION, VOLTS, LineTrace, question, talk
from tui.trace_run import Result, Tracing

LAMP = Check(CheckKind.LAMP, IGNITION, red="K7.30", black="G1.-", watts=3.0)


class Kept:
    """Keeps what it is told in a list, and may fail."""

    def __init__(self, fails: bool = False) -> None:
        self.kept: list[object] = []
        self.fails = fails

    def keep(self, trace: Tracing, asked: Question | Finding, answers: tuple[Answered, ...], reply: Reply) -> None:
        """Keep a reply with what was asked and how many answers stood."""
        self._add((reply, asked.check if isinstance(asked, Question) else "found", len(answers)))

    def keep_undone(self) -> None:
        """Keep that something was undone."""
        self._add("undone")

    def keep_finding(self, finding: Finding) -> None:
        """Keep a finding."""
        self._add(finding)

    def beside(self, work: Callable[[], Result]) -> Result:
        """Do it."""
        return work()

    @property
    def put_back(self) -> int:
        """Tell that nothing had gone."""
        return 0

    def close(self) -> tuple[AnyEntry, ...]:
        """Leave nothing."""
        return ()

    def _add(self, what: object) -> None:
        if self.fails:
            raise RecordError("the record cannot be written: disk full.")
        self.kept.append(what)


def test_every_reply_is_kept_with_what_stood_before_it() -> None:
    """The question that it answers, the answers before it, what was undone, what was found."""
    kept = Kept()
    talk(LineTrace(question(), question(LAMP, step=2)), "12.4", "undo", "12.5", "dark", "yes", keeper=kept)
    assert kept.kept == [
        (Read(measured(12.4)), VOLTS, 0),
        "undone",
        (Read(measured(12.5)), VOLTS, 0),
        (Read(seen(Word.DARK)), LAMP, 1),
        FOUND,
        (Repaired(True), "found", 2),
    ]


def test_what_does_not_fit_is_not_kept() -> None:
    """Nor are words that change nothing."""
    kept = Kept()
    talk(LineTrace(question()), "dark", "why", "undo", "stop", keeper=kept)
    assert kept.kept == [(Stop(), VOLTS, 0)]


def test_a_record_that_cannot_be_written_is_said_once_and_the_trace_goes_on() -> None:
    """Not with every reply again."""
    trace = LineTrace(question(), question(step=2), question(step=3))
    _, said = talk(trace, "12.4", "12.5", keeper=Kept(fails=True))
    trouble = [sentence for sentence in said if sentence.startswith("Not written down:")]
    assert trouble == ["Not written down: the record cannot be written: disk full. The trace goes on."]
    assert len(trace.told) == 3
