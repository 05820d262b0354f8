"""One step of the sound circuit on its way to rest, made linear: what a changed branch does to every node."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.many_bridges import loops_of
from model.circuit.many_columns import KeptNetwork
from model.circuit.many_layout import Layout
from model.circuit.movers import States, closed_branches, next_states
from model.circuit.relax import COLD_SHARE, LAMP_EXPONENT, Circuit, Relaxed
from model.circuit.solver import islands
from model.errors import CircuitError

TIE_OHMS = 1e11
"""What ties an island without the reference to it, in ohms, and what an open branch counts as."""

_STEPS_AT_MOST = 40


@dataclass(frozen=True)
class Step:
    """A step of the sound circuit: the states of its movers and the circuit that they give."""

    states: States
    relaxed: Relaxed


def sound_steps(circuit: Circuit) -> list[Step]:
    """Give every step of the sound circuit from rest, all fuses whole, to where it rests or repeats itself."""
    movers = circuit.net.movers
    states: States = tuple(mover.starts_on for mover in movers)
    fuses_closed = np.ones(len(circuit.net.one), dtype=np.bool_)
    steps: list[Step] = []
    seen: set[States] = set()
    relaxed: Relaxed | None = None
    while states not in seen and len(steps) < _STEPS_AT_MOST:
        seen.add(states)
        relaxed = circuit.relax(closed_branches(circuit, states, fuses_closed), relaxed)
        steps.append(Step(states, relaxed))
        states = next_states(movers, states, relaxed)
    if not steps:
        raise CircuitError(
            "The circuit has no state to start from.", do="Look at it with fusewalk volts, one fault at a time."
        )
    return steps


class Stage:
    """A step made linear about its volts.

    Parameters
    ----------
    rest_siemens
        Shape (branches of the rest,), conductance of those that stand for what is outside; the circuit's last ones.
    points
        Shape (points,), places of the nodes where probes may stand.

    Attributes
    ----------
    siemens, push_amps, across_volts
        Shape (slots,): each carries ``siemens`` × volts + ``push_amps``; the volts across it.
    loops, only_way, leak, own_ohms
        Shape (slots,): as :func:`loops_of` numbers them; whether it is the only way between its ends; what part of a
        current between its ends goes another way; ohms between its ends.
    columns
        Shape (kept nodes, slots): volts for one ampere driven into the slot's from node and out of its to node.
    lift_slot
        Shape (kept nodes,), the slot of the lift of each node's island, behind all others; -1 where it has the
        reference.
    """

    def __init__(
        self,
        circuit: Circuit,
        layout: Layout,
        kept: KeptNetwork,
        step: Step,
        rest_siemens: FloatArray,
        points: IntArray | None = None,
    ) -> None:
        self.step = step
        self.kept = kept
        self.ends = circuit.ends
        self.branch_siemens = tangents(circuit, step.relaxed)
        self.branch_push = _pushes(circuit, step.relaxed, self.branch_siemens)
        own = len(self.branch_siemens) - len(rest_siemens)
        self.branch_siemens[own:] = rest_siemens
        self.branch_push[own:] = 0.0
        volts = step.relaxed.volts
        self.node_volts: FloatArray = volts[kept.nodes]
        carries = self.branch_siemens != 0.0
        island = islands(circuit.node_count, self.ends[0][carries], self.ends[1][carries])
        home = island[circuit.net.reference]
        loops = loops_of(self.ends, carries, island)
        self.island: IntArray = np.where(island == home, -1, island)[kept.nodes]
        inside = layout.branch >= 0
        branch = layout.branch[inside]
        self.siemens: FloatArray = np.zeros(len(layout.branch))
        self.siemens[inside] = self.branch_siemens[branch]
        self.push_amps: FloatArray = np.zeros(len(layout.branch))
        self.push_amps[inside] = self.branch_push[branch]
        self.loops: IntArray = np.full(len(layout.branch), -1, dtype=np.int64)
        self.loops[inside] = loops[branch]
        self.only_way: BoolArray = self.loops == 0
        self.one, self.other = kept.place[layout.one], kept.place[layout.other]
        self.across_volts: FloatArray = volts[layout.one] - volts[layout.other]
        ways = self.only_way
        self.across_volts[ways] = -self.push_amps[ways] / self.siemens[ways]
        self.emf_volts: FloatArray = layout.emf_volts
        self._find_columns(inside, np.zeros(0, dtype=np.int64) if points is None else points)

    def _find_columns(self, inside: BoolArray, points: IntArray) -> None:
        """Solve the slots of the netlist as currents between their ends, the others by those into their nodes."""
        count, slots = len(self.kept.nodes), np.flatnonzero(inside)
        outside = np.flatnonzero(~inside)
        nodes = np.unique(np.concatenate((self.one[outside], self.other[outside], points)))
        amps = np.zeros((count, len(slots) + len(nodes)))
        columns = np.arange(len(slots))
        amps[self.one[slots], columns] += 1.0
        amps[self.other[slots], columns] -= 1.0
        amps[nodes, len(slots) + np.arange(len(nodes))] = 1.0
        volts = self.kept.columns(self.branch_siemens, amps)
        by_node = volts[:, len(slots) :]
        self._node_column = {node: by_node[:, column] for column, node in enumerate(nodes.tolist())}
        numbers = np.unique(self.island[self.island >= 0])
        self.columns: FloatArray = np.empty((count, len(inside) + len(numbers)))
        self.columns[:, slots] = volts[:, : len(slots)]
        at = np.searchsorted(nodes, self.one[outside]), np.searchsorted(nodes, self.other[outside])
        self.columns[:, outside] = by_node[:, at[0]] - by_node[:, at[1]]
        self.columns[:, len(inside) :] = self.island[:, None] == numbers
        every = np.arange(len(inside))
        self._snap_only_ways()
        self.own_ohms: FloatArray = self.columns[self.one, every] - self.columns[self.other, every]
        self.leak: FloatArray = np.where(self.only_way, 0.0, 1.0 - self.siemens * self.own_ohms)
        self._add_lifts(numbers)

    def _add_lifts(self, numbers: IntArray) -> None:
        """Add a slot for each island without the reference: by how many volts it is lifted, its current in all none.

        Each island is tied by a hundred gigaohms. Reckoned as ohms these would cost eleven digits; as an unknown of
        its own the lift costs none.
        """
        slots, count = len(self.siemens), len(numbers)
        self.lift_slot: IntArray = np.where(self.island < 0, -1, slots + np.searchsorted(numbers, self.island))
        nowhere, none = np.zeros(count, dtype=np.int64), np.zeros(count)
        self.one, self.other = np.append(self.one, nowhere), np.append(self.other, nowhere)
        self.siemens, self.push_amps = np.append(self.siemens, none), np.append(self.push_amps, none)
        self.across_volts, self.emf_volts = np.append(self.across_volts, none), np.append(self.emf_volts, none)
        self.loops = np.append(self.loops, nowhere - 1)
        self.only_way = np.append(self.only_way, np.ones(count, dtype=np.bool_))
        self.own_ohms = np.append(self.own_ohms, np.ones(count))
        self.leak = np.append(self.leak, np.full(count, -1.0 / TIE_OHMS))

    def _snap_only_ways(self) -> None:
        """Make the columns of only ways exact: all of one side is lifted alike."""
        ways = np.flatnonzero(self.only_way)
        ohms = 1.0 / self.siemens[ways]
        self.columns[:, ways] = np.rint(self.columns[:, ways] / ohms) * ohms

    def node_column(self, place: int) -> FloatArray:
        """Give the volts of the kept nodes for one ampere into a kept node, shape (kept nodes,); no island lifted."""
        if place not in self._node_column:
            amps = np.zeros((len(self.kept.nodes), 1))
            amps[place] = 1.0
            self._node_column[place] = self.kept.columns(self.branch_siemens, amps)[:, 0]
        return self._node_column[place]

    @cached_property
    def states(self) -> BoolArray:
        """On or off of each mover, shape (movers,)."""
        return np.array(self.step.states, dtype=np.bool_)


def tangents(circuit: Circuit, relaxed: Relaxed) -> FloatArray:
    """Give the conductance in siemens of each branch about the point of rest; 0 where it does not carry."""
    across = relaxed.volts[circuit.ends[0]] - relaxed.volts[circuit.ends[1]]
    siemens = np.where(relaxed.joins, circuit.siemens, 0.0)
    lamps = circuit.lamp_branch
    _, slope = lamp_curve(circuit, across[lamps], np.arange(len(lamps)))
    siemens[lamps] = np.where(relaxed.joins[lamps], slope, 0.0)
    carrying = relaxed.carrying & relaxed.joins[circuit.line_branch]
    siemens[circuit.line_branch] = np.where(carrying, circuit.line_siemens, 0.0)
    on = circuit.inverter_branch[relaxed.joins[circuit.inverter_branch]]
    siemens[on] = -np.abs(relaxed.amps[on]) / np.maximum(np.abs(across[on]), 1e-3)
    return np.asarray(siemens, dtype=np.float64)


def lamp_curve(circuit: Circuit, volts: FloatArray, lamps: IntArray) -> tuple[FloatArray, FloatArray]:
    """Give the current in amperes of filaments at some volts, and its slope in siemens; shape of ``volts`` both.

    Parameters
    ----------
    lamps
        Which filament each of the volts is across, the same shape.
    """
    size, rated = np.abs(volts), circuit.lamp_siemens[lamps]
    cold = size <= circuit.knee_volts[lamps]
    share = (np.where(cold, 1.0, size) / circuit.lamp_at_volts[lamps]) ** (LAMP_EXPONENT - 1.0)
    chord = rated * np.where(cold, 1.0 / COLD_SHARE, share)
    return chord * volts, np.where(cold, chord, LAMP_EXPONENT * chord)


def _pushes(circuit: Circuit, relaxed: Relaxed, siemens: FloatArray) -> FloatArray:
    """Give the current in amperes that each branch carries beside its conductance, shape (branches,)."""
    across = relaxed.volts[circuit.ends[0]] - relaxed.volts[circuit.ends[1]]
    carries = siemens != 0.0
    push = np.where(carries, circuit.push_amps, 0.0)
    bent = np.concatenate((circuit.lamp_branch, circuit.inverter_branch))
    push[bent] = np.where(carries[bent], relaxed.amps[bent] - siemens[bent] * across[bent], 0.0)
    line = circuit.line_branch
    push[line] = -circuit.threshold_volts * siemens[line]
    return np.asarray(push, dtype=np.float64)
