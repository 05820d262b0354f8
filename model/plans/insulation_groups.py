"""What is proven against ground: the live posts, the metal behind each fuse, and bars that only a contact feeds."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from model.circuit.bodies import body_beside
from model.circuit.condition import APART, OUT, Condition
from model.circuit.faults import part_of_site
from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.harness.points import resolve_point
from model.harness.records import Connector, GroundPoint, Joint, Wire
from model.harness.supply import grounded_posts, reference_point
from model.plans.cold_circuit import ColdLoom


@dataclass(frozen=True, slots=True)
class Group:
    """Metal that is proven against ground from one point of it.

    Attributes
    ----------
    point
        Where the probe stands.
    fuses
        Fuses whose load side it is; none of a live post or a bar.
    """

    point: str
    fuses: tuple[str, ...] = ()


class Ground:
    """The grounded side of a loom, and what stands off it.

    Attributes
    ----------
    point
        The grounded post against which all is read.
    """

    def __init__(self, loom: ColdLoom) -> None:
        self.loom = loom
        self.harness: Harness = loom.harness
        self.point = reference_point(self.harness)
        self.at_rest = all_out(self.harness)
        self._body_at: dict[str, str | None] = {}

    @cached_property
    def order(self) -> dict[str, int]:
        """The place of each part in the file."""
        return {part_id: place for place, part_id in enumerate(self.harness.parts)}

    def body_at(self, wire_id: str) -> str | None:
        """Name the body that a wire would touch; None where there is none; kept."""
        if wire_id not in self._body_at:
            self._body_at[wire_id] = body_beside(self.harness, self.harness.part_of(wire_id, Wire))
        return self._body_at[wire_id]

    @cached_property
    def nodes(self) -> frozenset[int]:
        """The nodes that bare metal joins to a grounded post while all switches are at rest."""
        posts = (self.point, *grounded_posts(self.harness))
        return frozenset(node for post in posts for node in self.metal(self.loom.node(post)))

    def metal(self, start: int) -> frozenset[int]:
        """Give the nodes that wires, joints, mated cavities and bonds join to one: no fuse, no contact, no load."""
        return self._reached(start, frozenset(), self.is_metal)

    def reached(self, start: int, carries: Callable[[int], bool]) -> frozenset[int]:
        """Give the nodes that branches of a kind join to one; the grounded side is reached and not passed."""
        return self._reached(start, self.nodes, carries)

    def _reached(self, start: int, stops: frozenset[int], carries: Callable[[int], bool]) -> frozenset[int]:
        seen = {start}
        waiting = [start]
        while waiting:
            node = waiting.pop()
            if node in stops and node != start:
                continue
            for branch, far in self.loom.beside[node]:
                if far not in seen and carries(branch):
                    seen.add(far)
                    waiting.append(far)
        return frozenset(seen)

    def is_metal(self, branch: int) -> bool:
        """Tell whether a branch is bare metal: a wire, a joint, a mated cavity or a bond."""
        return branch in self._metal_branches

    @cached_property
    def _metal_branches(self) -> frozenset[int]:
        sites = self.loom.net.sites
        return frozenset(place for place, site in enumerate(sites) if self._is_bare(part_of_site(site)))

    def _is_bare(self, part_id: str) -> bool:
        part = self.harness.parts.get(part_id)
        if isinstance(part, Connector):
            return part.rest != APART
        return isinstance(part, Wire | Joint | GroundPoint)

    @cached_property
    def live_posts(self) -> tuple[str, ...]:
        """The battery posts that are not grounded, one of each piece of metal, the live end of a chain first."""
        signs = "-+" if self.harness.build.ground_side == "positive" else "+-"
        found: list[str] = []
        seen = set(self.nodes)
        for battery in self.harness.batteries:
            for sign in signs:
                node = self.loom.node(f"{battery.id}.{sign}")
                if node not in seen:
                    found.append(f"{battery.id}.{sign}")
                    seen |= self.metal(node)
        return tuple(found)

    @cached_property
    def fed_at(self) -> dict[str, str]:
        """The terminal of each fuse that the supply comes to: the one with the fewer fuses before it, else ``in``."""
        before = self._fuses_before()
        far = len(self.harness.fuses) + 1
        found: dict[str, str] = {}
        for fuse in self.harness.fuses:
            counts = [before.get(self.loom.node(f"{fuse.id}.{end}"), far) for end in ("in", "out")]
            found[fuse.id] = "out" if counts[1] < counts[0] else "in"
        return found

    def _fuses_before(self) -> dict[int, int]:
        """Count the fuses between a live post and each node, over contacts in any position and no load."""
        contacts = {contact.branch for contact in self.loom.contacts}
        contacts |= {branch for mover in self.loom.net.movers for branch in (*mover.opens, *mover.closes)}
        fuses = {link.branch for link in self.loom.net.fuses}
        found = {self.loom.node(post): 0 for post in self.live_posts}
        waiting = deque(found)
        while waiting:
            node = waiting.popleft()
            if node in self.nodes:
                continue
            for branch, far in self.loom.beside[node]:
                passes = branch in fuses or branch in contacts or self.is_metal(branch)
                count = found[node] + (branch in fuses)
                if not passes or found.get(far, count + 1) <= count:
                    continue
                found[far] = count
                if branch in fuses:
                    waiting.append(far)
                else:
                    waiting.appendleft(far)
        return found

    def load_side(self, fuse: Fuse) -> str:
        """Name the point of a fuse that its loads hang on, to be read with the fuse out."""
        return self._side(fuse, "in" if self.fed_at[fuse.id] == "out" else "out")

    def feed_side(self, fuse: Fuse) -> str:
        """Name the point of a fuse that the supply comes to."""
        return self._side(fuse, self.fed_at[fuse.id])

    def _side(self, fuse: Fuse, end: str) -> str:
        return resolve_point(self.harness, f"{fuse.id}.{end}")

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """The metal behind each fuse, and the bars before fuses that neither a post nor another fuse is joined to."""
        loads = [(self.load_side(fuse), fuse.id) for fuse in self.harness.fuses]
        feeds = [(self.feed_side(fuse), "") for fuse in self.harness.fuses]
        seen = set(self.nodes).union(*(self.metal(self.loom.node(post)) for post in self.live_posts))
        found: dict[str, list[str]] = {}
        root_of: dict[int, str] = {}
        for point, fuse_id in (*loads, *feeds):
            node = self.loom.node(point)
            if node in root_of:
                found[root_of[node]] += [fuse_id] if fuse_id else []
            elif node not in seen:
                root_of.update(dict.fromkeys(self.metal(node), point))
                found[point] = [fuse_id] if fuse_id else []
        return tuple(Group(point, tuple(fuses)) for point, fuses in found.items())


def all_out(harness: Harness) -> Condition:
    """Give the condition in which everything is at rest, every fuse out and the clamps of every battery off."""
    return Condition(harness.key_names[0], tuple((part.id, OUT) for part in (*harness.batteries, *harness.fuses)))
