"""All variants of one condition settled together: the sound circuit, what each changes, the table of the cases."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from model.circuit.arrays import IntArray
from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.instrumented import Setup, build_setup
from model.circuit.many_base import Base
from model.circuit.many_changes import Changes, SoundNet
from model.circuit.many_columns import KeptNetwork
from model.circuit.many_fuses import settle_variants
from model.circuit.many_layout import Layout, lay_out, make_rows
from model.circuit.many_piece import Piece, whole
from model.circuit.many_rest import mark_blurred
from model.circuit.many_settings import changes_with
from model.circuit.many_stage import Stage, Step, sound_steps
from model.circuit.many_table import CaseTable
from model.circuit.relax import Circuit
from model.circuit.resolved_cases import ResolvedCases
from model.circuit.settle import Settled, settle_circuit


@dataclass(frozen=True)
class Scene:
    """The sound circuit of a setup, and what variants change in it.

    Attributes
    ----------
    steps
        From rest to where it rests, or repeats itself.
    changes
        Of each variant, in the order of the variants; None of one to be settled alone.
    """

    bench: Bench
    setup: Setup
    circuit: Circuit
    steps: tuple[Step, ...]
    variants: tuple[Variant, ...]
    changes: tuple[Changes | None, ...]

    def only(self, numbers: Sequence[int]) -> Scene:
        """Give the scene of some of the variants."""
        variants = tuple(self.variants[number] for number in numbers)
        changes = tuple(self.changes[number] for number in numbers)
        return Scene(self.bench, self.setup, self.circuit, self.steps, variants, changes)

    @property
    def blown_before(self) -> list[int]:
        """Nodes of the fuses that have blown before in some variant."""
        net = self.circuit.net
        gone = frozenset().union(*(variant.blown for variant in self.variants))
        links = [link.branch for link in net.fuses if link.part_id in gone]
        return [node for branch in links for node in (net.one[branch], net.other[branch])]


def scene_of(bench: Bench, setup: Setup, variants: Sequence[Variant], split: frozenset[str]) -> Scene:
    """Build the sound circuit and bring it to rest.

    Parameters
    ----------
    split
        Sites that need a node inside for what is wrong in the variants.

    Raises
    ------
    CircuitError
        Where the sound circuit cannot be as the setup says.
    """
    net = build_setup(bench, setup, split=split)
    circuit = Circuit(net)
    if bench.first_emf is not None:
        circuit.set_emf(bench.first_emf)
    sound = SoundNet(bench.harness, setup.without_supply(bench.harness), net)
    changes = tuple(changes_with(sound, variant.faults, variant.settings) for variant in variants)
    return Scene(bench, setup, circuit, tuple(sound_steps(circuit)), tuple(variants), changes)


def settle_whole(scene: Scene, points: Sequence[str]) -> CaseTable:
    """Settle all variants of a scene in the whole circuit.

    Parameters
    ----------
    points
        Where probes may stand; at any other point it takes a little longer.
    """
    return settle_piece(scene, whole(scene.circuit, scene.steps, scene.changes), points)[0]


def settle_piece(scene: Scene, piece: Piece, points: Sequence[str]) -> tuple[CaseTable, IntArray]:
    """Settle all variants of a scene in a piece of it.

    Returns
    -------
    tuple
        The cases; and the numbers of the variants that have none, for they move something outside the piece.
    """
    variants = scene.variants
    every = [*(changes or Changes() for changes in piece.changes), Changes()]
    layout, added = lay_out(piece.circuit, every)
    rows = make_rows(piece.circuit.net, layout, added, every, [*(v.blown for v in variants), frozenset()])
    base = Base(piece, layout, _stages(piece, layout, points))
    is_sound = np.array([*(not variant.faults for variant in variants), True])
    result = settle_variants(base, rows, is_sound)
    mark_blurred(base, result.rows, result.ends)
    anew = np.array([*(changes is None for changes in piece.changes), False])
    stirred = np.unique(result.variant[result.ends.stirred])
    odd = np.unique(np.concatenate((result.variant[result.ends.odd], np.flatnonzero(anew))))
    result.ends.odd |= np.isin(result.variant, odd)
    only = [number for number in np.setdiff1d(odd, stirred).tolist() if number < len(variants)]
    known = _known(scene, only) if piece.outsides and scene.setup.condition.posts_volts is None else {}
    alone = ResolvedCases(scene.bench, variants, scene.setup, only=only, meters_in=False, known=known)
    table = CaseTable(base, result, tuple(variant.blown for variant in variants), alone)
    return table, stirred[stirred < len(variants)]


def _known(scene: Scene, numbers: Sequence[int]) -> dict[int, Settled]:
    """Settle the variants that change nothing but ohms in the circuit as it is laid out: a large one takes longest."""
    net = scene.circuit.net
    bent = {lamp.branch for lamp in net.lamps} | {line.branch for line in net.lines}
    condition = scene.setup.without_supply(scene.bench.harness)
    found: dict[int, Settled] = {}
    for number in numbers:
        changes, variant = scene.changes[number], scene.variants[number]
        if changes is None or changes != Changes(ohms=changes.ohms) or bent & changes.ohms.keys():
            continue
        if variant.blown or variant.settings:
            continue
        faulty = replace(condition, faults=variant.faults)
        found[number] = settle_circuit(scene.circuit.with_ohms(changes.ohms), faulty)
    return found


def _stages(piece: Piece, layout: Layout, points: Sequence[str]) -> list[Stage]:
    circuit, net = piece.circuit, piece.circuit.net
    falling = np.zeros(len(net.one), dtype=np.bool_)
    falling[circuit.inverter_branch] = True
    keep = np.ones(circuit.node_count, dtype=np.bool_)
    kept = KeptNetwork(circuit.node_count, circuit.ends, keep, falling, net.reference)
    places = kept.place[[net.index[point] for point in points if point in net.index] + [*net.posts]]
    last = len(piece.steps) - 1
    return [
        Stage(circuit, layout, kept, step, piece.rest_siemens[place], places if place == last else None)
        for place, step in enumerate(piece.steps)
    ]
