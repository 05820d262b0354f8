"""Points that hang together by what joins them two by two."""

from __future__ import annotations

from collections.abc import Iterable


def stand_ins(joins: Iterable[tuple[str, str]], points: Iterable[str] = ()) -> dict[str, str]:
    """Map each point onto one that stands for all that hang together with it.

    Parameters
    ----------
    joins
        Pairs of points that are joined.
    points
        Points besides; each stands for itself where nothing joins it.
    """
    parent = {point: point for point in points}

    def root(point: str) -> str:
        parent.setdefault(point, point)
        while parent[point] != point:
            parent[point] = parent[parent[point]]
            point = parent[point]
        return point

    for one, other in joins:
        parent[root(other)] = root(one)
    return {point: root(point) for point in parent}
