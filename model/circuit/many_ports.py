"""Lamps, one-way lines and inverters of many variants brought to rest, their movers held still."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_base import Base
from model.circuit.many_layout import Rows
from model.circuit.many_solve import Entries, Ports, across, entries_of, solve_entries
from model.circuit.many_stage import Stage, lamp_curve
from model.circuit.netlist import LEAST_OHMS
from model.circuit.relax import CARRIES_AMPS

_AGREE_VOLTS = 3e-7
_SAME_VOLTS = 1e-4
_FAR_SHARE = 0.2
_STEPS_AT_MOST = 60
_ALL_AT_ONCE_STEPS = 15
_TINY_VOLTS = 1e-6
_TINY_AMPS = 1e-8
_READY_VOLTS = 5e-4
_LEAST_LEAK = 1e-10
_SERIES_LEAK = 1e-5


@dataclass
class AtRest:
    """Many rows at rest with their movers held still.

    Attributes
    ----------
    ports
        Lamps, lines and inverters.
    volts
        Shape (rows, watched pairs).
    odd
        Shape (rows,), true of those that have to be settled alone.
    collapsed
        Shape (rows, inverters), true of those that the supply cannot carry: switched on, they stay so.
    """

    ports: Ports
    volts: FloatArray
    odd: BoolArray
    collapsed: BoolArray


def relax_rows(base: Base, place: int, rows: Rows, states: BoolArray, *, keeps_idle: bool = False) -> AtRest:
    """Bring lamps, lines and inverters of many rows to rest at a stage, their movers held still.

    Parameters
    ----------
    keeps_idle
        True where a one-way line that carries next to nothing joins what is behind it all the same.
    """
    stage, count = base.stages[place], len(rows)
    guess = _Guess(base, stage, rows, states)
    sound_volts, by_slot, _ = base.watched(place)
    volts = np.tile(sound_volts, (count, 1))
    odd = guess.odd.copy()
    active = np.flatnonzero(~odd)
    for step in range(_STEPS_AT_MOST):
        some = rows.taken(active) if len(active) < count else rows
        entries = entries_of(stage, base.layout, some, states[active], guess.ports.taken(active))
        solved = solve_entries(stage, entries)
        volts[active] = across(solved, sound_volts, by_slot)
        odd[active[solved.singular | is_blurred(base, stage, entries)]] = True
        moved = guess.follow(volts[active], active, one_only=step >= _ALL_AT_ONCE_STEPS)
        odd |= guess.odd
        active = active[moved & ~odd[active]]
        if not len(active):
            break
    odd[active] = True
    guess.draw_tangents(volts)
    if not keeps_idle:
        idle = guess.drop_idle(volts)
        entries = entries_of(stage, base.layout, rows.taken(idle), states[idle], guess.ports.taken(idle))
        odd[idle[is_blurred(base, stage, entries)]] = True
    return AtRest(guess.ports, volts, odd, guess.collapsed)


def is_blurred(base: Base, stage: Stage, entries: Entries) -> BoolArray:
    """Tell in which rows too few digits are left to tell what is behind an open branch.

    So it is where next to nothing goes another way, and yet not nothing, as with a microohm beside the megohm of a
    battery at rest; and where two are open one after the other, or a battery comes to rest, and a microohm changes too.
    """
    found = np.zeros(entries.row_count, dtype=np.bool_)
    opened = np.flatnonzero(
        (entries.siemens * stage.own_ohms[entries.slot] < _LEAST_LEAK) & (entries.more_siemens < 0.0)
    )
    row, slot = entries.row[opened], entries.slot[opened]
    leak, loops = stage.leak[slot], stage.loops[slot]
    found[row[~stage.only_way[slot] & (leak < _LEAST_LEAK)]] = True
    order = np.lexsort((loops, row))
    row, loops = row[order], loops[order]
    again = (row[1:] == row[:-1]) & (loops[1:] == loops[:-1]) & (loops[1:] > 0)
    series = np.zeros(entries.row_count, dtype=np.bool_)
    series[row[1:][again]] = True
    resting = np.zeros(len(stage.siemens), dtype=np.bool_)
    resting[base.layout.lines] = base.circuit.line_always_joins
    series[entries.row[opened[resting[slot]]]] = True
    small = ~stage.only_way[entries.slot] & (stage.leak[entries.slot] < _SERIES_LEAK)
    found[entries.row[small & series[entries.row]]] = True
    return found


class _Guess:
    """Where the ports of many rows are taken to be, from step to step."""

    def __init__(self, base: Base, stage: Stage, rows: Rows, states: BoolArray) -> None:
        self.base, self.stage, self.rows = base, stage, rows
        layout = base.layout
        first = layout.ports.start
        kinds = (layout.lamps, layout.lines, layout.inverters)
        self.lamps, self.lines, self.inverters = (slice(k.start - first, k.stop - first) for k in kinds)
        siemens, push = stage.siemens[layout.ports], stage.push_amps[layout.ports]
        self.draw = rows.draw
        self.ports = Ports(
            (rows.draw != 1.0) & ~rows.port_given, np.array(rows.draw * siemens), np.array(rows.draw * push)
        )
        self.lamp_volts: FloatArray = np.tile(stage.across_volts[layout.lamps], (len(rows), 1))
        self.carrying: BoolArray = np.tile(siemens[self.lines] != 0.0, (len(rows), 1))
        self.odd: BoolArray = np.zeros(len(rows), dtype=np.bool_)
        self.own_ohms = stage.own_ohms[layout.lamps]
        self.inverter_volts: FloatArray = np.tile(stage.across_volts[layout.inverters], (len(rows), 1))
        self.inverter_anew: BoolArray = np.zeros_like(self.inverter_volts, dtype=np.bool_)
        is_on = states[:, layout.inverter_mover]
        was_on = siemens[self.inverters] != 0.0
        self.inverter_on: BoolArray = is_on & was_on
        self.collapsed: BoolArray = is_on & ~was_on
        self.ports.moved[:, self.inverters] = ~is_on & was_on
        self.ports.siemens[:, self.inverters] *= self.inverter_on
        self.ports.push_amps[:, self.inverters] *= self.inverter_on

    def follow(self, volts: FloatArray, rows: IntArray, *, one_only: bool) -> BoolArray:
        """Take the volts of some rows in, and tell of each whether a port moved, shape (rows,)."""
        watch = self.base.watch
        moved = self._follow_lamps(volts[:, watch.lamps], rows)
        moved |= self._follow_lines(volts[:, watch.lines], rows, one_only=one_only)
        moved |= self._follow_inverters(volts[:, watch.inverters], rows)
        return moved

    def _follow_lamps(self, volts: FloatArray, rows: IntArray) -> BoolArray:
        change = np.abs(volts - self.lamp_volts[rows])
        at, lamp = np.nonzero((change > _SAME_VOLTS) & ~self.rows.port_given[rows, self.lamps])
        row, now, change = rows[at], volts[at, lamp], change[at, lamp]
        port = lamp + self.lamps.start
        amps, slope = lamp_curve(self.base.circuit, now, lamp)
        real_amps, slope = self.draw[row, port] * amps, self.draw[row, port] * slope
        error_amps = np.abs(self.ports.siemens[row, port] * now + self.ports.push_amps[row, port] - real_amps)
        behind_ohms = np.abs(self.own_ohms[lamp]) + change / np.maximum(np.abs(real_amps), 1e-12)
        moves = np.flatnonzero(error_amps * np.minimum(1.0 / slope, behind_ohms) > _AGREE_VOLTS)
        at, row, port, lamp = at[moves], row[moves], port[moves], lamp[moves]
        now, change, real_amps, slope = now[moves], change[moves], real_amps[moves], slope[moves]
        chord = np.divide(real_amps, now, out=slope.copy(), where=now != 0.0)
        near = change < _FAR_SHARE * np.abs(self.lamp_volts[row, lamp])
        self.ports.siemens[row, port] = np.where(near, slope, chord)
        self.ports.push_amps[row, port] = np.where(near, real_amps - slope * now, 0.0)
        self.ports.moved[row, port] = True
        self.lamp_volts[row, lamp] = now
        moved = np.zeros(len(rows), dtype=np.bool_)
        moved[at] = True
        return moved

    def _follow_lines(self, volts: FloatArray, rows: IntArray, *, one_only: bool) -> BoolArray:
        circuit, draw = self.base.circuit, self.draw[rows, self.lines]
        over = volts - circuit.threshold_volts
        siemens = draw * circuit.line_siemens
        carrying = self.carrying[rows]
        wrong = np.where(carrying, over * siemens < -_TINY_AMPS, over > _TINY_VOLTS)
        wrong &= ~self.rows.port_given[rows, self.lines]
        if one_only:
            wrong &= np.cumsum(wrong, axis=1) == 1
        carrying ^= wrong
        self.carrying[rows] = carrying
        self._set_lines(rows, carrying, siemens)
        return np.asarray(wrong.any(axis=1), dtype=np.bool_)

    def _set_lines(self, rows: IntArray, carrying: BoolArray, siemens: FloatArray) -> None:
        stage_carries = self.stage.siemens[self.base.layout.lines] != 0.0
        now = np.where(carrying, siemens, 0.0)
        self.ports.siemens[rows, self.lines] = now
        self.ports.push_amps[rows, self.lines] = -self.base.circuit.threshold_volts * now
        self.ports.moved[rows, self.lines] = (carrying != stage_carries) | (self.draw[rows, self.lines] != 1.0)

    def _follow_inverters(self, volts: FloatArray, rows: IntArray) -> BoolArray:
        """Step inverters by chord and tangent as :class:`model.circuit.relax.Guess` does, from far above once."""
        circuit, on = self.base.circuit, self.inverter_on[rows]
        self.odd[rows] |= (self.collapsed[rows] & ~on & (volts >= circuit.collapse_volts)).any(axis=1)
        if not on.any():
            return np.zeros(len(rows), dtype=np.bool_)
        before = self.inverter_volts[rows]
        change = np.abs(volts - before)
        near = change < _FAR_SHARE**2 * np.abs(before)
        restarts = on & ~near & ~self.inverter_anew[rows]
        self.inverter_anew[rows] |= restarts
        far_volts = 1.5 * circuit.net.harness.build.nominal_volts
        size = np.where(restarts, far_volts, np.maximum(volts, 1e-3))
        collapses = on & ~restarts & (size < circuit.collapse_volts)
        moves = on & (change > _AGREE_VOLTS)
        slope = np.minimum(circuit.inverter_watts / size**2, 1.0 / LEAST_OHMS)
        near &= ~restarts
        siemens, push = self.ports.siemens[rows, self.inverters], self.ports.push_amps[rows, self.inverters]
        siemens = np.where(moves, np.where(near, -slope, slope), siemens)
        push = np.where(moves, np.where(near, 2.0 * slope * size, 0.0), push)
        self.ports.siemens[rows, self.inverters] = np.where(collapses, 0.0, siemens)
        self.ports.push_amps[rows, self.inverters] = np.where(collapses, 0.0, push)
        self.ports.moved[rows, self.inverters] |= moves
        self.inverter_volts[rows] = np.where(moves, size, before)
        self.inverter_on[rows] = on & ~collapses
        self.collapsed[rows] |= collapses
        return np.asarray((moves | collapses).any(axis=1), dtype=np.bool_)

    def draw_tangents(self, volts: FloatArray) -> None:
        """Make the filaments that moved linear about where they came to rest."""
        row, lamp = np.nonzero(self.ports.moved[:, self.lamps])
        port, now = lamp + self.lamps.start, volts[:, self.base.watch.lamps][row, lamp]
        amps, slope = lamp_curve(self.base.circuit, now, lamp)
        draw = self.draw[row, port]
        self.ports.siemens[row, port] = draw * slope
        self.ports.push_amps[row, port] = draw * (amps - slope * now)

    def drop_idle(self, volts: FloatArray) -> IntArray:
        """Open the one-way lines that carry next to nothing, so that what is behind them floats.

        Not those of batteries: one that rests at its emf is ready to give.

        Returns
        -------
        IntArray
            The rows in which there were some.
        """
        circuit, every = self.base.circuit, np.arange(len(volts))
        over = volts[:, self.base.watch.lines] - circuit.threshold_volts
        siemens = self.draw[:, self.lines] * circuit.line_siemens
        idle = self.carrying & (over * siemens < CARRIES_AMPS) & ~circuit.line_always_joins
        given = self.rows.port_given[:, self.lines]
        ready = circuit.line_always_joins & (circuit.threshold_volts < 0.0) & (over > -_READY_VOLTS) & ~given
        self._set_lines(every, self.carrying & ~idle | ready, siemens)
        return np.flatnonzero(idle.any(axis=1))
