"""Many faults of a harness simulated fast: all variants of one condition from one circuit and its inverse.

The sound circuit is brought to rest step by step, each step made linear about its volts; a fault is a change of a few
branches of it (J. Sherman and W. J. Morrison, Annals of Mathematical Statistics 21 (1950) 124-127). Lamps, one-way
lines, relays and fuses are brought to rest in every variant: none is held as the sound circuit has it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np

from model.circuit.arrays import IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Cases, Variant
from model.circuit.condition import Condition
from model.circuit.grouped_cases import GroupedCases
from model.circuit.instrumented import Setup, build_setup
from model.circuit.many_base import Base
from model.circuit.many_changes import Changes, SoundNet, changes_of, split_sites
from model.circuit.many_columns import KeptNetwork
from model.circuit.many_fuses import settle_variants
from model.circuit.many_layout import Layout, lay_out, make_rows
from model.circuit.many_piece import Piece, piece_of, whole
from model.circuit.many_rest import mark_blurred
from model.circuit.many_stage import Stage, sound_steps
from model.circuit.many_table import CaseTable
from model.circuit.piece_table import PieceTable
from model.circuit.relax import Circuit
from model.circuit.resolved_cases import ResolvedCases
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
        harness = self.bench.harness
        net = build_setup(self.bench, setup, split=self._split)
        circuit = Circuit(net)
        if self.bench.first_emf is not None:
            circuit.set_emf(self.bench.first_emf)
        sound = SoundNet(harness, setup.without_supply(harness), net)
        found = [changes_of(sound, variant.faults) for variant in self.variants]
        steps = sound_steps(circuit)
        points = [net.index[point] for point in self._points if point in net.index]
        gone = frozenset().union(*(variant.blown for variant in self.variants))
        points += [net.one[link.branch] for link in net.fuses if link.part_id in gone]
        points += [net.other[link.branch] for link in net.fuses if link.part_id in gone]
        piece = piece_of(circuit, steps, found, points)
        if piece is None:
            return self._table(setup, whole(circuit, steps, found))[0]
        table, stirred = self._table(setup, piece)
        quiet = PieceTable(table, len(self.variants), lambda: self._table(setup, whole(circuit, steps, found))[0])
        if not len(stirred):
            return quiet
        loud = FaultBench(self.bench, [self.variants[number] for number in stirred.tolist()], self._points)
        every = np.arange(len(self.variants))
        return GroupedCases(
            ((every, quiet), (stirred, loud._table(setup, whole(circuit, steps, _some(found, stirred)))[0]))
        )

    def _table(self, setup: Setup, piece: Piece) -> tuple[CaseTable, IntArray]:
        """Settle all variants in a piece, and give the numbers of those left out: they stir what is outside."""
        circuit, net = piece.circuit, piece.circuit.net
        every = [*(changes or Changes() for changes in piece.changes), Changes()]
        layout, added = lay_out(circuit, every)
        rows = make_rows(net, layout, added, every, [*(v.blown for v in self.variants), frozenset()])
        base = Base(piece, layout, self._stages(piece, layout))
        is_sound = np.array([*(not variant.faults for variant in self.variants), True])
        result = settle_variants(base, rows, is_sound)
        mark_blurred(base, result.rows, result.ends)
        anew = np.array([*(changes is None for changes in piece.changes), False])
        stirred = np.unique(result.variant[result.ends.stirred])
        odd = np.unique(np.concatenate((result.variant[result.ends.odd], np.flatnonzero(anew))))
        result.ends.odd |= np.isin(result.variant, odd)
        only = [number for number in np.setdiff1d(odd, stirred).tolist() if number < len(self.variants)]
        alone = ResolvedCases(self.bench, self.variants, setup, only=only, meters_in=False)
        return CaseTable(base, result, tuple(variant.blown for variant in self.variants), alone), stirred

    def _stages(self, piece: Piece, layout: Layout) -> list[Stage]:
        circuit, net = piece.circuit, piece.circuit.net
        falling = np.zeros(len(net.one), dtype=np.bool_)
        falling[circuit.inverter_branch] = True
        keep = np.ones(circuit.node_count, dtype=np.bool_)
        kept = KeptNetwork(circuit.node_count, circuit.ends, keep, falling, net.reference)
        points = kept.place[[net.index[point] for point in self._points if point in net.index] + [*net.posts]]
        last = len(piece.steps) - 1
        return [
            Stage(circuit, layout, kept, step, piece.rest_siemens[place], points if place == last else None)
            for place, step in enumerate(piece.steps)
        ]


def _some(found: Sequence[Changes | None], numbers: IntArray) -> list[Changes | None]:
    return [found[number] for number in numbers.tolist()]
