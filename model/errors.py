"""The one family of errors that a person is meant to read: what is wrong, where, and what to do."""

from __future__ import annotations

from dataclasses import dataclass


class FusewalkError(Exception):
    """Something a person can mend.

    Parameters
    ----------
    what
        What is wrong, as a plain sentence.
    where
        The file, part or argument that it concerns; empty where the sentence says it.
    do
        What to do about it; empty where nothing but the sentence helps.
    """

    def __init__(self, what: str, where: str = "", do: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.do = do

    def __str__(self) -> str:
        head = f"{self.where}: {self.what}" if self.where else self.what
        return f"{head} {self.do}" if self.do else head


@dataclass(frozen=True, slots=True)
class Breach:
    """One place in which a harness file breaks a rule of the format.

    Attributes
    ----------
    line
        Line number in the file, counted from 1; 0 where it has none.
    table, id, key
        The table of the file, the id (or name, or row number) of the row and the key concerned; empty where none.
    found
        What stands there.
    right
        What would be right.
    """

    line: int
    table: str
    id: str
    key: str
    found: str
    right: str

    def text(self, file_name: str) -> str:
        """Give the breach as one line of a report."""
        spot = " ".join(word for word in (self.table, self.id, self.key) if word)
        place = f"{file_name}:{self.line}" if self.line else file_name
        return f"{place}: {spot}: {self.found}; {self.right}" if spot else f"{place}: {self.found}; {self.right}"


class HarnessFileError(FusewalkError):
    """A harness file that cannot be used, with every breach found in it."""

    def __init__(self, file_name: str, breaches: tuple[Breach, ...]) -> None:
        count = len(breaches)
        super().__init__(
            f"{count} thing{'s' if count != 1 else ''} to put right in the harness file.",
            where=file_name,
        )
        self.file_name = file_name
        self.breaches = breaches

    def __str__(self) -> str:
        return "\n".join([super().__str__(), *(breach.text(self.file_name) for breach in self.breaches)])


class ArgumentError(FusewalkError):
    """A key state, setting, fault, part or option that the harness does not have."""


class CircuitError(FusewalkError):
    """A circuit that has no solution as asked, such as posts that cannot read the volts given."""


class AnswerError(FusewalkError):
    """An answer that does not fit what was asked; nothing changes by it."""


class RecordError(FusewalkError):
    """A record that cannot be read, locked or written; what was to be written is kept in memory."""
