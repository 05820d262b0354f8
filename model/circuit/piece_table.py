"""The cases of a piece of a circuit; what is outside is told by straight lines, or between points solved whole."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.cases import Cases
from model.circuit.many_table import CaseTable
from model.circuit.netlist import ElementBranch
from model.harness.points import resolve_point


class PieceTable:
    """Variants settled in one setup, in the piece that they are in; see :class:`model.circuit.cases.Cases`.

    Parameters
    ----------
    table
        The cases of the piece.
    solve_whole
        Settles all variants in the whole circuit: for probes on points outside that nobody named beforehand.
    """

    def __init__(self, table: CaseTable, variant_count: int, solve_whole: Callable[[], Cases]) -> None:
        self._table = table
        self._variant_count = variant_count
        self._solve_whole = solve_whole
        self.variant: IntArray = table.variant
        self.share: FloatArray = table.share
        self.posts_volts: FloatArray = table.posts_volts
        self.blown: tuple[frozenset[str], ...] = table.blown

    @cached_property
    def _whole(self) -> tuple[Cases, IntArray]:
        """The cases of the whole circuit, and which of them is each of these."""
        found = self._solve_whole()
        order = np.argsort(found.variant, kind="stable")
        begins = np.searchsorted(found.variant[order], np.arange(self._variant_count + 1))
        nth = np.zeros(len(self.variant), dtype=np.int64)
        own = np.argsort(self.variant, kind="stable")
        own_begins = np.searchsorted(self.variant[own], np.arange(self._variant_count))
        nth[own] = np.arange(len(own)) - own_begins[self.variant[own]]
        last = begins[self.variant + 1] - 1
        return found, order[np.minimum(begins[self.variant] + nth, last)]

    def _has(self, *points: str) -> bool:
        index, harness = self._table.net.index, self._table.net.harness
        return all(resolve_point(harness, point) in index for point in points)

    def volts(self, red: str, black: str, *, roughly: bool = False) -> FloatArray:
        """Give what a meter of 10 MΩ reads between two points, in volts, shape (cases,)."""
        if self._has(red, black):
            return self._table.volts(red, black, roughly=roughly)
        cases, which = self._whole
        return cases.volts(red, black, roughly=roughly)[which]

    def source_ohms(self, red: str, black: str) -> FloatArray:
        """Give the ohms behind a reading, shape (cases,); infinite where one of the points floats."""
        if self._has(red, black):
            return self._table.source_ohms(red, black)
        cases, which = self._whole
        return cases.source_ohms(red, black)[which]

    def spread_volts(self, red: str, black: str) -> FloatArray:
        """Give one sigma of a reading by the parts' tolerances alone, in volts, shape (cases,)."""
        if self._has(red, black):
            return self._table.spread_volts(red, black)
        cases, which = self._whole
        return cases.spread_volts(red, black)[which]

    def unsettled(self, red: str, black: str) -> BoolArray:
        """Tell whether a relay chatters so that a reading never rests, shape (cases,)."""
        return self._table.unsettled(red, black)

    def element(self, name: str) -> tuple[FloatArray, FloatArray]:
        """Give the volts across an element of a load or a feed, and its amperes, both of shape (cases,)."""
        if name in self._table.elements:
            return self._table.element(name)
        branch = self._outside_elements[name]
        outside = self._table.outside
        across = self._across(branch.from_node, branch.to_node)
        idle = outside.step.relaxed.island[[branch.from_node, branch.to_node]] != outside.home
        volts = np.zeros(len(across)) if idle.any() else np.abs(across)
        amps = np.zeros(len(across))
        for one in branch.branches:
            amps += self._amps(one)
        alone = self._table.alone
        return (
            self._table.joined(volts, lambda: alone.element(name)[0]),
            self._table.joined(np.abs(amps), lambda: alone.element(name)[1]),
        )

    @cached_property
    def _outside_elements(self) -> dict[str, ElementBranch]:
        return {one.element.name: one for one in self._table.outside.circuit.net.elements}

    def _across(self, one: int, other: int) -> FloatArray:
        """Give the volts between two nodes of the whole circuit, shape (cases told,)."""
        return self._node_volts(one) - self._node_volts(other)

    def _node_volts(self, node: int) -> FloatArray:
        outside = self._table.outside
        own = self._table.net.index.get(outside.circuit.net.names[node])
        if own is not None:
            return self._table.node_volts(own)
        told = outside.step.relaxed.volts[node] + self._table.lifts @ outside.weights[node]
        return np.asarray(told, dtype=np.float64)

    def _amps(self, branch: int) -> FloatArray:
        outside = self._table.outside
        one, other = (int(end[branch]) for end in outside.circuit.ends)
        moves_by = outside.weights[one] - outside.weights[other]
        amps = float(outside.step.relaxed.amps[branch])
        return np.asarray(amps + outside.siemens[branch] * (self._table.lifts @ moves_by), dtype=np.float64)

    def relay(self, relay_id: str) -> IntArray:
        """Tell of a relay whether it is pulled in (1), at rest (0) or buzzes (-1), shape (cases,)."""
        outside = self._table.outside
        if relay_id in self._table.movers:
            return self._table.relay(relay_id)
        movers = outside.circuit.net.movers
        is_on = any(on and one.name == relay_id for one, on in zip(movers, outside.step.states, strict=True))
        told = np.full(len(self._table.lifts), int(is_on), dtype=np.float64)
        alone = self._table.alone
        return self._table.joined(told, lambda: alone.relay(relay_id).astype(np.float64)).astype(np.int64)

    def fuse_amps(self, fuse_id: str) -> FloatArray:
        """Give the amperes through a fuse, shape (cases,); 0 where it is open."""
        if fuse_id in self._table.fuses:
            return self._table.fuse_amps(fuse_id)
        told = np.zeros(len(self._table.lifts))
        for link in self._table.outside.circuit.net.fuses:
            if link.part_id == fuse_id:
                told += self._amps(link.branch)
        amps = self._table.joined(np.abs(told), lambda: self._table.alone.fuse_amps(fuse_id))
        return np.where([fuse_id in blown for blown in self.blown], 0.0, amps)

    def lamp_volts(self, red: str, black: str, watts: float, *, roughly: bool = False) -> FloatArray:
        """Give the volts across a test lamp of some watts at nominal volts between two points, shape (cases,)."""
        if self._has(red, black):
            return self._table.lamp_volts(red, black, watts, roughly=roughly)
        cases, which = self._whole
        return cases.lamp_volts(red, black, watts, roughly=roughly)[which]

    def ohms(self, red: str, black: str) -> FloatArray:
        """Give what an ohmmeter reads, leads nulled, shape (cases,); infinite where open."""
        if self._has(red, black):
            return self._table.ohms(red, black)
        cases, which = self._whole
        return cases.ohms(red, black)[which]
