"""A trace as the screens drive it: asked and answered in a thread, one call at a time, kept after every answer.

No widget is touched here; what a screen shows comes out as a `Seen`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from threading import RLock
from typing import TYPE_CHECKING, Protocol, TypeVar

from model.circuit.condition import Condition
from model.errors import FusewalkError
from model.harness.harness import Harness, all_elements
from model.tracing.asking import Answered, Finding, Offered, Question, Repaired, Reply, Skip
from model.tracing.checks import Check, CheckKind, Outcome
from model.tracing.complaint import Complaint
from model.tracing.suspects import Suspect
from tui.trace_rounds import Rounds

if TYPE_CHECKING:
    from model.circuit.bench import Bench
    from model.record_entries import AnyEntry
    from model.tracing.rows import ToldWalk
    from model.tracing.walk import Walk
    from tui.walks import Walks

Result = TypeVar("Result")

OFFERED_MOST = 30
SUSPECTS_MOST = 50


class Tracing(Protocol):
    """What is needed of a trace."""

    @property
    def harness(self) -> Harness:
        """The harness."""
        ...

    @property
    def complaint(self) -> Complaint:
        """What is complained of."""
        ...

    @property
    def condition(self) -> Condition:
        """In which the complaint is seen."""
        ...

    @property
    def replies(self) -> tuple[Reply, ...]:
        """Everything replied, in order."""
        ...

    @property
    def answers(self) -> tuple[Answered, ...]:
        """The answers that count now."""
        ...

    @property
    def minutes(self) -> float:
        """What the answers so far cost."""
        ...

    def next(self) -> Question | Finding:
        """Give what is asked now, or how it ended."""
        ...

    def prepare(self) -> None:
        """Work out ahead what the next question will look at."""
        ...

    def reply(self, reply: Reply) -> None:
        """Take a reply."""
        ...

    def undo(self) -> None:
        """Take the last reply back."""
        ...

    def suspects(self, most: int = 50) -> tuple[Suspect, ...]:
        """Give the suspects, the likeliest first."""
        ...

    def offered(self, most: int = 50) -> tuple[Offered, ...]:
        """Give the other checks, the best first."""
        ...

    def marks(self) -> Mapping[str, str]:
        """Map points and wires of the walk to ``set aside`` or ``suspect``."""
        ...

    def did(self) -> str:
        """Say what the last answer did."""
        ...

    def looks_swapped(self, outcome: Outcome) -> bool:
        """Tell whether a reading is about minus what is expected."""
        ...

    def question_for(self, check: Check) -> Question:
        """Give what any check would show."""
        ...


class Keeper(Protocol):
    """What keeps a trace in the record; each raises RecordError where that cannot be written."""

    def keep(self, trace: Tracing, asked: Question | Finding, answers: tuple[Answered, ...], reply: Reply) -> None:
        """Keep a reply, with what was asked and the answers that stood before it."""
        ...

    def keep_undone(self) -> None:
        """Keep that the last reply was taken back."""
        ...

    def keep_finding(self, finding: Finding) -> None:
        """Keep how it ended."""
        ...

    def beside(self, work: Callable[[], Result]) -> Result:
        """Do something that writes the record itself: it is let go for that."""
        ...

    @property
    def put_back(self) -> int:
        """How many entries had gone from the record, and were written again."""
        ...

    def close(self) -> tuple[AnyEntry, ...]:
        """Let the record go; give what could not be written."""
        ...


@dataclass(frozen=True)
class Seen:
    """All that is shown of a trace as it stands.

    Attributes
    ----------
    condition
        In which the complaint is seen.
    now
        What is asked, or how it ended.
    told
        The walk of the load that the check is about, told in the condition of the check; None of a battery.
    unkept
        Why the last reply does not stand in the record; empty where it does.
    last
        The last reply; None before the first.
    before
        What was read before a repair that did not cure and cannot have changed it; it is not weighed.
    """

    harness: Harness
    complaint: Complaint
    condition: Condition
    now: Question | Finding
    answers: tuple[Answered, ...]
    marks: Mapping[str, str]
    did: str
    minutes: float
    told: ToldWalk | None
    skipped: tuple[Check, ...]
    unkept: str
    last: Reply | None
    before: tuple[Answered, ...] = ()


@dataclass(frozen=True)
class Why:
    """The suspects, what each answer would leave, the other checks, and the condition that is usual in them."""

    question: Question | None
    suspects: tuple[Suspect, ...]
    offered: tuple[Offered, ...]
    usual: Condition


class TraceRun:
    """One trace under way; every method may be slow and belongs in a thread.

    Parameters
    ----------
    trace
        Used by one thread at a time.
    walks
        The walks of the harness.
    keeper
        Where replies are kept; None where there is no record.
    unkept
        What is to be told of the record at first.
    rounds
        What was read before repairs in vain, of a trace that is picked up.
    """

    def __init__(
        self, trace: Tracing, walks: Walks, keeper: Keeper | None, unkept: str = "", rounds: Rounds | None = None
    ) -> None:
        self._trace = trace
        self._walks = walks
        self._keeper = keeper
        self._unkept = unkept
        self._lock = RLock()
        self._told: dict[tuple[str, Condition, float | None], ToldWalk | None] = {}
        self._bench: Bench | None = None
        self._skipped: list[Check] = []
        self._rounds = rounds or Rounds(walks.bench)

    def seen(self) -> Seen:
        """Give what is to be shown now."""
        with self._lock:
            now, trace = self._trace.next(), self._trace
            return Seen(
                trace.harness,
                trace.complaint,
                trace.condition,
                now,
                trace.answers,
                trace.marks(),
                trace.did(),
                trace.minutes,
                self._walk_of(now),
                tuple(self._skipped),
                self._unkept,
                trace.replies[-1] if trace.replies else None,
                self._rounds.before(),
            )

    def reply(self, reply: Reply) -> Seen:
        """Take a reply, keep it, and give what is to be shown then.

        Raises
        ------
        AnswerError
            Where it does not fit; then nothing has changed.
        """
        with self._lock:
            trace = self._trace
            asked, answers = trace.next(), trace.answers
            trace.reply(reply)
            self._rounds.taken(asked, answers, reply)
            if isinstance(reply, Skip) and isinstance(asked, Question):
                self._skipped.append(asked.check)
            self._keep(lambda keeper: keeper.keep(trace, asked, answers, reply))
            now = trace.next()
            if isinstance(now, Finding) and not isinstance(reply, Repaired):
                self._keep(lambda keeper: keeper.keep_finding(now))
            return self.seen()

    def undo(self) -> Seen:
        """Take the last reply back, and give what is to be shown then."""
        with self._lock:
            last = self._trace.replies[-1] if self._trace.replies else None
            self._trace.undo()
            self._rounds.undone(last)
            if isinstance(last, Skip) and self._skipped:
                self._skipped.pop()
            self._keep(lambda keeper: keeper.keep_undone())
            return self.seen()

    def prepare(self) -> None:
        """Work out ahead what the next question will look at, while the check is made."""
        with self._lock, suppress(FusewalkError):
            self._trace.prepare()

    def looks_swapped(self, outcome: Outcome) -> bool:
        """Tell whether a reading looks as if the leads were swapped."""
        with self._lock:
            return self._trace.looks_swapped(outcome)

    def why(self) -> Why:
        """Give the suspects and the other checks."""
        with self._lock:
            now = self._trace.next()
            suspects, offered = self._trace.suspects(SUSPECTS_MOST), self._trace.offered(OFFERED_MOST)
            if isinstance(now, Question):
                return Why(now, suspects, offered, self._trace.condition)
            left = (*now.group, *(one for one in suspects if one not in now.group))
            return Why(None, left, offered, self._trace.condition)

    @property
    def harness(self) -> Harness:
        """The harness of the trace."""
        return self._trace.harness

    def question_for(self, check: Check) -> Question:
        """Give what a check would show that is not asked."""
        with self._lock:
            return self._trace.question_for(check)

    def beside(self, work: Callable[[], Result]) -> Result:
        """Do something that writes the record itself: it is let go for that, and taken up again."""
        with self._lock:
            return work() if self._keeper is None else self._keeper.beside(work)

    @property
    def put_back(self) -> int:
        """How many entries had gone from the record, and were written again."""
        return 0 if self._keeper is None else self._keeper.put_back

    def close(self) -> tuple[AnyEntry, ...]:
        """Let the record go; give what could not be written."""
        with self._lock:
            return () if self._keeper is None else self._keeper.close()

    def _keep(self, write: Callable[[Keeper], None]) -> None:
        if self._keeper is None:
            return
        try:
            write(self._keeper)
            self._unkept = ""
        except FusewalkError as error:
            self._unkept = f"Not written down: {error.what} The trace goes on."

    def _walk_of(self, now: Question | Finding) -> ToldWalk | None:
        """Give the walk on which what is asked stands, of several loads the first that has it."""
        check = now.check if isinstance(now, Question) else now.prove
        walks = self._complained()
        if not walks:
            return None
        touched = {*check.points, check.part} if check is not None else set()
        name = next((name for name, on_it in walks.items() if touched & on_it), next(iter(walks)))
        condition = self._trace.condition if check is None or check.kind is CheckKind.OHMS else check.condition
        is_read = isinstance(now, Question) and now.posts_read and condition.key == now.check.condition.key
        return self._tell(name, condition, now.posts_volts if isinstance(now, Question) and is_read else None)

    def _complained(self) -> dict[str, set[str]]:
        """Map the elements complained of to the points and parts of their walks."""
        elements = {element.name: element for element in all_elements(self._trace.harness)}
        found: dict[str, set[str]] = {}
        for name in self._trace.complaint.loads:
            if name in elements:
                points = self._walks.walk(elements[name]).points()
                found[name] = {*points, *(point.partition(".")[0] for point in points)}
        return found

    def _tell(self, name: str, condition: Condition, posts_volts: float | None) -> ToldWalk | None:
        """Tell a walk by the posts that the step goes by too: a row and the step give one figure for one point."""
        asked = (name, condition, posts_volts)
        if asked not in self._told:
            element = next(one for one in all_elements(self._trace.harness) if one.name == name)
            walk, told = self._walks.walk(element), None
            for volts in dict.fromkeys((posts_volts, None)):
                # a condition that cannot be solved leaves the column without figures, never the trace without a step
                with suppress(FusewalkError):
                    told = told or self._told_at(walk, replace(condition, posts_volts=volts))
            self._told[asked] = None if told is None else replace(told, condition=condition)
        return self._told[asked]

    def _told_at(self, walk: Walk, condition: Condition) -> ToldWalk:
        from model.tracing.inquiry import stand_at_posts
        from model.tracing.rows import tell_walk

        if self._bench is None:
            self._bench, _ = stand_at_posts(self._walks.bench, self._trace.complaint)
        return tell_walk(self._bench, walk, condition)


def element_named(harness: Harness, names: Sequence[str]) -> str:
    """Name what is complained of, by label."""
    from model.harness.harness import element_label

    elements = {element.name: element for element in all_elements(harness)}
    words = []
    for name in names:
        if name in elements:
            words.append(element_label(harness, elements[name]).strip() or name)
        else:
            part = harness.parts.get(name)
            words.append((part.label if part is not None else "") or name)
    return ", ".join(words)
