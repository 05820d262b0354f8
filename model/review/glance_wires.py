"""The wires of a main feed: those on the metal from where a net is fed to a bar or fuse on it."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.metal import metal_joins
from model.harness.points import resolve_point
from model.harness.records import Wire


class FeedWires:
    """The wires from one point to the others of its metal, on the way with the fewest pieces of metal."""

    def __init__(self, harness: Harness, entry: str) -> None:
        self._harness = harness
        joined = _joined(harness)
        start = resolve_point(harness, entry)
        self._before: dict[str, tuple[str, str]] = {start: ("", "")}
        waiting = deque([start])
        while waiting:
            here = waiting.popleft()
            for name, there in joined.get(here, ()):
                if there not in self._before:
                    self._before[there] = (here, name)
                    waiting.append(there)

    def to(self, point: str) -> tuple[str, ...]:
        """Name the wires to a point, in order; none where no metal leads there."""
        found: list[str] = []
        here, name = self._before.get(resolve_point(self._harness, point), ("", ""))
        while here:
            if isinstance(self._harness.parts.get(name), Wire):
                found.append(name)
            here, name = self._before[here]
        return tuple(reversed(found))

    def goes_by(self, point: str, others: Iterable[str]) -> bool:
        """Tell whether the way to a point goes by one of some others, or no metal leads there."""
        by, here = set(others), resolve_point(self._harness, point)
        if here not in self._before:
            return True
        while here and here not in by:
            here, _ = self._before[here]
        return bool(here)


@once_per_harness
def _joined(harness: Harness) -> dict[str, list[tuple[str, str]]]:
    found: dict[str, list[tuple[str, str]]] = {}
    for name, one, other in metal_joins(harness):
        found.setdefault(one, []).append((name, other))
        found.setdefault(other, []).append((name, one))
    return found
