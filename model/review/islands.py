"""What is joined whatever is switched: all metal that nothing opens is one island, with contacts and loads between."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from model.circuit.frame import frame_of
from model.circuit.solver import islands
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.points import relay_coils
from model.tracing.graph import Link, LinkKind, links_of

K = TypeVar("K")
V = TypeVar("V")

_CONTACTS = frozenset({LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER, LinkKind.EXCITER, LinkKind.RESISTOR})
"""Links that open and close, and resistances."""
_PARTS = _CONTACTS | {LinkKind.OUTPUT}


@dataclass(frozen=True, slots=True)
class Taker:
    """What takes current between two islands: an element of a load, a feed of a module, a coil of a relay.

    Attributes
    ----------
    name
        ``E1:dip``, ``A2:75``, ``K3:coil``; a second coil by its terminals, ``K3:50-31``.
    ends
        Its points.
    one, other
        The islands of its points.
    element
        Of a load or feed; None of a coil.
    ohms
        Of a coil; 0 of a load, whose amperes a survey tells.
    """

    name: str
    part_id: str
    ends: tuple[str, str]
    one: int
    other: int
    element: Element | None = None
    ohms: float = 0.0

    def beyond(self, island: int) -> int:
        """Give the island at the other end."""
        return self.other if island == self.one else self.one


@dataclass(frozen=True, slots=True)
class Contact:
    """A link that something opens and closes, between two islands.

    Attributes
    ----------
    owner
        What is set to move it: ``S2``, ``K1``, ``A1.pump``, ``X7``.
    """

    link: Link
    owner: str
    one: int
    other: int

    def beyond(self, island: int) -> int:
        """Give the island at the other end."""
        return self.other if island == self.one else self.one


@dataclass(frozen=True, slots=True)
class Islands:
    """The islands of a harness, the contacts between them and what takes current between them.

    Attributes
    ----------
    of_point
        The island of each point.
    of_owner
        The contacts of each owner.
    takers_at
        What hangs on each island.
    """

    of_point: dict[str, int]
    contacts: tuple[Contact, ...]
    of_owner: dict[str, tuple[Contact, ...]]
    takers: tuple[Taker, ...]
    takers_at: dict[int, tuple[Taker, ...]]


@once_per_harness
def islands_of(harness: Harness) -> Islands:
    """Give the islands of a harness: fuses and diodes join as wires do, resistances and plugs that rest apart not."""
    apart = {connector.id for connector in harness.connectors if connector.rest == "apart"}
    moved = [link for link in links_of(harness) if link.kind in _CONTACTS or link.part_id in apart]
    joins = [link for link in links_of(harness) if link.kind not in _PARTS and link.part_id not in apart]
    index = frame_of(harness).index
    one = np.array([index[link.one] for link in joins], dtype=np.int64)
    other = np.array([index[link.other] for link in joins], dtype=np.int64)
    number = islands(len(index), one, other).tolist()
    of_point = {point: number[node] for point, node in index.items()}
    contacts = tuple(Contact(link, _owner(link), of_point[link.one], of_point[link.other]) for link in moved)
    takers = tuple(_takers(harness, of_point))
    pairs = ((island, taker) for taker in takers for island in sorted({taker.one, taker.other}))
    owned = ((contact.owner, contact) for contact in contacts)
    return Islands(of_point, contacts, grouped(owned), takers, grouped(pairs))


def grouped(pairs: Iterable[tuple[K, V]]) -> dict[K, tuple[V, ...]]:
    """Give the values of each key, in the order in which they come."""
    found: dict[K, list[V]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return {key: tuple(values) for key, values in found.items()}


def _owner(link: Link) -> str:
    return link.site.replace(":", ".") if link.kind is LinkKind.DRIVER else link.part_id


def _takers(harness: Harness, of_point: dict[str, int]) -> Iterator[Taker]:
    for element in all_elements(harness):
        ends = element.from_point, element.to_point
        yield Taker(element.name, element.part_id, ends, of_point[ends[0]], of_point[ends[1]], element)
    for relay in harness.relays:
        for place, (one, other, ohms) in enumerate(relay_coils(relay, harness.build.nominal_volts)):
            ends = f"{relay.id}.{one}", f"{relay.id}.{other}"
            name = f"{relay.id}:{one}-{other}" if place else f"{relay.id}:coil"
            yield Taker(name, relay.id, ends, of_point[ends[0]], of_point[ends[1]], ohms=ohms)
