"""Many variants brought to rest together: relays, drivers, outputs and inverters moved until none moves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_base import Base
from model.circuit.many_layout import Rows
from model.circuit.many_ports import AtRest, is_blurred, relax_rows
from model.circuit.many_solve import Entries, Ports, Solved, entries_of, solve_entries
from model.circuit.many_stage import TIE_OHMS


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
    stirred
        Shape (rows,), true of those that move something outside the piece; they are odd too.
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
    stirred: BoolArray
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
        np.zeros((count, base.watch.meeting.stop)),
        np.zeros((count, movers)),
        np.zeros(count, dtype=np.bool_),
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
        stirred = base.stirred(place, found.volts) & ~found.odd
        ends.stirred[active] |= stirred
        found.odd |= stirred
        most = sensed(base, place, some, found.volts)
        following = next_of(base, some, states, most)
        inverters = base.layout.inverter_mover
        following[:, inverters] |= found.collapsed & states[:, inverters]
        # while something outside moves nothing is at rest
        goes_on = bool(base.piece.outsides) and place < len(base.stages) - 1
        rests = found.odd if goes_on else (following == states).all(axis=1) | found.odd
        _keep(ends, active[rests], place, rests, (found, states, most))
        goes = np.flatnonzero(~rests)
        if not goes_on:
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


def mark_blurred(base: Base, rows: Rows, ends: Ends) -> None:
    """Mark the rows as odd that rest at an earlier stage and have too few digits left when told against the last."""
    earlier = np.flatnonzero(~ends.odd & (ends.place < len(base.stages) - 1))
    if len(earlier):
        entries = _against_last(base, rows, ends, earlier)
        ends.odd[earlier] = is_blurred(base, base.stages[-1], entries)


def told_against_last(base: Base, rows: Rows, ends: Ends) -> tuple[IntArray, Solved]:
    """Solve once more all rows as they came to rest, against the last stage.

    Returns
    -------
    tuple
        The rows that are not odd, and what is in excess in each.
    """
    which = np.flatnonzero(~ends.odd)
    return which, solve_entries(base.stages[-1], _against_last(base, rows, ends, which))


def _against_last(base: Base, rows: Rows, ends: Ends, which: IntArray) -> Entries:
    """List what differs in some rows, as they came to rest, from the last stage."""
    slots = base.layout.ports
    ports = ends.ports.taken(which)
    for place, own in enumerate(base.stages[:-1]):
        here = np.flatnonzero(ends.place[which] == place)
        stays = ~ports.moved[here]
        ports.siemens[here] = np.where(stays, own.siemens[slots], ports.siemens[here])
        ports.push_amps[here] = np.where(stays, own.push_amps[slots], ports.push_amps[here])
        ports.moved[here] = True
    return entries_of(base.stages[-1], base.layout, rows.taken(which), ends.states[which], ports)
