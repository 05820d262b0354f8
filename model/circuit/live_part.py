"""The part of a circuit that can carry current from one source: the rest is left out, so that it settles fast."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache

import numpy as np

from model.circuit.arrays import BoolArray, IntArray
from model.circuit.faults import part_of_site
from model.circuit.netlist import ElementBranch, Mover, MoverKind, Netlist, Sense
from model.circuit.solver import islands
from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.harness.parts import Fuse, Switch
from model.harness.records import Connector, GroundPoint, Joint, Wire

_METAL = (Wire, Joint, Connector, GroundPoint, Switch, Fuse)


def live_part(net: Netlist, source: int, keep: Iterable[int]) -> Netlist:
    """Give the netlist without what hangs on its ground side alone.

    Parameters
    ----------
    source
        The node from which all current comes; every other source must be out.
    keep
        Nodes that stay whatever hangs on them.

    Notes
    -----
    The ground side is the metal that hangs together with the reference. What the source reaches without crossing it
    stays, and of the ground side what does not end blindly. A group of dead parts between points of the ground side
    stays where current of the rest flows from one of those points to another: then their volts differ, and a cold
    filament carries something. Where the source itself lies on the ground side, as through a short, all of it stays.
    """
    ends = np.array(net.one, dtype=np.int64), np.array(net.other, dtype=np.int64)
    conducts = np.isfinite(np.array(net.ohms))
    is_ground = _on_ground(net, ends, conducts)
    if is_ground[source]:
        return net
    wanted = np.zeros(len(net.names), dtype=np.bool_)
    wanted[[*keep, *net.posts, net.reference, source]] = True
    group = _groups_beyond(net, ends, conducts, is_ground)
    is_dead = ~is_ground & (group != group[source])
    stays = ~is_dead | wanted
    while True:
        held = conducts & stays[ends[0]] & stays[ends[1]]
        branches = _without_blind_ends(ends, held, is_ground & ~wanted)
        bridging = _bridging(ends, conducts, (group, is_dead, is_ground), held & ~branches) & ~stays
        if not bridging.any():
            break
        stays |= bridging
    kept_nodes = wanted | (stays & ~is_ground)
    kept_nodes[ends[0][branches]] = True
    kept_nodes[ends[1][branches]] = True
    return taken(net, kept_nodes, branches)


def _on_ground(net: Netlist, ends: tuple[IntArray, IntArray], conducts: BoolArray) -> BoolArray:
    """Tell of each node whether it is metal that hangs together with the reference."""
    is_metal = _metal_test(net.harness)
    metal = conducts & np.array([is_metal(site) for site in net.sites], dtype=np.bool_)
    island = islands(len(net.names), ends[0][metal], ends[1][metal])
    return np.asarray(island == island[net.reference], dtype=np.bool_)


def _groups_beyond(
    net: Netlist, ends: tuple[IntArray, IntArray], conducts: BoolArray, is_ground: BoolArray
) -> IntArray:
    """Give each node the number of the group that it hangs together with, the ground side not crossed."""
    beyond = conducts & ~is_ground[ends[0]] & ~is_ground[ends[1]]
    return islands(len(net.names), ends[0][beyond], ends[1][beyond])


def _bridging(
    ends: tuple[IntArray, IntArray],
    conducts: BoolArray,
    nodes: tuple[IntArray, BoolArray, BoolArray],
    blind: BoolArray,
) -> BoolArray:
    """Tell of each node whether it is of a dead group that hangs on points of the ground side whose volts may differ.

    Parameters
    ----------
    nodes
        Group of each node, whether it is dead, and whether it is on the ground side.
    blind
        Branches of the ground side that end blindly: all of them that hang together have the same volts.
    """
    group, is_dead, is_ground = nodes
    count = len(group)
    alike = islands(count, ends[0][blind], ends[1][blind])
    low, high = np.full(count, count), np.full(count, -1)
    for dead, ground in (ends, ends[::-1]):
        touches = conducts & is_dead[dead] & is_ground[ground]
        np.minimum.at(low, group[dead[touches]], alike[ground[touches]])
        np.maximum.at(high, group[dead[touches]], alike[ground[touches]])
    spans = low < high
    return np.asarray(spans[group] & is_dead, dtype=np.bool_)


@once_per_harness
def _metal_test(harness: Harness) -> Callable[[str], bool]:
    return cache(lambda site: isinstance(harness.parts.get(part_of_site(site)), _METAL))


def _without_blind_ends(ends: tuple[IntArray, IntArray], branches: BoolArray, may_go: BoolArray) -> BoolArray:
    """Take out, again and again, branches of which one end may go and hangs on nothing else."""
    one, other = ends
    while True:
        degree = np.bincount(one[branches], minlength=len(may_go)) + np.bincount(other[branches], minlength=len(may_go))
        blind = may_go & (degree == 1)
        gone = branches & (blind[one] | blind[other])
        if not gone.any():
            return branches
        branches = branches & ~gone


def taken(net: Netlist, nodes: BoolArray, branches: BoolArray) -> Netlist:
    """Give a netlist of these nodes and branches alone, in their order; what a mover moves elsewhere is left out."""
    node_of = np.cumsum(nodes) - 1
    branch_of = np.cumsum(branches) - 1
    places = np.flatnonzero(branches).tolist()
    names = [name for name, kept in zip(net.names, nodes.tolist(), strict=True) if kept]
    line_places = [place for place, line in enumerate(net.lines) if branches[line.branch]]
    line_of = {place: number for number, place in enumerate(line_places)}
    first_line = net.first_battery_line
    has_first = first_line is not None and first_line in line_of
    return Netlist(
        net.harness,
        names,
        {name: int(node_of[node]) for name, node in net.index.items() if nodes[node]},
        int(np.count_nonzero(nodes[: net.point_count])),
        int(node_of[net.reference]),
        one=[int(node_of[net.one[place]]) for place in places],
        other=[int(node_of[net.other[place]]) for place in places],
        ohms=[net.ohms[place] for place in places],
        emf_volts=[net.emf_volts[place] for place in places],
        sites=[net.sites[place] for place in places],
        lamps=[replace(lamp, branch=int(branch_of[lamp.branch])) for lamp in net.lamps if branches[lamp.branch]],
        lines=[replace(net.lines[place], branch=int(branch_of[net.lines[place].branch])) for place in line_places],
        movers=[
            _mover(mover, (nodes, node_of), (branches, branch_of), net.reference)
            for mover in net.movers
            if mover.kind is not MoverKind.INVERTER or branches[mover.closes[0]]
        ],
        fuses=[replace(fuse, branch=int(branch_of[fuse.branch])) for fuse in net.fuses if branches[fuse.branch]],
        elements=[_element(one, node_of, branch_of) for one in net.elements if _is_in(one, nodes, branches)],
        posts=(int(node_of[net.posts[0]]), int(node_of[net.posts[1]])),
        first_battery_line=line_of[first_line] if has_first and first_line is not None else None,
        first_battery_tie=int(branch_of[net.first_battery_tie]) if has_first else 0,
        charger_lines=[line_of[place] for place in net.charger_lines if place in line_of],
    )


def _is_in(element: ElementBranch, nodes: BoolArray, branches: BoolArray) -> bool:
    ends_in = bool(nodes[element.from_node] and nodes[element.to_node])
    return ends_in and all(branches[branch] for branch in element.branches)


def _element(element: ElementBranch, node_of: IntArray, branch_of: IntArray) -> ElementBranch:
    ends = int(node_of[element.from_node]), int(node_of[element.to_node])
    return ElementBranch(element.element, *ends, tuple(int(branch_of[branch]) for branch in element.branches))


def _mover(
    mover: Mover, nodes: tuple[BoolArray, IntArray], branches: tuple[BoolArray, IntArray], reference: int
) -> Mover:
    """Give a mover with its places in the part; what it senses outside stands at the reference."""

    def place(node: int) -> int:
        return int(nodes[1][node if nodes[0][node] else reference])

    def moved(numbers: tuple[int, ...]) -> tuple[int, ...]:
        return tuple(int(branches[1][branch]) for branch in numbers if branches[0][branch])

    senses = tuple(Sense(place(one.from_node), place(one.to_node), one.factor) for one in mover.senses)
    return replace(mover, senses=senses, closes=moved(mover.closes), opens=moved(mover.opens))
