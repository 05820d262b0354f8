"""What stays outside a piece of a circuit: followed by straight lines, and watched that nothing there moves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.bands import site_tolerance
from model.circuit.many_stage import Step, lamp_curve, tangents
from model.circuit.netlist import Mover, MoverKind
from model.circuit.relax import CARRIES_AMPS, LAMP_EXPONENT, Circuit
from model.circuit.settle import FUSE_OPENS_AT, UNCERTAIN_HOLD_SHARE, UNCERTAIN_PULL_SHARE
from model.circuit.uncertain import FUSE_MAY_HOLD_TO, FUSE_MAY_OPEN_AT

_CLEAR_VOLTS = 1e-6
_STILL_VOLTS = 1e-9
"""What moves by less stays as it is in the sound circuit, however near it is to moving."""

_BENT_AMPS = 2e-6
"""By how much a filament outside may carry other than its tangent says: less than a microvolt behind its own wires."""

_LEAST_BEND = 1e-12
_SAME_AMPS_VOLTS = 0.001
"""With volts as near as this to those of the sound circuit everything outside carries as much as there."""

_Watched = tuple[IntArray, IntArray, FloatArray]
"""From node, to node, and by how many volts what is between may move."""


@dataclass(frozen=True)
class Outside:
    """What is outside a piece, in one step of the sound circuit.

    Attributes
    ----------
    circuit, step
        The whole circuit.
    siemens
        Shape (branches,), of the whole circuit about that step.
    is_out
        Shape (branches,), true of those that are not in the piece.
    weights
        Shape (nodes, meeting nodes), volts of each node outside for a volt at each node at which the areas meet.
    meeting_volts
        Shape (meeting nodes,), in the sound circuit, against the reference.
    moves_by, may_move
        Shape (watched, meeting nodes) and (watched,): what the volts across each thing watched do for those of the
        meeting nodes, and by how much they may move.
    """

    circuit: Circuit
    step: Step
    siemens: FloatArray
    is_out: BoolArray
    weights: FloatArray
    meeting_volts: FloatArray
    moves_by: FloatArray
    may_move: FloatArray

    @property
    def home(self) -> int:
        """The number of the island that has the reference."""
        return int(self.step.relaxed.island[self.circuit.net.reference])

    def spread_squares(self, seen: FloatArray, lifts: FloatArray) -> FloatArray:
        """Give what the tolerances outside add to the squares of a spread, in square volts, shape (cases,).

        Parameters
        ----------
        seen
            Shape (cases, meeting nodes), volts there for an ampere between the probes.
        lifts
            Shape (cases, meeting nodes), by how many volts they are above the sound circuit.
        """
        by_branch, steady, slopes = self._spread
        squares = ((seen @ self._steady_spread) * seen).sum(axis=1)
        far = np.flatnonzero(np.abs(lifts).max(axis=1, initial=0.0) > _SAME_AMPS_VOLTS)
        amps = steady + (lifts[far] @ by_branch.T) * slopes
        squares[far] = (((seen[far] @ by_branch.T) * amps) ** 2).sum(axis=1)
        return np.asarray(squares, dtype=np.float64)

    @cached_property
    def _spread(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """What each branch outside has of the meeting nodes' volts, one sigma of its current, and that of a volt."""
        net = self.circuit.net
        out = np.flatnonzero(self.is_out)
        tolerance = np.array([site_tolerance(net.harness, net.sites[branch]) for branch in out.tolist()])
        by_branch = self.weights[self.circuit.ends[0][out]] - self.weights[self.circuit.ends[1][out]]
        return by_branch, tolerance * self.step.relaxed.amps[out], tolerance * self.siemens[out]

    @cached_property
    def _steady_spread(self) -> FloatArray:
        by_branch, steady, _ = self._spread
        each = by_branch * steady[:, None]
        return np.asarray(each.T @ each, dtype=np.float64)

    def stirred(self, meeting_volts: FloatArray) -> BoolArray:
        """Tell of rows whether something outside moves or bends, shape (rows,), by the volts where the areas meet."""
        lifts = meeting_volts - self.meeting_volts
        found = np.zeros(len(lifts), dtype=np.bool_)
        if not len(self.may_move) or not lifts.shape[1]:
            return found
        reach = np.abs(self.moves_by).sum(axis=1)
        may_move = np.maximum(self.may_move, _STILL_VOLTS)
        clear_volts = float((may_move / np.maximum(reach, 1e-12)).min())
        some = np.flatnonzero(np.abs(lifts).max(axis=1) >= clear_volts)
        found[some] = (np.abs(lifts[some] @ self.moves_by.T) >= may_move).any(axis=1)
        return found


def outside_of(circuit: Circuit, step: Step, weights: FloatArray, meeting: IntArray, is_inside: BoolArray) -> Outside:
    """Gather what is outside.

    Parameters
    ----------
    weights
        As in :class:`Outside`; a meeting node's own row is one of it alone.
    is_inside
        Shape (nodes,), those of the piece and those at which the areas meet.
    """
    siemens = tangents(circuit, step.relaxed)
    one, other, may_move = (
        np.concatenate(parts)
        for parts in zip(
            _lamps(circuit, step, is_inside),
            _lines(circuit, step, is_inside),
            _movers(circuit, step, is_inside),
            _fuses(circuit, step, siemens, is_inside),
            strict=True,
        )
    )
    volts = step.relaxed.volts
    is_out = ~(is_inside[circuit.ends[0]] & is_inside[circuit.ends[1]])
    return Outside(circuit, step, siemens, is_out, weights, volts[meeting], weights[one] - weights[other], may_move)


