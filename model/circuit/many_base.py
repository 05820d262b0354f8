"""The sound circuit on its way to rest, with what is watched in every variant of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray
from model.circuit.many_layout import Layout
from model.circuit.many_piece import Piece
from model.circuit.many_stage import Stage
from model.circuit.netlist import MoverKind


@dataclass(frozen=True)
class Watch:
    """Pairs of nodes that are looked at in every row: fuses, ports, senses, and meeting nodes with the reference."""

    fuses: slice
    lamps: slice
    lines: slice
    inverters: slice
    senses: slice
    meeting: slice


class Base:
    """The sound circuit's stages with what is watched in them."""

    def __init__(self, piece: Piece, layout: Layout, stages: list[Stage]) -> None:
        self.piece = piece
        self.circuit = circuit = piece.circuit
        self.layout = layout
        self.stages = stages
        first = layout.fuses.start
        lamps, lines, inverters = (
            slice(kind.start - first, kind.stop - first) for kind in (layout.lamps, layout.lines, layout.inverters)
        )
        count = layout.inverters.stop - first
        senses = slice(count, count + len(layout.sense_one))
        meeting = slice(senses.stop, senses.stop + len(piece.meeting))
        self.watch = Watch(slice(0, layout.lamps.start - first), lamps, lines, inverters, senses, meeting)
        movers = circuit.net.movers
        self.is_relay = np.array([mover.kind is MoverKind.RELAY for mover in movers], dtype=np.bool_)
        self.on_volts = np.array([mover.on_volts for mover in movers])
        self.off_volts = np.array([mover.off_volts for mover in movers])
        self.allowed = np.array([mover.allowed for mover in movers], dtype=np.bool_)
        self._watched = [self._watched_at(stage) for stage in stages]

    def _watched_at(self, stage: Stage) -> tuple[FloatArray, FloatArray, BoolArray]:
        layout, place = self.layout, stage.kept.place
        slots = slice(layout.fuses.start, layout.inverters.stop)
        meeting = place[self.piece.meeting]
        reference = np.full(len(meeting), place[self.circuit.net.reference])
        one = np.concatenate((stage.one[slots], place[layout.sense_one], meeting))
        other = np.concatenate((stage.other[slots], place[layout.sense_other], reference))
        by_slot = np.ascontiguousarray((stage.columns[one] - stage.columns[other]).T)
        volts = stage.node_volts[one] - stage.node_volts[other]
        return volts, by_slot, stage.island[one] != stage.island[other]

    def watched(self, place: int) -> tuple[FloatArray, FloatArray, BoolArray]:
        """Give of a stage the volts watched, what an ampere through each slot does to them, and which are apart."""
        return self._watched[place]

    def stirred(self, place: int, volts: FloatArray) -> BoolArray:
        """Tell in which rows something outside the piece moves or bends, shape (rows,), by their watched volts."""
        if not self.piece.outsides:
            return np.zeros(len(volts), dtype=np.bool_)
        return self.piece.outsides[place].stirred(volts[:, self.watch.meeting])
