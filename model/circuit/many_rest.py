"""Many variants brought to rest together: lamps and one-way lines, then relays and what else moves, then fuses."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_layout import Layout, Rows
from model.circuit.many_solve import Entries, Ports, Solved, across, entries_of, solve_entries
from model.circuit.many_stage import TIE_OHMS, Stage, lamp_amps, lamp_tangents
from model.circuit.netlist import LEAST_OHMS, MoverKind
from model.circuit.relax import CARRIES_AMPS, Circuit

_AGREE_VOLTS = 3e-6
_FAR_SHARE = 0.2
_STEPS_AT_MOST = 60
_ALL_AT_ONCE_STEPS = 15
_TINY_VOLTS = 1e-6
_TINY_AMPS = 1e-7
_READY_VOLTS = 5e-4
_LEAST_LEAK = 1e-10


@dataclass(frozen=True)
class Watch:
    """Pairs of nodes that are looked at in every row: fuses, ports, senses."""

    fuses: slice
    lamps: slice
    lines: slice
    inverters: slice
    senses: slice


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


class Base:
    """The sound circuit's stages with what is watched in them."""

    def __init__(self, circuit: Circuit, layout: Layout, stages: list[Stage]) -> None:
        self.circuit = circuit
        self.layout = layout
        self.stages = stages
        first = layout.fuses.start
        lamps, lines, inverters = (
            slice(kind.start - first, kind.stop - first) for kind in (layout.lamps, layout.lines, layout.inverters)
        )
        count = layout.inverters.stop - first
        senses = slice(count, count + len(layout.sense_one))
        self.watch = Watch(slice(0, layout.lamps.start - first), lamps, lines, inverters, senses)
        movers = circuit.net.movers
        self.is_relay = np.array([mover.kind is MoverKind.RELAY for mover in movers], dtype=np.bool_)
        self.on_volts = np.array([mover.on_volts for mover in movers])
        self.off_volts = np.array([mover.off_volts for mover in movers])
        self.allowed = np.array([mover.allowed for mover in movers], dtype=np.bool_)
        self._watched = [self._watched_at(stage) for stage in stages]

    def _watched_at(self, stage: Stage) -> tuple[FloatArray, FloatArray, BoolArray]:
        layout, place = self.layout, stage.kept.place
        slots = slice(layout.fuses.start, layout.inverters.stop)
        one = np.concatenate((stage.one[slots], place[layout.sense_one]))
        other = np.concatenate((stage.other[slots], place[layout.sense_other]))
        by_slot = np.ascontiguousarray((stage.columns[one] - stage.columns[other]).T)
        volts = stage.node_volts[one] - stage.node_volts[other]
        return volts, by_slot, stage.island[one] != stage.island[other]

    def watched(self, place: int) -> tuple[FloatArray, FloatArray, BoolArray]:
        """Give of a stage the volts watched, what an ampere through each slot does to them, and which are apart."""
        return self._watched[place]


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
        odd[active[solved.singular | _is_blurred(stage, entries)]] = True
        moved = guess.follow(volts[active], active, one_only=step >= _ALL_AT_ONCE_STEPS)
        odd |= guess.odd
        active = active[moved & ~odd[active]]
        if not len(active):
            break
    odd[active] = True
    if not keeps_idle:
        guess.drop_idle(volts)
    return AtRest(guess.ports, volts, odd, guess.collapsed)


