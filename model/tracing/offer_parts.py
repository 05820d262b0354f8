"""Checks on a part: looking, listening, amperes through a fuse, a swap, a new fuse, a bridge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.condition import OUT, Condition
from model.harness.parts import Fuse, Relay
from model.harness.points import relay_coils, relay_groups
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Symptom
from model.tracing.graph import Link, LinkKind
from model.tracing.nets import nets_of
from model.tracing.never_offered import same_make
from model.tracing.offer_points import load_ends, loose_relays, plugs
from model.tracing.offer_scene import Scene, without
from model.tracing.walk import Stretch
from model.tracing.ways import Step

_BRIDGES_AT_MOST = 5
_BRIDGE_AMPS = (3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0)
_HEADROOM = 1.1
_CURED_BY_A_BRIDGE = (Symptom.DEAD, Symptom.WEAK, Symptom.COMES_AND_GOES)


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What a bridge must carry, and the rating of the circuit's own fuse; None where it has none."""

    load_amps: float
    fuse_amps: float | None


def looks(scene: Scene) -> Iterator[Check]:
    """Give a look at each fuse and plug of the walks, at the loads, and at suspected fuses beyond."""
    beyond = [site for site in scene.sites if isinstance(scene.harness.parts.get(site), Fuse)]
    parts = [*(fuse.id for fuse in scene.fuses), *plugs(scene), *(one.part_id for one in scene.elements), *beyond]
    for part_id in dict.fromkeys(parts):
        yield Check(CheckKind.LOOK, scene.condition, part=part_id)


def listens(scene: Scene) -> Iterator[Check]:
    """Give listening to each relay of the walks, as the complaint has it."""
    for relay in scene.relays:
        yield Check(CheckKind.LISTEN, scene.condition, part=relay.id)


def fuse_amps(scene: Scene) -> Iterator[Check]:
    """Give the amperes through each fuse of the walks."""
    for fuse in scene.fuses:
        yield Check(CheckKind.AMPS, scene.condition, part=fuse.id)


def new_fuses(scene: Scene) -> Iterator[Check]:
    """Give a new fuse of the same rating in place of each fuse of the walks."""
    for fuse in scene.fuses:
        yield Check(CheckKind.NEW_FUSE, scene.condition, part=fuse.id)


def swaps(scene: Scene) -> Iterator[Check]:
    """Give each relay of the walks changed for another that is made alike, one nearby first."""
    on_walk = {relay.id for relay in scene.relays}
    for relay in loose_relays(scene):
        alike = [other for other in scene.harness.relays if other.id not in on_walk and same_make(relay, other)]
        nearest_first = sorted(alike, key=lambda other: other.location != relay.location)
        for other in nearest_first[:1]:
            yield Check(CheckKind.SWAP, scene.condition, part=relay.id, other=other.id)


def socket_checks(relay: Relay, condition: Condition, black: str, hot: str) -> tuple[Check, ...]:
    """Give the volts at each terminal of a relay's socket, the relay out; from the hot post to a grounded coil end."""
    out = condition.with_setting(relay.id, OUT)
    rest, pulled = relay_groups(relay)
    contacts = dict.fromkeys(name for group in (*pulled, *rest) for name in group)
    names = ["30", "86", "85", "87"] if {"30", "87"} <= contacts.keys() and relay.coils is None else [*contacts]
    found = []
    for name in names:
        point = f"{relay.id}.{name}"
        red, other = (hot, point) if name == "85" else (point, black)
        found.append(Check(CheckKind.VOLTS, out, red=red, black=other))
    return tuple(found)


def bridges(scene: Scene) -> Iterator[Check]:
    """Give the bridges that prove a span: over a relay's or switch's contact, along the feed, on the ground side.

    They are few: each is proved against the sound loom before it is offered, which takes a solve. A load that is on
    where it should not be, or whose fuse blows, is cured by none.
    """
    if scene.complaint.symptom not in _CURED_BY_A_BRIDGE:
        return
    found: dict[tuple[str, str], Check] = {}
    for check in _candidates(scene):
        found.setdefault((check.red, check.black), check)
    yield from list(found.values())[:_BRIDGES_AT_MOST]


