"""Lamps, leds, diodes, batteries and inverters brought to rest with the contacts held still."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.moving import FixedNetwork, MovingNetwork
from model.circuit.netlist import LEAST_OHMS, MoverKind, Netlist
from model.circuit.solver import OPEN_OHMS, islands
from model.errors import CircuitError

COLD_SHARE = 1.0 / 12.0
LAMP_EXPONENT = 0.55
CARRIES_AMPS = 1e-6
_STEPS_AT_MOST = 400
_ALL_AT_ONCE_STEPS = 25
_NEAR_SHARE = 0.2
_SETTLED_VOLTS = 1e-7
_TINY_VOLTS = 1e-8
_TINY_AMPS = 1e-8
_TINY_BACKWARD_VOLTS = 1e-10
_EXACT_STEPS = 120
"""So long no line may carry a meter's last digit backwards; a circuit whose digits do not allow that rests after."""
_COLLAPSED_SHARE = 0.3


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A circuit at rest with the contacts held still.

    Attributes
    ----------
    volts
        Shape (nodes,).
    amps
        Shape (branches,), from each branch's from node to its to node.
    joins
        Shape (branches,), true where the branch joins its nodes, as the words *floating* and *closed* mean it.
    island
        Shape (nodes,), the same number for nodes that such branches join.
    carrying
        Shape (lines,), which one-way lines carry: where the next circuit like this one starts.
    lamp_volts
        Shape (lamps,), volts across each filament: likewise.
    collapsed
        Branches of inverters that the supply cannot carry at any volts.
    """

    volts: FloatArray
    amps: FloatArray
    joins: BoolArray
    island: IntArray
    carrying: BoolArray
    lamp_volts: FloatArray
    collapsed: frozenset[int]


class Guess:
    """Where lamps, one-way lines and inverters are taken to be, from step to step.

    Far from rest a filament or inverter is stepped with its chord, volts over amperes, which goes to rest from
    anywhere; near it with its tangent, which goes fast.

    Attributes
    ----------
    carrying
        Shape (lines,), true of those that carry.
    lamp_volts, lamp_is_near
        Shape (lamps,), volts across each filament, and whether they are near those of the step before.
    inverter_volts, inverter_is_near, inverter_on
        Shape (inverters,), likewise, and which have not collapsed.
    """

    def __init__(self, carrying: BoolArray, lamp_volts: FloatArray, inverter_volts: FloatArray, on: BoolArray) -> None:
        self.carrying = carrying
        self.lamp_volts = lamp_volts
        self.lamp_is_near = np.zeros(len(lamp_volts), dtype=bool)
        self.inverter_volts = inverter_volts
        self.inverter_is_near = np.zeros(len(inverter_volts), dtype=bool)
        self.inverter_on = on

    def follow_lamps(self, now: FloatArray) -> bool:
        """Take the volts across the filaments in, and tell whether one moved."""
        change = np.abs(now - self.lamp_volts)
        self.lamp_is_near = change < _NEAR_SHARE * np.abs(self.lamp_volts)
        self.lamp_volts = now
        return bool((change > _SETTLED_VOLTS).any())

    def follow_inverters(self, now: FloatArray, collapse_volts: FloatArray) -> bool:
        """Take the volts across the inverters in, and tell whether one that is on moved or collapsed."""
        change = np.abs(now - self.inverter_volts)
        self.inverter_is_near = change < _NEAR_SHARE**2 * np.abs(self.inverter_volts)
        self.inverter_volts = np.maximum(now, 1e-3)
        moved = self.inverter_on & (change > _SETTLED_VOLTS)
        collapses = self.inverter_on & (self.inverter_volts < collapse_volts)
        self.inverter_on = self.inverter_on & ~collapses
        return bool((moved | collapses).any())


class Circuit:
    """The arrays of a netlist, made once and relaxed with many sets of closed contacts.

    Parameters
    ----------
    network
        That of another netlist of the harness: taken where the branches lie alike, as in most conditions of a key
        state.
    """

    def __init__(self, net: Netlist, network: MovingNetwork | None = None) -> None:
        self.net = net
        self.node_count = len(net.names)
        self.ends: tuple[IntArray, IntArray] = (np.array(net.one, dtype=np.int64), np.array(net.other, dtype=np.int64))
        ohms = np.array(net.ohms)
        self.conducts: BoolArray = np.isfinite(ohms)
        self.siemens: FloatArray = 1.0 / ohms
        self.push_amps: FloatArray = np.array(net.emf_volts) / ohms
        self.lamp_branch = np.array([lamp.branch for lamp in net.lamps], dtype=np.int64)
        self.lamp_siemens = np.array([1.0 / lamp.rated_ohms for lamp in net.lamps])
        self.lamp_at_volts = np.array([lamp.at_volts for lamp in net.lamps])
        self.knee_volts = self.lamp_at_volts * COLD_SHARE ** (1.0 / (1.0 - LAMP_EXPONENT))
        self.line_branch = np.array([line.branch for line in net.lines], dtype=np.int64)
        self.threshold_volts = np.array([line.threshold_volts for line in net.lines])
        self.line_siemens = np.array([1.0 / line.ohms for line in net.lines])
        self._tiny_amps = np.minimum(_TINY_AMPS, _TINY_BACKWARD_VOLTS * self.line_siemens)
        self.line_always_joins = np.array([line.always_joins for line in net.lines], dtype=bool)
        self.line_starts_on = ~self.line_always_joins | (self.threshold_volts < 0)
        inverters = [mover for mover in net.movers if mover.kind is MoverKind.INVERTER]
        self.inverter_branch = np.array([mover.closes[0] for mover in inverters], dtype=np.int64)
        self.inverter_watts = np.array([mover.watts for mover in inverters])
        self.collapse_volts = np.array([_COLLAPSED_SHARE * mover.off_volts for mover in inverters])
        self.closing_mover, self.closing_branch = _moved_branches([mover.closes for mover in net.movers])
        self.opening_mover, self.opening_branch = _moved_branches([mover.opens for mover in net.movers])
        self._find_moving(network)

    def _find_moving(self, network: MovingNetwork | None) -> None:
        branch_count = len(self.siemens)
        falling = np.zeros(branch_count, dtype=bool)
        falling[self.inverter_branch] = True
        moves = falling.copy()
        moves[self.lamp_branch] = True
        moves[self.line_branch] = True
        lies = self.node_count, self.ends, moves, falling, self.net.reference
        self.network = network if network is not None and network.lies_as(*lies) else MovingNetwork(*lies)
        place = np.zeros(branch_count, dtype=np.int64)
        place[self.network.moving] = np.arange(len(self.network.moving))
        self._lamps, self._lines = place[self.lamp_branch], place[self.line_branch]
        self._inverters = place[self.inverter_branch]

    @property
    def first_emf(self) -> float:
        """Emf in volts of the first battery; 0 where it is out."""
        place = self.net.first_battery_line
        return 0.0 if place is None else -float(self.threshold_volts[place])

    def set_emf(self, emf: float) -> None:
        """Put another emf in volts in the place of the first battery's; nothing where it is out."""
        place = self.net.first_battery_line
        if place is None:
            return
        self.threshold_volts[place] = -emf
        self.push_amps[self.net.first_battery_tie] = emf * self.siemens[self.net.first_battery_tie]
        self.threshold_volts[place + 1] = max(self.net.lines[place + 1].threshold_volts, emf)

    def with_ohms(self, ohms: Mapping[int, float]) -> Circuit:
        """Give the circuit with other ohms in some branches, no lamps or lines among them; infinite where open."""
        changed = copy(self)
        branches = list(ohms)
        siemens = np.array([0.0 if each > OPEN_OHMS else 1.0 / max(each, LEAST_OHMS) for each in ohms.values()])
        changed.siemens, changed.push_amps = self.siemens.copy(), self.push_amps.copy()
        emf_volts = np.array([self.net.emf_volts[branch] for branch in branches])
        changed.siemens[branches], changed.push_amps[branches] = siemens, emf_volts * siemens
        changed.conducts = self.conducts.copy()
        changed.conducts[branches] = siemens > 0.0
        return changed

    def raise_chargers(self, more_volts: float) -> None:
        """Let every charger that is on give so many volts more than the file says."""
        for place in self.net.charger_lines:
            self.threshold_volts[place] = self.net.lines[place].threshold_volts - more_volts

    def relax(self, closed: BoolArray, start: Relaxed | None = None) -> Relaxed:
        """Bring the circuit to rest.

        Parameters
        ----------
        closed
            Shape (branches,), false where a contact, driver, output, inverter or fuse is open.
        start
            A circuit like this one at rest, whose lamps and diodes are taken as the first guess.

        Raises
        ------
        CircuitError
            Where no rest is found, or the figures are beyond all measure.

        Notes
        -----
        Filaments by Newton's method; one-way lines by exchanging those that contradict their state, all at once first
        and then the first of them only, which ends for every circuit of resistances (K. G. Murty, "Note on a
        Bard-type scheme for solving the complementarity problem", Opsearch 11 (1974) 123-130).
        """
        closed = closed & self.conducts
        guess = Guess(
            start.carrying.copy() if start is not None else self.line_starts_on.copy(),
            start.lamp_volts if start is not None else self.lamp_at_volts,
            np.full(len(self.inverter_branch), 1.5 * self.net.harness.build.nominal_volts),
            closed[self.inverter_branch],
        )
        siemens = np.where(closed, self.siemens, 0.0)
        push = np.where(closed, self.push_amps, 0.0)
        with np.errstate(all="ignore"):
            fixed = self.network.fix(siemens, push)
            for step in range(_STEPS_AT_MOST):
                moving = self._stamps(guess)
                if not self._step(fixed, moving, guess, step):
                    siemens[self.network.moving], push[self.network.moving] = moving
                    return self._rest(fixed.volts(), (siemens, push), closed, guess)
        raise CircuitError(
            "The circuit finds no rest: its lamps and diodes never agree.",
            do="Set fewer things at a time: the last that was set is the one to look at.",
        )

    def _step(self, fixed: FixedNetwork, moving: tuple[FloatArray, FloatArray], guess: Guess, step: int) -> bool:
        """Solve once and take the volts into the guess; tell whether anything moved."""
        try:
            across = fixed.across_moving(*moving)
        except np.linalg.LinAlgError:
            raise CircuitError(
                "The circuit has no single solution.", do="Look at the inverters of the file and what feeds them."
            ) from None
        if not np.isfinite(across).all():
            raise CircuitError(
                "The circuit cannot be solved: some of its figures are beyond all measure.",
                do="Look for ohms, volts, watts or lengths in the file that are far too small or too large.",
            )
        moved = guess.follow_lamps(across[self._lamps])
        moved |= guess.follow_inverters(across[self._inverters], self.collapse_volts)
        exchanged = self._exchange_lines(across, guess.carrying, step)
        return moved or exchanged

    def _rest(
        self, volts: FloatArray, stamps: tuple[FloatArray, FloatArray], closed: BoolArray, guess: Guess
    ) -> Relaxed:
        siemens, push = stamps
        amps = siemens * (volts[self.ends[0]] - volts[self.ends[1]]) + push
        joins = self._joins(closed, amps)
        island = islands(self.node_count, self.ends[0][joins], self.ends[1][joins])
        collapsed = self.inverter_branch[closed[self.inverter_branch] & ~guess.inverter_on]
        return Relaxed(volts, amps, joins, island, guess.carrying, guess.lamp_volts, frozenset(collapsed.tolist()))

    def _stamps(self, guess: Guess) -> tuple[FloatArray, FloatArray]:
        """Give conductance and pushed current of each moving branch, shape (moving branches,)."""
        siemens = np.zeros(len(self.network.moving))
        push = np.zeros(len(self.network.moving))
        size = np.abs(guess.lamp_volts)
        cold = size <= self.knee_volts
        chord = self.lamp_siemens * (np.where(cold, 1.0, size) / self.lamp_at_volts) ** (LAMP_EXPONENT - 1.0)
        tangent = guess.lamp_is_near & ~cold
        siemens[self._lamps] = np.where(
            cold, self.lamp_siemens / COLD_SHARE, np.where(tangent, LAMP_EXPONENT, 1.0) * chord
        )
        push[self._lamps] = np.where(tangent, (1.0 - LAMP_EXPONENT) * chord * guess.lamp_volts, 0.0)
        siemens[self._lines] = np.where(guess.carrying, self.line_siemens, 0.0)
        push[self._lines] = np.where(guess.carrying, -self.threshold_volts * self.line_siemens, 0.0)
        chord = np.minimum(self.inverter_watts / guess.inverter_volts**2, 1.0 / LEAST_OHMS)
        near = guess.inverter_is_near
        siemens[self._inverters] = np.where(guess.inverter_on, np.where(near, -chord, chord), 0.0)
        push[self._inverters] = np.where(guess.inverter_on & near, 2.0 * chord * guess.inverter_volts, 0.0)
        return siemens, push

    def _exchange_lines(self, across: FloatArray, carrying: BoolArray, step: int) -> bool:
        over = across[self._lines] - self.threshold_volts
        backward_amps = self._tiny_amps if step < _EXACT_STEPS else _TINY_AMPS
        wrong = np.where(carrying, over * self.line_siemens < -backward_amps, over > _TINY_VOLTS)
        places = np.flatnonzero(wrong)
        if step >= _ALL_AT_ONCE_STEPS:
            places = places[:1]
        carrying[places] = ~carrying[places]
        return len(places) > 0

    def _joins(self, closed: BoolArray, amps: FloatArray) -> BoolArray:
        joins = closed.copy()
        carries = np.abs(amps) > CARRIES_AMPS
        joins[self.line_branch] &= self.line_always_joins | carries[self.line_branch]
        joins[self.inverter_branch] &= carries[self.inverter_branch]
        return joins


def _moved_branches(branches: list[tuple[int, ...]]) -> tuple[IntArray, IntArray]:
    """Give for the branches of all movers which mover each belongs to, and which branch it is."""
    pairs = [(mover, branch) for mover, moved in enumerate(branches) for branch in moved]
    found = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    return found[:, 0], found[:, 1]
