"""How a harness file says of a part what was assumed when it was made from a list: a sentence in its note."""

from __future__ import annotations

import re
from collections.abc import Iterable

_MARK = re.compile(r"^Assumed: ([A-Za-z0-9_.+-]+(?:, [A-Za-z0-9_.+-]+)*)\.(?: |$)")


def with_marks(note: str, keys: Iterable[str]) -> str:
    """Give a note that begins with what is assumed; without it where nothing is."""
    listed = ", ".join(dict.fromkeys(keys))
    rest = without_marks(note)
    return f"Assumed: {listed}. {rest}".strip() if listed else rest


def marks_of(note: str) -> tuple[str, ...]:
    """Give the keys that a note says are assumed.

    Examples
    --------
    >>> marks_of("Assumed: watts, role. Behind the grille")
    ('watts', 'role')
    """
    found = _MARK.match(note)
    return tuple(found[1].split(", ")) if found else ()


def without_marks(note: str) -> str:
    """Give what a note says beside what is assumed."""
    return _MARK.sub("", note, count=1)


def without_answered(note: str, keys: Iterable[str]) -> str:
    """Give a note without the marks of keys that are given now or taken out, and of what lies in them.

    Examples
    --------
    >>> without_answered("Assumed: amps, role. Behind the grille", ["watts", "amps"])
    'Assumed: role. Behind the grille'
    """
    marks, answered = marks_of(note), frozenset(keys)
    left = [mark for mark in marks if mark.partition(".")[0] not in answered]
    return note if len(left) == len(marks) else with_marks(note, left)
