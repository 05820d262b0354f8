"""What is to be done before a row, said in short where the row just before it asked for nearly the same."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from tui.sentences import is_balanced, out_to_names

_LONG_WORDS = 25
"""A shorter sentence is said whole; judgement."""

_SAME_SHARE = 0.6
_JOINS = frozenset({"to", "from", "at", "on", "of", "and", "with", "in", "by", "for", "across"})


def anew(before: Sequence[str], earlier: Sequence[str]) -> tuple[str, ...]:
    """Say what is to be done before a row; of a long sentence that stood there before only what is new in it.

    Parameters
    ----------
    before
        The sentences of the row.
    earlier
        Those of the row that was shown just before it.

    Returns
    -------
    tuple of str
        ``As before, now GND4.`` in place of a sentence that differs in these words, the others as they are. A name
        that differs in a part of it is said whole, with its label and its terminal.
    """
    return tuple(next(filter(None, (_as_before(one, other) for other in earlier)), one) for one in before)


def _as_before(sentence: str, earlier: str) -> str:
    """Say a sentence by what is new in it beside an earlier one; empty where it is short or too much is new."""
    words, others = sentence.split(), earlier.split()
    if len(words) < _LONG_WORDS or not is_balanced(sentence):
        return ""
    if words == others:
        return "As before."
    head = _shared(words, others)
    left, right = words[head:], others[head:]
    tail = _shared(left[::-1], right[::-1])
    if len(left) == tail or head + tail < _SAME_SHARE * len(words):
        return ""
    begin, end = out_to_names(words, head, len(words) - tail)
    while end < len(words) and words[end] not in _JOINS and words[end - 1][-1] not in ".:;":
        # the terminal and the side belong to the name before them
        end += 1
    return f"As before, now {' '.join(words[begin:end]).rstrip('.,:;')}."


def _shared(words: Sequence[str], others: Sequence[str]) -> int:
    """Count the words with which two sentences begin alike."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(words, others, strict=False)))
