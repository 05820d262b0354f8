"""Which points hang together as the switches are set and plugs are mated, every relay taken as it suits."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain

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
_Beside = dict[int, list[tuple[int, str]]]
"""Each island with those that a switch or plug joins to it, and its id."""


class MetalByHand:
    """The islands of a harness with every switch open and every plug that rests apart taken out, and what joins them.

    Far cheaper than solving: it tells at once that no current can come.
    """

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        apart = [connector for connector in harness.connectors if connector.rest == APART]
        parts: tuple[Switch | Connector, ...] = (*harness.switches, *apart)
        self._moved = {part.id: part for part in parts}
        self._island = _islands(harness, [link for link in links_of(harness) if link.part_id not in self._moved])
        self._joins = {part.id: dict(self._joins_of(part)) for part in parts}
        supplies = (*harness.batteries, *harness.chargers)
        self._supplied = frozenset(self._island[f"{supply.id}.{sign}"] for supply in supplies for sign in "+-")
        self._found_beside: dict[str | None, _Beside] = {}

    def may_feed(self, element: Element, condition: Condition | None) -> bool:
        """Tell whether both ends of an element can hang on a supply; without a condition, however hands move things.

        Notes
        -----
        What hangs on each end is followed until a supply is met, so that it takes no longer than that is large.
        """
        beside = self._beside(None if condition is None else condition.key)
        is_set = {} if condition is None else self._set(condition)
        return all(self._is_supplied(end, beside, is_set) for end in (element.from_point, element.to_point))

    def _is_supplied(self, point: str, beside: _Beside, is_set: dict[str, _Pairs]) -> bool:
        """Tell whether a supply hangs on a point with some parts set and all else as it lies beside the islands."""
        seen = {self._island[point]}
        waiting = list(seen)
        while waiting:
            here = waiting.pop()
            if here in self._supplied:
                return True
            others = [other for other, part_id in beside.get(here, ()) if part_id not in is_set]
            others += [pair[here == pair[0]] for pairs in is_set.values() for pair in pairs if here in pair]
            fresh = set(others) - seen
            seen |= fresh
            waiting += fresh
        return False

    def _set(self, condition: Condition) -> dict[str, _Pairs]:
        """Give what each switch and plug joins that a condition sets."""
        return {name: self._joined(self._moved[name], condition) for name in condition.by_name if name in self._moved}

    def _beside(self, key: str | None) -> _Beside:
        """Give what is joined at rest in a key state, without one in any position, by island; kept."""
        if key not in self._found_beside:
            beside: _Beside = {}
            for name, part in self._moved.items():
                every = self._joins[name].values()
                pairs = chain.from_iterable(every) if key is None else self._joined(part, Condition(key))
                for one, other in pairs:
                    beside.setdefault(one, []).append((other, name))
                    beside.setdefault(other, []).append((one, name))
            self._found_beside[key] = beside
        return self._found_beside[key]

    def _joined(self, part: Switch | Connector, condition: Condition) -> _Pairs:
        joins = self._joins[part.id]
        if isinstance(part, Switch):
            return joins[switch_position(self._harness, part, condition)]
        return joins.get(condition.by_name.get(part.id, APART), ())

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
