"""Checks with the ohmmeter: spans of plain metal and loads, battery off, what hangs on their ends taken out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, takewhile

from model.circuit.condition import Condition
from model.harness.parts import Relay
from model.harness.points import relay_coils
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Symptom
from model.tracing.graph import Link, LinkKind
from model.tracing.offer_points import load_ends, loose_relays
from model.tracing.offer_scene import Scene, without
from model.tracing.walk import Control, Stretch, Walk

_CONTACTS = frozenset({LinkKind.FUSE, LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER, LinkKind.OUTPUT})
_CONDITIONS_AT_MOST = 4
_ONWARDS, _BACKWARDS = (0, 1), (1, 0)
_SHORTS = frozenset({Symptom.BLOWS_FUSE, Symptom.STAYS_ON, Symptom.WORKS_WITH_ANOTHER})


def ohms_checks(scene: Scene) -> Iterator[Check]:
    """Give ohms along the spans before each load and coil, to the body where a short is looked for, and of loads.

    The battery is off, so the key and the switches stand as the complaint has them only where metal must be closed;
    no more than four ways of taking things apart are asked for.
    """
    conditions: dict[Condition, None] = {}
    for check in (*_of_loads(scene), *_of_controls(scene)):
        if check.condition in conditions or len(conditions) < _CONDITIONS_AT_MOST:
            conditions.setdefault(check.condition)
            yield check


def _of_loads(scene: Scene) -> Iterator[Check]:
    for walk in scene.walks:
        hot, ground = load_ends(walk)
        before, after = _span_to(walk.feed), _span_from(walk.ground)
        apart = without(_at_rest(scene), *_taken(scene, walk), walk.element.part_id)
        yield from _along(apart, before)
        yield from _along(apart, after)
        if scene.complaint.symptom in _SHORTS:
            yield Check(CheckKind.OHMS, apart, red=hot, black=scene.black)
        plugged = without(_at_rest(scene), *_taken(scene, walk))
        yield Check(CheckKind.OHMS, plugged, red=hot, black=ground)


def _of_controls(scene: Scene) -> Iterator[Check]:
    loose = {relay.id for relay in loose_relays(scene)}
    for control in scene.controls:
        if control.of not in loose:
            continue
        out = without(_at_rest(scene), control.of)
        for span in (_span_to(control.feed), _span_from(control.ground)):
            yield from _along(out, span)
        yield from _coil(scene, control)


def _coil(scene: Scene, control: Control) -> Iterator[Check]:
    """Give the ohms between the ends of a coil that stays in, what feeds it out."""
    relay = scene.harness.part_of(control.of, Relay)
    fuses = [link.part_id for _, _, link in _links(control.feed) if link.kind is LinkKind.FUSE]
    one, other, _ = relay_coils(relay, scene.harness.build.nominal_volts)[0]
    condition = without(_at_rest(scene), *fuses[-1:])
    yield Check(CheckKind.OHMS, condition, red=f"{relay.id}.{one}", black=f"{relay.id}.{other}")


def _at_rest(scene: Scene) -> Condition:
    """Give the condition with the key at its first state and everything at rest: with the battery off no more tells."""
    return Condition(scene.harness.key_names[0])


def _taken(scene: Scene, walk: Walk) -> tuple[str, ...]:
    """Name what is taken out so that nothing hangs on the span before a load: its relay, else its fuse."""
    loose = {relay.id for relay in loose_relays(scene)}
    links = [link for _, _, link in _links(walk.feed)]
    relays = [link.part_id for link in links if link.kind is LinkKind.RELAY and link.part_id in loose]
    fuses = [link.part_id for link in links if link.kind is LinkKind.FUSE]
    return (*relays[-1:], *fuses[-1:])


def _along(condition: Condition, span: tuple[str, str] | None) -> Iterator[Check]:
    if span is not None and span[0] != span[1]:
        yield Check(CheckKind.OHMS, condition, red=span[0], black=span[1])


def _links(stretch: Stretch | None) -> tuple[tuple[str, str, Link], ...]:
    """Give what joins the points of a stretch, with the points before and after."""
    steps = stretch.steps if stretch is not None else ()
    return tuple((before.point, step.point, step.link) for before, step in pairwise(steps) if step.link is not None)


def _span_to(stretch: Stretch | None) -> tuple[str, str] | None:
    """Give the ends of the plain metal before what a stretch feeds."""
    return _plain(_links(stretch)[::-1], _BACKWARDS)


def _span_from(stretch: Stretch | None) -> tuple[str, str] | None:
    """Give the ends of the plain metal behind what a stretch grounds."""
    return _plain(_links(stretch), _ONWARDS)


def _plain(links: tuple[tuple[str, str, Link], ...], ends: tuple[int, int]) -> tuple[str, str] | None:
    """Give the ends of the first links of a row that are no contacts; None where it begins with one."""
    plain = list(takewhile(lambda triple: triple[2].kind not in _CONTACTS, links))
    if not plain:
        return None
    near, far = ends
    return str(plain[0][near]), str(plain[-1][far])
