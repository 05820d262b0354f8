"""Cases told against the sound circuit at rest, and what can be read in them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from scipy.sparse import csr_matrix

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.bands import site_tolerance
from model.circuit.many_base import Base
from model.circuit.many_rest import Ends
from model.circuit.many_solve import Solved, across
from model.circuit.many_stage import TIE_OHMS, Stage
from model.circuit.netlist import METER_OHMS
from model.circuit.relax import CARRIES_AMPS
from model.harness.records import Wire

FLOATS_OHMS = TIE_OHMS / 100.0
"""What has more ohms than this behind it has no closed way to the reference; of the sign nothing is left then."""

_FLIPS_VOLTS = 1e-5
_FLIPS_AMPS = 2e-8


@dataclass(frozen=True)
class Pair:
    """What is seen between two nodes in every case of a group, no meter there yet.

    Attributes
    ----------
    volts, ohms
        Shape (cases,): open volts, and the ohms behind them.
    floats
        Shape (cases,), true where nothing joins the two.
    idle
        Shape (cases,), true where one of the two has no closed way to the reference.
    wakes
        Shape (cases,), true where a meter of 10 MΩ makes a one-way line carry.
    """

    volts: FloatArray
    ohms: FloatArray
    floats: BoolArray
    idle: BoolArray
    wakes: BoolArray


class Told:
    """Cases told against the last stage of the sound circuit.

    Attributes
    ----------
    which
        Shape (cases,), their rows.
    """

    def __init__(self, base: Base, which: IntArray, solved: Solved, ends: Ends | None = None) -> None:
        self.base = base
        self.stage: Stage = base.stages[-1]
        self.which = which
        self.solved = solved
        self._ends = ends
        self._pairs: dict[tuple[int, int], Pair] = {}
        self._to_reference: dict[int, BoolArray] = {}

    @cached_property
    def _lines(self) -> tuple[FloatArray, BoolArray]:
        """Volts across each one-way line in each case, and whether it carries, (cases, lines) each."""
        ends, lines = self._ends, self.base.layout.lines
        if ends is None:
            return np.zeros((len(self.which), 0)), np.zeros((len(self.which), 0), dtype=np.bool_)
        first = self.base.layout.ports.start
        places = slice(lines.start - first, lines.stop - first)
        sound = np.array([stage.siemens[lines] != 0.0 for stage in self.base.stages])[ends.place[self.which]]
        moved, now = ends.ports.moved[self.which, places], ends.ports.siemens[self.which, places] != 0.0
        volts, by_slot, _ = self.base.watched(-1)
        watched = self.base.watch.lines
        across_volts = across(self.solved, volts[watched], np.ascontiguousarray(by_slot[:, watched]))
        return across_volts, np.where(moved, now, sound)

    @cached_property
    def excess(self) -> csr_matrix:
        """Current in excess of the sound circuit's, shape (cases, slots), in amperes."""
        entries = self.solved.entries
        begins = np.searchsorted(entries.row, np.arange(entries.row_count + 1))
        return csr_matrix(
            (self.solved.excess_amps, entries.slot, begins), shape=(entries.row_count, len(self.stage.siemens))
        )

    def excess_between(self, one: int, other: int) -> FloatArray:
        """Give the current through what comes in between two nodes of the netlist, in amperes, shape (cases,)."""
        layout = self.base.layout
        slots = np.flatnonzero((layout.branch < 0) & (layout.one == one) & (layout.other == other))
        return np.asarray(self.excess[:, slots].sum(axis=1), dtype=np.float64).ravel()

    def open_volts(self, red: int, black: int) -> FloatArray:
        """Give the volts between two nodes with nothing there, shape (cases,)."""
        columns, sound = self.stage.columns, self.stage.node_volts
        return np.asarray((sound[red] - sound[black]) - self.excess @ (columns[red] - columns[black]), dtype=np.float64)

    def pair(self, red: int, black: int) -> Pair:
        """Give what is seen between two nodes."""
        found = self._pairs.get((red, black))
        if found is None:
            found = self._look(red, black)
            self._pairs[red, black] = found
        return found

    def _look(self, red: int, black: int) -> Pair:
        volts = self.open_volts(red, black)
        ohms, taken = self.behind(red, black)
        floats = np.abs(ohms) > FLOATS_OHMS
        idle = self._is_idle(red) | self._is_idle(black)
        return Pair(volts, np.abs(ohms), floats, idle, self._wakes(red, black, volts, ohms, taken))

    def behind(self, red: int, black: int) -> tuple[FloatArray, list[FloatArray]]:
        """Give the ohms between two nodes, and of each block what each slot carries of an ampere between them."""
        stage = self.stage
        by_slot = stage.columns[red] - stage.columns[black]
        here, there = stage.node_column(red), stage.node_column(black)
        ohms = np.full(len(self.which), here[red] + there[black] - 2.0 * there[red])
        for lift in self._lifts_between(red, black):
            ohms[self._stays_alone(lift)] += TIE_OHMS
        taken: list[FloatArray] = []
        for block in self.solved.blocks:
            seen = by_slot[block.slots]
            carried = (block.answer @ seen[:, :, None])[:, :, 0]
            ohms[block.rows] -= (carried * seen).sum(axis=1)
            taken.append(carried)
        return ohms, taken

    def _lifts_between(self, red: int, black: int) -> list[int]:
        """List the lifts of the islands without the reference that only one of two nodes is in."""
        lifts = {int(self.stage.lift_slot[node]) for node in (red, black)}
        return sorted(lifts - {-1}) if len(lifts) > 1 else []

    def _stays_alone(self, lift: int) -> BoolArray:
        """Tell in which cases no changed branch joins an island to another, shape (cases,)."""
        entries = self.solved.entries
        alone = np.ones(len(self.which), dtype=np.bool_)
        alone[entries.row[entries.slot == lift]] = False
        return alone

    def _is_idle(self, node: int) -> BoolArray:
        if node not in self._to_reference:
            reference = int(self.stage.kept.place[self.base.circuit.net.reference])
            self._to_reference[node] = np.abs(self.behind(node, reference)[0]) > FLOATS_OHMS
        return self._to_reference[node]

    def _wakes(self, red: int, black: int, volts: FloatArray, ohms: FloatArray, taken: list[FloatArray]) -> BoolArray:
        over, idle = self._idle_lines
        loaded = (np.abs(ohms) > METER_OHMS / 1000.0) | idle.any(axis=1)
        if not over.shape[1] or not loaded.any():
            return np.zeros(len(volts), dtype=np.bool_)
        return loaded & self._turns(red, black, volts / (ohms + METER_OHMS), taken, loaded)

    def turns(self, red: int, black: int, amps: FloatArray) -> BoolArray:
        """Tell in which cases a current drawn between two nodes turns a one-way line on or off, shape (cases,)."""
        if not self._lines[0].shape[1]:
            return np.zeros(len(amps), dtype=np.bool_)
        every = np.ones(len(amps), dtype=np.bool_)
        return self._turns(red, black, amps, self.behind(red, black)[1], every)

    @cached_property
    def _idle_lines(self) -> tuple[FloatArray, BoolArray]:
        """Volts over the threshold of each line, and which carry and yet give next to nothing, (cases, lines)."""
        over = self._lines[0] - self.base.circuit.threshold_volts[: self._lines[0].shape[1]]
        siemens = self.base.circuit.line_siemens[: over.shape[1]]
        return over, self._lines[1] & (over * siemens < CARRIES_AMPS)

    def _turns(
        self, red: int, black: int, amps: FloatArray, taken: list[FloatArray], concerned: BoolArray
    ) -> BoolArray:
        over, _ = self._idle_lines
        lines, watched = self.base.layout.lines, self.base.watch.lines
        by_slot = self.base.watched(-1)[1][:, watched]
        slots = np.arange(lines.start, lines.stop)
        lifts = np.tile(self._between_lines(slots, red, black), (len(amps), 1))
        for lift in self._lifts_between(red, black):
            column = self.stage.columns[:, lift]
            tied = (column[red] - column[black]) * (column[self.stage.one[slots]] - column[self.stage.other[slots]])
            lifts[self._stays_alone(lift)] += TIE_OHMS * tied
        for block, carried in zip(self.solved.blocks, taken, strict=True):
            some = np.flatnonzero(concerned[block.rows])
            lifts[block.rows[some]] -= np.einsum("nk,nkl->nl", carried[some], by_slot[block.slots[some]])
        now = over - lifts * amps[:, None]
        starts = ~self._lines[1] & (now > _FLIPS_VOLTS)
        stops = self._lines[1] & (now * self.base.circuit.line_siemens < -_FLIPS_AMPS)
        return np.asarray((starts | stops).any(axis=1), dtype=np.bool_)

    def _between_lines(self, slots: IntArray, red: int, black: int) -> FloatArray:
        stage = self.stage
        here, there = stage.node_column(red), stage.node_column(black)
        seen = here - there
        return np.asarray(seen[stage.one[slots]] - seen[stage.other[slots]], dtype=np.float64)

    @cached_property
    def branch_amps(self) -> FloatArray:
        """Current through each branch in each case, in amperes, shape (cases, branches)."""
        stage, layout = self.stage, self.base.layout
        volts = self.node_volts
        one, other = (stage.kept.place[end] for end in stage.ends)
        amps = stage.branch_siemens * (volts[:, one] - volts[:, other]) + stage.branch_push
        entries = self.solved.entries
        places = np.minimum(entries.slot, len(layout.branch) - 1)
        branch = np.where(entries.slot < len(layout.branch), layout.branch[places], -1)
        own = branch >= 0
        np.add.at(amps, (entries.row[own], branch[own]), self.solved.excess_amps[own])
        return np.asarray(amps, dtype=np.float64)

    @cached_property
    def node_volts(self) -> FloatArray:
        """Volts of each kept node in each case, shape (cases, kept nodes)."""
        return np.asarray(
            self.stage.node_volts - self.excess @ np.ascontiguousarray(self.stage.columns.T), dtype=np.float64
        )

    @cached_property
    def lifts(self) -> FloatArray:
        """Volts by which the meeting nodes are above the sound circuit, shape (cases, meeting nodes)."""
        piece, place = self.base.piece, self.stage.kept.place
        reference = int(place[self.base.circuit.net.reference])
        volts = np.empty((self.solved.entries.row_count, len(piece.meeting)))
        for column, node in enumerate(place[piece.meeting].tolist()):
            volts[:, column] = self.open_volts(node, reference)
        return np.asarray(volts - piece.outsides[-1].meeting_volts, dtype=np.float64)

    def transfers(self, red: int, black: int) -> FloatArray:
        """Give the volts of each kept node for an ampere between two nodes, shape (cases, kept nodes)."""
        stage, entries = self.stage, self.solved.entries
        _, taken = self.behind(red, black)
        carried = np.zeros(len(entries.row))
        for block, amps in zip(self.solved.blocks, taken, strict=True):
            there = block.at >= 0
            carried[block.at[there]] = amps[there]
        begins = np.searchsorted(entries.row, np.arange(entries.row_count + 1))
        by_case = csr_matrix((carried, entries.slot, begins), shape=(entries.row_count, len(stage.siemens)))
        seen = stage.node_column(red) - stage.node_column(black)
        return np.asarray(seen - by_case @ np.ascontiguousarray(stage.columns.T), dtype=np.float64)

    def spread_volts(self, red: int, black: int) -> FloatArray:
        """Give one sigma of the volts between two nodes by the tolerances of the parts alone, shape (cases,)."""
        seen = self.transfers(red, black)
        one, other = (self.stage.kept.place[end] for end in self.stage.ends)
        by_branch = (seen[:, one] - seen[:, other]) * self._spread_amps
        first, second = self._halves
        by_branch[:, first] += by_branch[:, second]
        by_branch[:, second] = 0.0
        squares = (by_branch**2).sum(axis=1)
        rows, slots, amps = self._spread_added
        each = (seen[rows, self.stage.one[slots]] - seen[rows, self.stage.other[slots]]) * amps
        np.add.at(squares, rows, each**2)
        piece = self.base.piece
        if piece.outsides:
            squares += piece.outsides[-1].spread_squares(seen[:, self.stage.kept.place[piece.meeting]], self.lifts)
        return np.asarray(np.sqrt(squares), dtype=np.float64)

    @cached_property
    def _spread_added(self) -> tuple[IntArray, IntArray, FloatArray]:
        """Case, slot and one sigma of the current of each branch that comes in, (branches in all cases,) each."""
        layout, entries, harness = self.base.layout, self.solved.entries, self.base.circuit.net.harness
        first = len(layout.branch) - len(layout.added_sites)
        tolerance = np.array([site_tolerance(harness, site) if site else 0.0 for site in layout.added_sites])
        at = np.flatnonzero((entries.slot >= first) & (entries.slot < len(layout.branch)))
        slots = entries.slot[at]
        return entries.row[at], slots, self.solved.excess_amps[at] * tolerance[slots - first]

    @cached_property
    def _halves(self) -> tuple[list[int], list[int]]:
        """The first and the second half of each wire that is in two: what one is off, the other is."""
        sites, parts = self.base.circuit.net.sites, self.base.circuit.net.harness.parts
        pairs = [
            branch
            for branch, (site, following) in enumerate(pairwise(sites))
            if site and site == following and isinstance(parts.get(site), Wire)
        ]
        return pairs, [branch + 1 for branch in pairs]

    @cached_property
    def _spread_amps(self) -> FloatArray:
        """Current by which each branch may differ from its rated one in each case, one sigma, (cases, branches)."""
        net = self.base.circuit.net
        tolerance = np.array([site_tolerance(net.harness, site) for site in net.sites])
        return np.asarray(self.branch_amps * tolerance, dtype=np.float64)
