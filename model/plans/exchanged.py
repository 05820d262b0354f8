"""What no row of a continuity plan would show: wires exchanged in neighbouring cavities that read alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from model.circuit.ohms_net import OhmsNet
from model.harness.harness import Harness
from model.harness.metal import wires_at
from model.harness.parts import Battery
from model.harness.points import all_points, terminals_of
from model.harness.records import Connector
from model.plans.plan import Measure, PlanRow
from model.plans.telling import least_millivolts, least_ohms, most_ohms


@dataclass(frozen=True, slots=True)
class Exchange:
    """Two neighbouring points of one plug whose wires sit in each other's cavity."""

    first: str
    second: str
    wires: tuple[str, ...]


def neighbour_cavities(harness: Harness) -> Iterator[tuple[str, str]]:
    """Give each two points whose cavities lie side by side: by the face where one is given, else by number."""
    for connector in harness.connectors:
        pairs = _beside(connector.face, connector.cavities)
        for half in connector.halves:
            for first, second in pairs:
                yield f"{connector.id}.{half}.{first}", f"{connector.id}.{half}.{second}"
    for part in harness.each_part():
        pins: Mapping[str, int] = part.pins or {}
        if isinstance(part, Connector | Battery) or not pins:
            continue
        named = {cavity: name for name, cavity in pins.items() if name in terminals_of(part)}
        for first, second in _beside(part.face, max(named, default=0)):
            if first in named and second in named:
                yield f"{part.id}.{named[first]}", f"{part.id}.{named[second]}"


def _beside(face: Sequence[Sequence[int]] | None, cavities: int) -> tuple[tuple[int, int], ...]:
    """Give the pairs of cavities that lie side by side, the lower number first."""
    if not face:
        return tuple((number, number + 1) for number in range(1, cavities))
    found: dict[tuple[int, int], None] = {}
    for row, numbers in enumerate(face):
        for column, number in enumerate(numbers):
            below = face[row + 1][column] if row + 1 < len(face) and column < len(face[row + 1]) else 0
            right = numbers[column + 1] if column + 1 < len(numbers) else 0
            for other in (right, below):
                if number and other:
                    found[min(number, other), max(number, other)] = None
    return tuple(found)


def exchanges(harness: Harness) -> tuple[Exchange, ...]:
    """Give every two neighbouring cavities in which wires could be exchanged: one of them at least has a wire."""
    ends, points = wires_at(harness), all_points(harness)
    found = []
    for first, second in neighbour_cavities(harness):
        if first not in points or second not in points:
            continue
        wires = tuple(wire.id for point in (first, second) for wire in ends.get(point, ()))
        if wires:
            found.append(Exchange(first, second, wires))
    return tuple(found)


def exchanged_net(harness: Harness, net: OhmsNet, exchange: Exchange) -> OhmsNet:
    """Give the network with the wires of two cavities exchanged."""
    ends = wires_at(harness)
    there = [(wire.id, exchange.first, exchange.second) for wire in ends.get(exchange.first, ())]
    back = [(wire.id, exchange.second, exchange.first) for wire in ends.get(exchange.second, ())]
    return net.with_ends_moved((*there, *back))


def shows(net: OhmsNet, rows: Sequence[PlanRow]) -> str:
    """Give the key of the first row that is bad in a network; empty where none is."""
    return next((row.key for row in rows if row.tells and is_bad(net, row)), "")


def is_bad(net: OhmsNet, row: PlanRow) -> bool:
    """Tell whether a row of ohms, millivolts or open readings is sure to be bad in a network that it is read in.

    It is where the reading lies over the limit by more than the meter's error.
    """
    if row.limit is None:
        return False
    gone = _taken(net, row)
    if row.measure is Measure.APART:
        low = row.limit.low or 0.0
        return not all(net.is_high(row.black, other, gone, lambda ohms: most_ohms(ohms) >= low) for other in row.others)
    high, amps = row.limit.high, row.amps or 0.0
    if high is None:
        return False
    if row.measure is Measure.OHMS:
        return net.is_high(row.red, row.black, gone, lambda ohms: least_ohms(ohms) > high)
    return net.is_high(row.red, row.black, gone, lambda ohms: least_millivolts(ohms, amps) > high)


def _taken(net: OhmsNet, row: PlanRow) -> tuple[int, ...]:
    names = dict.fromkeys(name.partition(".")[0] for name in row.condition.by_name)
    return tuple(place for name in names for place in net.branches_of(name))


def undetected_exchanges(harness: Harness, net: OhmsNet, rows: Sequence[PlanRow]) -> tuple[Exchange, ...]:
    """Give the exchanges that make no row bad; each is solved."""
    of_wire: dict[str, list[PlanRow]] = {}
    by_point: dict[str, list[PlanRow]] = {}
    for row in rows:
        for name in row.covers:
            of_wire.setdefault(name, []).append(row)
        if row.measure is Measure.APART:
            for point in row.points:
                by_point.setdefault(point, []).append(row)
    found = []
    for exchange in exchanges(harness):
        near = [row for wire in exchange.wires for row in of_wire.get(wire, ())]
        near += [row for point in (exchange.first, exchange.second) for row in by_point.get(point, ())]
        measured = [wire for wire in exchange.wires if wire in of_wire]
        if measured and not shows(exchanged_net(harness, net, exchange), near):
            found.append(exchange)
    return tuple(found)
