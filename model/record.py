"""The record of a loom: what was measured, found and mended on it, kept beside its harness file.

It is only ever added to. Each entry is on the disk before :meth:`Record.append` returns; where that fails, the entry
is kept in memory and written with the next one that can be.
"""

from __future__ import annotations

import os
import platform
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import NoReturn

from model.errors import RecordError
from model.record_entries import AnyEntry
from model.record_file import add_block, read_bytes
from model.record_lock import Holder, RecordLock, take_lock
from model.record_text import FORMAT, HEAD, Contents, Trouble, block_text, lacks_head, read_contents
from model.words import clean

LARGEST_BYTES = 8_000_000
"""A larger record is refused: twenty thousand readings take less."""
_KEPT = "What was answered is kept in memory."
_NOWHERE = (0, 0)


def record_path(harness_path: Path) -> Path:
    """Give where the record of a harness file lies: ``buggy.record.toml`` beside ``buggy.toml``.

    Links are followed, so that a loom has one record however its file is reached.

    Raises
    ------
    RecordError
        Where links lead round in a circle.
    """
    try:
        harness = harness_path.resolve()
        return harness.with_name(f"{harness.name.removesuffix('.toml')}.record.toml").resolve()
    except (OSError, RuntimeError, ValueError) as error:
        raise RecordError(
            f"its record cannot be found: {_reason(error)}.", _place(harness_path), "Check its name and its links."
        ) from None


def read_record(harness_path: Path) -> Contents:
    """Read the record of a harness file without locking it; empty where there is none.

    Raises
    ------
    RecordError
        Where there is one that cannot be read, or that a later program wrote.
    """
    path = record_path(harness_path)
    try:
        content = read_bytes(path, LARGEST_BYTES)
    except OSError as error:
        raise RecordError(
            f"the record cannot be read: {_reason(error)}.", _place(path), "Check what it is and who may read it."
        ) from None
    if len(content) > LARGEST_BYTES:
        raise RecordError(
            f"the record is larger than {LARGEST_BYTES // 1_000_000} MB.",
            _place(path),
            "Move it to another name beside the file: a new one is begun.",
        )
    contents = read_contents(content)
    if contents.format > FORMAT:
        raise RecordError(
            f"the record is of format {contents.format}; this program knows format {FORMAT}.",
            _place(path),
            "Use a later Fusewalk, or move the record elsewhere.",
        )
    return contents