def _out(circuit: Circuit, branches: IntArray, is_inside: BoolArray) -> tuple[IntArray, IntArray, IntArray]:
    """Give which of some branches are outside, and their ends."""
    one, other = (end[branches] for end in circuit.ends)
    out = np.flatnonzero(~(is_inside[one] & is_inside[other]))
    return out, one[out], other[out]


def _lamps(circuit: Circuit, step: Step, is_inside: BoolArray) -> _Watched:
    out, one, other = _out(circuit, circuit.lamp_branch, is_inside)
    size = np.abs(step.relaxed.volts[one] - step.relaxed.volts[other])
    amps, _ = lamp_curve(circuit, size, out)
    knee = circuit.knee_volts[out]
    bend = LAMP_EXPONENT * (1.0 - LAMP_EXPONENT) * amps / np.maximum(size, knee) ** 2
    bent_volts = np.sqrt(2.0 * _BENT_AMPS / np.maximum(bend, _LEAST_BEND))
    clear = np.where(size <= knee, knee - size, np.minimum(bent_volts, size - knee))
    joins = step.relaxed.joins[circuit.lamp_branch[out]]
    return one, other, np.where(joins, clear, np.inf)


def _lines(circuit: Circuit, step: Step, is_inside: BoolArray) -> _Watched:
    out, one, other = _out(circuit, circuit.line_branch, is_inside)
    over = step.relaxed.volts[one] - step.relaxed.volts[other] - circuit.threshold_volts[out]
    idle_volts = CARRIES_AMPS / circuit.line_siemens[out]
    clear = np.where(step.relaxed.carrying[out], over - 2.0 * idle_volts, -over - _CLEAR_VOLTS)
    return one, other, np.where(circuit.conducts[circuit.line_branch[out]], np.maximum(clear, 0.0), np.inf)


def _movers(circuit: Circuit, step: Step, is_inside: BoolArray) -> _Watched:
    found: list[tuple[int, int, float]] = []
    nominal_volts = circuit.net.harness.build.nominal_volts
    volts, island = step.relaxed.volts, step.relaxed.island
    for mover, on in zip(circuit.net.movers, step.states, strict=True):
        for sense in mover.senses:
            ends = sense.from_node, sense.to_node
            is_out = not (is_inside[ends[0]] and is_inside[ends[1]])
            if mover.allowed and is_out and island[ends[0]] == island[ends[1]]:
                sensed = float(volts[ends[0]] - volts[ends[1]]) * sense.factor
                found.append((*ends, _clear_volts(mover, sensed, nominal_volts, is_on=on) / max(sense.factor, 1e-9)))
    one, other, clear = zip(*found, strict=True) if found else ((), (), ())
    return np.array(one, dtype=np.int64), np.array(other, dtype=np.int64), np.array(clear, dtype=np.float64)


def _clear_volts(mover: Mover, sensed_volts: float, nominal_volts: float, *, is_on: bool) -> float:
    """Give by how many volts what a mover looks at may move until it moves, or may."""
    at = [mover.off_volts if is_on else mover.on_volts]
    if mover.kind is MoverKind.RELAY:
        sensed_volts = abs(sensed_volts)
        at.append(UNCERTAIN_HOLD_SHARE * nominal_volts if is_on else UNCERTAIN_PULL_SHARE * mover.on_volts)
    return max(min(abs(sensed_volts - volts) for volts in at) - _CLEAR_VOLTS, 0.0)


def _fuses(circuit: Circuit, step: Step, siemens: FloatArray, is_inside: BoolArray) -> _Watched:
    rated = [link for link in circuit.net.fuses if link.amps is not None]
    branches = np.array([link.branch for link in rated], dtype=np.int64)
    out, one, other = _out(circuit, branches, is_inside)
    ratings = np.array([link.amps for link in rated], dtype=np.float64)[out]
    ratio = np.abs(step.relaxed.amps[branches[out]]) / ratings
    marks = np.array([FUSE_MAY_OPEN_AT, FUSE_OPENS_AT, FUSE_MAY_HOLD_TO])
    clear_amps = np.abs(ratio[:, None] - marks).min(axis=1) * ratings
    carries = siemens[branches[out]]
    return one, other, np.divide(clear_amps, carries, out=np.full(len(out), np.inf), where=carries > 0.0)


def restless_nodes(circuit: Circuit, step: Step) -> list[int]:
    """List the nodes of the fuses that may open in the sound circuit."""
    return [
        node
        for link in circuit.net.fuses
        if link.amps is not None and abs(float(step.relaxed.amps[link.branch])) > FUSE_MAY_OPEN_AT * link.amps
        for node in (circuit.net.one[link.branch], circuit.net.other[link.branch])
    ]
