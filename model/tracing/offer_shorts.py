"""Checks that find a short behind a fuse: a lamp with parts of the branch off, ohms with all apart, wires looked at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from model.circuit.condition import OUT, Condition, rest_position
from model.circuit.faults import part_of_site
from model.errors import CircuitError
from model.harness.fields import Access
from model.harness.parts import Fuse, Switch
from model.harness.places import point_place
from model.harness.points import resolve_point
from model.harness.records import Wire
from model.tracing.checks import FUSE_LAMP_WATTS, Check, CheckKind
from model.tracing.complaint import Symptom
from model.tracing.fuse_branch import Branch, Gap
from model.tracing.graph import closed_test
from model.tracing.offer_scene import Scene, without

_GAPS_AT_MOST = (4, 3, 2)
_GAPS_OF_A_BLOWN_FUSE = 8
_FUSES_AT_MOST = len(_GAPS_AT_MOST)
_SIDES_AT_MOST = 3
_PIECES_AT_MOST = 8
_LOOKS_AT_MOST = 40


def fuse_lamps(scene: Scene) -> Iterator[Check]:
    """Give a lamp in place of each fuse, with one thing behind it apart at a time too, and to what is beyond that."""
    is_blown = scene.complaint.symptom is Symptom.BLOWS_FUSE
    for place, (fuse, branch) in enumerate(_branches(scene)):
        modules = tuple((name, OUT) for name in branch.modules)
        here = without(_with(scene, scene.condition, modules), fuse.id)
        rest = without(_with(scene, Condition(scene.condition.key), modules), fuse.id)
        red, black = scene.across(resolve_point(scene.harness, f"{fuse.id}.in"), f"{fuse.id}.out")
        for asked in dict.fromkeys((here, rest)):
            yield Check(CheckKind.LAMP, asked, red=red, black=black, part=fuse.id, watts=FUSE_LAMP_WATTS)
        most = _GAPS_OF_A_BLOWN_FUSE if is_blown and place == 0 else _GAPS_AT_MOST[place]
        for gap in _lamp_gaps(scene, branch, most):
            apart = _with(scene, here, gap.settings)
            yield Check(CheckKind.LAMP, apart, red=red, black=black, part=fuse.id, watts=FUSE_LAMP_WATTS)
            yield from _beyond(scene, branch, apart, gap)


def _beyond(scene: Scene, branch: Branch, condition: Condition, gap: Gap) -> Iterator[Check]:
    """Give a lamp from the hot post to each piece that a gap parts from the fuse, where the fuse's own place ends."""
    is_closed = closed_test(scene.harness, scene.bench.survey(scene.condition).settled)
    for piece in branch.islands([gap], is_closed)[:_SIDES_AT_MOST]:
        if piece[0] != branch.start:
            red, black = scene.across(scene.hot, piece[0])
            yield Check(CheckKind.LAMP, condition, red=red, black=black, watts=FUSE_LAMP_WATTS)


def _branches(scene: Scene) -> Iterator[tuple[Fuse, Branch]]:
    try:
        is_closed = closed_test(scene.harness, scene.bench.survey(scene.condition).settled)
    except CircuitError:
        return
    for fuse in scene.fuses[:_FUSES_AT_MOST]:
        yield fuse, Branch(scene.harness, fuse, is_closed)


def _lamp_gaps(scene: Scene, branch: Branch, most: int) -> tuple[Gap, ...]:
    loads = tuple((name, OUT) for name in branch.loads if any(name in gap.names for gap in branch.gaps))
    together = [Gap(loads)] if len(loads) > 1 else []
    own = [Gap(((element.part_id, OUT),)) for element in scene.elements if element.part_id in branch.loads]
    chosen = branch.halving(branch.gaps, _suspects(scene) or branch.fed(), most)
    return tuple(dict.fromkeys((*own, *together, *chosen)))


def _with(scene: Scene, condition: Condition, settings: tuple[tuple[str, str], ...]) -> Condition:
    """Give a condition with something set; a switch at rest is left out, so that equal conditions are the same one."""
    for name, value in settings:
        part = scene.harness.parts.get(name)
        if isinstance(part, Switch) and value == rest_position(part):
            kept = tuple(pair for pair in condition.settings if pair[0] != name)
            condition = replace(condition, settings=kept)
        else:
            condition = condition.with_setting(name, value)
    return condition


def _suspects(scene: Scene) -> frozenset[str]:
    return frozenset(part_of_site(site) for site in scene.sites)


def apart_ohms(scene: Scene) -> Iterator[Check]:
    """Give ohms to the grounded post of each piece of a branch, all that can be taken apart of it apart."""
    resting = Condition(scene.harness.key_names[0])
    try:
        is_closed = closed_test(scene.harness, scene.bench.survey(resting).settled)
    except CircuitError:
        return
    for fuse, branch in _branches(scene):
        gaps = tuple(gap for gap in branch.gaps if not _is_buried(scene, gap))
        apart = without(resting, fuse.id, *branch.modules)
        for gap in gaps:
            apart = _with(scene, apart, gap.settings)
        for piece in branch.islands(gaps, is_closed)[:_PIECES_AT_MOST]:
            yield Check(CheckKind.OHMS, apart, red=piece[0], black=scene.black)


def _is_buried(scene: Scene, gap: Gap) -> bool:
    return any(point_place(scene.harness, name).access is Access.BURIED for name in gap.names)


def wire_looks(scene: Scene) -> Iterator[Check]:
    """Give a look along each suspected wire that hangs on a fuse of the walks or lies on one of them."""
    found: dict[str, None] = {}
    on_walk = [link.part_id for _, _, link in scene.links if link.site == link.part_id]
    found.update(dict.fromkeys(name for name in on_walk if isinstance(scene.harness.parts.get(name), Wire)))
    for _, branch in _branches(scene):
        found.update(dict.fromkeys(wire.id for wire in branch.wires))
    suspected = _suspects(scene)
    for name in [name for name in found if name in suspected][:_LOOKS_AT_MOST]:
        yield Check(CheckKind.LOOK, scene.condition, part=name)
