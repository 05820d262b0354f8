"""Sentences that name parts, cut only where a name ends: a label in its brackets may hold any sign."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

_OPENS, _CLOSES = "([“", ")]”"


def first_sentence(words: str) -> str:
    """Return the first sentence of a text, with its full stop.

    Notes
    -----
    A full stop within brackets or quotes is one of a label, and one with a small letter or a digit behind it is that
    of an abbreviation: ``No. 2``.
    """
    place = words.find(". ")
    while place >= 0:
        begins = words[place + 2 : place + 3]
        if _depth(words[:place]) == 0 and not (begins.islower() or begins.isdecimal()):
            return words[: place + 1]
        place = words.find(". ", place + 1)
    return f"{words.rstrip('.')}."


def is_balanced(words: str) -> bool:
    """Tell whether as many brackets and quotes are closed as opened: else nobody can say where a name ends."""
    return _depth(words) == 0


def out_to_names(words: Sequence[str], begin: int, end: int) -> tuple[int, int]:
    """Widen a stretch of words until no name is cut: an id and the label in brackets behind it are one.

    Parameters
    ----------
    words
        All the words.
    begin, end
        The stretch; the word at its end is not in it.

    Returns
    -------
    tuple of int
        Begin and end as they are now.
    """
    depths = list(accumulate(map(_depth, words), initial=0))

    def parts_name(place: int) -> bool:
        return depths[place] > 0 or words[place][:1] in _OPENS

    while begin > 0 and parts_name(begin):
        begin -= 1
    while end < len(words) and parts_name(end):
        end += 1
    return begin, end


def _depth(words: str) -> int:
    """Count how many brackets and quotes are open at the end of words."""
    return sum((sign in _OPENS) - (sign in _CLOSES) for sign in words)
