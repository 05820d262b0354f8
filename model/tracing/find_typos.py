"""Which word a misspelled one was meant to be; one that is not near enough is no guess but another word."""

from __future__ import annotations

from collections.abc import Iterable

_SHORTEST = 4
_LONG = 7


def meant_word(word: str, known: Iterable[str]) -> str | None:
    """Give the known word that a misspelled one was meant to be, or None where none is near enough.

    Near enough is a word with the same first letter and one slip in it, or two where the misspelled one has seven
    letters or more (judgement). Of equally near ones the first counts; fewer than four letters are not guessed at.
    """
    if len(word) < _SHORTEST:
        return None
    most = 2 if len(word) >= _LONG else 1
    near = ((slips(word, one), place, one) for place, one in enumerate(known) if _may_be(word, one, most))
    best = min(near, default=None)
    return best[2] if best is not None and best[0] <= most else None


def slips(one: str, other: str) -> int:
    """Count the slips between two words: a letter too many, too few, another one, or two neighbours turned about."""
    before: list[int] = []
    last = list(range(len(other) + 1))
    for row, letter in enumerate(one, 1):
        line = [row]
        for column, against in enumerate(other, 1):
            fewest = min(last[column] + 1, line[-1] + 1, last[column - 1] + (letter != against))
            if row > 1 and column > 1 and letter == other[column - 2] and one[row - 2] == against:
                fewest = min(fewest, before[column - 2] + 1)
            line.append(fewest)
        before, last = last, line
    return last[-1]


def _may_be(word: str, one: str, most: int) -> bool:
    return one[:1] == word[0] and abs(len(one) - len(word)) <= most
