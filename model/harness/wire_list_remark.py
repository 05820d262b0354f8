"""What is said about a list on its way in, line by line."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing about a list that its owner should know.

    Attributes
    ----------
    line
        Line of the list, counted from 1; 0 where it concerns the whole.
    says
        A plain sentence.
    in_parts
        Whether the line is one of the parts list.
    """

    line: int
    says: str
    in_parts: bool = False

    def text(self) -> str:
        """Give the remark as one line of a report."""
        of = "parts list, " if self.in_parts else ""
        if not self.line:
            return f"{of.rstrip(', ')}: {self.says}" if of else self.says
        return f"{of}line {self.line}: {self.says}"


class ListRefusedError(ValueError):
    """A cell that cannot be read; the message says why."""
