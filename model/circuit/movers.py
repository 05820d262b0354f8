"""Relays, drivers, outputs and inverters moved by the volts they have, until none moves or a round repeats."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial

import numpy as np

from model.circuit.arrays import BoolArray
from model.circuit.netlist import Mover, MoverKind
from model.circuit.relax import Circuit, Relaxed
from model.errors import CircuitError

_MOVES_AT_MOST = 500

States = tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Rest:
    """Where the movers of a circuit come to rest, or the round that they go through for ever.

    Attributes
    ----------
    states
        On or off of each mover; of a round the first of it.
    round
        The circuits of the round where it never rests, else the one at rest.
    buzzing
        Names of the movers that never rest.
    tells_rest_one_at_a_time
        Where it buzzes, tells whether moving one at a time would rest; it takes as long again to find out.
    """

    states: States
    round: tuple[Relaxed, ...]
    buzzing: tuple[str, ...]
    tells_rest_one_at_a_time: Callable[[], bool] | None = None


def come_to_rest(circuit: Circuit, start: States, fuses_closed: BoolArray) -> Rest:
    """Move all movers together, step by step, until none moves or a round repeats.

    Parameters
    ----------
    start
        On or off of each mover at the start.
    fuses_closed
        Shape (branches,), false at the branch of each fuse that is open.

    Raises
    ------
    CircuitError
        Where lamps and diodes find no rest in one of the steps.
    """
    states = start
    seen: dict[States, int] = {}
    path: list[tuple[States, Relaxed]] = []
    relaxed: Relaxed | None = None
    while states not in seen:
        seen[states] = len(path)
        relaxed = circuit.relax(closed_branches(circuit, states, fuses_closed), relaxed)
        path.append((states, relaxed))
        following = next_states(circuit.net.movers, states, relaxed)
        if following == states:
            carried = _carried(circuit.net.movers, states, relaxed)
            return Rest(carried, (relaxed,), ())
        states = following
    turning = path[seen[states] :]
    movers = circuit.net.movers
    buzzing = [m.name for k, m in enumerate(movers) if len({one[0][k] for one in turning}) > 1]
    alone = partial(_rests_one_at_a_time, circuit, turning[0][0], fuses_closed.copy())
    return Rest(turning[0][0], tuple(one[1] for one in turning), tuple(buzzing), alone)


def _rests_one_at_a_time(circuit: Circuit, states: States, fuses_closed: BoolArray) -> bool:
    """Move one mover at a time, the first that wants to; where a step finds no rest there is none to be told of."""
    seen: set[States] = set()
    relaxed: Relaxed | None = None
    while states not in seen and len(seen) < _MOVES_AT_MOST:
        seen.add(states)
        try:
            relaxed = circuit.relax(closed_branches(circuit, states, fuses_closed), relaxed)
        except CircuitError:
            return False
        following = next_states(circuit.net.movers, states, relaxed)
        moving = [k for k, (now, then) in enumerate(zip(states, following, strict=True)) if now != then]
        if not moving:
            return True
        first = moving[0]
        states = (*states[:first], following[first], *states[first + 1 :])
    return False


def closed_branches(circuit: Circuit, states: States, fuses_closed: BoolArray) -> BoolArray:
    """Give which branches are closed in these states of the movers, shape (branches,)."""
    closed = fuses_closed.copy()
    on = np.array(states, dtype=bool)
    closed[circuit.closing_branch] &= on[circuit.closing_mover]
    closed[circuit.opening_branch] &= ~on[circuit.opening_mover]
    return closed


def next_states(movers: Iterable[Mover], states: States, relaxed: Relaxed) -> States:
    """Give the states that the movers go to from the volts they have."""
    return tuple(_next_state(mover, on, relaxed) for mover, on in zip(movers, states, strict=True))


def _next_state(mover: Mover, on: bool, relaxed: Relaxed) -> bool:
    if not mover.allowed:
        return False
    if on and _is_collapsed(mover, relaxed):
        return True
    volts = sensed_volts(mover, relaxed)
    return volts >= (mover.off_volts if on else mover.on_volts)


def _is_collapsed(mover: Mover, relaxed: Relaxed) -> bool:
    """Tell of an inverter whether the supply cannot carry it: switched on and yet off, it stays as it is."""
    return any(branch in relaxed.collapsed for branch in mover.closes)


def _carried(movers: Iterable[Mover], states: States, relaxed: Relaxed) -> States:
    """Give the states with the inverters off that the supply cannot carry."""
    return tuple(on and not _is_collapsed(mover, relaxed) for mover, on in zip(movers, states, strict=True))


def sensed_volts(mover: Mover, relaxed: Relaxed) -> float:
    """Give the most of the volts that a mover looks at; of a relay either way round.

    Between two points that nothing joins there are none.
    """
    volts, island = relaxed.volts, relaxed.island
    found = [
        float(volts[s.from_node] - volts[s.to_node]) * s.factor
        for s in mover.senses
        if island[s.from_node] == island[s.to_node]
    ]
    if mover.kind is MoverKind.RELAY:
        found = [abs(one) for one in found]
    return max(found, default=0.0)
