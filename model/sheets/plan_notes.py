"""Where the limits of a plan come from, each source once and numbered, and what its figures were computed from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from model.plans.judging import source_words
from model.plans.plan import Limit, PlanRow
from model.words import clean

_LONGEST = 600


@dataclass(frozen=True, slots=True)
class Note:
    """One source of limits.

    Attributes
    ----------
    words
        The source and, where it is not published, what kind it is of.
    computed
        What limits of it were computed from, each with the rows that it is of, in words.
    """

    number: int
    words: str
    computed: tuple[tuple[str, str], ...]


def limit_notes(rows: Sequence[PlanRow]) -> tuple[tuple[Note, ...], tuple[int, ...]]:
    """Give each source of limits a number, in the order in which the rows name them.

    Returns
    -------
    tuple
        The notes, and the number of the note of each row; 0 where it has no limit.
    """
    numbers: dict[str, int] = {}
    computed: dict[int, dict[str, list[int]]] = {}
    of_rows: list[int] = []
    for place, row in enumerate(rows, 1):
        if row.limit is None:
            of_rows.append(0)
            continue
        number = numbers.setdefault(_source(row.limit), len(numbers) + 1)
        of_rows.append(number)
        if row.limit.computed_from:
            computed.setdefault(number, {}).setdefault(clean(row.limit.computed_from, _LONGEST), []).append(place)
    notes = tuple(
        Note(number, words, tuple((rows_words(places), said) for said, places in computed.get(number, {}).items()))
        for words, number in numbers.items()
    )
    return notes, tuple(of_rows)


def note_words(note: Note) -> str:
    """Give the sentence that stands before what was computed from it."""
    return f"{note.words}.{' Its figures are computed from:' if note.computed else ''}"


def rows_words(places: Iterable[int]) -> str:
    """Name rows by number: ``row 3``, ``rows 3 to 7, 9``."""
    numbers = sorted(places)
    runs = [[number for _, number in run] for _, run in groupby(enumerate(numbers), lambda pair: pair[1] - pair[0])]
    named = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return f"row{'s' if len(numbers) > 1 else ''} {', '.join(named)}"


def _source(limit: Limit) -> str:
    words = source_words(replace(limit, computed_from=""))
    source = clean(words.removeprefix("Limit: ").rstrip("."), _LONGEST)
    return f"{source[:1].upper()}{source[1:]}"
