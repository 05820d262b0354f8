"""What hangs on a point through closed metal: control units, hazards, and what an ohmmeter cannot be relied on through.

The body and the posts hold what is on them, so that nothing is reached through them. With the supply on a fuse is
passed from its supply side only: behind it hang other circuits than the one that is measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property

import networkx as nx

from model.circuit.condition import APART, ON, OUT, Condition, is_out
from model.circuit.settle import Settled
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.hazards import hazards_of_point
from model.harness.parts import LoadKind, Module
from model.harness.points import points_of, relay_coils, resolve_point
from model.harness.records import Connector
from model.harness.supply import grounded_posts
from model.tracing.graph import Link, LinkKind, closed_test, links_of
from model.tracing.nets import Neighbours, bodies_of, flood, neighbours_of, nets_of

_INSIDE_MODULES = frozenset({LinkKind.DRIVER, LinkKind.OUTPUT})
_NO_PROMISE_KINDS = frozenset({LoadKind.LED, LoadKind.ELECTRONICS, LoadKind.INVERTER})


class ClosedMetal:
    """The closed metal of a harness in a settled condition.

    Parameters
    ----------
    condition
        What is out and apart; as settled but for the supply.
    is_powered
        False with the battery's clamps off: then the plus post is metal as any other, and fuses are passed both ways.
    """

    def __init__(self, settled: Settled, condition: Condition, *, is_powered: bool) -> None:
        harness = settled.net.harness
        self._harness = harness
        self._condition = condition
        self._is_powered = is_powered
        self._is_closed = closed_test(harness, settled)
        self._neighbours = _possible_neighbours(harness)
        self._ends_at = _ends_at(harness, is_powered=is_powered)

    def from_points(self, points: Iterable[str]) -> dict[str, int]:
        """Give every point that hangs on some points, nearest first; of the body and the posts no more than those."""
        named = [resolve_point(self._harness, point) for point in points]
        held = dict.fromkeys((point for point in named if point in self._ends_at), 0)
        free = [point for point in named if point not in self._ends_at]
        return held | flood(self._neighbours, free, self._ends_at, self._passes)

    def parts_from(self, point: str) -> frozenset[str]:
        """Name the parts of every point that hangs on a point, the battery's clamps off.

        Notes
        -----
        Then nothing is passed one way only, so that whatever hangs together is found once for all its points.

        Raises
        ------
        ValueError
            With the supply on.
        """
        if self._is_powered:
            raise ValueError("with the supply on fuses are passed one way: ask from_points")
        named = resolve_point(self._harness, point)
        found = self._parts_of_piece.get(named)
        if found is None:
            around = self.from_points([named])
            found = frozenset(other.partition(".")[0] for other in around)
            self._parts_of_piece.update(dict.fromkeys(around.keys() - self._ends_at, found))
        return found

    @cached_property
    def _parts_of_piece(self) -> dict[str, frozenset[str]]:
        return {}

    def _passes(self, link: Link, point: str) -> bool:
        return self._is_closed(link) and _may_be_passed(self._harness, link, point, is_powered=self._is_powered)

    def delicate_at(self, points: Iterable[str]) -> str:
        """Name the nearest terminal of a module that is in, or point with a hazard, that hangs on some points."""
        return next((point for point in self.from_points(points) if self._is_delicate(point)), "")

    def _is_delicate(self, point: str) -> bool:
        return _is_delicate(self._harness, self._condition, point)

    def supplied(self, point: str) -> bool:
        """Tell whether closed metal leads from a point to a hot post."""
        hot = {f"{battery.id}.{sign}" for battery in self._harness.batteries for sign in "+-"}
        hot -= set(grounded_posts(self._harness))
        start = resolve_point(self._harness, point)
        ends_at = self._ends_at - {start}
        return not hot.isdisjoint(flood(self._neighbours, [start], ends_at, lambda link, _point: self._is_closed(link)))

    def doubtful_between(self, red: str, black: str) -> str:
        """Name a led, electronics, module, diode or charger that an ohmmeter's current might pass; else empty."""
        ends = [resolve_point(self._harness, point) for point in (red, black)]
        around = self._ohms_neighbours
        inside: dict[str, None] = {ends[0]: None}
        waiting = [ends[0]]
        while waiting:
            for other in around.get(waiting.pop(), ()):
                if other not in inside:
                    inside[other] = None
                    waiting.append(other)
        if ends[1] not in inside or not any(pair <= inside.keys() for pair in self._doubtful):
            return ""
        part: nx.Graph = nx.Graph((point, other) for point in inside for other in around.get(point, ()))
        part.add_edge(*ends)
        for block in nx.biconnected_component_edges(part):
            pairs = {frozenset(pair) for pair in block}
            if frozenset(ends) in pairs:
                return next((name for pair, name in self._doubtful.items() if pair in pairs), "")
        return ""

    @cached_property
    def _links(self) -> list[Link]:
        return [link for link in links_of(self._harness) if link.kind not in _INSIDE_MODULES and self._is_closed(link)]

    @cached_property
    def _doubtful(self) -> dict[frozenset[str], str]:
        found: dict[frozenset[str], str] = {}
        for one, other, name, is_sure in self._through_parts():
            if not is_sure:
                found.setdefault(frozenset((one, other)), name)
        return found

    @cached_property
    def _ohms_neighbours(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        pairs = [(link.one, link.other) for link in self._links]
        for one, other in pairs + [through[:2] for through in self._through_parts()]:
            found.setdefault(one, []).append(other)
            found.setdefault(other, []).append(one)
        return found

    def _through_parts(self) -> Iterator[tuple[str, str, str, bool]]:
        """Give the ends of everything that carries current and is no metal, its name, and whether it is ohms alone."""
        for link in self._links:
            if link.kind is LinkKind.DIODE:
                yield link.one, link.other, link.part_id, False
        for element in all_elements(self._harness):
            if _is_in(self._condition, element):
                is_sure = element.kind not in _NO_PROMISE_KINDS
                yield element.from_point, element.to_point, element.part_id, is_sure and element.record is not None
        for relay in self._harness.relays:
            if not is_out(self._condition, relay.id):
                for place, coil in enumerate(relay_coils(relay, self._harness.build.nominal_volts)):
                    has_diode = place == 0 and relay.coil_diode is not None
                    yield f"{relay.id}.{coil[0]}", f"{relay.id}.{coil[1]}", relay.id, not has_diode
        for module in self._harness.modules:
            if not is_out(self._condition, module.id):
                ground = f"{module.id}.{module.ground}"
                yield from (
                    (point.name, ground, module.id, False) for point in points_of(module) if point.name != ground
                )
        for charger in self._harness.chargers:
            if not is_out(self._condition, charger.id):
                yield f"{charger.id}.+", f"{charger.id}.-", charger.id, False


def may_be_delicate(harness: Harness, condition: Condition, points: Iterable[str], *, is_powered: bool) -> bool:
    """Tell whether a module or hazard may hang on some points, were every contact closed: if not, nothing is solved.

    Parameters
    ----------
    condition
        What is out and apart.
    is_powered
        As of :class:`ClosedMetal`.
    """
    ends_at = _ends_at(harness, is_powered=is_powered)

    def passes(link: Link, point: str) -> bool:
        return _may_join(harness, condition, link) and _may_be_passed(harness, link, point, is_powered=is_powered)

    named = {resolve_point(harness, point) for point in points}
    around = named | flood(_possible_neighbours(harness), named - ends_at, ends_at, passes).keys()
    return any(_is_delicate(harness, condition, point) for point in around)


@once_per_harness
def _possible_neighbours(harness: Harness) -> Neighbours:
    return neighbours_of(link for link in links_of(harness) if link.kind not in _INSIDE_MODULES)


def _may_join(harness: Harness, condition: Condition, link: Link) -> bool:
    """Tell whether a link may join its points, however the circuit comes to rest."""
    if is_out(condition, link.part_id) and link.kind is not LinkKind.SWITCH:
        return False
    if link.kind is not LinkKind.CAVITY:
        return True
    rest = harness.part_of(link.part_id, Connector).rest
    return condition.by_name.get(link.part_id, rest) not in (APART, OUT)


def _may_be_passed(harness: Harness, link: Link, point: str, *, is_powered: bool) -> bool:
    if link.kind is not LinkKind.FUSE or not is_powered:
        return True
    return nets_of(harness).upstream[link.part_id] == point


def _is_delicate(harness: Harness, condition: Condition, point: str) -> bool:
    part = harness.parts.get(point.partition(".")[0])
    is_module = isinstance(part, Module) and not is_out(condition, part.id)
    return is_module or bool(hazards_of_point(harness, point))


def _ends_at(harness: Harness, *, is_powered: bool) -> frozenset[str]:
    posts = {f"{battery.id}.{sign}" for battery in harness.batteries for sign in "+-"}
    return bodies_of(harness) | (posts if is_powered else set(grounded_posts(harness)))


def _is_in(condition: Condition, element: Element) -> bool:
    if is_out(condition, element.part_id):
        return False
    return element.kind is not LoadKind.SOCKET or condition.by_name.get(element.part_id) == ON
