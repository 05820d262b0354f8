"""Conductors that must not touch: which lie in one plug or trunk, and where each is probed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.circuit.ohms_net import OhmsNet
from model.harness.harness import CHASSIS, Harness
from model.harness.records import Wire
from model.plans.runs import Run, plug_of


@dataclass(frozen=True, slots=True)
class Conductor:
    """Metal that hangs together in the state of the plan.

    Attributes
    ----------
    points
        Where probes can stand on it, in the order of the wires.
    wires
        Its wires.
    """

    number: int
    points: tuple[str, ...]
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Apart:
    """A conductor and the points that must read open against it."""

    black: str
    others: tuple[str, ...]
    wires: tuple[str, ...]


def conductors(net: OhmsNet, runs: Iterable[Run]) -> tuple[Conductor, ...]:
    """Give the conductors that runs go over."""
    points: dict[int, dict[str, None]] = {}
    wires: dict[int, dict[str, None]] = {}
    for run in runs:
        number = net.island_of(run.red)
        points.setdefault(number, {}).update(dict.fromkeys((run.red, run.black)))
        wires.setdefault(number, {}).update(dict.fromkeys(run.own))
    return tuple(Conductor(number, tuple(points[number]), tuple(wires[number])) for number in points)


def must_be_apart(harness: Harness, net: OhmsNet, runs: Iterable[Run]) -> tuple[Apart, ...]:
    """Give for each conductor what must read open against it: each pair of neighbours once, and the body.

    Notes
    -----
    Neighbours share a plug or a trunk. In a plug the neighbour's own cavity is probed, so that the probe goes along
    the plug; a neighbour of the trunk alone is probed at its first end.
    """
    every = conductors(net, runs)
    by_company: dict[str, list[int]] = {}
    company = {one.number: _company(harness, one) for one in every}
    for one in every:
        for name in company[one.number]:
            by_company.setdefault(name, []).append(one.number)
    first = {one.number: one.points[0] for one in every}
    body = net.island_of(CHASSIS) if harness.build.chassis else None
    done: set[frozenset[int]] = set()
    found = []
    for one in every:
        others: dict[str, None] = {}
        for name in company[one.number]:
            for number in by_company[name]:
                pair = frozenset((one.number, number))
                if len(pair) == 2 and pair not in done:
                    done.add(pair)
                    others[company[number][name] or first[number]] = None
        if body is not None and one.number != body:
            others[CHASSIS] = None
        if others:
            found.append(Apart(one.points[0], tuple(others), one.wires))
    return tuple(found)


def _company(harness: Harness, conductor: Conductor) -> dict[str, str]:
    """Map the plugs and trunks of a conductor to the point on which it is probed there; empty for a trunk."""
    found: dict[str, str] = {}
    for point in conductor.points:
        plug = plug_of(harness, point)
        if plug:
            found.setdefault(f"plug {plug}", point)
    for wire_id in conductor.wires:
        for name in harness.part_of(wire_id, Wire).via:
            found.setdefault(f"trunk {name}", "")
    return found
