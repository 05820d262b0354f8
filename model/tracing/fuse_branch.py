"""What hangs behind a fuse, and what a hand can take apart there to part it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import log2

from model.circuit.condition import APART, OFF, OUT, Condition, rest_position
from model.harness.harness import Harness, all_elements
from model.harness.hazards import hazards_of_part
from model.harness.metal import wire_points, wires_at
from model.harness.parts import Fuse, Load
from model.harness.records import Busbar, Wire
from model.tracing.graph import Link, LinkKind, links_of
from model.tracing.nets import Neighbours, flood, neighbours_of, nets_of
from model.tracing.unplugging import unplugged_by

_LOAD_SHARE = 0.2
_PASSED = frozenset({LinkKind.WIRE, LinkKind.JOINT, LinkKind.CAVITY, LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER})

Settings = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """Something that can be taken apart.

    Attributes
    ----------
    settings
        What is set for it: ``X7=apart``, ``E1=out``, ``K2=out``, ``W22.a=off``.
    """

    settings: Settings

    @property
    def names(self) -> frozenset[str]:
        """What is set."""
        return frozenset(name for name, _ in self.settings)


class Branch:
    """What may hang on a fuse through metal and contacts, up to the next fuses.

    Parameters
    ----------
    is_closed
        Whether a link joins its points while the complaint is looked at.
    """

    def __init__(self, harness: Harness, fuse: Fuse, is_closed: Callable[[Link], bool]) -> None:
        self._harness = harness
        self._is_closed = is_closed
        nets = nets_of(harness)
        self.start = nets.downstream[fuse.id]
        self.points = {point for point, labels in nets.feeds.items() if fuse.id in labels} | {self.start}
        self._links = [
            link for link in links_of(harness) if link.kind in _PASSED and {link.one, link.other} <= self.points
        ]
        self._neighbours: Neighbours = neighbours_of(self._links)
        self._away = flood(self._neighbours, [self.start], frozenset(), lambda _link, _point: True)

    @cached_property
    def wires(self) -> tuple[Wire, ...]:
        """The wires on it, in the order of the file."""
        ids = {link.part_id for link in self._links if link.kind is LinkKind.WIRE}
        return tuple(wire for wire in self._harness.wires if wire.id in ids)

    @cached_property
    def loads(self) -> tuple[str, ...]:
        """Ids of the loads that end on it, in the order of the file."""
        ids = dict.fromkeys(
            element.part_id
            for element in all_elements(self._harness)
            if not self.points.isdisjoint((element.from_point, element.to_point))
        )
        return tuple(name for name in ids if isinstance(self._harness.parts.get(name), Load))

    @cached_property
    def modules(self) -> tuple[str, ...]:
        """Ids of the control units that end on it."""
        owners = {point.partition(".")[0] for point in self.points}
        return tuple(module.id for module in self._harness.modules if module.id in owners)

    @cached_property
    def gaps(self) -> tuple[Gap, ...]:
        """What can be taken apart, each by itself; what is marked with a hazard is left alone."""
        return tuple(gap for gap in self._all_gaps() if not self._is_left_alone(gap))

    def _all_gaps(self) -> Iterator[Gap]:
        owners = {point.partition(".")[0] for point in self.points}
        for connector in self._harness.connectors:
            if connector.id in owners and connector.rest != APART:
                yield Gap(((connector.id, APART),))
        for relay in self._harness.relays:
            if relay.id in owners and relay.inside is None:
                yield Gap(((relay.id, OUT),))
        for switch in self._harness.switches:
            if switch.id in owners and not switch.key:
                yield Gap(((switch.id, OUT if switch.follows else rest_position(switch)),))
        for name in self.loads:
            yield Gap(((name, OUT),))
        yield from self.wire_ends

    @cached_property
    def wire_ends(self) -> tuple[Gap, ...]:
        """The wires' ends that can be taken off a bar: of each bar all but the wire that feeds it."""
        found: list[Gap] = []
        for bar in self._harness.busbars:
            if bar.id not in self.points:
                continue
            wires = [wire for wire in wires_at(self._harness).get(bar.id, ()) if wire in self.wires]
            nearest_first = sorted(wires, key=lambda one: self._away_from(one, bar.id))
            taken = nearest_first if bar.id == self.start else nearest_first[1:]
            found += [Gap(((f"{wire.id}.{self._end_at(wire, bar)}", OFF),)) for wire in taken]
        return tuple(found)

    def _away_from(self, wire: Wire, bar: str) -> int:
        one, other = wire_points(self._harness, wire)
        return self._away.get(other if one == bar else one, len(self._away))

    def _end_at(self, wire: Wire, bar: Busbar) -> str:
        return "a" if wire_points(self._harness, wire)[0] == bar.id else "b"

    def _is_left_alone(self, gap: Gap) -> bool:
        taken = unplugged_by(self._harness, Condition("", gap.settings))
        return any(one.fuel or hazards_of_part(self._harness, one.part_id) for one in taken)

    def fed(self, gaps: Collection[Gap] = (), *, is_closed: Callable[[Link], bool] | None = None) -> frozenset[str]:
        """Name the wires and loads that still hang on the fuse with some gaps open."""
        names = frozenset(name for gap in gaps for name in gap.names)
        closed = is_closed or self._is_closed
        reached = self._flood([self.start], names, closed)
        wires = {wire.id for wire in self.wires if not reached.isdisjoint(self.ends_on(wire, names))}
        loads = {name for name in self.loads if name not in names and self._hangs(name, reached)}
        return frozenset(wires | loads)

    def _hangs(self, load: str, reached: Collection[str]) -> bool:
        return any(point.startswith(f"{load}.") for point in reached)

    def ends_on(self, wire: Wire, names: Collection[str]) -> tuple[str, ...]:
        """Name the points on which a wire still ends."""
        ends = zip("ab", wire_points(self._harness, wire), strict=True)
        return tuple(point for letter, point in ends if f"{wire.id}.{letter}" not in names)

    def _flood(self, starts: list[str], names: frozenset[str], closed: Callable[[Link], bool]) -> frozenset[str]:
        off = {name.partition(".")[0] for name in names if "." in name}

        def passes(link: Link, _point: str) -> bool:
            return link.part_id not in names and link.part_id not in off and closed(link)

        return frozenset(flood(self._neighbours, starts, frozenset(), passes))

    def islands(self, gaps: Collection[Gap], is_closed: Callable[[Link], bool]) -> tuple[tuple[str, ...], ...]:
        """List the points that hang together with some gaps open, one tuple for each piece that holds a wire.

        The piece next to the fuse comes first; a wire's end that is off stands for itself.
        """
        names = frozenset(name for gap in gaps for name in gap.names)
        seen: set[str] = set()
        found = []
        for point in self._in_order:
            if point in seen:
                continue
            piece = self._flood([point], names, is_closed)
            seen |= piece
            free = self._free_ends(piece, names)
            if free or any(not piece.isdisjoint(wire_points(self._harness, wire)) for wire in self.wires):
                found.append((*free, *sorted(piece, key=self._in_order.__getitem__)))
        return tuple(found)

    @cached_property
    def _in_order(self) -> dict[str, int]:
        return {point: place for place, point in enumerate(self._away)}

    def _free_ends(self, piece: Collection[str], names: Collection[str]) -> tuple[str, ...]:
        """Name the wires' ends that are off and whose wires end on a piece."""
        off = [name.rpartition(".") for name in names if "." in name]
        found = []
        for wire_id, _, letter in off:
            ends = wire_points(self._harness, self._harness.part_of(wire_id, Wire))
            if ends[letter == "a"] in piece:
                found.append(f"{wire_id}.{letter}")
        return tuple(sorted(found))

    def halving(self, candidates: Collection[Gap], suspects: Collection[str], most: int) -> tuple[Gap, ...]:
        """Choose the gaps that part the suspects best, each opened by itself.

        Parameters
        ----------
        suspects
            Ids of wires and loads.
        most
            So many at most.
        """
        left = {gap: self.fed([gap]) for gap in candidates}
        weights = {name: _LOAD_SHARE if name in self.loads else 1.0 for name in self.fed() if name in suspects}
        told: dict[str, tuple[bool, ...]] = dict.fromkeys(weights, ())
        chosen: list[Gap] = []
        while left and len(chosen) < most:
            bits = {gap: _bits(weights, told, fed) for gap, fed in left.items()}
            best = max(bits, key=lambda gap: bits[gap])
            if bits[best] <= _bits(weights, told, frozenset()) + 1e-9:
                break
            fed = left.pop(best)
            told = {name: (*signs, name in fed) for name, signs in told.items()}
            chosen.append(best)
        return tuple(chosen)


def _bits(weights: dict[str, float], told: dict[str, tuple[bool, ...]], fed: frozenset[str]) -> float:
    """Give the bits that the parts tell into which suspects fall, one more gap counted."""
    sums: dict[tuple[bool, ...], float] = {}
    for name, signs in told.items():
        key = (*signs, name in fed)
        sums[key] = sums.get(key, 0.0) + weights[name]
    total = sum(sums.values())
    return -sum(one / total * log2(one / total) for one in sums.values()) if total > 0 else 0.0
