"""Which branches of a netlist change from variant to variant, numbered once for all of them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_changes import Changes
from model.circuit.netlist import LEAST_OHMS, MoverKind, Netlist
from model.circuit.relax import Circuit
from model.circuit.solver import OPEN_OHMS

Added = tuple[int, int, str]
"""From node, to node and site of a branch that comes in."""


@dataclass(frozen=True)
class Layout:
    """The slots: branches that may change, in the order contacts, fuses, lamps, one-way lines, inverters, others.

    Attributes
    ----------
    one, other
        Shape (slots,), nodes of each.
    branch
        Shape (slots,), its branch in the netlist; -1 of one that comes in.
    emf_volts
        Shape (slots,), source in volts that drives from ``one`` to ``other``.
    contacts, fuses, lamps, lines, inverters
        Where each kind stands among the slots.
    contact_mover, contact_closes
        Shape (contacts,), the mover of each and whether it carries while that is on.
    inverter_mover
        Shape (inverters,).
    sense_one, sense_other, sense_mover, sense_factor
        Shape (senses,), what movers look at.
    place
        Branch → slot.
    added_sites
        Fault sites of those that come in, behind all others.
    """

    one: IntArray
    other: IntArray
    branch: IntArray
    emf_volts: FloatArray
    contacts: slice
    fuses: slice
    lamps: slice
    lines: slice
    inverters: slice
    contact_mover: IntArray
    contact_closes: BoolArray
    inverter_mover: IntArray
    sense_one: IntArray
    sense_other: IntArray
    sense_mover: IntArray
    sense_factor: FloatArray
    place: dict[int, int]
    added_sites: tuple[str, ...]

    @property
    def ports(self) -> slice:
        """Lamps, lines and inverters."""
        return slice(self.lamps.start, self.inverters.stop)


def lay_out(circuit: Circuit, every: Iterable[Changes]) -> tuple[Layout, dict[Added, int]]:
    """Count out the branches that change, and give the slot of each two nodes between which one comes in."""
    net = circuit.net
    inverters = set(circuit.inverter_branch.tolist())
    movers = [*circuit.closing_mover.tolist(), *circuit.opening_mover.tolist()]
    moved = [*circuit.closing_branch.tolist(), *circuit.opening_branch.tolist()]
    closes = [True] * len(circuit.closing_branch) + [False] * len(circuit.opening_branch)
    rows = [row for row in zip(moved, movers, closes, strict=True) if row[0] not in inverters]
    kinds = (
        [row[0] for row in rows],
        [fuse.branch for fuse in net.fuses],
        circuit.lamp_branch.tolist(),
        circuit.line_branch.tolist(),
        circuit.inverter_branch.tolist(),
    )
    branches = [branch for kind in kinds for branch in kind]
    place = {branch: slot for slot, branch in enumerate(branches)}
    added: dict[Added, int] = {}
    for changes in every:
        for branch in changes.ohms:
            if branch not in place:
                place[branch] = len(branches)
                branches.append(branch)
    for changes in every:
        for one, other, _, site in changes.added:
            added.setdefault((one, other, site), len(branches) + len(added))
    ends = list(added)
    bounds = np.cumsum([0, *(len(kind) for kind in kinds)]).tolist()
    contacts, fuses, lamps, lines, inverters_at = (slice(low, high) for low, high in pairwise(bounds))
    senses = [(m, s) for m, mover in enumerate(net.movers) for s in mover.senses]
    layout = Layout(
        np.array([*(net.one[b] for b in branches), *(pair[0] for pair in ends)], dtype=np.int64),
        np.array([*(net.other[b] for b in branches), *(pair[1] for pair in ends)], dtype=np.int64),
        np.array([*branches, *(-1 for _ in ends)], dtype=np.int64),
        np.array([*(net.emf_volts[b] for b in branches), *(0.0 for _ in ends)]),
        contacts,
        fuses,
        lamps,
        lines,
        inverters_at,
        np.array([row[1] for row in rows], dtype=np.int64),
        np.array([row[2] for row in rows], dtype=np.bool_),
        np.array([m for m, mover in enumerate(net.movers) if mover.kind is MoverKind.INVERTER], dtype=np.int64),
        np.array([s.from_node for _, s in senses], dtype=np.int64),
        np.array([s.to_node for _, s in senses], dtype=np.int64),
        np.array([m for m, _ in senses], dtype=np.int64),
        np.array([s.factor for _, s in senses]),
        place,
        tuple(site for _, _, site in ends),
    )
    return layout, added


@dataclass
class Rows:
    """The variants as figures, one row each.

    Attributes
    ----------
    fixed_row, fixed_slot, fixed_siemens
        Shape (fixed changes,), rising by row: branches whose conductance is another whatever moves.
    contact_siemens, contact_always
        Shape (rows, contacts): conductance while closed; true where closed for good.
    fuse_siemens, fuse_amps
        Shape (rows, fuses): conductance, 0 where open; rating in amperes, infinite where it never opens.
    port_given
        Shape (rows, ports), true where a fixed change stands in the place of a lamp or line.
    draw
        Shape (rows, ports), share of its rated current that it draws.
    sense_factor
        Shape (rows, senses).
    pinned
        Shape (rows, movers): 0 or 1 where a relay is held whatever its volts, else -1.
    """

    fixed_row: IntArray
    fixed_slot: IntArray
    fixed_siemens: FloatArray
    contact_siemens: FloatArray
    contact_always: BoolArray
    fuse_siemens: FloatArray
    fuse_amps: FloatArray
    port_given: BoolArray
    draw: FloatArray
    sense_factor: FloatArray
    pinned: IntArray

    def __len__(self) -> int:
        return len(self.fuse_amps)

    def taken(self, rows: IntArray) -> Rows:
        """Give some of the rows, each as often as it is named."""
        begins = np.searchsorted(self.fixed_row, rows)
        counts = np.searchsorted(self.fixed_row, rows, side="right") - begins
        total = int(counts.sum())
        at = np.repeat(begins - (np.cumsum(counts) - counts), counts) + np.arange(total)
        return Rows(
            np.repeat(np.arange(len(rows)), counts),
            self.fixed_slot[at],
            self.fixed_siemens[at],
            self.contact_siemens[rows],
            self.contact_always[rows],
            self.fuse_siemens[rows],
            self.fuse_amps[rows],
            self.port_given[rows],
            self.draw[rows],
            self.sense_factor[rows],
            self.pinned[rows],
        )


def make_rows(
    net: Netlist,
    layout: Layout,
    added: dict[Added, int],
    every: Sequence[Changes],
    blown: Sequence[frozenset[str]],
) -> Rows:
    """Write the changes of all variants as figures."""
    count = len(every)
    branches = layout.branch
    ohms = np.array([net.ohms[b] if b >= 0 else math.inf for b in branches.tolist()])
    siemens = 1.0 / ohms
    ratings = np.array([math.inf if fuse.amps is None else fuse.amps for fuse in net.fuses])
    rows = Rows(
        np.zeros(0, dtype=np.int64),
        np.zeros(0, dtype=np.int64),
        np.zeros(0),
        np.tile(siemens[layout.contacts], (count, 1)),
        np.zeros((count, layout.contacts.stop), dtype=np.bool_),
        np.tile(siemens[layout.fuses], (count, 1)),
        np.tile(ratings, (count, 1)),
        np.zeros((count, layout.ports.stop - layout.ports.start), dtype=np.bool_),
        np.ones((count, layout.ports.stop - layout.ports.start)),
        np.tile(layout.sense_factor, (count, 1)),
        np.full((count, len(net.movers)), -1, dtype=np.int64),
    )
    fixed: list[tuple[int, int, float]] = []
    first_sense = {mover: place for place, mover in reversed(list(enumerate(layout.sense_mover.tolist())))}
    fuse_place = {fuse.part_id: place for place, fuse in enumerate(net.fuses)}
    for row, (changes, gone) in enumerate(zip(every, blown, strict=True)):
        _write_row(rows, layout, row, changes, fixed)
        fixed += [(row, added[one, other, site], _siemens(ohms)) for one, other, ohms, site in changes.added]
        for mover, factor in changes.senses.items():
            rows.sense_factor[row, first_sense[mover]] = factor
        for fuse_id, amps in changes.ratings.items():
            rows.fuse_amps[row, fuse_place[fuse_id]] = amps
        for fuse_id in gone:
            if fuse_id in fuse_place:
                rows.fuse_siemens[row, fuse_place[fuse_id]] = 0.0
    columns = list(zip(*fixed, strict=True)) or [(), (), ()]
    rows.fixed_row = np.array(columns[0], dtype=np.int64)
    rows.fixed_slot = np.array(columns[1], dtype=np.int64)
    rows.fixed_siemens = np.array(columns[2], dtype=np.float64)
    return rows


def _write_row(rows: Rows, layout: Layout, row: int, changes: Changes, fixed: list[tuple[int, int, float]]) -> None:
    fuses, ports = layout.fuses, layout.ports
    for branch, ohms in changes.ohms.items():
        slot, siemens = layout.place[branch], _siemens(ohms)
        if slot < layout.contacts.stop:
            rows.contact_siemens[row, slot] = siemens
        elif slot < fuses.stop:
            rows.fuse_siemens[row, slot - fuses.start] = siemens
        else:
            fixed.append((row, slot, siemens))
            if slot < ports.stop:
                rows.port_given[row, slot - ports.start] = True
    for branch, share in changes.draw.items():
        rows.draw[row, layout.place[branch] - ports.start] = share
    for branch in changes.stuck:
        slot = layout.place.get(branch, layout.contacts.stop)
        if slot < layout.contacts.stop:
            rows.contact_always[row, slot] = True


def _siemens(ohms: float) -> float:
    return 0.0 if ohms > OPEN_OHMS else 1.0 / max(ohms, LEAST_OHMS)