def _is_blurred(stage: Stage, entries: Entries) -> BoolArray:
    """Tell in which rows a branch is open of which next to nothing goes another way, and yet not nothing.

    So it is with a microohm beside the megohm of a battery at rest: too few digits are left to tell what is behind.
    """
    leak = stage.leak[entries.slot]
    opened = entries.siemens * stage.own_ohms[entries.slot] < _LEAST_LEAK
    blurred = ~stage.only_way[entries.slot] & (leak < _LEAST_LEAK) & opened
    found = np.zeros(entries.row_count, dtype=np.bool_)
    found[entries.row[blurred]] = True
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
        if not volts.shape[1]:
            return np.zeros(len(rows), dtype=np.bool_)
        circuit, draw = self.base.circuit, self.draw[rows, self.lamps]
        siemens, push = self.ports.siemens[rows, self.lamps], self.ports.push_amps[rows, self.lamps]
        real_amps, slope = draw * lamp_amps(circuit, volts), draw * lamp_tangents(circuit, volts)
        error_amps = np.abs(siemens * volts + push - real_amps)
        before = self.lamp_volts[rows]
        change = np.abs(volts - before)
        behind_ohms = np.abs(self.own_ohms) + change / np.maximum(np.abs(real_amps), 1e-12)
        moves = (error_amps * np.minimum(1.0 / slope, behind_ohms) > _AGREE_VOLTS) & ~self.rows.port_given[
            rows, self.lamps
        ]
        chord = np.divide(real_amps, volts, out=slope.copy(), where=np.abs(volts) > circuit.knee_volts)
        tangent = change < _FAR_SHARE * np.abs(before)
        siemens = np.where(moves, np.where(tangent, slope, chord), siemens)
        push = np.where(moves, np.where(tangent, real_amps - slope * volts, 0.0), push)
        self.ports.siemens[rows, self.lamps], self.ports.push_amps[rows, self.lamps] = siemens, push
        self.ports.moved[rows, self.lamps] |= moves
        self.lamp_volts[rows] = np.where(moves, volts, before)
        return np.asarray(moves.any(axis=1), dtype=np.bool_)

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

    def drop_idle(self, volts: FloatArray) -> None:
        """Open the one-way lines that carry next to nothing, so that what is behind them floats.

        Not those of batteries: one that rests at its emf is ready to give.
        """
        circuit, every = self.base.circuit, np.arange(len(volts))
        over = volts[:, self.base.watch.lines] - circuit.threshold_volts
        siemens = self.draw[:, self.lines] * circuit.line_siemens
        idle = self.carrying & (over * siemens < CARRIES_AMPS) & ~circuit.line_always_joins
        given = self.rows.port_given[:, self.lines]
        ready = circuit.line_always_joins & (circuit.threshold_volts < 0.0) & (over > -_READY_VOLTS) & ~given
        self._set_lines(every, self.carrying & ~idle | ready, siemens)


def sensed(base: Base, place: int, rows: Rows, volts: FloatArray) -> FloatArray:
    """Give the most of the volts that each mover looks at, shape (rows, movers)."""
    layout = base.layout
    _, _, apart = base.watched(place)
    found = volts[:, base.watch.senses] * rows.sense_factor
    found[:, apart[base.watch.senses]] = 0.0
    relay = base.is_relay[layout.sense_mover]
    found[:, relay] = np.abs(found[:, relay])
    most = np.full((len(rows), len(base.on_volts)), -TIE_OHMS)
    for sense, mover in enumerate(layout.sense_mover.tolist()):
        most[:, mover] = np.maximum(most[:, mover], found[:, sense])
    return np.where(most == -TIE_OHMS, 0.0, most)


def next_of(base: Base, rows: Rows, states: BoolArray, most: FloatArray) -> BoolArray:
    """Give the states that the movers of each row go to, shape (rows, movers)."""
    following = base.allowed & (most >= np.where(states, base.off_volts, base.on_volts))
    return np.where(rows.pinned >= 0, rows.pinned == 1, following)


@dataclass
class Ends:
    """Where every row comes to rest.

    Attributes
    ----------
    place
        Shape (rows,), the stage that it is told against.
    states, ports, volts, most
        Shape (rows, …): movers, ports, watched volts, volts sensed.
    odd
        Shape (rows,), true of those to be settled alone.
    blown, ratio
        Shape (rows, fuses): opened by its current; current over rating, when it opened or at rest.
    first_blown
        Shape (rows,), the fuse that opened first; -1 where none did.
    """

    place: IntArray
    states: BoolArray
    ports: Ports
    volts: FloatArray
    most: FloatArray
    odd: BoolArray
    blown: BoolArray
    ratio: FloatArray
    first_blown: IntArray


