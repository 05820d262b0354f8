"""What dies where a fuse is pulled: every fuse solved out of its place, those that cannot meet together at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from model.circuit.condition import OUT, Condition
from model.circuit.survey import ASKED_SHARE, Survey
from model.errors import CircuitError
from model.harness.derived import once_per_harness
from model.harness.harness import Element, Harness
from model.review.fuse_feeds import all_behind, coils_behind, touched_by
from model.review.fuse_own import CARRIES_AMPS, OtherWay, other_ways
from model.review.spread import Seen, Spread, working_names
from model.review.sweep import is_sound
from model.tracing.graph import LinkKind, charger_posts, closed_graph, hot_posts
from model.tracing.reach import reach_of
from model.tracing.ways import WayTree
from model.tracing.working import WORKS_AT_SHARE


@dataclass(frozen=True, slots=True)
class StaysAlive:
    """A load behind a pulled fuse that works all the same, and what feeds it then.

    Attributes
    ----------
    by
        Fuses on its feed with the fuse out, the last first; empty where none stands there.
    """

    name: str
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pulled:
    """What a fuse that is pulled does to the loads that work in one condition.

    Attributes
    ----------
    dies, weak, wakes
        Names of elements that worked and have under a quarter of their rated volts; that have under 80 %; that were
        off and work.
    alive
        Those behind the fuse that work all the same.
    drops
        Relays that fall off and by which those work.
    """

    condition: Condition
    dies: tuple[str, ...] = ()
    weak: tuple[str, ...] = ()
    wakes: tuple[str, ...] = ()
    alive: tuple[StaysAlive, ...] = ()
    drops: tuple[str, ...] = ()


@dataclass
class _Asked:
    """A fuse and the elements that it is asked about in one condition."""

    fuse_id: str
    seen: Seen
    elements: tuple[str, ...]


@dataclass
class _Batch:
    """Fuses that are out at once in one condition: no element can change by two of them."""

    seen: Seen
    asked: list[_Asked] = field(default_factory=list)
    touched: set[str] = field(default_factory=set)


def pulled_fuses(spread: Spread) -> dict[str, tuple[Pulled, ...]]:
    """Give of each fuse what dies where it is pulled, in the conditions in which what it could touch works.

    Every load is looked at once: where the engine stands and nobody cranks, if it works there. A fuse that touches no
    load that works has nothing. A load that fares otherwise with its own switches alone is told in both settings.
    """
    harness = spread.bench.harness
    touched = {fuse.id: touched_by(harness, fuse.id) for fuse in harness.fuses}
    asked = [one for fuse_id, names in touched.items() for one in _covering(spread, fuse_id, names)]
    answers: dict[str, list[Pulled]] = {fuse.id: [] for fuse in harness.fuses}
    for batch in _batches(asked, touched):
        for fuse_id, pulled in _solved_batch(spread, batch, touched):
            answers[fuse_id].append(pulled)
    return {fuse_id: tuple(_both_ways(spread, fuse_id, each)) for fuse_id, each in answers.items()}


def _both_ways(spread: Spread, fuse_id: str, answers: list[Pulled]) -> Iterator[Pulled]:
    """Give what a pulled fuse does, of loads that live by one setting alone in that and in their own."""
    behind = frozenset(all_behind(spread.bench.harness, fuse_id))
    ways: list[OtherWay] = []
    for one in answers:
        dies = tuple(name for name in one.dies if name in behind)
        found = other_ways(spread, fuse_id, one.condition, dies, tuple(stays.name for stays in one.alive))
        ways += found
        names = {way.name for way in found if way.other is not None}
        kept = replace(
            one,
            dies=tuple(name for name in one.dies if name not in names),
            alive=tuple(stays for stays in one.alive if stays.name not in names),
        )
        if not names or kept.dies or kept.weak or kept.wakes or kept.alive:
            yield kept
    by_condition: dict[Condition, list[str]] = {}
    for way in ways:
        for condition in filter(None, (way.own, way.other)):
            by_condition.setdefault(condition, []).append(way.name)
    for condition, told in by_condition.items():
        asked = _Asked(fuse_id, spread.seen_in(condition), tuple(dict.fromkeys(told)))
        yield _told(spread, asked, spread.bench.survey(condition.with_setting(fuse_id, OUT)), ())


def _covering(spread: Spread, fuse_id: str, names: frozenset[str]) -> Iterator[_Asked]:
    """Choose the fewest surveys in which everything that a fuse could touch works.

    Those go first in which the fuse carries current; of these those in which the engine stands, then those in which it
    runs, then those in which it is cranked; of equals the first.
    """
    open_names = set(names)
    for carries in (True, False):
        for tier in ((False, False), (False, True), (True, False), (True, True)):
            here = [
                one
                for one in spread.seen
                if (one.is_cranked, one.is_charging) == tier
                and (one.survey.fuse_amps[fuse_id] > CARRIES_AMPS) is carries
            ]
            for one, found in _greedy(here, open_names):
                yield _Asked(fuse_id, one, tuple(name for name in spread.elements if name in found))


def _greedy(seen: list[Seen], open_names: set[str]) -> Iterator[tuple[Seen, frozenset[str]]]:
    """Choose surveys until no further element works in one of them, and take what works from the names."""
    while seen and open_names:
        best = max(seen, key=lambda one: len(one.works & open_names))
        found = best.works & open_names
        if not found:
            return
        yield best, frozenset(found)
        open_names -= found


def _batches(asked: Iterable[_Asked], touched: Mapping[str, frozenset[str]]) -> list[_Batch]:
    """Put fuses together whose being out can be told apart in one solution."""
    batches: dict[int, list[_Batch]] = {}
    for one in asked:
        mine = touched[one.fuse_id]
        alike = batches.setdefault(id(one.seen), [])
        batch = next((each for each in alike if each.touched.isdisjoint(mine)), None)
        if batch is None:
            batch = _Batch(one.seen)
            alike.append(batch)
        batch.asked.append(one)
        batch.touched |= mine
    return [batch for alike in batches.values() for batch in alike]


def _solved_batch(spread: Spread, batch: _Batch, touched: Mapping[str, frozenset[str]]) -> Iterator[tuple[str, Pulled]]:
    """Solve a batch; where something changes that none of its fuses can touch, each of them by itself."""
    condition = batch.seen.condition
    for one in batch.asked:
        condition = condition.with_setting(one.fuse_id, OUT)
    try:
        after = batch.seen.bench.survey(condition)
    except CircuitError:
        after = None
    sound = after is not None and is_sound(after)
    works = working_names(after, spread.elements) if after is not None else frozenset()
    if len(batch.asked) > 1 and (not sound or not batch.seen.works - works <= batch.touched):
        for one in batch.asked:
            yield from _solved_batch(spread, _Batch(batch.seen, [one], set(touched[one.fuse_id])), touched)
        return
    if after is None:
        return
    for one in batch.asked:
        yield one.fuse_id, _told(spread, one, after, touched[one.fuse_id] & (works - batch.seen.works))


def _told(spread: Spread, asked: _Asked, after: Survey, woken: Iterable[str]) -> Pulled:
    harness, elements, before = spread.bench.harness, spread.elements, asked.seen.survey
    shares = {name: after.loads[name].volts / elements[name].at_volts for name in asked.elements}
    was_off = {name for name in woken if before.loads[name].volts < ASKED_SHARE * elements[name].at_volts}
    behind = set(all_behind(harness, asked.fuse_id))
    alive = [name for name in asked.elements if name in behind and shares[name] >= WORKS_AT_SHARE]
    changed = [*(name for name in asked.elements if shares[name] < WORKS_AT_SHARE), *was_off]
    dropped = {name for name, on in before.settled.relays.items() if on and not after.settled.relays[name]}
    if dropped:
        dropped &= coils_behind(harness, asked.fuse_id)
        dropped &= frozenset().union(*(_relays_before(harness, elements[name]) for name in changed))
    return Pulled(
        asked.seen.condition,
        tuple(name for name in asked.elements if shares[name] < ASKED_SHARE),
        tuple(name for name in asked.elements if ASKED_SHARE <= shares[name] < WORKS_AT_SHARE),
        tuple(name for name in elements if name in was_off),
        tuple(_alive(harness, after, elements, alive)),
        tuple(relay.id for relay in harness.relays if relay.id in dropped),
    )


def _relays_before(harness: Harness, element: Element) -> frozenset[str]:
    """Name the relays by whose contacts an element may be switched."""
    known = _known_relays(harness)
    if element.name not in known:
        links = reach_of(harness).links_that_matter(element)
        known[element.name] = frozenset(link.part_id for link in links if link.kind is LinkKind.RELAY)
    return known[element.name]


@once_per_harness
def _known_relays(_harness: Harness) -> dict[str, frozenset[str]]:
    return {}


def _alive(harness: Harness, after: Survey, elements: Mapping[str, Element], names: list[str]) -> Iterator[StaysAlive]:
    """Say of each element that works what feeds it: the fuses on the way of least resistance from a live post."""
    if not names:
        return
    settled = after.settled
    posts = (*hot_posts(harness), *charger_posts(harness, hot=True))
    tree = WayTree(closed_graph(harness, settled), posts, lambda _link, _here: True)
    for name in names:
        points = (elements[name].from_point, elements[name].to_point)
        volts = {point: abs(settled.volts_at(point) or 0.0) for point in points}
        way = tree.way_to(max(points, key=lambda point: volts[point]))
        links = [step.link for step in way.steps if step.link is not None] if way is not None else []
        yield StaysAlive(name, tuple(link.part_id for link in reversed(links) if link.kind is LinkKind.FUSE))
