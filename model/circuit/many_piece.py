"""The piece of a large circuit that some faults are in, with all the rest put together between its meeting nodes.

The rest gives way node by node to the conductances that it has between those nodes (star-mesh elimination), anew in
each step of the sound circuit: seen from the piece it is all there. It follows in straight lines; where something in
it would move or bend by what a variant does, :class:`Outside` tells, and that variant is settled alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.elimination import Elimination, Factor
from model.circuit.live_part import taken
from model.circuit.many_areas import LARGE_NODES, Areas, areas_of
from model.circuit.many_changes import Changes
from model.circuit.many_outside import Outside, outside_of, restless_nodes
from model.circuit.many_stage import Step, tangents
from model.circuit.movers import next_states
from model.circuit.netlist import MoverKind, Netlist
from model.circuit.relax import Circuit, Relaxed

_LARGEST_SHARE = 0.6
_MEETING_SHARE = 0.04
"""More nodes than this at which a piece meets the rest cost more than the rest does."""
_CONCERNED_SHARE = 0.4
_FEW_SHARE = 0.15
"""An area of which variants and points concern no more than this is not taken whole: its nodes are cut around."""


@dataclass(frozen=True)
class Piece:
    """What is settled of a circuit, or all of it.

    Attributes
    ----------
    circuit
        That of the piece; behind its own branches stand those that the rest has between the meeting nodes.
    steps
        The steps of the sound circuit, as far as the piece goes.
    rest_siemens
        Shape (steps, branches of the rest).
    meeting
        Shape (meeting nodes,), their numbers in the piece.
    outsides
        What is outside in each step; empty where the piece is all of it.
    changes
        Of each variant, None of one to be settled alone.
    """

    circuit: Circuit
    steps: tuple[Step, ...]
    rest_siemens: FloatArray
    meeting: IntArray
    outsides: tuple[Outside, ...]
    changes: tuple[Changes | None, ...]


def whole(circuit: Circuit, steps: Sequence[Step], changes: Sequence[Changes | None]) -> Piece:
    """Take all of a circuit."""
    none = np.zeros(0, dtype=np.int64)
    return Piece(circuit, tuple(steps), np.zeros((len(steps), 0)), none, (), tuple(changes))


def piece_of(
    circuit: Circuit,
    steps: Sequence[Step],
    changes: Sequence[Changes | None],
    points: Iterable[int],
    areas: Areas | None = None,
) -> Piece | None:
    """Take what variants change and points are in, with most of the areas around; None where that is most of it all.

    Parameters
    ----------
    changes
        Of each variant, in the numbers of the whole circuit.
    points
        Nodes that are to be in it.
    areas
        Of the circuit, where they have been found before.
    """
    net = circuit.net
    is_small = len(net.names) < LARGE_NODES
    if is_small or next_states(net.movers, steps[-1].states, steps[-1].relaxed) != steps[-1].states:
        return None
    concerned = np.zeros(len(net.names), dtype=np.bool_)
    concerned[[*points, *net.posts, net.reference, *supply_nodes(net)]] = True
    concerned[list(ChangedNodes(net).of(changes))] = True
    for step in steps:
        concerned[restless_nodes(circuit, step)] = True
    if concerned.sum() > _CONCERNED_SHARE * len(concerned):
        return None
    areas = areas_of(net) if areas is None else areas
    if areas is None:
        return None
    is_in_area = areas.area >= 0
    sizes = np.bincount(areas.area[is_in_area])
    count = np.bincount(areas.area[is_in_area & concerned], minlength=len(sizes))
    taken_whole = np.flatnonzero(count > _FEW_SHARE * sizes)
    is_inside = concerned | np.isin(areas.area, taken_whole)
    is_inside[list(areas.meeting)] = True
    meeting = np.flatnonzero(is_inside & ~np.isin(areas.area, taken_whole))
    if is_inside.sum() > _LARGEST_SHARE * len(is_inside) or len(meeting) > _MEETING_SHARE * len(is_inside):
        return None
    return _cut_out(circuit, steps, changes, is_inside, meeting)


def supply_nodes(net: Netlist) -> list[int]:
    """List the nodes of what gives current or may take more with fewer volts: it moves with every fault."""
    branches = [line.branch for line in net.lines if line.always_joins or line.threshold_volts < 0.0]
    branches += [branch for mover in net.movers if mover.kind is MoverKind.INVERTER for branch in mover.closes]
    branches += [branch for branch, volts in enumerate(net.emf_volts) if volts]
    return _ends(net, branches)


class ChangedNodes:
    """The nodes at which variants change something; of what a mover looks at or moves, all of its nodes."""

    def __init__(self, net: Netlist) -> None:
        self._net = net
        self._branches_of_fuse: dict[str, list[int]] = {}
        for link in net.fuses:
            self._branches_of_fuse.setdefault(link.part_id, []).append(link.branch)
        self._of_mover: list[list[int]] = []
        self._mover_of: dict[int, int] = {}
        for place, mover in enumerate(net.movers):
            moved = (*mover.closes, *mover.opens)
            self._mover_of.update(dict.fromkeys(moved, place))
            looked_at = [node for sense in mover.senses for node in (sense.from_node, sense.to_node)]
            self._of_mover.append([*looked_at, *_ends(net, moved)])

    def of(self, changes: Iterable[Changes | None]) -> set[int]:
        """Give those of some variants."""
        found: set[int] = set()
        branches: set[int] = set()
        movers: set[int] = set()
        for one in changes:
            if one is not None:
                branches.update(one.ohms, one.stuck, one.draw)
                movers.update(one.senses)
                found.update(node for ends in one.added for node in ends[:2])
                branches.update(branch for fuse in one.ratings for branch in self._branches_of_fuse.get(fuse, ()))
        movers.update(self._mover_of[branch] for branch in branches if branch in self._mover_of)
        found.update(node for mover in movers for node in self._of_mover[mover])
        found.update(_ends(self._net, branches))
        return found


def _ends(net: Netlist, branches: Iterable[int]) -> list[int]:
    return [node for branch in branches for node in (net.one[branch], net.other[branch])]


def _cut_out(
    circuit: Circuit,
    steps: Sequence[Step],
    changes: Sequence[Changes | None],
    is_inside: BoolArray,
    meeting: IntArray,
) -> Piece:
    own = is_inside[circuit.ends[0]] & is_inside[circuit.ends[1]]
    out = np.flatnonzero(~own)
    count = circuit.node_count
    rest = Elimination(count, circuit.ends[0][out], circuit.ends[1][out], is_inside)
    factors = [rest.factor(tangents(circuit, step.relaxed)[out]) for step in steps]
    outsides = tuple(
        outside_of(circuit, step, _weights(factor, meeting, count), meeting, is_inside)
        for step, factor in zip(steps, factors, strict=True)
    )
    node_of, branch_of = np.cumsum(is_inside) - 1, np.cumsum(own) - 1
    movers = _movers_inside(circuit.net, is_inside)
    mover_of = {mover: place for place, mover in enumerate(movers)}
    piece = _circuit_of(circuit, is_inside, own, movers, (rest.core_one, rest.core_other))
    return Piece(
        piece,
        tuple(_step_of(circuit, step, (is_inside, own), movers, len(rest.core_one)) for step in steps),
        np.array([factor.core_siemens for factor in factors]),
        np.asarray(node_of[meeting], dtype=np.int64),
        outsides,
        tuple(None if one is None else _changes_of(one, node_of, branch_of, mover_of) for one in changes),
    )


def _weights(factor: Factor, meeting: IntArray, node_count: int) -> FloatArray:
    """Give the volts of each node outside for a volt at each meeting node, shape (nodes, meeting nodes)."""
    found = np.zeros((node_count, len(meeting)))
    none = np.zeros(node_count)
    for place, node in enumerate(meeting.tolist()):
        found[node, place] = 1.0
        found[:, place] = factor.outward(found[:, place], none)
    return found


def _movers_inside(net: Netlist, is_inside: BoolArray) -> list[int]:
    """List the movers of which everything is inside; of the others nothing is but at meeting nodes."""
    found: list[int] = []
    for place, mover in enumerate(net.movers):
        nodes = [node for sense in mover.senses for node in (sense.from_node, sense.to_node)]
        if is_inside[[*nodes, *_ends(net, (*mover.closes, *mover.opens))]].all():
            found.append(place)
    return found


def _circuit_of(
    circuit: Circuit, is_inside: BoolArray, own: BoolArray, movers: Sequence[int], rest: tuple[IntArray, IntArray]
) -> Circuit:
    net = circuit.net
    piece = taken(replace(net, movers=[net.movers[place] for place in movers]), is_inside, own)
    for one, other in zip(rest[0].tolist(), rest[1].tolist(), strict=True):
        piece.add(one, other, 1.0)
    found = Circuit(piece)
    # the emf of the first battery, and what chargers give, may be others than the file's
    found.threshold_volts = circuit.threshold_volts[own[circuit.line_branch]]
    found.push_amps[: int(own.sum())] = circuit.push_amps[own]
    return found


def _step_of(
    circuit: Circuit, step: Step, inside: tuple[BoolArray, BoolArray], movers: Sequence[int], rest: int
) -> Step:
    """Give what a step is in the piece; of the branches of the rest it tells nothing but that they join."""
    relaxed = step.relaxed
    is_inside, own = inside
    branch_of = np.cumsum(own) - 1
    return Step(
        tuple(step.states[place] for place in movers),
        Relaxed(
            relaxed.volts[is_inside],
            np.concatenate((relaxed.amps[own], np.zeros(rest))),
            np.concatenate((relaxed.joins[own], np.ones(rest, dtype=np.bool_))),
            relaxed.island[is_inside],
            relaxed.carrying[own[circuit.line_branch]],
            relaxed.lamp_volts[own[circuit.lamp_branch]],
            frozenset(int(branch_of[branch]) for branch in relaxed.collapsed),
        ),
    )


def _changes_of(changes: Changes, node_of: IntArray, branch_of: IntArray, mover_of: Mapping[int, int]) -> Changes:
    """Give the changes of a variant in the numbers of the piece."""
    return Changes(
        {int(branch_of[branch]): ohms for branch, ohms in changes.ohms.items()},
        [(int(node_of[one]), int(node_of[other]), ohms, site) for one, other, ohms, site in changes.added],
        [int(branch_of[branch]) for branch in changes.stuck],
        {int(branch_of[branch]): share for branch, share in changes.draw.items()},
        {mover_of[mover]: factor for mover, factor in changes.senses.items()},
        changes.ratings,
    )
