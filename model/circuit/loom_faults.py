"""Every single fault of a whole loom, simulated: what each load, relay, fuse and point does under each of them.

The faults of a few areas of the loom are settled together, each group in the piece that it is in. Faults of the supply,
and those that pull on the supply so that something moves elsewhere, are settled in the whole circuit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np

from model.circuit.arrays import IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases, Variant
from model.circuit.condition import Condition
from model.circuit.fault_sites import every_fault
from model.circuit.faults import Fault
from model.circuit.grouped_cases import GroupedCases
from model.circuit.instrumented import Setup
from model.circuit.many_areas import Areas, areas_of
from model.circuit.many_changes import split_sites
from model.circuit.many_piece import ChangedNodes, piece_of, supply_nodes
from model.circuit.many_settle import Scene, scene_of, settle_piece, settle_whole
from model.circuit.piece_table import PieceTable
from model.circuit.resolved_cases import ResolvedCases

_GROUP_NODES = 150
_WHOLE_NODES_AT_MOST = 12_000
"""The columns of a larger circuit need more than two gigabytes: what stirs it is settled one by one."""


class LoomFaults:
    """Every fault of a loom.

    Parameters
    ----------
    bench
        The harness.
    faults
        What may be wrong, one at a time; without it :func:`model.circuit.fault_sites.every_fault`.

    Attributes
    ----------
    variants
        The sound circuit, then each fault: what the numbers of the cases count.
    """

    def __init__(self, bench: Bench, faults: Sequence[Fault] | None = None) -> None:
        self._bench = bench
        every = every_fault(bench.harness) if faults is None else faults
        self.variants: tuple[Variant, ...] = (Variant(), *(Variant((fault,)) for fault in every))

    @cached_property
    def split(self) -> frozenset[str]:
        """Wires and terminals with a node inside, for what is wrong there: each such terminal has a microohm."""
        return split_sites(self._bench.harness, tuple(fault for one in self.variants for fault in one.faults))

    def cases(self, condition: Condition) -> Cases:
        """Settle all of them in a condition; nothing is kept.

        Raises
        ------
        CircuitError
            Where the sound circuit cannot be as the condition says.
        """
        setup = Setup(condition.healthy())
        scene = scene_of(self._bench, setup, self.variants, self.split)
        areas = areas_of(scene.circuit.net)
        if areas is None:
            return settle_whole(scene, ())
        groups, loud = _groups(scene, areas)
        found: list[tuple[IntArray, Cases]] = []
        for numbers in groups:
            stirred, told = self._in_a_piece(scene.only(numbers), areas)
            if told is not None:
                found.append((np.array(numbers, dtype=np.int64), told))
            loud += [numbers[place] for place in stirred]
        loud.sort()
        found.append((np.array(loud, dtype=np.int64), self._in_the_whole(scene.only(loud))))
        return GroupedCases(found)

    def _in_a_piece(self, scene: Scene, areas: Areas) -> tuple[list[int], Cases | None]:
        """Settle a group; give the places of those to be settled in the whole circuit too."""
        piece = piece_of(scene.circuit, scene.steps, scene.changes, (), areas)
        if piece is None:
            return list(range(len(scene.variants))), None
        table, stirred = settle_piece(scene, piece, ())
        return stirred.tolist(), PieceTable(table, len(scene.variants), lambda: self._in_the_whole(scene))

    def _in_the_whole(self, scene: Scene) -> Cases:
        if scene.circuit.node_count <= _WHOLE_NODES_AT_MOST:
            return settle_whole(scene, ())
        return ResolvedCases(scene.bench, scene.variants, scene.setup, meters_in=False)


def _groups(scene: Scene, areas: Areas) -> tuple[list[list[int]], list[int]]:
    """Give the variants in groups by area, small areas together, and those of the supply and the meeting nodes."""
    changed = ChangedNodes(scene.circuit.net)
    supply = set(areas.area[supply_nodes(scene.circuit.net)].tolist()) | {-1}
    by_area: dict[int, list[int]] = {}
    loud: list[int] = []
    for number, changes in enumerate(scene.changes):
        nodes = () if changes is None else changed.of([changes])
        own = set(areas.area[list(nodes)].tolist()) - supply
        if changes is not None and nodes and not own:
            loud.append(number)
        else:
            by_area.setdefault(min(own, default=-1), []).append(number)
    return list(_together(by_area, areas)), loud


def _together(by_area: dict[int, list[int]], areas: Areas) -> Iterator[list[int]]:
    sizes = np.bincount(areas.area[areas.area >= 0])
    group: list[int] = []
    nodes = 0
    for area, numbers in sorted(by_area.items()):
        group += numbers
        nodes += int(sizes[area]) if area >= 0 else 0
        if nodes >= _GROUP_NODES:
            yield sorted(group)
            group, nodes = [], 0
    if group:
        yield sorted(group)
