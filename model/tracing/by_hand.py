"""Which points hang together as the switches are set and plugs are mated, every relay taken as it suits."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from model.circuit.condition import APART, MATED, Condition, switch_position
from model.circuit.frame import frame_of
from model.circuit.solver import islands
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness
from model.harness.parts import Switch
from model.harness.points import contacts
from model.harness.records import Connector
from model.tracing.graph import Link, links_of

_Pairs = tuple[tuple[int, int], ...]


class MetalByHand:
    """The islands of a harness with every switch open and every plug that rests apart taken out, and what joins them.

    Far cheaper than solving: it tells at once that no current can come.
    """

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        apart = [connector for connector in harness.connectors if connector.rest == APART]
        self._moved: tuple[Switch | Connector, ...] = (*harness.switches, *apart)
        ids = {part.id for part in self._moved}
        self._island = _islands(harness, [link for link in links_of(harness) if link.part_id not in ids])
        self._joins = {part.id: dict(self._joins_of(part)) for part in self._moved}
        supplies = (*harness.batteries, *harness.chargers)
        self._supplied = [self._island[f"{supply.id}.{sign}"] for supply in supplies for sign in "+-"]

    def may_feed(self, element: Element, condition: Condition | None) -> bool:
        """Tell whether both ends of an element can hang on a supply; without a condition, however hands move things."""
        parent: dict[int, int] = {}

        def root(island: int) -> int:
            while island in parent:
                island = parent[island]
            return island

        for one, other in self._joined(condition):
            here, there = root(one), root(other)
            if here != there:
                parent[here] = there
        supplied = {root(island) for island in self._supplied}
        return all(root(self._island[end]) in supplied for end in (element.from_point, element.to_point))

    def _joined(self, condition: Condition | None) -> Iterator[tuple[int, int]]:
        for part in self._moved:
            joins = self._joins[part.id]
            if condition is None:
                for pairs in joins.values():
                    yield from pairs
            elif isinstance(part, Switch):
                yield from joins[switch_position(self._harness, part, condition)]
            else:
                yield from joins.get(condition.by_name.get(part.id, APART), ())

    def _joins_of(self, part: Switch | Connector) -> Iterator[tuple[str, _Pairs]]:
        """Give each position of a switch or plug with the islands that it joins."""
        if isinstance(part, Connector):
            front, rear = (
                [f"{part.id}.{half}.{number + 1}" for number in range(part.cavities)] for half in part.halves
            )
            yield MATED, self._pairs(zip(front, rear, strict=True))
            return
        for position, groups in part.positions.items():
            yield position, self._pairs((f"{part.id}.{one}", f"{part.id}.{other}") for one, other in contacts(groups))

    def _pairs(self, points: Iterable[tuple[str, str]]) -> _Pairs:
        return tuple((self._island[one], self._island[other]) for one, other in points)


def _islands(harness: Harness, links: list[Link]) -> dict[str, int]:
    index = frame_of(harness).index
    one = np.array([index[link.one] for link in links], dtype=np.int64)
    other = np.array([index[link.other] for link in links], dtype=np.int64)
    number = islands(len(index), one, other).tolist()
    return {point: number[node] for point, node in index.items()}


@once_per_harness
def metal_by_hand(harness: Harness) -> MetalByHand:
    """Give the islands of a harness."""
    return MetalByHand(harness)
