"""An amendment put into the file from a screen, in a thread: it touches no widget."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from model.amending import Done, Why, amend_file, end_words, standing_amendments, undo_file
from model.errors import RecordError
from model.harness.amendments import Amendment
from model.harness.file_read import FileRead, read_file, refuse_other
from model.harness.harness import Harness
from model.record import read_record
from model.record_entries import Amended
from model.sheets.card_history import history_of
from model.words import clean
from tui.clock import now

_LONGEST = 1000


@dataclass(frozen=True)
class LastAmendment:
    """The last amendment that was not taken back, and why none is known where the record cannot be read."""

    entry: Amended | None
    wrong: str = ""


def read_for(path: Path, harness: Harness) -> FileRead:
    """Read a file that is to be amended.

    Raises
    ------
    ChangedOutsideError
        Where it no longer says what stands on the bench.
    """
    read = read_file(path)
    refuse_other(read, harness)
    return read


def put_in(path: Path, amendment: Amendment, why: Why, read: FileRead | None) -> Done:
    """Put an amendment into the file.

    Raises
    ------
    FusewalkError
        Where the file was changed by something else, would not read any more, or cannot be written.
    """
    return amend_file(path, amendment, now(), why, read)


def take_back(path: Path) -> Done:
    """Take the last amendment back.

    Raises
    ------
    FusewalkError
        Where there is none, the file was changed since, or it cannot be written.
    """
    return undo_file(path, now(), Why())


def last_amendment(path: Path) -> LastAmendment:
    """Give the last amendment of a file that was not taken back."""
    try:
        standing = standing_amendments(read_record(path).entries)
    except RecordError as error:
        return LastAmendment(None, f"{error.what} {error.do}".rstrip())
    return LastAmendment(standing[-1] if standing else None)


def amendments_of(path: Path, part_id: str) -> tuple[str, ...]:
    """Tell the amendments of a part that stand; nothing where the record cannot be read."""
    try:
        return history_of(read_record(path).entries, part_id)
    except RecordError:
        return ()


def said_of(amendment: Amendment) -> list[str]:
    """List what an amendment says: what was done, what to look at, where old ends are."""
    return [amendment.sentence, *amendment.remarks, *(f"{end_words(end)}." for end in amendment.old_ends)]


def question_words(amendment: Amendment, revision: int) -> str:
    """Say what putting an amendment in will do, with what somebody should look at first."""
    said = [*said_of(amendment), f"The file becomes revision {revision + 1}; revision {revision} is kept beside it."]
    return clean(" ".join(said), _LONGEST)


def done_words(done: Done) -> str:
    """Say what has been done to the file and to the record."""
    entry = done.entry
    said = f"The file is revision {entry.revision}; revision {entry.before} is kept in {entry.kept}."
    if done.unwritten is not None:
        said += f" The record does not tell of it: {done.unwritten.what} {done.unwritten.do}"
    return clean(said, _LONGEST)


def undo_words(entry: Amended) -> str:
    """Say what taking an amendment back will do."""
    back = f"The file becomes again what it was as revision {entry.before}, byte for byte"
    kept = "what it is now is kept beside it. Nothing changes on the loom itself: undo the work there too."
    return clean(f"{entry.when:%Y-%m-%d}: {entry.sentence} {back}; {kept}", _LONGEST)
