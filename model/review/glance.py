"""The power distribution of a loom as a tree: from the sources through fuses, switches and relays to every load."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class NodeKind(StrEnum):
    """What stands at a place of the tree."""

    SOURCE = "source"
    UNFED = "not fed"
    GROUND = "ground side"
    BAR = "bar"
    FUSE = "fuse"
    GATE = "gate"
    OUTLET = "outlet"
    CHARGER = "charger"
    TAKER = "taker"
    COIL = "coil"
    TIE = "tie"
    SEE = "see"


@dataclass(frozen=True, slots=True)
class Outlet:
    """The terminals by which a feed leaves a switch or relay, and the positions in which it does.

    Attributes
    ----------
    positions
        Positions, of the key switch key states, of a relay ``at rest``; empty where it is plain.
    """

    terminals: tuple[str, ...] = ()
    positions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Gateway:
    """Parts that stand beside each other and let a feed through: switch, relay, driver, resistance, diode.

    Attributes
    ----------
    worked_by
        Parts that switch the coils of a relay among them.
    coils_on
        Where nothing switches these, the fuses or posts that they hang on.
    """

    part_ids: tuple[str, ...]
    outlet: Outlet = Outlet()
    worked_by: tuple[str, ...] = ()
    coils_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Node:
    """A place of the tree.

    Attributes
    ----------
    parent
        Place of its parent in the tree; -1 at a root.
    part_ids
        Its parts: the batteries of a source, the bars of one net, the parts of a gate; of a tie or a reference what
        leads there; of the ground side the switches and relays within it.
    name
        Of a taker its element, feed or coil: ``E1:dip``, ``A2:75``, ``K1:86-85``; of a source its post.
    gateway
        Of a gate.
    outlet
        By which it hangs on the gate above it.
    through
        Gates before it that feed nothing else, the first one first.
    ground_through
        Parts that switch its ground side, those of a group beside each other.
    also
        Fuses and posts that may feed it as well, what is said of its parent left out.
    beside
        Parts on longer ways from the same fuse or post.
    sees
        Of a tie the fuse or post on its other side, of a reference the one under which the matter stands.
    wire_ids
        The wires of the main feed from its parent to it.
    """

    kind: NodeKind
    parent: int
    depth: int
    part_ids: tuple[str, ...]
    name: str = ""
    gateway: Gateway | None = None
    outlet: Outlet | None = None
    through: tuple[Gateway, ...] = ()
    ground_through: tuple[tuple[str, ...], ...] = ()
    also: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    sees: str = ""
    wire_ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Glance:
    """The tree: every node stands before its children, and these in the order in which they are to be read."""

    nodes: tuple[Node, ...]

    def children(self) -> tuple[tuple[int, ...], ...]:
        """Give of each node the places of its children."""
        found: list[list[int]] = [[] for _ in self.nodes]
        for place, node in enumerate(self.nodes):
            if node.parent >= 0:
                found[node.parent].append(place)
        return tuple(map(tuple, found))

    def roots(self) -> tuple[int, ...]:
        """Give the places of the roots: the sources, what none of them feeds, and what parts the ground side."""
        return tuple(place for place, node in enumerate(self.nodes) if node.parent < 0)
