"""The answers of plans beside the record of their harness: taken at once, written in the order in which they came."""

from __future__ import annotations

import os
import time
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from threading import RLock

from model.errors import RecordError
from model.plans.judging import Taken
from model.plans.kept import Kept, Measuring, kept_answers, measured_entry, taken_back_entry, verdict_at
from model.plans.plan import Plan, PlanRow
from model.record import Record
from model.record_entries import AnyEntry, Measured, TakenBack
from model.record_text import Trouble
from model.words import plural
from tui.clock import now
from tui.left_words import put_back_words

_WAIT_SECONDS, _WAIT_MOST_SECONDS = 0.05, 4.0
_SAME_PERSON = timedelta(hours=12)


class PlanKeeper:
    """Keeps what plans are answered.

    :meth:`answer` and :meth:`take_back` touch no disk; :meth:`open`, :meth:`write`, :meth:`release` and
    :meth:`close` do, and belong in a thread. An answer counts as kept once it is no longer among `unwritten`.

    Attributes
    ----------
    measuring
        Who measures, with what.
    """

    def __init__(self, harness_path: Path, clock: Callable[[], datetime] | None = None) -> None:
        self._path = harness_path
        self._clock = clock or (lambda: now())
        self._record: Record | None = None
        self._queue: deque[Measured | TakenBack] = deque()
        self._disk = RLock()
        self._is_leaving = False
        self.measuring = Measuring()

    @property
    def is_open(self) -> bool:
        """Whether the record is open."""
        return self._record is not None

    @property
    def entries(self) -> tuple[AnyEntry, ...]:
        """All that has been kept, and what waits to be written behind it."""
        record, queue = self._record, tuple(self._queue)
        return (() if record is None else record.entries) + queue

    @property
    def unwritten(self) -> tuple[AnyEntry, ...]:
        """The entries that are not on the disk."""
        record, queue = self._record, tuple(self._queue)
        return (() if record is None else record.waiting) + queue

    @property
    def trouble(self) -> tuple[Trouble, ...]:
        """What of the record was passed over on reading."""
        return () if self._record is None else self._record.trouble

    @property
    def held_words(self) -> str:
        """Who else writes the record, in words; empty where nobody does."""
        held = None if self._record is None else self._record.held_by
        return "" if held is None else held.words()

    @property
    def problem(self) -> RecordError | None:
        """Why nothing can be written; None where it can."""
        return None if self._record is None else self._record.problem

    @property
    def put_back(self) -> int:
        """How many entries had gone from the record, and were written again."""
        return 0 if self._record is None else self._record.put_back

    def open(self) -> None:
        """Open the record, or try once more where another program had it."""
        with self._disk:
            if self._record is not None:
                if not self.held_words:
                    return
                self.release()
            if self._record is None:
                self._record = self._opened()
                self._take_over_who()

    def _opened(self) -> Record:
        """Open the record; one that a trace of this program is still letting go is waited for."""
        waited = 0.0
        while True:
            record = Record.open(self._path, self._clock())
            held = record.held_by
            if held is None or held.pid != os.getpid() or waited >= _WAIT_MOST_SECONDS or self._is_leaving:
                return record
            record.close()
            time.sleep(_WAIT_SECONDS)
            waited += _WAIT_SECONDS

    def answers(self, plan: Plan) -> dict[str, Kept]:
        """Give the answer that counts of each row of a plan, by its key."""
        return kept_answers(plan, self.entries)

    def answer(self, plan: Plan, row: PlanRow, taken: Taken) -> Kept:
        """Take the answer of a row; :meth:`write` puts it on the disk."""
        kept = self.answers(plan) if row.looks_back else {}
        entry = measured_entry(plan, row, taken, when=self._clock(), by=self.measuring, kept=kept)
        self._queue.append(entry)
        if row.anew == row.key:
            return self.answers(plan)[row.key]
        return Kept(taken, verdict_at(row, taken, entry.when, kept), entry)

    def take_back(self, plan: Plan, row: PlanRow) -> None:
        """Take the answer of a row back; :meth:`write` puts that on the disk."""
        self._queue.append(taken_back_entry(plan, row, when=self._clock(), by=self.measuring))

    def write(self) -> None:
        """Write whatever waits; what cannot be written stays among `unwritten`, and `problem` says why."""
        with self._disk:
            record = self._record
            if record is None:
                return
            while self._queue:
                with suppress(RecordError):  # kept in `problem`; the entry waits in the record
                    record.append(self._queue[0])
                self._queue.popleft()
            if record.waiting:
                with suppress(RecordError):
                    record.retry()

    def release(self) -> None:
        """Let the record go, so that a trace can write it; not while something waits to be written."""
        if self._record is None:
            return
        with self._disk:
            self.write()
            if self._record is not None and not self._record.waiting:
                self._record.close()
                self._record = None

    def close(self) -> tuple[AnyEntry, ...]:
        """Let the record go for good; give what could not be written."""
        self._is_leaving = True
        with self._disk:
            self.write()
            left = self.unwritten
            if self._record is not None:
                with suppress(RecordError):  # what could not be written is given back
                    self._record.close()
            return left

    def _take_over_who(self) -> None:
        """Go on as whoever measured within the last hours; the temperature is asked anew."""
        last = next((one for one in reversed(self.entries) if isinstance(one, Measured)), None)
        if self.measuring == Measuring() and last is not None and abs(self._clock() - last.when) < _SAME_PERSON:
            self.measuring = Measuring(last.who, last.meter)


def unwritten_rows(keeper: PlanKeeper, plan: Plan) -> frozenset[str]:
    """Give the keys of the rows of a plan whose last answer is not on the disk."""
    state = "" if plan.state is None else str(plan.state)
    return frozenset(
        entry.row
        for entry in keeper.unwritten
        if isinstance(entry, Measured | TakenBack) and entry.plan == plan.kind and entry.state == state
    )


def record_words(keeper: PlanKeeper) -> str:
    """Say what stands between the answers and the record; empty where nothing does."""
    if keeper.held_words:
        return (
            f"Another program writes this record: {keeper.held_words}. "
            f"Here it can only be read; end the other, and the next answer tries again."
        )
    said = []
    problem = keeper.problem
    if problem is not None:
        waiting = len(keeper.unwritten)
        held = f"{plural(waiting, 'answer')} not written yet: " if waiting else "Nothing can be written down: "
        place = f" {problem.where}." if problem.where else ""
        said.append(f"{held}{problem.what}{place} {problem.do}".rstrip())
    if keeper.put_back and problem is None:
        said.append(put_back_words(keeper.put_back))
    if keeper.trouble:
        parts = plural(len(keeper.trouble), "part")
        said.append(f"{parts} of the record passed over, {keeper.trouble[0]} Nothing of it is changed; r shows it.")
    return " ".join(said)
