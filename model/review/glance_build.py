"""The tree of a loom, net by net from the sources down: every fuse, load and coil stands in it once."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from model.harness.derived import once_per_harness
from model.harness.harness import Harness
from model.review.glance import Glance, NodeKind
from model.review.glance_draft import Draft, finished
from model.review.glance_feeds import Feeds, Taker, feeds_of, part_ids, takers_of
from model.review.glance_gates import Branching, branchings, gateway_of, outlet_of
from model.review.glance_nets import Gate
from model.review.glance_sources import source_parts
from model.review.glance_wires import FeedWires
from model.tracing.graph import LinkKind, charger_posts

_TIES = frozenset({LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DIODE, LinkKind.DRIVER})


@once_per_harness
def glance(harness: Harness) -> Glance:
    """Give the power distribution of a harness as a tree.

    Notes
    -----
    A load that several fuses may feed stands under the one with the fewest gates between, closed ones first; it names
    the others, and these refer to it. What no source reaches stands at the end under a root of its own; what is reached
    through another load alone stands behind that load. A tree is never walked by calls in calls: a file may put a
    thousand fuses in a row.
    """
    builder = _Builder(harness)
    return finished(builder.roots())


class _Builder:
    """Puts every net in its place."""

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self._feeds: Feeds = feeds_of(harness)
        self._loom = self._feeds.loom
        self._placed: set[str] = set()
        self._waiting: list[tuple[str, str, Draft]] = []
        self._bars = self._by_net(bar.id for bar in harness.busbars)
        self._fuses: dict[str, list[str]] = {}
        for fuse_id, net in self._loom.upstream.items():
            self._fuses.setdefault(net, []).append(fuse_id)
        self._takers: dict[str, list[Taker]] = {}
        self._behind: dict[str, list[Taker]] = {}
        self._unfed: list[Taker] = []
        self._sort_takers()
        self._chargers = self._by_net(charger_posts(harness, hot=True))
        self._next = self._nets_behind()
        self._holding = self._nets_that_hold_something()

    def roots(self) -> list[Draft]:
        """Give the sources with all that they feed, and what none feeds."""
        posts = {
            label: net for net, labels in self._loom.origins.items() for label in labels if not self._is_fuse(label)
        }
        found = []
        for post, net in posts.items():
            if net not in self._placed:
                beside = [one for one, other in posts.items() if other == net]
                parts = source_parts(self._harness, beside)
                source = Draft(NodeKind.SOURCE, parts, post, also=self._feeds.also.get(net, ()))
                self._grow(net, post, source)
                if source.children:
                    found.append(source)
        unfed, ground = self._what_is_not_fed(), self._what_parts_the_ground()
        found += [unfed] if unfed.children else []
        return [*found, ground] if ground.children or ground.part_ids else found

    def _what_is_not_fed(self) -> Draft:
        root = Draft(NodeKind.UNFED, ())
        reached = set(self._feeds.label)
        left = list(self._loom.upstream)
        for is_last in (False, True):
            for fuse_id in left:
                net = self._loom.upstream[fuse_id]
                if net not in self._placed and (is_last or net not in reached):
                    self._grow(net, "", root)
        for taker in self._unfed:
            root.add(self._leaf(taker))
        return root

    def _what_parts_the_ground(self) -> Draft:
        """Give the fuses on the ground side, and the switches between the bodies and the grounded posts."""
        ground = self._loom.ground
        within = [gate for net in sorted(ground) for gate in self._loom.ground_gates.get(net, ()) if gate.far in ground]
        root = Draft(NodeKind.GROUND, part_ids(gate for gate in within if gate.link.kind is not LinkKind.FUSE))
        for fuse_id in self._loom.ground_fuses:
            root.add(Draft(NodeKind.FUSE, (fuse_id,)))
        return root

    def _grow(self, net: str, entry: str, parent: Draft) -> None:
        """Place a net and all that is fed from it."""
        self._waiting.append((net, entry, parent))
        while self._waiting:
            at, came_from, under = self._waiting.pop()
            if at not in self._placed:
                self._placed.add(at)
                self._place(at, came_from, under)

    def _place(self, net: str, entry: str, parent: Draft) -> None:
        wires = FeedWires(self._harness, entry) if entry and self._has_main(net) else None
        here = parent
        bars = tuple(self._bars.get(net, ())) if net not in self._loom.ground else ()
        if bars:
            here = parent.add(Draft(NodeKind.BAR, bars, wire_ids=wires.to(bars[0]) if wires else ()))
            here.also = self._feeds.also.get(net, ())

        def under(*points: str) -> Draft:
            is_before = wires is not None and not any(wires.goes_by(point, bars) for point in points)
            return parent if is_before else here

        for post in self._chargers.get(net, ()):
            if parent.kind is not NodeKind.SOURCE or post.partition(".")[0] not in parent.part_ids:
                under(post).add(Draft(NodeKind.CHARGER, (post.partition(".")[0],)))
        for fuse_id in self._fuses.get(net, ()):
            point = self._end_on(fuse_id, net)
            to_fuse = wires.to(point) if wires and under(point) is parent else ()
            self._place_fuse(under(point).add(Draft(NodeKind.FUSE, (fuse_id,), wire_ids=to_fuse)), net)
        for taker in self._takers.get(net, ()):
            under(taker.point).add(self._leaf(taker))
        for branching in branchings(self._feeds, net, self._next.get(net, ())):
            self._place_gate(under(*self._near_points(net, branching)), branching)
        for tied in self._ties(net):
            here.add(tied)
        for told in self._references(net):
            here.add(told)

    def _near_points(self, net: str, branching: Branching) -> list[str]:
        """Give the points at which a feed leaves a net into a gate."""
        gates = [gate for far, _ in branching.nets for gate in self._feeds.gates_between(net, far)]
        return [gate.link.one if self._loom.net(gate.link.one) == net else gate.link.other for gate in gates]

    def _has_main(self, net: str) -> bool:
        return net in self._bars or net in self._fuses

    def _place_fuse(self, fuse: Draft, net: str) -> None:
        fuse_id = fuse.part_ids[0]
        behind = self._loom.downstream[fuse_id]
        label = self._feeds.label.get(behind, "")
        if behind == net or behind in self._placed or label != fuse_id:
            fuse.add(Draft(NodeKind.TIE, (), sees=label))
            return
        fuse.also = self._feeds.also.get(behind, ())
        self._waiting.append((behind, self._end_on(fuse_id, behind), fuse))

    def _end_on(self, fuse_id: str, net: str) -> str:
        """Name the end of a fuse that is on a net."""
        return next(point for point in (f"{fuse_id}.in", f"{fuse_id}.out") if self._loom.net(point) == net)

    def _place_gate(self, here: Draft, branching: Branching) -> None:
        gate = here.add(Draft(NodeKind.GATE, branching.gateway.part_ids, gateway=branching.gateway))
        for net, outlet in branching.nets:
            under = gate.add(Draft(NodeKind.OUTLET, gate.part_ids, outlet=outlet))
            under.also, under.beside = self._feeds.also.get(net, ()), self._feeds.beside(net)
            into = self._feeds.gate_into(net)
            entry = "" if into is None else into.link.other
            if into is not None and self._loom.net(entry) != net:
                entry = into.link.one
            self._waiting.append((net, entry, under))

    def _ties(self, net: str) -> Iterable[Draft]:
        """Give what may join a net to where another feed begins."""
        own = {self._feeds.label.get(net), *self._feeds.also.get(net, ())}
        found: dict[tuple[str, str], None] = {}
        for gate in self._loom.gates.get(net, ()):
            labels = self._loom.origins.get(gate.far, ())
            if labels and gate.link.kind in _TIES and own.isdisjoint(labels):
                found[gate.link.part_id, labels[0]] = None
        for part_id, label in found:
            yield Draft(NodeKind.TIE, (part_id,), gateway=gateway_of(self._harness, (part_id,)), sees=label)

    def _references(self, net: str) -> Iterable[Draft]:
        """Give what this feed may reach as well, and under which it stands."""
        own = self._feeds.label.get(net)
        found: dict[tuple[tuple[Gate, ...], str], None] = {}
        for gate in self._loom.gates.get(net, ()):
            label = self._feeds.label.get(gate.far)
            if gate.far not in self._holding or gate.far in self._loom.origins or label in (None, own):
                continue
            if own not in self._feeds.also.get(gate.far, ()):
                continue
            into = self._feeds.spreads[own][gate.far].gate if own else None
            if into is not None and into.near == net and label is not None:
                found[self._feeds.gates_between(net, gate.far), label] = None
        for gates, label in found:
            parts, outlet = part_ids(gates), outlet_of(self._harness, gates)
            yield Draft(NodeKind.SEE, parts, gateway=gateway_of(self._harness, parts, outlet), sees=label)

    def _leaf(self, taker: Taker) -> Draft:
        kind = NodeKind.COIL if taker.is_coil else NodeKind.TAKER
        leaf = Draft(kind, (taker.part_id,), taker.name, ground_through=taker.ground_through)
        leaf.also = self._feeds.also.get(taker.net, ()) if taker.is_fed else ()
        waiting = [(leaf, taker.name)]
        while waiting:
            under, name = waiting.pop()
            for behind in self._behind.get(name, ()):
                kind = NodeKind.COIL if behind.is_coil else NodeKind.TAKER
                waiting.append((under.add(Draft(kind, (behind.part_id,), behind.name)), behind.name))
        return leaf

    def _sort_takers(self) -> None:
        """Sort what takes current by the net that feeds it; what none feeds goes behind what shares its metal."""
        every = takers_of(self._harness)
        waiting: dict[str, list[Taker]] = {}
        for taker in every:
            if taker.is_fed:
                self._takers.setdefault(taker.net, []).append(taker)
            else:
                for net in {taker.net: None, taker.cold_net: None}:
                    waiting.setdefault(net, []).append(taker)
        taken: set[str] = set()
        reached = deque((taker, taker.cold_net) for taker in every if taker.is_fed)
        while reached:
            before, net = reached.popleft()
            if net in self._loom.ground:
                continue
            for taker in waiting.get(net, ()):
                if taker.name not in taken:
                    taken.add(taker.name)
                    self._behind.setdefault(before.name, []).append(taker)
                    reached.append((taker, taker.cold_net if net == taker.net else taker.net))
        self._unfed = [taker for taker in every if not taker.is_fed and taker.name not in taken]

    def _by_net(self, points: Iterable[str]) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for point in points:
            found.setdefault(self._loom.net(point), []).append(point)
        return found

    def _nets_behind(self) -> dict[str, list[str]]:
        """Give of each net those that are fed from it through gates, in the order in which they are found."""
        found: dict[str, list[str]] = {}
        for net in self._feeds.label:
            into = self._feeds.gate_into(net)
            if into is not None:
                found.setdefault(into.near, []).append(net)
        return found

    def _nets_that_hold_something(self) -> set[str]:
        """Give the nets on which something hangs, and those from which such are fed."""
        found: set[str] = set()
        for start in (*self._takers, *self._bars, *self._fuses, *self._chargers):
            net: str | None = start
            while net is not None and net not in found:
                found.add(net)
                into = self._feeds.gate_into(net)
                net = None if into is None else into.near
        return found

    def _is_fuse(self, label: str) -> bool:
        return label in self._loom.upstream
