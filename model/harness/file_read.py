"""A harness file as it was read, so that nothing is written over what somebody else wrote meanwhile."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from model.errors import FusewalkError, HarnessFileError
from model.harness.harness import Harness
from model.harness.toml_file import harness_bytes, harness_of_bytes
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

    @property
    def text(self) -> str:
        """What its bytes say, without a byte order mark."""
        return self.content.decode("utf-8-sig")

    def with_text(self, text: str) -> bytes:
        """Give the bytes of another text in its place: with a byte order mark where it has one.

        Raises
        ------
        FusewalkError
            Where the text holds what no file can: half a character, as typed on a broken terminal.
        """
        mark = _MARK if self.content.startswith(_MARK.encode()) else ""
        try:
            return f"{mark}{text}".encode()
        except UnicodeEncodeError:
            raise FusewalkError("What was typed holds signs that no file can hold.", do="Type it anew.") from None

    def harness_with(self, content: bytes) -> Harness:
        """Read what the file would say with other bytes; what is wrong with it is told as of a change not made.

        Raises
        ------
        HarnessFileError
            Where they break a rule of the format.
        """
        try:
            return harness_of_bytes(content, self.path.name)
        except HarnessFileError as error:
            name = f"{clean(self.path.name)} as it would be (nothing is changed)"
            raise HarnessFileError(name, error.breaches) from None


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
