"""Checks with a probe on a point: volts, drops and the test lamp."""

from __future__ import annotations

from collections.abc import Iterator

from model.cautions import cranks
from model.circuit.condition import APART, Condition
from model.circuit.settle import Settled
from model.errors import CircuitError
from model.harness.parts import Relay
from model.harness.points import relay_coils
from model.harness.records import Connector
from model.tracing.checks import TEST_LAMP_WATTS, Check, CheckKind
from model.tracing.complaint import Symptom
from model.tracing.graph import LinkKind
from model.tracing.offer_scene import Scene, site_points, without
from model.tracing.walk import Stretch, Walk
from model.tracing.ways import Step

_DIFFERS_VOLTS = 1.0
_SAME_VOLTS = 0.5
_BEYOND_AT_MOST = 60
_LAMPS_AT_MOST = 8
_PRESENT = frozenset({Symptom.STAYS_ON, Symptom.WORKS_WITH_ANOTHER})


def posts_volts(scene: Scene) -> Iterator[Check]:
    """Give the volts across the posts of each battery as the complaint has it, and of the feeding one at rest."""
    for battery in scene.harness.batteries:
        yield Check(CheckKind.VOLTS, scene.condition, red=f"{battery.id}.+", black=f"{battery.id}.-")
    first = scene.harness.batteries[0].id
    for battery_id in dict.fromkeys((first, scene.hot.partition(".")[0])):
        rest = Condition(scene.harness.key_names[0])
        yield Check(CheckKind.VOLTS, rest, red=f"{battery_id}.+", black=f"{battery_id}.-")


def walk_volts(scene: Scene) -> Iterator[Check]:
    """Give the volts at every point of the walks, load on, and from the hot post to what a switch grounds."""
    yield from scene.volts(scene.condition, scene.points)
    for control in scene.controls:
        if control.ground is None:
            continue
        kinds = {step.link.kind for step in control.ground.steps if step.link is not None}
        is_switched = not kinds.isdisjoint({LinkKind.SWITCH, LinkKind.RELAY})
        steps = control.ground.steps if is_switched else control.ground.steps[:1]
        for step in steps:
            if step.point != scene.black:
                yield Check(CheckKind.VOLTS, scene.condition, red=scene.hot, black=step.point)


def let_go_volts(scene: Scene) -> Iterator[Check]:
    """Give the volts of points and coils that are there without a switch held by hand too: nobody need hold it then."""
    if scene.let_go == scene.condition:
        return
    try:
        here, there = (scene.bench.survey(condition).settled for condition in (scene.condition, scene.let_go))
    except CircuitError:
        return
    yield from scene.volts(scene.let_go, [point for point in scene.points if _stays_live(here, there, point)])
    for relay in scene.relays:
        if here.relays.get(relay.id) and there.relays.get(relay.id):
            one, other, _ = relay_coils(relay, scene.harness.build.nominal_volts)[0]
            yield Check(CheckKind.VOLTS, scene.let_go, red=f"{relay.id}.{one}", black=f"{relay.id}.{other}")


def _stays_live(here: Settled, there: Settled, point: str) -> bool:
    """Tell whether a point has about the same volts in two conditions, and not about none."""
    one, other = here.volts_at(point), there.volts_at(point)
    if one is None or other is None:
        return False
    return abs(one) > _DIFFERS_VOLTS and abs(one - other) < _SAME_VOLTS


def load_volts(scene: Scene) -> Iterator[Check]:
    """Give the volts across each load and coil, and those of the load unplugged."""
    for walk in scene.walks:
        hot, ground = load_ends(walk)
        red, black = scene.across(hot, ground)
        yield Check(CheckKind.DROP, scene.condition, red=red, black=black)
        total = scene.across(scene.hot, hot)
        yield Check(CheckKind.DROP, scene.condition, red=total[0], black=total[1])
        out = without(scene.condition, walk.element.part_id)
        yield from scene.volts(out, (hot, ground))
        yield Check(CheckKind.VOLTS, out, red=red, black=black)
    for relay in scene.relays:
        one, other, _ = relay_coils(relay, scene.harness.build.nominal_volts)[0]
        yield Check(CheckKind.VOLTS, scene.condition, red=f"{relay.id}.{one}", black=f"{relay.id}.{other}")


def walk_drops(scene: Scene) -> Iterator[Check]:
    """Give the drop across everything that joins two points of the walks."""
    for one, other, _ in scene.links:
        red, black = scene.across(one, other)
        yield Check(CheckKind.DROP, scene.condition, red=red, black=black)


