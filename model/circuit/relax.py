"""Lamps, leds, diodes, batteries and inverters brought to rest with the contacts held still."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.moving import MovingNetwork
from model.circuit.netlist import MoverKind, Netlist
from model.circuit.solver import islands
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


class Newton:
    """Which filaments and inverters have come near enough for Newton's steps.

    Far from rest a filament or inverter is stepped with its chord, volts over amperes, which goes to rest from
    anywhere; near it with its tangent, which goes fast.
    """

    def __init__(self, lamp_count: int, inverter_count: int) -> None:
        self.lamps = np.zeros(lamp_count, dtype=bool)
        self.inverters = np.zeros(inverter_count, dtype=bool)

    def follow_lamps(self, now: FloatArray, lamp_volts: FloatArray) -> bool:
        """Take the volts across the filaments in, and tell whether one moved."""
        change = np.abs(now - lamp_volts)
        self.lamps = change < _NEAR_SHARE * np.abs(lamp_volts)
        lamp_volts[:] = now
        return bool((change > _SETTLED_VOLTS).any())

    def follow_inverters(self, now: FloatArray, inverter_volts: FloatArray, on: BoolArray) -> bool:
        """Take the volts across the inverters in, and tell whether one that is on moved."""
        change = np.abs(now - inverter_volts)
        self.inverters = change < _NEAR_SHARE**2 * np.abs(inverter_volts)
        inverter_volts[:] = np.maximum(now, 1e-3)
        return bool((on & (change > _SETTLED_VOLTS)).any())


class Circuit:
    """The arrays of a netlist, made once and relaxed with many sets of closed contacts."""

    def __init__(self, net: Netlist) -> None:
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
        self.line_always_joins = np.array([line.always_joins for line in net.lines], dtype=bool)
        self.line_starts_on = ~self.line_always_joins | (self.threshold_volts < 0)
        inverters = [mover for mover in net.movers if mover.kind is MoverKind.INVERTER]
        self.inverter_branch = np.array([mover.closes[0] for mover in inverters], dtype=np.int64)
        self.inverter_watts = np.array([mover.watts for mover in inverters])
        self.collapse_volts = np.array([_COLLAPSED_SHARE * mover.off_volts for mover in inverters])
        self.closing_mover, self.closing_branch = _moved_branches([mover.closes for mover in net.movers])
        self.opening_mover, self.opening_branch = _moved_branches([mover.opens for mover in net.movers])
        self._find_moving()

    def _find_moving(self) -> None:
        branch_count = len(self.siemens)
        falling = np.zeros(branch_count, dtype=bool)
        falling[self.inverter_branch] = True
        moves = falling.copy()
        moves[self.lamp_branch] = True
        moves[self.line_branch] = True
        self.network = MovingNetwork(self.node_count, self.ends, moves, falling, self.net.reference)
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
        self.threshold_volts[place + 1] = max(self.net.lines[place + 1].threshold_volts, emf)

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
        carrying = start.carrying.copy() if start is not None else self.line_starts_on.copy()
        lamp_volts = start.lamp_volts.copy() if start is not None else self.lamp_at_volts.copy()
        inverter_volts = np.full(len(self.inverter_branch), 1.5 * self.net.harness.build.nominal_volts)
        inverter_on = closed[self.inverter_branch]
        newton = Newton(len(lamp_volts), len(inverter_volts))
        siemens = np.where(closed, self.siemens, 0.0)
        push = np.where(closed, self.push_amps, 0.0)
        fixed = self.network.fix(siemens, push)
        for step in range(_STEPS_AT_MOST):
            moving = self._stamps(carrying, lamp_volts, newton)
            self._stamp_inverters(moving, inverter_on, inverter_volts, newton)
            across = fixed.across_moving(*moving)
            moved = newton.follow_lamps(across[self._lamps], lamp_volts)
            moved |= newton.follow_inverters(across[self._inverters], inverter_volts, inverter_on)
            collapsing = inverter_on & (inverter_volts < self.collapse_volts)
            inverter_on = inverter_on & ~collapsing
            exchanged = self._exchange_lines(across, carrying, one_only=step >= _ALL_AT_ONCE_STEPS)
            if not (exchanged or moved or collapsing.any()):
                volts = fixed.volts()
                siemens[self.network.moving], push[self.network.moving] = moving
                amps = siemens * (volts[self.ends[0]] - volts[self.ends[1]]) + push
                joins = self._joins(closed, amps)
                island = islands(self.node_count, self.ends[0][joins], self.ends[1][joins])
                collapsed = self.inverter_branch[closed[self.inverter_branch] & ~inverter_on]
                return Relaxed(volts, amps, joins, island, carrying, lamp_volts, frozenset(collapsed.tolist()))
        raise CircuitError("The circuit finds no rest: its lamps and diodes never agree.")

    def _stamps(self, carrying: BoolArray, lamp_volts: FloatArray, newton: Newton) -> tuple[FloatArray, FloatArray]:
        """Give conductance and pushed current of each moving branch, those of inverters still empty."""
        siemens = np.zeros(len(self.network.moving))
        push = np.zeros(len(self.network.moving))
        size = np.abs(lamp_volts)
        cold = size <= self.knee_volts
        chord = self.lamp_siemens * (np.where(cold, 1.0, size) / self.lamp_at_volts) ** (LAMP_EXPONENT - 1.0)
        tangent = newton.lamps & ~cold
        siemens[self._lamps] = np.where(
            cold, self.lamp_siemens / COLD_SHARE, np.where(tangent, LAMP_EXPONENT, 1.0) * chord
        )
        push[self._lamps] = np.where(tangent, (1.0 - LAMP_EXPONENT) * chord * lamp_volts, 0.0)
        siemens[self._lines] = np.where(carrying, self.line_siemens, 0.0)
        push[self._lines] = np.where(carrying, -self.threshold_volts * self.line_siemens, 0.0)
        return siemens, push

    def _stamp_inverters(
        self, moving: tuple[FloatArray, FloatArray], on: BoolArray, volts: FloatArray, newton: Newton
    ) -> None:
        siemens, push = moving
        chord = self.inverter_watts / volts**2
        siemens[self._inverters] = np.where(on, np.where(newton.inverters, -chord, chord), 0.0)
        push[self._inverters] = np.where(on & newton.inverters, 2.0 * chord * volts, 0.0)

    def _exchange_lines(self, across: FloatArray, carrying: BoolArray, *, one_only: bool) -> bool:
        over = across[self._lines] - self.threshold_volts
        wrong = np.where(carrying, over * self.line_siemens < -_TINY_AMPS, over > _TINY_VOLTS)
        places = np.flatnonzero(wrong)
        if one_only:
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
