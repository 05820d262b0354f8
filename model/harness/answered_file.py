"""Answers to what a harness file still needs, each written into the file at once."""

from __future__ import annotations

from pathlib import Path

from model.harness.applied_changes import applied_text
from model.harness.file_read import FileRead, refuse_changed
from model.harness.kept_file import kept_path, replace_keeping_first
from model.harness.wire_list_answers import answered
from model.harness.wire_list_questions import Question


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
    content = read.with_text(applied_text(read.text, changes))
    harness = read.harness_with(content)
    kept = unanswered_path(read.path, read.harness.build.revision)
    replace_keeping_first(read, content, kept)
    return FileRead(read.path, content, harness, kept.name)
