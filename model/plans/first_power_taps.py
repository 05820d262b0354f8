"""What hangs between batteries in series: no lamp at the end of the chain guards it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from model.harness.harness import Harness
from model.harness.metal import metal_joins, wire_points
from model.harness.parts import Fuse
from model.harness.points import all_points, resolve_point
from model.harness.records import Busbar, Connector, Splice, Wire
from model.harness.supply import series_links

_LEADS_ON = (Busbar, Connector, Fuse, Splice, Wire)


def unfused_taps(harness: Harness, posts: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Give what hangs on posts inside a chain and leads to more than fuses: its id and the post.

    Parameters
    ----------
    posts
        The posts that something else than the next battery hangs on.
    """
    return tuple(
        (join_id, post)
        for post in posts
        for join_id, far in _hanging_on(harness, post)
        if not _ends_in_fuses(harness, join_id, post, far)
    )


def is_tapped(harness: Harness, post: str) -> bool:
    """Tell whether more hangs on a post inside a chain than the link to the next battery."""
    return any(True for _ in _hanging_on(harness, post))


def end_at(harness: Harness, wire: Wire, post: str) -> str:
    """Name the end of a wire that is clamped to a post, as a condition sets it off: ``W9.a``."""
    return f"{wire.id}.{'a' if wire_points(harness, wire)[0] == post else 'b'}"


def _hanging_on(harness: Harness, post: str) -> Iterator[tuple[str, str]]:
    """Give each wire and joint on a post but the link to the next battery, with the point at its far end."""
    ends = [(wire.id, *wire_points(harness, wire)) for wire in harness.wires]
    ends += [
        (one.id, resolve_point(harness, one.from_point), resolve_point(harness, one.to_point)) for one in harness.joints
    ]
    for join_id, one, other in ends:
        far = other if one == post else one
        if post in (one, other) and not _is_link(harness, post, far):
            yield join_id, far


def _ends_in_fuses(harness: Harness, join_id: str, post: str, far: str) -> bool:
    """Tell whether the metal beyond a wire or joint leads to fuses alone, the post aside."""
    beside: dict[str, list[str]] = {}
    for name, one, other in metal_joins(harness):
        if name != join_id and post not in (one, other):
            beside.setdefault(one, []).append(other)
            beside.setdefault(other, []).append(one)
    waiting, seen, has_fuse = [far], {far}, False
    while waiting:
        point = waiting.pop()
        part = harness.parts.get(_owner(harness, point))
        if not isinstance(part, _LEADS_ON):
            return False
        has_fuse = has_fuse or isinstance(part, Fuse) or any(fuse.bus == point for fuse in harness.fuses)
        new = [other for other in beside.get(point, ()) if other not in seen]
        seen.update(new)
        waiting += new
    return has_fuse


def _owner(harness: Harness, point: str) -> str:
    known = all_points(harness).get(point)
    return point.partition(".")[0] if known is None else known.part_id


def _is_link(harness: Harness, post: str, far: str) -> bool:
    """Tell whether two points are posts of batteries that follow one another in a chain."""
    pair = _owner(harness, post), _owner(harness, far)
    links = series_links(harness)
    return links.get(pair[0]) == pair[1] or links.get(pair[1]) == pair[0]
