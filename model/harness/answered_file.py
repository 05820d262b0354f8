"""Answers to what a harness file still needs, each written into the file at once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from model.errors import FusewalkError, HarnessFileError
from model.harness.applied_changes import applied_text
from model.harness.harness import Harness
from model.harness.kept_file import kept_path, replace_keeping_first
from model.harness.toml_file import harness_bytes, harness_of_bytes
from model.harness.wire_list_answers import answered
from model.harness.wire_list_questions import Question
from model.words import clean

_MARK = "\ufeff"


class ChangedOutsideError(FusewalkError):
    """A file that says something else than it said when it was read."""


@dataclass(frozen=True, slots=True)
class FileRead:
    """A harness file as it was read.

    Attributes
    ----------
    content
        Its bytes.
    kept
        Name of the file that holds it as it was before the first answer; empty where no answer was written.
    """

    path: Path
    content: bytes
    harness: Harness
    kept: str = ""


def read_file(path: Path) -> FileRead:
    """Read a harness file, its bytes and what they say.

    Raises
    ------
    FusewalkError
        Where it cannot be read or breaks a rule of the format.
    """
    content = harness_bytes(path)
    return FileRead(path, content, harness_of_bytes(content, path.name))


def refuse_changed(read: FileRead) -> None:
    """Refuse to go on with a file that was changed by something else since it was read.

    Raises
    ------
    ChangedOutsideError
        Where its bytes differ from those that were read.
    FusewalkError
        Where it cannot be read any more.
    """
    if harness_bytes(read.path) != read.content:
        raise ChangedOutsideError(
            f"{clean(read.path.name)} was changed by something else since it was read.",
            do="Nothing is written over it.",
        )


def refuse_other(read: FileRead, harness: Harness) -> None:
    """Refuse to go on with a file that no longer says what was read from it earlier.

    Raises
    ------
    ChangedOutsideError
        Where it says something else.
    """
    if read.harness != harness:
        raise ChangedOutsideError(
            f"{clean(read.path.name)} was changed by something else since it was opened here.",
            do="Nothing is written over it: go back to the choice of a file and open it again.",
        )


def unanswered_path(path: Path, revision: int) -> Path:
    """Give where a file is kept as it was before the first answer: ``buggy.rev3.unanswered.toml``."""
    kept = kept_path(path, revision)
    return kept.with_name(f"{kept.stem}.unanswered{kept.suffix}")


def answer_in_file(read: FileRead, question: Question, answer: str) -> FileRead:
    """Write an answer into the file; give the file as it then is.

    The file as it was before the first answer to its revision is kept beside it; the revision stays, since answers only
    fill in what was assumed.

    Raises
    ------
    ChangedOutsideError
        Where the file was changed by something else since it was read.
    HarnessFileError
        Where the file would break a rule of the format with the answer: nothing is changed.
    FusewalkError
        Where the answer cannot be read, or the file cannot be written.
    """
    changes = answered(question, answer)
    refuse_changed(read)
    text = read.content.decode("utf-8-sig")
    new = applied_text(text, changes)
    name = read.path.name
    try:
        mark = _MARK if read.content.startswith(_MARK.encode()) else ""
        content = f"{mark}{new}".encode()
        harness = harness_of_bytes(content, name)
    except HarnessFileError as error:
        raise HarnessFileError(f"{name} as it would be (nothing is changed)", error.breaches) from None
    kept = unanswered_path(read.path, read.harness.build.revision)
    replace_keeping_first(read.path, content, kept)
    return FileRead(read.path, content, harness, kept.name)
