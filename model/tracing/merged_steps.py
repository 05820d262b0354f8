"""The work on several suspects told once: what faults of one part share is not said again."""

from __future__ import annotations

from collections.abc import Sequence

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
        In the order of the first of each; none twice.
    """
    alike: dict[tuple[str, str], list[Work]] = {}
    for work in dict.fromkeys(works):
        alike.setdefault((work[0], work[-1]), []).append(work)
    return tuple(_one(group) for group in alike.values())


def _one(works: list[Work]) -> Work:
    if len(works) == 1:
        return works[0]
    shortest = min(len(work) for work in works)
    before = next(place for place in range(shortest + 1) if place == shortest or len({w[place] for w in works}) > 1)
    room = shortest - before
    behind = next(place for place in range(room + 1) if place == room or len({work[-1 - place] for work in works}) > 1)
    between = dict.fromkeys(step for work in works for step in work[before : len(work) - behind])
    first = works[0]
    return (*first[:before], *between, *first[len(first) - behind :])
