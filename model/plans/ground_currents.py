"""The largest current that returns through a ground point of a sound loom, by solving it with loads on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from model.circuit.bench import Bench
from model.circuit.condition import ON, Condition, has_socket, rest_position
from model.circuit.settle import Settled
from model.errors import CircuitError
from model.harness.harness import Harness
from model.harness.parts import Rated, Switch
from model.harness.supply import grounded_posts

_GIVEN_AT_MOST = 24


@dataclass(frozen=True, slots=True)
class Most:
    """The largest current that was found through a point.

    Attributes
    ----------
    amps
        In amperes.
    condition
        In which it flows.
    post
        The grounded post that it goes back to: of several the one between which and the point most volts fall.
    """

    amps: float
    condition: Condition
    post: str


def largest_currents(bench: Bench, points: tuple[str, ...]) -> dict[str, Most]:
    """Give the largest current through each of some points.

    Parameters
    ----------
    points
        Ground points, bodies and the chassis.

    Notes
    -----
    Solved are, in every key state, the conditions in which the file says that a load works, and all switches together
    in the position that joins most, then in that which joins next most, until every position has had its turn. What
    flows through a point is half the sum of the currents of all that ends on it.
    """
    found: dict[str, Most] = {}
    for condition in dict.fromkeys(_loads_on(bench.harness)):
        try:
            settled = bench.survey(condition).settled
        except CircuitError:
            continue
        net = settled.net
        through = np.zeros(len(net.names))
        amps = np.abs(settled.amps)
        np.add.at(through, np.array(net.one), amps / 2)
        np.add.at(through, np.array(net.other), amps / 2)
        for point in points:
            most = float(through[net.index[point]])
            if point not in found or most > found[point].amps:
                found[point] = Most(most, condition, _returned_to(settled, point))
    return found


def _returned_to(settled: Settled, point: str) -> str:
    harness, index = settled.net.harness, settled.net.index
    sign = -1.0 if harness.build.ground_side == "positive" else 1.0
    posts = grounded_posts(harness)
    return max(posts, key=lambda post: sign * float(settled.volts[index[point]] - settled.volts[index[post]]))


def _loads_on(harness: Harness) -> Iterator[Condition]:
    sockets = tuple((load.id, ON) for load in harness.loads if has_socket(load))
    orders = {switch.id: _fullest_first(switch) for switch in harness.switches if not switch.key}
    turns = max((len(order) for order in orders.values()), default=1)
    for key in harness.key_names:
        for turn in range(turns):
            settings = tuple((name, order[min(turn, len(order) - 1)]) for name, order in orders.items())
            yield Condition(key, (*settings, *sockets))
    given = tuple(dict.fromkeys(_given(harness)))
    yield from given[:_GIVEN_AT_MOST]


def _fullest_first(switch: Switch) -> list[str]:
    """List the positions of a switch, the one that joins most terminals first; that at rest is left for the last."""
    rest = rest_position(switch)
    moved = [position for position in switch.positions if position != rest]
    return [*sorted(moved, key=lambda name: -sum(map(len, switch.positions[name]))), rest]


def _given(harness: Harness) -> Iterator[Condition]:
    for load in harness.loads:
        for rated in load.elements or (load,):
            yield from _given_of(harness, rated, load)


def _given_of(harness: Harness, rated: Rated, load: Rated) -> Iterator[Condition]:
    works_with = rated.works_with or load.works_with
    tables = works_with if isinstance(works_with, tuple) else (works_with or {},)
    for key in rated.works_in or load.works_in or harness.key_names[-1:]:
        yield from (Condition(key, tuple(table.items())) for table in tables)
