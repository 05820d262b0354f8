"""Rows of a review found by letters that a person knows of them."""

from __future__ import annotations

from collections.abc import Mapping

from model.errors import ArgumentError
from model.words import clean
from tui.review_rows import Told

OFFERED_MOST = 40


def offered_lines(told: Mapping[str, Told], typed: str) -> list[tuple[str, str]]:
    """Offer the rows that have every word typed: the key, and what the row tells."""
    return [(key, ", ".join(words for _, words in told[key].cells)) for key in _found(told, typed)[:OFFERED_MOST]]


def found_line(told: Mapping[str, Told], typed: str) -> str:
    """Give the key of the row with this key, else of the first that has every word typed.

    Raises
    ------
    ArgumentError
        Where there is none.
    """
    found = [typed] if typed in told else _found(told, typed)
    if not found or not typed.strip():
        raise ArgumentError(f"No row has “{clean(typed, 40)}”.", do="Type letters of a part, a point or a place.")
    return found[0]


def _found(told: Mapping[str, Told], typed: str) -> list[str]:
    words = typed.casefold().split()
    letters = {key: " ".join((key, *(one for _, one in row.cells))).casefold() for key, row in told.items()}
    return [key for key, text in letters.items() if all(word in text for word in words)]
