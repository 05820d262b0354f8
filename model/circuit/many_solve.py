"""Small systems, one a variant: what its changed branches do to the sound circuit, many variants at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_layout import Layout, Rows
from model.circuit.many_stage import TIE_OHMS, Stage

SIZES = (2, 4, 8, 16, 32, 64, 128, 256, 512)
"""Rows with as many changed branches at most are solved together."""

_FEW_CELLS = 20_000
"""So many cells of small matrices are solved together whatever the size of each."""

_OPEN_SIEMENS = 1.0 / TIE_OHMS
_MEET_VOLTS = 1e3
_LEAST_OWN_OHMS = 1e-6


@dataclass(frozen=True)
class Entries:
    """Changed branches of many rows, rising by row, and the lifts of the islands that they join.

    Attributes
    ----------
    row, slot
        Shape (entries,).
    siemens
        Shape (entries,), conductance that the branch has now; 1e-11 where it is open.
    more_siemens, more_amps
        Shape (entries,), by how much conductance and pushed current differ from those of the stage.
    row_count
        How many rows there are, those without an entry among them.
    """

    row: IntArray
    slot: IntArray
    siemens: FloatArray
    more_siemens: FloatArray
    more_amps: FloatArray
    row_count: int


@dataclass
class Ports:
    """Lamps, one-way lines and inverters of many rows as they are taken to be.

    Attributes
    ----------
    moved
        Shape (rows, ports), true of those that differ from the stage.
    siemens, push_amps
        Shape (rows, ports): as they are there.
    """

    moved: BoolArray
    siemens: FloatArray
    push_amps: FloatArray

    def taken(self, rows: IntArray) -> Ports:
        """Give some of the rows."""
        return Ports(self.moved[rows], self.siemens[rows], self.push_amps[rows])


def entries_of(stage: Stage, layout: Layout, rows: Rows, states: BoolArray, ports: Ports) -> Entries:
    """List what differs from the stage in each row.

    Parameters
    ----------
    states
        Shape (rows, movers).
    """
    found: list[tuple[IntArray, IntArray, FloatArray, FloatArray]] = []
    fixed = rows.fixed_siemens
    found.append((rows.fixed_row, rows.fixed_slot, fixed, stage.emf_volts[rows.fixed_slot] * fixed))
    contacts, fuses = layout.contacts, layout.fuses
    closed = rows.contact_always | (states[:, layout.contact_mover] == layout.contact_closes)
    siemens = np.where(closed, rows.contact_siemens, 0.0)
    row, slot = np.nonzero(siemens != stage.siemens[contacts])
    now = siemens[row, slot]
    found.append((row, slot, now, stage.emf_volts[slot] * now))
    row, place = np.nonzero(rows.fuse_siemens != stage.siemens[fuses])
    now = rows.fuse_siemens[row, place]
    found.append((row, place + fuses.start, now, np.zeros(len(now))))
    row, place = np.nonzero(ports.moved & ~rows.port_given)
    found.append((row, place + layout.ports.start, ports.siemens[row, place], ports.push_amps[row, place]))
    row, slot, now, push = (np.concatenate(parts) for parts in zip(*found, strict=True))
    was = stage.siemens[slot]
    now = np.where((now == 0.0) & (was != 0.0), _OPEN_SIEMENS, now)
    more, more_amps = now - was, push - stage.push_amps[slot]
    differs = np.flatnonzero((more != 0.0) | (more_amps != 0.0))
    lifted = _lifted(stage, row[differs], slot[differs])
    none = np.zeros(len(lifted[0]))
    row, slot = np.concatenate((row[differs], lifted[0])), np.concatenate((slot[differs], lifted[1]))
    now, more = np.concatenate((now[differs], none)), np.concatenate((more[differs], none + 1.0))
    more_amps = np.concatenate((more_amps[differs], none))
    order = np.argsort(row, kind="stable")
    return Entries(row[order], slot[order], now[order], more[order], more_amps[order], len(rows))


def _lifted(stage: Stage, row: IntArray, slot: IntArray) -> tuple[IntArray, IntArray]:
    """List of each row the islands that a changed branch joins to another."""
    here, there = stage.lift_slot[stage.one[slot]], stage.lift_slot[stage.other[slot]]
    between = here != there
    rows = np.concatenate((row[between], row[between]))
    lifts = np.concatenate((here[between], there[between]))
    count = len(stage.siemens)
    found = np.unique((rows * count + lifts)[lifts >= 0])
    return found // count, found % count


@dataclass(frozen=True)
class Block:
    """Rows with about as many entries, solved together.

    Attributes
    ----------
    rows
        Shape (rows of the block,).
    at
        Shape (rows of the block, size), which entry; -1 beyond the row's last.
    slots
        Likewise, its slot; 0 beyond.
    more
        Likewise, by how much its conductance differs.
    matrix, evenly
        Shape (rows of the block, size, size): what gives the volts across the slots, its rows weighed; the weights,
        shape (rows of the block, size).
    """

    rows: IntArray
    at: IntArray
    slots: IntArray
    more: FloatArray
    matrix: FloatArray
    evenly: FloatArray

    @cached_property
    def answer(self) -> FloatArray:
        """From volts across the slots of the sound circuit to amperes in excess, (rows of the block, size, size)."""
        inverse = _in_halves(np.linalg.inv, self.matrix)
        return np.asarray(self.more[:, :, None] * inverse * self.evenly[:, None, :], dtype=np.float64)

    def amps(self, across_volts: FloatArray) -> FloatArray:
        """Give the amperes in excess for volts across the slots, shape (rows of the block, size) both.

        Solved anew rather than by ``answer``: where two are open one after the other what is between them hangs on a
        tie, and an inverse spreads the digits that this costs over all that is asked of it.
        """
        right = (self.evenly * across_volts)[:, :, None]
        return np.asarray(self.more * _in_halves(np.linalg.solve, self.matrix, right)[:, :, 0], dtype=np.float64)


@dataclass(frozen=True)
class Solved:
    """The current in excess of the sound circuit's in every changed branch.

    Attributes
    ----------
    entries
        What was solved.
    excess_amps
        Shape (entries,), through the branch from its from node to its to node.
    blocks
        The rows with entries, by their number of entries.
    singular
        Shape (rows,), true where there is no single solution.
    """

    entries: Entries
    excess_amps: FloatArray
    blocks: tuple[Block, ...]
    singular: BoolArray


def solve_entries(stage: Stage, entries: Entries) -> Solved:
    """Solve the small system of each row.

    Notes
    -----
    With Z the ohms between the changed branches, D their change in conductance and s that of their pushed current, the
    volts across them are (1 + Z D)⁻¹ (v - Z s), and the current in excess is D of these and s: the Sherman-Morrison-
    Woodbury formula (W. W. Hager, "Updating the inverse of a matrix", SIAM Review 31 (1989) 221-239).
    """
    amps = np.zeros(len(entries.row))
    singular = np.zeros(entries.row_count, dtype=np.bool_)
    blocks: list[Block] = []
    for rows, at in _by_size(entries):
        block, found = _solve_block(stage, entries, rows, at)
        blocks.append(block)
        there = at >= 0
        amps[at[there]] = found[there]
        singular[rows[~np.isfinite(found).all(axis=1)]] = True
    return Solved(entries, amps, tuple(blocks), singular)


def _by_size(entries: Entries) -> Iterator[tuple[IntArray, IntArray]]:
    counts = np.bincount(entries.row, minlength=entries.row_count)
    begins = np.cumsum(counts) - counts
    group = np.searchsorted(SIZES, counts)
    if (counts > 0).sum() * int(counts.max(initial=0)) ** 2 <= _FEW_CELLS:
        group[:] = 0
    for number in np.unique(group[counts > 0]).tolist():
        rows = np.flatnonzero((group == number) & (counts > 0))
        size = int(counts[rows].max())
        nth = np.arange(size)
        at = np.where(nth < counts[rows][:, None], begins[rows][:, None] + nth, -1)
        yield rows, at


def _solve_block(stage: Stage, entries: Entries, rows: IntArray, at: IntArray) -> tuple[Block, FloatArray]:
    there = at >= 0
    slots = np.where(there, entries.slot[at], 0)
    more = np.where(there, entries.more_siemens[at], 0.0)
    push = np.where(there, entries.more_amps[at], 0.0)
    between = _between(stage, slots)
    matrix = between * more[:, None, :]
    each = np.arange(at.shape[1])
    own = stage.leak[slots] + entries.siemens[at] * stage.own_ohms[slots]
    matrix[:, each, each] = np.where(there, own, 1.0)
    evenly = 1.0 / np.sqrt(np.maximum(np.abs(stage.own_ohms[slots]), _LEAST_OWN_OHMS))
    block = Block(rows, at, slots, more, matrix * evenly[:, :, None], evenly)
    volts, push = _meeting(more, push)
    across_volts = stage.across_volts[slots] - volts
    if push.any():
        across_volts = across_volts - np.einsum("nij,nj->ni", between, push)
    return block, block.amps(across_volts) + push


def _meeting(more: FloatArray, push: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Give the volts at which a changed branch carries what it did, and the pushed current where there are none near.

    So no current has to be taken from one that a tie of a hundred gigaohms would give.
    """
    meets = np.abs(push) < _MEET_VOLTS * np.abs(more)
    volts = np.divide(-push, more, out=np.zeros_like(push), where=meets)
    return volts, np.where(meets, 0.0, push)


