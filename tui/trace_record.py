"""A trace beside its record: started anew or picked up where it was left, each reply written before the next check.

What takes time here belongs in a thread.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import AnswerError, RecordError
from model.record import Record, read_record
from model.record_entries import AnyEntry, TraceStart
from model.tracing.asking import Also, Answered, Finding, Question, Repaired, Reply
from model.tracing.complaint import Complaint
from model.tracing.learned import learned_from
from model.tracing.left_traces import LeftTrace, open_traces
from model.tracing.recorded import Occasion, Shown, entry_of, fresh_name, picked_up_entry, undone_entry
from model.tracing.replayed import replay_of
from model.words import plural
from tui.clock import now
from tui.trace_rounds import Rounds
from tui.trace_run import Result, TraceRun, Tracing

if TYPE_CHECKING:
    from model.circuit.bench import Bench
    from model.tracing.hypotheses import Learned
    from tui.standing import Standing


@dataclass(frozen=True)
class Unfinished:
    """A trace that was left.

    Attributes
    ----------
    words
        When, and how far it is: ``25 Nov 18:40, 3 answers``.
    """

    left: LeftTrace
    words: str


def unfinished(standing: Standing, loads: tuple[str, ...]) -> Unfinished | None:
    """Give the newest trace of these loads that was left; None where there is none, or no record can be read."""
    try:
        entries = read_record(standing.path).entries
    except RecordError:
        return None
    left = next((one for one in open_traces(entries) if set(one.complaint.loads) & set(loads)), None)
    return None if left is None else Unfinished(left, _left_words(left))


def left_by_load(path: Path) -> dict[str, str]:
    """Map each load of which a trace was left to when and how far it is; nothing where no record can be read."""
    try:
        entries = read_record(path).entries
    except RecordError:
        return {}
    # the newest of a load is the one that is gone on with
    return {name: _left_words(one) for one in reversed(open_traces(entries)) for name in one.complaint.loads}


def _left_words(left: LeftTrace) -> str:
    answers = plural(left.readings, "answer")
    found = ", found what is wrong" if left.finding is not None else ""
    return f"{left.left:%d %b %H:%M}, {answers}{found}"


def start_trace(standing: Standing, complaint: Complaint, resumed: Unfinished | None = None) -> TraceRun:
    """Set a trace up beside its record; where one was left, go on where it stood.

    Raises
    ------
    FusewalkError
        Where the circuit cannot be as the complaint says.
    """
    record = Record.open(standing.path, now())
    try:
        keeper = RecordKeeper(record, standing, complaint, resumed)
        learned = learned_from(keeper.before)
        trace = make_trace(standing.walks.bench, keeper.complaint, learned)
        rounds = Rounds(standing.walks.bench)
        left_out = keeper.replay(trace, rounds)
    except BaseException:
        record.close()
        raise
    problem = "" if record.problem is None else f"Nothing is written down: {record.problem.what}"
    return TraceRun(trace, standing.walks, keeper, " ".join(words for words in (problem, left_out) if words), rounds)


def make_trace(bench: Bench, complaint: Complaint, learned: Learned) -> Tracing:
    """Set a trace up."""
    from model.tracing.trace import Trace

    return Trace(bench, complaint, learned=learned)


class RecordKeeper:
    """Writes what a trace is told into the record of its harness.

    Parameters
    ----------
    record
        Open; let go with :meth:`close`.
    resumed
        The trace that is gone on with; None starts a new one.
    clock
        Gives the time.
    """

    def __init__(
        self,
        record: Record,
        standing: Standing,
        complaint: Complaint,
        resumed: Unfinished | None = None,
        clock: Callable[[], datetime] = now,
    ) -> None:
        self._record = record
        self._path = standing.path
        self._clock = clock
        self._revision = standing.harness.build.revision
        self._resumed = resumed.left if resumed is not None else None
        self.complaint = complaint if self._resumed is None else self._resumed.complaint
        taken = {entry.trace for entry in record.entries}
        self._name = self._resumed.trace if self._resumed else fresh_name(clock(), self.complaint.loads, taken)
        self._is_begun = False

    @property
    def before(self) -> tuple[AnyEntry, ...]:
        """What the record held before the trace was started: only that weighs in it, however often it is picked up."""
        entries = self._record.entries
        own = next(
            (place for place, one in enumerate(entries) if isinstance(one, TraceStart) and one.trace == self._name),
            len(entries),
        )
        return entries[:own]

    def replay(self, trace: Tracing, rounds: Rounds) -> str:
        """Tell a trace again what it was told before it was left; give what of it could not be used, in words.

        Parameters
        ----------
        rounds
            Gets what was read before repairs in vain.
        """
        if self._resumed is None:
            return ""
        replayed = replay_of(self._resumed.entries)
        left_out = list(replayed.left_out)
        for recorded in replayed.recorded:
            asked = trace.next()
            check = asked.check if isinstance(asked, Question) else None
            for reply in recorded.replies(check):
                asked = trace.next()
                answers = trace.answers if isinstance(reply, Repaired) else ()
                try:
                    trace.reply(reply)
                except AnswerError as error:
                    left_out.append(f"{error.what} {error.do}".rstrip())
                else:
                    rounds.taken(asked, answers, reply)
        return f"Of the record was left out: {' '.join(left_out)}" if left_out else ""

    def keep(self, trace: Tracing, asked: Question | Finding, answers: tuple[Answered, ...], reply: Reply) -> None:
        """Write one reply down.

        Raises
        ------
        RecordError
            Where it cannot be written; it waits and is written with the next one that can be.
        """
        question = asked if isinstance(asked, Question) else None
        if isinstance(reply, Also):
            question = trace.question_for(reply.check)
        shown = Shown(question, answers, asked if isinstance(asked, Finding) else None)
        self._append(lambda occasion: entry_of(reply, occasion, shown))

    def keep_undone(self) -> None:
        """Write down that the last reply was taken back.

        Raises
        ------
        RecordError
            Where it cannot be written.
        """
        entries = self._record.entries
        self._append(lambda occasion: undone_entry(occasion, entries))

    def keep_finding(self, finding: Finding) -> None:
        """Write down how the trace ended.

        Raises
        ------
        RecordError
            Where it cannot be written.
        """
        self._append(lambda occasion: entry_of(finding, occasion))

    def beside(self, work: Callable[[], Result]) -> Result:
        """Do something that writes the record itself: it is let go for that, and taken up again.

        Raises
        ------
        RecordError
            Where what waits could not be written: then nothing is done.
        """
        self._record.retry()
        self._record.close()
        try:
            return work()
        finally:
            self._record = Record.open(self._path, self._clock())

    @property
    def put_back(self) -> int:
        """How many entries had gone from the record, and were written again."""
        return self._record.put_back

    def close(self) -> tuple[AnyEntry, ...]:
        """Let the record go; give what could not be written."""
        with suppress(RecordError):  # what could not be written is given back
            self._record.close()
        return self._record.waiting

    def _append(self, make: Callable[[Occasion], AnyEntry]) -> None:
        trouble = self._begin()
        try:
            self._record.append(make(self._occasion()))
        except RecordError as error:
            trouble = error
        if trouble is not None and self._record.waiting:
            raise trouble

    def _begin(self) -> RecordError | None:
        """Write down the start of the trace, or that it is picked up, with its first reply: till then none is left."""
        if self._is_begun:
            return None
        self._is_begun = True
        occasion = self._occasion()
        try:
            start = entry_of(self.complaint, occasion) if self._resumed is None else picked_up_entry(occasion)
            self._record.append(start)
        except RecordError as error:
            return error
        return None

    def _occasion(self) -> Occasion:
        return Occasion(self._clock(), self._name, revision=self._revision)
