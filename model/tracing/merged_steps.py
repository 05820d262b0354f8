"""The work on several suspects told once: what faults of one part share is not said again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

Work = tuple[str, ...]


def merged(works: Sequence[Work]) -> tuple[Work, ...]:
    """Tell works on one part that begin and end alike as one: the common beginning, what each looks at, the common end.

    Parameters
    ----------
    works
        Steps of each, the likeliest first.

    Returns
    -------
    tuple of Work
        In the order of the first of each; none twice, and none that is done with another.
    """
    distinct = tuple(dict.fromkeys(works))
    whole = [work for work in distinct if not any(_is_within(work, other) for other in distinct)]
    alike: dict[tuple[str, str], list[Work]] = {}
    for work in whole:
        alike.setdefault((work[0], work[-1]), []).append(work)
    return tuple(_one(group) for group in alike.values())


def _is_within(work: Work, other: Work) -> bool:
    """Tell whether a longer work has all steps of a work, one behind the other."""
    count = len(work)
    return any(other[first : first + count] == work for first in range(len(other) - count + 1)) and other != work


def _one(works: Sequence[Work]) -> Work:
    if len(works) == 1:
        return works[0]
    shortest = min(len(work) for work in works)
    before = next(place for place in range(shortest + 1) if place == shortest or len({w[place] for w in works}) > 1)
    room = shortest - before
    behind = next(place for place in range(room + 1) if place == room or len({work[-1 - place] for work in works}) > 1)
    first = works[0]
    between = _in_turn(work[before : len(work) - behind] for work in works)
    return (*first[:before], *between, *first[len(first) - behind :])


def _in_turn(works: Iterable[Work]) -> Work:
    """Tell works one after another, those that end alike beside each other: what is done at the end follows all looks.

    The two ends of a wire that may each lie in several wrong places are so moved each once, behind the last of them.
    """
    alike: dict[str, list[Work]] = {}
    for work in dict.fromkeys(works):
        if work:
            alike.setdefault(work[-1], []).append(work)
    return tuple(step for group in alike.values() for step in _one(group))