def _between(stage: Stage, slots: IntArray) -> FloatArray:
    """Give the ohms between the slots of each row, shape (rows, slots, slots).

    Of two slots the column of the one with fewer ohms counts: it has the more digits, and an only way has them all.
    """
    one, other = stage.one[slots][:, :, None], stage.other[slots][:, :, None]
    columns = slots[:, None, :]
    found = stage.columns[one, columns] - stage.columns[other, columns]
    if slots.shape[1] > 1:
        ohms = np.where(stage.only_way[slots], -1.0, np.abs(stage.own_ohms[slots]))
        found = np.where(ohms[:, :, None] < ohms[:, None, :], found.transpose(0, 2, 1), found)
    return np.asarray(found, dtype=np.float64)


def _in_halves(work: Callable[..., FloatArray], *stacks: FloatArray) -> FloatArray:
    """Invert or solve a stack of matrices; one that is singular alone gives no number."""
    try:
        return work(*stacks)
    except np.linalg.LinAlgError:
        count = len(stacks[0])
        if count == 1:
            return np.full_like(stacks[-1], np.nan)
        half = count // 2
        parts = tuple(stack[:half] for stack in stacks), tuple(stack[half:] for stack in stacks)
        return np.concatenate([_in_halves(work, *part) for part in parts])


def across(solved: Solved, sound_volts: FloatArray, by_slot: FloatArray) -> FloatArray:
    """Give volts between pairs of nodes in every row, shape (rows, pairs).

    Parameters
    ----------
    sound_volts
        Shape (pairs,), in the sound circuit.
    by_slot
        Shape (slots, pairs), volts between them for one ampere through each slot.
    """
    entries = solved.entries
    begins = np.searchsorted(entries.row, np.arange(entries.row_count + 1)).astype(np.int32)
    slots = entries.slot.astype(np.int32)
    excess = csr_matrix((solved.excess_amps, slots, begins), shape=(entries.row_count, len(by_slot)))
    return np.asarray(sound_volts - excess @ by_slot, dtype=np.float64)
