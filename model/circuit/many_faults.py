"""Many faults of a harness simulated fast: all variants of one condition from one circuit and its inverse.

The sound circuit is brought to rest step by step, each step made linear about its volts; a fault is a change of a few
branches of it (J. Sherman and W. J. Morrison, Annals of Mathematical Statistics 21 (1950) 124-127). Lamps, one-way
lines, relays and fuses are brought to rest in every variant: none is held as the sound circuit has it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np

from model.circuit.bench import Bench
from model.circuit.cases import Cases, Variant
from model.circuit.condition import Condition
from model.circuit.grouped_cases import GroupedCases
from model.circuit.instrumented import Setup
from model.circuit.many_changes import split_sites
from model.circuit.many_piece import piece_of
from model.circuit.many_settle import scene_of, settle_piece, settle_whole
from model.circuit.piece_table import PieceTable
from model.harness.points import resolve_point


class FaultBench:
    """Variants of one harness, simulated together in any condition.

    Parameters
    ----------
    bench
        The harness, and the emf of its first battery where that is known.
    variants
        What may be wrong.
    points
        Where probes may stand; at any other point it takes a little longer.
    """

    def __init__(self, bench: Bench, variants: Sequence[Variant], points: Iterable[str]) -> None:
        self.bench = bench
        self.variants = tuple(variants)
        self._points = tuple(dict.fromkeys(resolve_point(bench.harness, point) for point in points))
        self._kept: dict[Setup, Cases] = {}

    @cached_property
    def _split(self) -> frozenset[str]:
        faults = tuple(fault for variant in self.variants for fault in variant.faults)
        return split_sites(self.bench.harness, faults)

    def cases(
        self,
        condition: Condition,
        *,
        jumper: tuple[str, str] | None = None,
        lamp: tuple[str, str, float] | None = None,
        powered: bool = True,
    ) -> Cases:
        """Settle all variants in a condition; kept by the arguments.

        Parameters
        ----------
        jumper
            Two points that a fused wire of 0.01 Ω joins.
        lamp
            Red point, black point and watts of a lamp that is part of the circuit.
        powered
            False where all batteries and chargers are disconnected.

        Raises
        ------
        CircuitError
            Where the sound circuit cannot be as the condition says.
        """
        setup = Setup(condition.healthy(), jumper, lamp, powered)
        if setup not in self._kept:
            self._kept[setup] = self._settle(setup)
        return self._kept[setup]

    def _settle(self, setup: Setup) -> Cases:
        scene = scene_of(self.bench, setup, self.variants, self._split)
        index = scene.circuit.net.index
        points = [index[point] for point in self._points if point in index]
        piece = piece_of(scene.circuit, scene.steps, scene.changes, [*points, *scene.blown_before])
        if piece is None:
            return settle_whole(scene, self._points)
        table, stirred = settle_piece(scene, piece, self._points)
        quiet = PieceTable(table, len(self.variants), lambda: settle_whole(scene, self._points))
        if not len(stirred):
            return quiet
        loud = settle_whole(scene.only(stirred.tolist()), self._points)
        return GroupedCases(((np.arange(len(self.variants)), quiet), (stirred, loud)))
