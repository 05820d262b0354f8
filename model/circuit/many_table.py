"""All cases of one condition and what each of them shows: the fast answer to `Cases`."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_base import Base
from model.circuit.many_fuses import Found
from model.circuit.many_instruments import lamp_volts, lamp_volts_about, meter_volts, meter_volts_about
from model.circuit.many_outside import Outside
from model.circuit.many_rest import told_against_last
from model.circuit.many_told import Pair, Told
from model.circuit.netlist import ElementBranch
from model.circuit.resolved_cases import ResolvedCases
from model.harness.points import resolve_point
from model.units import SHOWN_OPEN_OHMS


class CaseTable:
    """Variants settled in one setup; see :class:`model.circuit.cases.Cases`.

    Parameters
    ----------
    given_blown
        Fuses of each variant that have blown before.
    alone
        The variants that had to be settled one by one.

    Attributes
    ----------
    net
        The netlist that they are told in: of a piece, where it is one.
    """

    def __init__(self, base: Base, found: Found, given_blown: tuple[frozenset[str], ...], alone: ResolvedCases) -> None:
        self._base = base
        self.alone = alone
        self.net = base.circuit.net
        self._harness = self.net.harness
        which, solved = told_against_last(base, found.rows, found.ends)
        self._told = Told(base, which, solved, found.ends)
        self._given = found.variant[which] < len(given_blown)
        fast = which[self._given]
        self._rows = found.rows.taken(which)
        self._told_states = found.ends.states[which]
        self._states = found.ends.states[fast]
        self._fast_count = len(fast)
        self._count = len(fast) + len(alone.each)
        self.variant: IntArray = np.concatenate((found.variant[fast], alone.variant))
        self.share: FloatArray = np.concatenate((found.share[fast], alone.share))
        fuses = [link.part_id for link in self.net.fuses]
        opened = found.ends.blown[fast]
        self.blown: tuple[frozenset[str], ...] = tuple(
            given_blown[variant] | {fuses[k] for k in np.flatnonzero(gone).tolist()}
            if gone.any()
            else given_blown[variant]
            for variant, gone in zip(found.variant[fast].tolist(), opened, strict=True)
        ) + tuple(alone.blown)
        plus, minus = self.net.posts
        place = self._told.stage.kept.place
        posts = self._told.open_volts(int(place[plus]), int(place[minus]))
        self.posts_volts: FloatArray = self.joined(posts, lambda: alone.posts_volts)

    def joined(self, told: FloatArray, of_alone: Callable[[], FloatArray]) -> FloatArray:
        """Put what is told of the fast cases before that of the others, shape (cases,)."""
        fast = told[self._given]
        return np.concatenate((fast, of_alone())) if len(self.alone.each) else fast

    @cached_property
    def elements(self) -> dict[str, ElementBranch]:
        """The elements in the netlist by name."""
        return {one.element.name: one for one in self.net.elements}

    @cached_property
    def movers(self) -> frozenset[str]:
        """Names of the movers in the netlist."""
        return frozenset(mover.name for mover in self.net.movers)

    @cached_property
    def fuses(self) -> frozenset[str]:
        """Ids of the fuses in the netlist."""
        return frozenset(link.part_id for link in self.net.fuses)

    @property
    def outside(self) -> Outside:
        """What is outside the piece, where this is one."""
        return self._base.piece.outsides[-1]

    @property
    def lifts(self) -> FloatArray:
        """Volts by which the meeting nodes are above the sound circuit, shape (cases told, meeting nodes)."""
        return self._told.lifts

    def node_volts(self, node: int) -> FloatArray:
        """Give the volts of a node of the netlist against the reference, shape (cases told,)."""
        return self._told.open_volts(self._place(node), self._place(self.net.reference))

    def _node(self, point: str) -> int:
        return self.net.index[resolve_point(self._harness, point)]

    def _place(self, node: int) -> int:
        return int(self._told.stage.kept.place[node])

    def _pair(self, red: str, black: str) -> Pair:
        return self._told.pair(*self._ends_of(red, black))

    def _ends_of(self, red: str, black: str) -> tuple[int, int]:
        return self._place(self._node(red)), self._place(self._node(black))

    def _pin(self, point: str) -> int:
        return self.net.index.get(f"{point} inside", self.net.index[point])

    def volts(self, red: str, black: str, *, roughly: bool = False) -> FloatArray:
        """Give what a meter of 10 MΩ reads between two points, in volts, shape (cases,); see :class:`Cases`."""
        ends = self._ends_of(red, black)
        if roughly:
            read = meter_volts_about(self._told, ends)
        else:
            read = meter_volts(self._told, self._rows, self._told_states, ends)
        return self.joined(read, lambda: self.alone.volts(red, black, roughly=roughly))

    def source_ohms(self, red: str, black: str) -> FloatArray:
        """Give the ohms behind a reading, shape (cases,); infinite where one of the points floats."""
        pair = self._pair(red, black)
        return self.joined(np.where(pair.idle, np.inf, pair.ohms), lambda: self.alone.source_ohms(red, black))

    def spread_volts(self, red: str, black: str) -> FloatArray:
        """Give one sigma of a reading by the parts' tolerances alone, in volts, (cases,); 0 where one floats."""
        told = np.where(self._pair(red, black).idle, 0.0, self._told.spread_volts(*self._ends_of(red, black)))
        return self.joined(told, lambda: self.alone.spread_volts(red, black))

    def unsettled(self, red: str, black: str) -> BoolArray:
        """Tell whether a relay chatters so that a reading never rests, shape (cases,)."""
        found = np.zeros(self._count, dtype=np.bool_)
        if len(self.alone.each):
            found[self._fast_count :] = self.alone.unsettled(red, black)
        return found

    def element(self, name: str) -> tuple[FloatArray, FloatArray]:
        """Give the volts across an element of a load or a feed, and its amperes, both of shape (cases,)."""
        branch = self.elements[name]
        pair = self._told.pair(self._place(branch.from_node), self._place(branch.to_node))
        volts = np.where(pair.idle, 0.0, np.abs(pair.volts))
        amps = self._told.branch_amps[:, list(branch.branches)].sum(axis=1)
        if not branch.branches:
            amps = self._told.excess_between(self._pin(branch.element.from_point), self._pin(branch.element.to_point))
        amps = np.abs(amps)
        alone = self.alone
        return self.joined(volts, lambda: alone.element(name)[0]), self.joined(amps, lambda: alone.element(name)[1])

    def relay(self, relay_id: str) -> IntArray:
        """Tell of a relay whether it is pulled in (1), at rest (0) or buzzes (-1), shape (cases,)."""
        found = np.zeros(self._count, dtype=np.int64)
        places = [k for k, mover in enumerate(self.net.movers) if mover.name == relay_id]
        for place in places:
            found[: self._fast_count] |= self._states[:, place]
        if len(self.alone.each):
            found[self._fast_count :] = self.alone.relay(relay_id)
        return found

    def fuse_amps(self, fuse_id: str) -> FloatArray:
        """Give the amperes through a fuse, shape (cases,); 0 where it is open."""
        branches = [link.branch for link in self.net.fuses if link.part_id == fuse_id]
        told = np.abs(self._told.branch_amps[:, branches].sum(axis=1))
        amps = self.joined(told, lambda: self.alone.fuse_amps(fuse_id))
        return np.where([fuse_id in blown for blown in self.blown], 0.0, amps)

    def lamp_volts(self, red: str, black: str, watts: float, *, roughly: bool = False) -> FloatArray:
        """Give the volts across a test lamp of some watts between two points, shape (cases,); see :class:`Cases`."""
        ends, nominal_volts = self._ends_of(red, black), self._harness.build.nominal_volts
        if roughly:
            across = lamp_volts_about(self._told, ends, watts, nominal_volts)
        else:
            across = lamp_volts(self._told, self._rows, self._told_states, ends, watts, nominal_volts)
        return self.joined(across, lambda: self.alone.lamp_volts(red, black, watts, roughly=roughly))

    def ohms(self, red: str, black: str) -> FloatArray:
        """Give what an ohmmeter reads, leads nulled, shape (cases,); infinite where open."""
        ohms = self._pair(red, black).ohms
        told = np.where(ohms > SHOWN_OPEN_OHMS, np.inf, np.maximum(ohms, 0.0))
        return self.joined(told, lambda: self.alone.ohms(red, black))