def other_keys(scene: Scene) -> Iterator[Check]:
    """Give the feed points in other key states, where the sound circuit reads otherwise: key switch, coils, load."""
    key_switch = scene.harness.key_switch
    points = [] if key_switch is None else [p for p in scene.points if p.startswith(f"{key_switch.id}.")]
    points += [control.feed.steps[-1].point for control in scene.controls if control.feed is not None]
    points += [load_ends(walk)[0] for walk in scene.walks]
    for key in scene.harness.key_names:
        asked = scene.condition.at_key(key)
        if key != scene.condition.key and (not cranks(scene.harness, asked) or _is_cranked(scene)):
            yield from scene.volts(asked, _differing(scene, asked, list(dict.fromkeys(points))))


def _is_cranked(scene: Scene) -> bool:
    return cranks(scene.harness, scene.condition)


def _differing(scene: Scene, asked: Condition, points: list[str]) -> list[str]:
    """Name the points that read otherwise in another condition of the sound circuit."""
    try:
        here, there = (scene.bench.survey(condition).settled for condition in (scene.condition, asked))
    except CircuitError:
        return []
    return [
        point
        for point in points
        if abs((here.volts_at(point) or 0.0) - (there.volts_at(point) or 0.0)) > _DIFFERS_VOLTS
        or (here.volts_at(point) is None) is not (there.volts_at(point) is None)
    ]


def switched_off(scene: Scene) -> Iterator[Check]:
    """Give the feed of what should be off, with its switches at rest and with its fuse out."""
    if scene.complaint.symptom not in _PRESENT:
        return
    resting = Condition(
        scene.condition.key, tuple(pair for pair in scene.condition.settings if pair[0] not in scene.moved_switches)
    )
    for condition in dict.fromkeys((resting, *(without(scene.condition, fuse.id) for fuse in scene.fuses[:1]))):
        for walk in scene.walks:
            if walk.feed is not None and condition != scene.condition:
                yield from scene.volts(condition, [step.point for step in walk.feed.steps])


def beyond_the_walk(scene: Scene) -> Iterator[Check]:
    """Give volts beside the suspected sites that are on no walk, and the drop across them where they carry."""
    on_walk = set(scene.points)
    points: dict[str, None] = {}
    across: dict[tuple[str, str], None] = {}
    for site in scene.sites:
        beside = site_points(scene.harness, site)
        for point in beside:
            if point not in on_walk:
                points.setdefault(point)
        if len(beside) == 2 and not on_walk.issuperset(beside):
            across.setdefault(scene.across(*beside))
    yield from scene.volts(scene.condition, list(points)[:_BEYOND_AT_MOST])
    if not scene.walks:
        for red, black in list(across)[:_BEYOND_AT_MOST]:
            yield Check(CheckKind.DROP, scene.condition, red=red, black=black)


def test_lamps(scene: Scene) -> Iterator[Check]:
    """Give a test lamp to the grounded post from the points that lie between the last fuse and the load or coil."""
    for stretch in _feeds(scene):
        points = [step.point for step in _behind_fuse(stretch)]
        for point in points[-_LAMPS_AT_MOST:]:
            if point != scene.black:
                yield Check(CheckKind.LAMP, scene.condition, red=point, black=scene.black, watts=TEST_LAMP_WATTS)


def _feeds(scene: Scene) -> list[Stretch]:
    own = [walk.feed for walk in scene.walks]
    return [stretch for stretch in (*own, *(control.feed for control in scene.controls)) if stretch is not None]


def _behind_fuse(stretch: Stretch) -> tuple[Step, ...]:
    steps = stretch.steps
    fused = [place for place, step in enumerate(steps) if step.link is not None and step.link.kind is LinkKind.FUSE]
    return steps[fused[-1] :] if fused else steps


def load_ends(walk: Walk) -> tuple[str, str]:
    """Name the hot and the grounded point of a load."""
    ends = walk.element.from_point, walk.element.to_point
    hot = walk.feed.steps[-1].point if walk.feed is not None else ends[0]
    if hot not in ends:
        return ends
    return hot, ends[1] if hot == ends[0] else ends[0]


def plugs(scene: Scene) -> tuple[str, ...]:
    """Name the inline plugs on the walks that rest mated, those nearest to the loads first."""
    ids = [link.part_id for _, _, link in reversed(scene.own_links) if link.kind is LinkKind.CAVITY]
    ids += [link.part_id for _, _, link in scene.links if link.kind is LinkKind.CAVITY]
    return tuple(name for name in dict.fromkeys(ids) if scene.harness.part_of(name, Connector).rest != APART)


def loose_relays(scene: Scene) -> tuple[Relay, ...]:
    """Give the relays of the walks that a hand can pull from a socket."""
    return tuple(relay for relay in scene.relays if relay.inside is None)
