"""Defects of what stands before the first fuse: feeds with none at all, and a fuse far from its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from model.cautions import is_starter
from model.circuit.faults import part_of_site
from model.circuit.survey import Survey
from model.harness.metal import same_metal
from model.harness.points import relay_coils
from model.harness.records import Wire
from model.harness.supply import wire_length_m
from model.review.defects.pairs import FED_SHARE
from model.review.defects.telling import some_of
from model.review.element_said import element_said, sentence_start
from model.review.finding import Finding, FindingRule, Gravity, rule_of
from model.review.review_scene import ReviewScene
from model.review.way_trees import Way
from model.tracing.graph import LinkKind, charger_posts, hot_posts, links_of
from model.tracing.names import either, id_and_label, point_name


@dataclass(frozen=True, slots=True)
class _Unfused:
    """What hangs on a post by no fuse: its name, the point, the way there, and from which battery."""

    name: str
    part_id: str
    point: str
    way: Way
    may_be_so: bool
    source: str = "the battery"


def fed_with_no_fuse(scene: ReviewScene) -> Iterator[Finding]:
    """Give what is fed without any fuse on the way: loads, feeds, coils, chargers and further batteries, once a part.

    The cable of a starter and a short one of a charger are told too, as what is commonly left so.
    """
    told: set[str] = set()
    every = (_unfused_loads, _unfused_coils, _unfused_chargers, _unfused_batteries)
    for unfused in (one for find in every for one in find(scene)):
        if unfused.part_id not in told:
            told.add(unfused.part_id)
            yield _no_fuse(scene, unfused)


def _no_fuse(scene: ReviewScene, unfused: _Unfused) -> Finding:
    wires = wires_of_way(scene, unfused.way)
    length_m = _metres(scene, wires)
    sites = either([link.site for link in unfused.way], "and") or "no wire at all"
    sentence = (
        f"{sentence_start(element_said(scene.harness, unfused.name))} is fed with no fuse, by way of {sites}: "
        f"{length_m:.2f} m of wire from {point_name(scene.harness, unfused.point)} to {unfused.source}."
    )
    rule = rule_of("starter cable without fuse" if unfused.may_be_so else "every feed fused")
    if unfused.may_be_so:
        sentence += " Such cables are commonly left so; a chafed one burns all the same."
    do = (
        "Look that it is short, sheathed and held away from metal that can chafe it."
        if unfused.may_be_so
        else "Put a fuse near the battery, no larger than its thinnest wire bears; between batteries one near each."
    )
    wire_ids = tuple(wire.id for wire in wires)
    first = () if unfused.may_be_so else _battery_of(scene, unfused.way)
    return Finding(
        FindingRule.NO_FUSE,
        Gravity.ASK if unfused.may_be_so else Gravity.DANGER,
        sentence,
        do,
        tuple(dict.fromkeys((*first, unfused.part_id, *wire_ids))),
        (unfused.point,),
        value=round(length_m, 2),
        unit="m",
        rule_text=rule,
        assumed=scene.assumed_among(wire_ids, ("length",)),
        assumed_kinds=("length",),
    )


def _battery_of(scene: ReviewScene, way: Way) -> tuple[str, ...]:
    """Name the battery at which a way begins; nothing of a way without a link."""
    posts = frozenset(hot_posts(scene.harness))
    return tuple(
        part_of_site(post) for post in sorted(posts & {end for link in way[:1] for end in (link.one, link.other)})
    )


def _metres(scene: ReviewScene, wires: Iterable[Wire]) -> float:
    return sum(wire_length_m(scene.harness, wire) for wire in wires)


def wires_of_way(scene: ReviewScene, way: Way) -> tuple[Wire, ...]:
    """List the wires of a way in its order."""
    return tuple(scene.harness.part_of(link.part_id, Wire) for link in way if link.kind is LinkKind.WIRE)


def _unfused_loads(scene: ReviewScene) -> Iterator[_Unfused]:
    for element in scene.elements:
        ends = (element.from_point, element.to_point)
        if not any(_may_hang_on_post(scene, end) for end in ends):
            continue
        asked_volts = FED_SHARE * element.at_volts
        surveys = (one for one in scene.surveys if one.loads[element.name].volts >= asked_volts)
        point, way = _unfused_way(scene, ends, surveys)
        if way is not None:
            yield _Unfused(element.name, element.part_id, point, way, is_starter(scene.harness, element))


def _unfused_coils(scene: ReviewScene) -> Iterator[_Unfused]:
    for relay in scene.harness.relays:
        for one, other, _ in relay_coils(relay, scene.harness.build.nominal_volts):
            ends = (f"{relay.id}.{one}", f"{relay.id}.{other}")
            if any(_may_hang_on_post(scene, end) for end in ends):
                surveys = (one for one in scene.surveys if one.settled.relays[relay.id])
                point, way = _unfused_way(scene, ends, surveys)
                if way is not None:
                    yield _Unfused(f"{relay.id}:coil", relay.id, point, way, may_be_so=False)


def _unfused_chargers(scene: ReviewScene) -> Iterator[_Unfused]:
    """Give the chargers that charge a battery by no fuse."""
    hot = set(charger_posts(scene.harness, hot=True))
    for charger in scene.harness.chargers:
        post = next(f"{charger.id}.{sign}" for sign in "+-" if f"{charger.id}.{sign}" in hot)
        if _may_hang_on_post(scene, post):
            point, way = _unfused_way(scene, (post,), scene.surveys)
            if way is not None:
                is_short = _metres(scene, wires_of_way(scene, way)) <= rule_of("fuse near its source on land").figure
                yield _Unfused(charger.id, charger.id, point, way, may_be_so=is_short)


def _unfused_batteries(scene: ReviewScene) -> Iterator[_Unfused]:
    """Give the batteries that contacts join to one before them by no fuse; those side by side on metal are one bank."""
    harness, posts = scene.harness, hot_posts(scene.harness)
    for place, post in enumerate(posts):
        before = [one for one in posts[:place] if same_metal(harness, one) != same_metal(harness, post)]
        linked = [one for one in before if one in scene.nets.feeds.get(post, frozenset())]
        ways = ((one, scene.ways(survey).unfused_between(one, post)) for survey in scene.surveys for one in linked)
        found = next(((one, way) for one, way in ways if way), None)
        if found is not None:
            source = id_and_label(harness, part_of_site(found[0]))
            yield _Unfused(part_of_site(post), part_of_site(post), post, found[1], may_be_so=False, source=source)


def _may_hang_on_post(scene: ReviewScene, point: str) -> bool:
    return not scene.nets.feeds.get(point, frozenset()).isdisjoint(hot_posts(scene.harness))


def _unfused_way(scene: ReviewScene, ends: tuple[str, ...], surveys: Iterable[Survey]) -> tuple[str, Way | None]:
    """Give the end that is fed without a fuse in one of some surveys, and the way there."""
    for survey in surveys:
        ways = scene.ways(survey)
        end = ends[0] if len(ends) == 1 else ways.hot_end_of(ends[0], ends[1])
        way = ways.unfused_way(end)
        if way is not None:
            return end, way
    return ends[0], None


def fuse_far_from_source(scene: ReviewScene) -> Iterator[Finding]:
    """Give the stretches from a hot post to the first fuses on it that are longer than boats may have them.

    One finding for all fuses behind one stretch; a stretch within 40 in is told of boats alone, since a sheath allows
    it. A fuse between two batteries has a stretch on either side of it. What is a starter's cable all along may be so,
    and so may what is within 40 in.
    """
    starters = _starter_wires(scene)
    stretches: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    posts: dict[tuple[str, ...], str] = {}
    hot = frozenset(hot_posts(scene.harness))
    for link in (one for one in links_of(scene.harness) if one.kind is LinkKind.FUSE):
        for end in (link.one, link.other):
            _, way = _unfused_way(scene, (end,), scene.surveys) if _may_hang_on_post(scene, end) else ("", None)
            if way:
                wire_ids = tuple(wire.id for wire in wires_of_way(scene, way))
                stretches.setdefault(wire_ids, []).append((link.part_id, end))
                posts.setdefault(wire_ids, min(hot & {way[0].one, way[0].other}))
    for wire_ids, fuses in stretches.items():
        yield from _far(scene, posts[wire_ids], wire_ids, fuses, may_be_so=starters.issuperset(wire_ids))


def _starter_wires(scene: ReviewScene) -> frozenset[str]:
    ways = (one.way for one in _unfused_loads(scene) if one.may_be_so)
    return frozenset(wire.id for way in ways for wire in wires_of_way(scene, way))


def _far(
    scene: ReviewScene, post: str, wire_ids: tuple[str, ...], ends: list[tuple[str, str]], *, may_be_so: bool
) -> Iterator[Finding]:
    """Give the finding of a stretch from a post to fuses, each with its end that is there, where it is too long."""
    harness = scene.harness
    length_m = _metres(scene, (harness.part_of(wire_id, Wire) for wire_id in wire_ids))
    is_boat = scene.is_boat
    bare, sheathed = rule_of("fuse near its source"), rule_of("fuse near its source in a sheath")
    on_land = rule_of("fuse near its source on land")
    if length_m <= (bare if is_boat else on_land).figure:
        return
    is_far = length_m > sheathed.figure
    gravity = Gravity.DANGER if is_far and not may_be_so else Gravity.ASK
    rule = on_land if not is_boat else sheathed if is_far else bare
    is_beyond = all(end != scene.nets.upstream[fuse_id] for fuse_id, end in ends)
    do = "Put a fuse near that battery too;" if is_beyond else "Move the fuse to the source, or put one there;"
    fuses = some_of(id_and_label(harness, fuse_id) for fuse_id, _ in ends)
    yield Finding(
        FindingRule.FUSE_FAR,
        gravity,
        f"Between battery {id_and_label(harness, part_of_site(post))} and fuse{'s' if len(ends) > 1 else ''} {fuses} "
        f"nothing guards {length_m:.2f} m of wire ({either(wire_ids, 'and')}).",
        f"{do} until then see that the wire is sheathed all the way.",
        (part_of_site(post), ends[0][0], *wire_ids),
        (ends[0][1],),
        value=round(length_m, 2),
        unit="m",
        rule_text=rule,
        assumed=scene.assumed_among(wire_ids, ("length",)),
        assumed_kinds=("length",),
    )