class Record:
    """The record of one harness file, open to be read and, unless another program has it, written.

    Made by :meth:`open`. Opening never fails: `problem` says what stands in the way of writing.
    """

    def __init__(self, harness_path: Path, since: datetime) -> None:
        self._harness_path = harness_path
        self._holder = Holder(os.getpid(), platform.node(), since)
        self._lock: RecordLock | None = None
        self._held_by: Holder | None = None
        self._problem: RecordError | None = None
        self._contents = Contents(FORMAT, (), ())
        self._entries: list[AnyEntry] = []
        self._waiting: list[AnyEntry] = []
        self._own: list[AnyEntry] = []
        self._stood: tuple[int, int] | None = None
        self._put_back = 0
        self._is_closed = False
        self._one_at_a_time = RLock()

    @classmethod
    def open(cls, harness_path: Path, since: datetime) -> Record:
        """Open the record of a harness file; it need not be there yet, and is made with its first entry.

        Parameters
        ----------
        since
            The time now, with its offset: another program is told it.
        """
        record = cls(harness_path, since)
        with suppress(RecordError):  # kept in `problem`
            record._begin()
        return record

    @property
    def path(self) -> Path:
        """Where the record lies.

        Raises
        ------
        RecordError
            Where links lead round in a circle.
        """
        return record_path(self._harness_path)

    @property
    def entries(self) -> tuple[AnyEntry, ...]:
        """All entries, those that wait to be written among them."""
        return tuple(self._entries)

    @property
    def trouble(self) -> tuple[Trouble, ...]:
        """What was passed over on reading."""
        return self._contents.trouble

    @property
    def waiting(self) -> tuple[AnyEntry, ...]:
        """The entries that could not be written yet."""
        return tuple(self._waiting)

    @property
    def put_back(self) -> int:
        """How many entries had gone from the file since they stood in it, and were written again."""
        return self._put_back

    @property
    def held_by(self) -> Holder | None:
        """The program that writes this record; None where none other does."""
        return self._held_by

    @property
    def problem(self) -> RecordError | None:
        """Why nothing can be written, as of the last try; None where it can."""
        return self._problem

    def append(self, entry: AnyEntry) -> AnyEntry:
        """Add an entry, and see it onto the disk.

        An entry of a trace gets its number within the trace.

        Returns
        -------
        AnyEntry
            The entry as it was added.

        Raises
        ------
        RecordError
            Where it cannot be written: it stands in `entries` and `waiting`, and is written by :meth:`retry` or
            before the next entry.
        """
        with self._one_at_a_time:
            if self._is_closed:
                raise RecordError(
                    "the record is closed.", _place(self._harness_path), do="Open the plan or the trace again."
                )
            if entry.trace:
                entry = entry.model_copy(update={"number": self._last_number(entry.trace) + 1})
            self._entries.append(entry)
            self._waiting.append(entry)
            self.retry()
            return entry

    def retry(self) -> None:
        """Write whatever waits, and again what has gone from the file since; nothing where there is nothing.

        Raises
        ------
        RecordError
            Where it still cannot be written.
        """
        with self._one_at_a_time:
            if not self._waiting and not self._is_changed():
                return
            path = self._begin()
            self._wait_anew(path)
            while self._waiting:
                block = block_text(self._waiting[0]).encode()
                try:
                    add_block(path, block, HEAD.encode(), lacks_head)
                except OSError as error:
                    self._refuse(_not_written(error, path))
                written = self._waiting.pop(0)
                if not (self._put_back and written in self._own):
                    self._own.append(written)
                self._stood = _stands(path)
            self._problem = None

    def close(self) -> None:
        """Write whatever waits and let the record go; closing twice does nothing.

        Raises
        ------
        RecordError
            Where entries could not be written; the record is let go all the same.
        """
        with self._one_at_a_time:
            if self._is_closed:
                return
            try:
                self.retry()
            finally:
                self._is_closed = True
                if self._lock is not None:
                    self._lock.release()

    def __enter__(self) -> Record:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if error is None:
            self.close()
            return
        with suppress(RecordError):  # what went wrong first is to be told
            self.close()

    def _begin(self) -> Path:
        """Take the lock where it is not held yet, and read what the file holds.

        Raises
        ------
        RecordError
            Where nothing can be written; what can be read is read all the same.
        """
        try:
            path = self.path
            if self._lock is not None:
                return path
            lock = _take(path, self._holder)
        except RecordError as error:
            self._refuse(error)
        try:
            self._contents = read_record(self._harness_path)
        except RecordError as error:
            if isinstance(lock, RecordLock):
                lock.release()
            self._refuse(error)
        self._entries = [*self._contents.entries, *self._waiting]
        self._held_by = lock if isinstance(lock, Holder) else None
        if isinstance(lock, Holder):
            self._refuse(_held(lock, path))
        if isinstance(lock, RecordError):
            self._refuse(lock)
        self._lock, self._problem, self._stood = lock, None, _stands(path)
        return path

    def _is_changed(self) -> bool:
        """Tell whether something else has changed or taken away the file since it was last read or written."""
        return self._stood is not None and _stands(self.path) != self._stood

    def _wait_anew(self, path: Path) -> None:
        """Let what has gone from the file wait again: all that is known of one taken away, else what was added here.

        Raises
        ------
        RecordError
            Where the file cannot be read any more.
        """
        if not self._is_changed():
            return
        try:
            there = read_record(self._harness_path).entries
        except RecordError as error:
            self._refuse(error)
        is_gone = not path.exists() and path.parent.exists()
        known = [one for one in self._entries if one not in self._waiting] if is_gone else self._own
        gone = [one for one in known if one not in there and one not in self._waiting]
        self._waiting = [*gone, *(one for one in self._waiting if one not in there)]
        self._put_back += len(gone)
        self._stood = _stands(path) or _NOWHERE

    def _refuse(self, error: RecordError) -> NoReturn:
        self._problem = error
        raise error

    def _last_number(self, trace: str) -> int:
        return next((entry.number for entry in reversed(self._entries) if entry.trace == trace), 0)


def _stands(path: Path) -> tuple[int, int] | None:
    """Tell which file stands there and how many bytes it has; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_ino, found.st_size


def _take(path: Path, holder: Holder) -> RecordLock | Holder | RecordError:
    """Take the lock on a record, or give who holds it, or why it cannot be taken."""
    lock_path = path.with_name(f".{path.name.removesuffix('.toml')}.lock")
    try:
        return take_lock(lock_path, holder)
    except OSError as error:
        return RecordError(
            f"the record cannot be locked: {_reason(error)}.",
            _place(lock_path),
            f"{_KEPT} See that its folder can be written, and try again.",
        )


def _held(holder: Holder, path: Path) -> RecordError:
    return RecordError(
        f"another program writes this record: {holder.words()}.", _place(path), f"{_KEPT} End the other and try again."
    )


def _not_written(error: OSError, path: Path) -> RecordError:
    return RecordError(
        f"the record cannot be written: {_reason(error)}.",
        _place(path),
        f"{_KEPT} Make room or see who may write there, and try again.",
    )


def _reason(error: Exception) -> str:
    return clean(getattr(error, "strerror", None) or str(error))


def _place(path: Path) -> str:
    return clean(str(path), 500)