def _candidates(scene: Scene) -> Iterator[Check]:
    for walk in scene.walks:
        hot, ground = load_ends(walk)
        amps = scene.bench.survey(scene.condition).loads[walk.element.name].amps or walk.element.rated_amps
        wanted = _Wanted(amps, _last_fuse_amps(scene, walk.feed))
        yield from _bridge(scene.condition, (ground, scene.black), wanted)
        last = _last_fuse(walk.feed)
        if last is not None:
            yield from _bridge(scene.condition, (last.point, hot), wanted)
        for stretch in (walk.feed, walk.ground):
            yield from _over_contacts(scene, stretch, wanted)
    for control in scene.controls:
        relay = scene.harness.parts.get(control.of)
        if isinstance(relay, Relay) and control.needs_on:
            wanted = _Wanted(_coil_amps(scene, relay), _last_fuse_amps(scene, control.feed))
            if control.ground is not None:
                yield from _bridge(scene.condition, (control.ground.steps[0].point, scene.black), wanted)
            yield from _over_contacts(scene, control.feed, wanted)


def _coil_amps(scene: Scene, relay: Relay) -> float:
    nominal_volts = scene.harness.build.nominal_volts
    return max(nominal_volts / ohms for _, _, ohms in relay_coils(relay, nominal_volts))


def _over_contacts(scene: Scene, stretch: Stretch | None, wanted: _Wanted) -> Iterator[Check]:
    for before, step in zip(stretch.steps, stretch.steps[1:], strict=False) if stretch is not None else ():
        if step.link is not None and _is_contact(step.link):
            relay_out = step.link.kind is LinkKind.RELAY and _is_loose(scene, step.link)
            condition = without(scene.condition, step.link.part_id) if relay_out else scene.condition
            yield from _bridge(condition, (before.point, step.point), wanted)


def _is_contact(link: Link) -> bool:
    return link.kind in (LinkKind.RELAY, LinkKind.SWITCH)


def _is_loose(scene: Scene, link: Link) -> bool:
    return any(relay.id == link.part_id for relay in loose_relays(scene))


def _bridge(condition: Condition, ends: tuple[str, str], wanted: _Wanted) -> Iterator[Check]:
    """Give a bridge with the largest fuse that the circuit's own allows; where it has none the smallest that serves."""
    most = _BRIDGE_AMPS[-1] if wanted.fuse_amps is None else wanted.fuse_amps
    fitting = [one for one in _BRIDGE_AMPS if _HEADROOM * wanted.load_amps <= one <= most]
    if fitting and ends[0] != ends[1]:
        fuse_amps = fitting[0] if wanted.fuse_amps is None else fitting[-1]
        yield Check(CheckKind.BRIDGE, condition, red=ends[0], black=ends[1], fuse_amps=fuse_amps)


def _last_fuse(stretch: Stretch | None) -> Step | None:
    """Give the step behind the last fuse of a stretch."""
    steps = stretch.steps if stretch is not None else ()
    return next((one for one in steps[::-1] if one.link is not None and one.link.kind is LinkKind.FUSE), None)


def _last_fuse_amps(scene: Scene, stretch: Stretch | None) -> float | None:
    """Give the rating of the fuse that guards a stretch; where it branches off behind another, of the least on it."""
    step = _last_fuse(stretch)
    if step is not None and step.link is not None:
        return scene.harness.part_of(step.link.part_id, Fuse).amps
    feeds = nets_of(scene.harness).feeds
    labels = feeds.get(stretch.steps[-1].point, frozenset()) if stretch is not None else frozenset()
    return min((fuse.amps for fuse in scene.harness.fuses if fuse.id in labels and fuse.amps is not None), default=None)
