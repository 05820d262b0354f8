"""What is said of entries that do not stand in the record, or stand there again."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from model.record_entries import AnyEntry
from model.record_text import block_text
from model.words import clean, plural

_LONGEST_NAME = 300


def put_back_words(count: int) -> str:
    """Say that something else had taken entries from the record, and that they stand in it again."""
    were = "was written again" if count == 1 else "were written again"
    return f"Something else has changed the record or taken it away: {plural(count, 'entry')} that had gone {were}."


def left_words(path: Path, left: Iterable[AnyEntry]) -> str:
    """Say what could not be written, as lines that can be put behind the record by hand; empty where nothing is left.

    Parameters
    ----------
    path
        The harness file.
    """
    blocks = "".join(block_text(entry) for entry in left)
    if not blocks:
        return ""
    name = clean(f"{path.name.removesuffix('.toml')}.record.toml", _LONGEST_NAME)
    return f"Not written into {name}; put these lines at its end:\n\n{blocks}"
