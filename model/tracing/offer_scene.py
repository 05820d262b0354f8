"""What the checks of a complaint are thought of from: its walks, its condition, and the sites that are suspected."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from model.circuit.bench import Bench
from model.circuit.condition import OUT, Condition, rest_position
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness, all_elements
from model.harness.parts import Battery, Charger, Fuse, Relay, Switch
from model.harness.points import all_points, relay_coils
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.graph import Link, LinkKind, hot_posts, links_of
from model.tracing.walk import Control, Stretch, Walk
from model.tracing.work import is_pressed


@dataclass(frozen=True)
class Scene:
    """A complaint with what its checks are made of.

    Attributes
    ----------
    condition
        In which the complaint is seen, without faults and posts.
    walks
        Of each element complained of; none of batteries and chargers.
    black
        Where the black probe stands: a grounded post.
    sites
        Fault sites of all hypotheses, in the order of the file's parts.
    """

    bench: Bench
    complaint: Complaint
    condition: Condition
    walks: tuple[Walk, ...]
    black: str
    sites: tuple[str, ...]

    @property
    def harness(self) -> Harness:
        """The harness as read."""
        return self.bench.harness

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """The elements complained of."""
        return tuple(walk.element for walk in self.walks)

    @cached_property
    def hot(self) -> str:
        """The battery post from which the first walk is fed."""
        feed = self.walks[0].feed if self.walks else None
        hot = hot_posts(self.harness)
        first = feed.steps[0].point if feed is not None else ""
        return first if first in hot else hot[0]

    @cached_property
    def controls(self) -> tuple[Control, ...]:
        """The controls of all walks, each once."""
        return tuple({control.of: control for walk in self.walks for control in walk.controls}.values())

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """All stretches, those of the loads before those of the controls."""
        own = [stretch for walk in self.walks for stretch in (walk.feed, walk.ground)]
        beyond = [stretch for control in self.controls for stretch in (control.feed, control.ground)]
        return tuple(stretch for stretch in (*own, *beyond) if stretch is not None)

    @cached_property
    def points(self) -> tuple[str, ...]:
        """Every point of the walks once, in their order."""
        return tuple(dict.fromkeys(step.point for stretch in self.stretches for step in stretch.steps))

    @cached_property
    def links(self) -> tuple[tuple[str, str, Link], ...]:
        """What joins the points of the walks, each once, with its ends as the current passes them."""
        found: dict[str, tuple[str, str, Link]] = {}
        for stretch in self.stretches:
            for before, step in zip(stretch.steps, stretch.steps[1:], strict=False):
                if step.link is not None:
                    found.setdefault(step.link.site, (before.point, step.point, step.link))
        return tuple(found.values())

    @cached_property
    def fuses(self) -> tuple[Fuse, ...]:
        """The fuses of the walks, the last before the load first."""
        ids = [link.part_id for _, _, link in reversed(self.own_links) if link.kind is LinkKind.FUSE]
        ids += [link.part_id for _, _, link in self.links if link.kind is LinkKind.FUSE]
        if self.complaint.fuse:
            ids.insert(0, self.complaint.fuse)
        return tuple(self.harness.part_of(part_id, Fuse) for part_id in dict.fromkeys(ids))

    @cached_property
    def own_links(self) -> tuple[tuple[str, str, Link], ...]:
        """What joins the points of the loads' own feed and ground."""
        count = sum(1 for walk in self.walks for stretch in (walk.feed, walk.ground) if stretch is not None)
        own = {step.link.site for stretch in self.stretches[:count] for step in stretch.steps if step.link is not None}
        return tuple(triple for triple in self.links if triple[2].site in own)

    @cached_property
    def relays(self) -> tuple[Relay, ...]:
        """The relays whose contacts or coils are on the walks."""
        ids = [control.of for control in self.controls]
        return tuple(part for part in map(self.harness.parts.get, ids) if isinstance(part, Relay))

    @cached_property
    def moved_switches(self) -> tuple[str, ...]:
        """Name the switches that the condition moves from rest and that are on the walks."""
        on_walk = {link.part_id for _, _, link in self.links if link.kind is LinkKind.SWITCH}
        found = []
        for name, value in self.condition.by_name.items():
            part = self.harness.parts.get(name)
            if isinstance(part, Switch) and name in on_walk and value != rest_position(part):
                found.append(name)
        return tuple(found)

    @cached_property
    def let_go(self) -> Condition:
        """The condition with no switch held by hand; the same one where none is."""
        held = {switch.id for switch in self.harness.switches if is_pressed(switch, self.condition)}
        kept = tuple(pair for pair in self.condition.settings if pair[0] not in held)
        return replace(self.condition, settings=kept)

    def across(self, one: str, other: str) -> tuple[str, str]:
        """Give red and black for two points as the walk passes them, so that the reading is not negative."""
        return (other, one) if self.harness.build.ground_side == "positive" else (one, other)

    def volts(self, condition: Condition, points: Iterable[str]) -> Iterator[Check]:
        """Give the volts of points against the grounded post."""
        for point in points:
            if point != self.black:
                yield Check(CheckKind.VOLTS, condition, red=point, black=self.black)


def without(condition: Condition, *names: str) -> Condition:
    """Give a condition with some parts out."""
    for name in names:
        condition = condition.with_setting(name, OUT)
    return condition


@once_per_harness
def sites_of(harness: Harness) -> dict[str, tuple[str, ...]]:
    """Map every fault site to the points beside it, the first before the last."""
    found: dict[str, tuple[str, ...]] = {link.site: (link.one, link.other) for link in links_of(harness)}
    for element in all_elements(harness):
        found[element.name] = (element.from_point, element.to_point)
    for relay in harness.relays:
        one, other, _ = relay_coils(relay, harness.build.nominal_volts)[0]
        found[f"{relay.id}:coil"] = (f"{relay.id}.{one}", f"{relay.id}.{other}")
    for supply in (*harness.batteries, *harness.chargers):
        found[supply.id] = (f"{supply.id}.+", f"{supply.id}.-")
    return found


def site_points(harness: Harness, site: str) -> tuple[str, ...]:
    """Name the points beside a fault site; none of what is no site of the harness."""
    known = sites_of(harness).get(site)
    if known is not None:
        return known
    if "/" in site:
        first, _, second = site.partition("/")
        other = second if "." in second else f"{first.partition('.')[0]}.{second}"
        return (*site_points(harness, first), *site_points(harness, other))
    if site.endswith(".a"):
        return site_points(harness, site[:-2])
    return (site,) if site in all_points(harness) else ()


def supplies_complained(harness: Harness, complaint: Complaint) -> tuple[str, ...]:
    """Name the batteries and chargers that are complained of."""
    return tuple(name for name in complaint.loads if isinstance(harness.parts.get(name), Battery | Charger))