def empty_ends(base: Base, count: int) -> Ends:
    """Give ends for some rows that are still to be found."""
    movers, layout = len(base.on_volts), base.layout
    ports, fuses = layout.ports.stop - layout.ports.start, layout.fuses.stop - layout.fuses.start
    return Ends(
        np.zeros(count, dtype=np.int64),
        np.zeros((count, movers), dtype=np.bool_),
        Ports(np.zeros((count, ports), dtype=np.bool_), np.zeros((count, ports)), np.zeros((count, ports))),
        np.zeros((count, base.watch.senses.stop)),
        np.zeros((count, movers)),
        np.zeros(count, dtype=np.bool_),
        np.zeros((count, fuses), dtype=np.bool_),
        np.zeros((count, fuses)),
        np.full(count, -1, dtype=np.int64),
    )


def bring_to_rest(base: Base, rows: Rows, ends: Ends, active: IntArray) -> None:
    """Move the movers of some rows together, step by step along the sound circuit's way, until none moves."""
    states = np.tile(base.stages[0].states, (len(active), 1))
    some = rows.taken(active)
    states = np.where(some.pinned >= 0, some.pinned == 1, states)
    seen: list[set[bytes]] = [set() for _ in range(len(rows))]
    step = 0
    while len(active):
        place = min(step, len(base.stages) - 1)
        found = relax_rows(base, place, some, states)
        most = sensed(base, place, some, found.volts)
        following = next_of(base, some, states, most)
        inverters = base.layout.inverter_mover
        following[:, inverters] |= found.collapsed & states[:, inverters]
        rests = (following == states).all(axis=1) | found.odd
        _keep(ends, active[rests], place, rests, (found, states, most))
        goes = np.flatnonzero(~rests)
        again = _seen_before(seen, active[goes], states[goes])
        ends.odd[active[goes[again]]] = True
        goes = goes[~again]
        active, states, some = active[goes], following[goes], some.taken(goes)
        step += 1


def _seen_before(seen: list[set[bytes]], rows: IntArray, states: BoolArray) -> BoolArray:
    found = np.zeros(len(rows), dtype=np.bool_)
    for k, (row, now) in enumerate(zip(rows.tolist(), np.packbits(states, axis=1), strict=True)):
        key = now.tobytes()
        found[k] = key in seen[row]
        seen[row].add(key)
    return found


def _keep(
    ends: Ends, rows: IntArray, place: int, rests: BoolArray, found: tuple[AtRest, BoolArray, FloatArray]
) -> None:
    at_rest, states, most = found
    ends.place[rows] = place
    ends.states[rows] = states[rests]
    ends.most[rows] = most[rests]
    ends.volts[rows] = at_rest.volts[rests]
    ends.odd[rows] = at_rest.odd[rests]
    ends.ports.moved[rows] = at_rest.ports.moved[rests]
    ends.ports.siemens[rows] = at_rest.ports.siemens[rests]
    ends.ports.push_amps[rows] = at_rest.ports.push_amps[rests]


def told_against_last(base: Base, rows: Rows, ends: Ends) -> tuple[IntArray, Solved]:
    """Solve once more all rows as they came to rest, against the last stage.

    Returns
    -------
    tuple
        The rows that are not odd, and what is in excess in each.
    """
    which = np.flatnonzero(~ends.odd)
    stage, slots = base.stages[-1], base.layout.ports
    ports = ends.ports.taken(which)
    for place, own in enumerate(base.stages[:-1]):
        here = np.flatnonzero(ends.place[which] == place)
        stays = ~ports.moved[here]
        ports.siemens[here] = np.where(stays, own.siemens[slots], ports.siemens[here])
        ports.push_amps[here] = np.where(stays, own.push_amps[slots], ports.push_amps[here])
        ports.moved[here] = True
    entries = entries_of(stage, base.layout, rows.taken(which), ends.states[which], ports)
    return which, solve_entries(stage, entries)
