"""Checks by eye: other loads that share something with what is complained of, and the load itself elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from model.cautions import cranks
from model.circuit.condition import APART, Condition
from model.circuit.survey import LoadState
from model.errors import CircuitError
from model.harness.harness import Element, Harness
from model.harness.metal import same_metal, wire_points, wires_at
from model.harness.parts import LoadKind, Module
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Symptom
from model.tracing.nets import nets_of
from model.tracing.offer_points import loose_relays, plugs
from model.tracing.offer_scene import Scene, supplies_complained, without
from model.tracing.rated import works_in_of, works_with_of
from model.tracing.symptoms import elements_by_name
from model.tracing.working import WORKS_AT_SHARE, working_condition

SHARING_AT_MOST = 12
_OTHER_KEYS_AT_MOST = 3
_OWN_CONDITIONS_AT_MOST = 4
_PRESENT = frozenset({Symptom.STAYS_ON, Symptom.WORKS_WITH_ANOTHER})


def observations(scene: Scene) -> Iterator[Check]:
    """Give what can be told by looking at loads alone."""
    yield from _sharing_loads(scene)
    yield from _itself_elsewhere(scene)
    if scene.complaint.symptom in _PRESENT:
        yield from _itself_cut_off(scene)
    for name in supplies_complained(scene.harness, scene.complaint):
        yield Check(CheckKind.OBSERVE, scene.condition, load=name)


def _sharing_loads(scene: Scene) -> Iterator[Check]:
    found: dict[Condition, None] = dict.fromkeys(_easily_held(scene))
    most = _OWN_CONDITIONS_AT_MOST + len(found) - 1
    for element in sharing(scene):
        is_full = len(found) > most
        condition = _where_it_works(scene, element, tuple(found), may_be_new=not is_full)
        if condition is not None:
            found.setdefault(condition)
            yield Check(CheckKind.OBSERVE, condition, load=element.name)


def _easily_held(scene: Scene) -> tuple[Condition, ...]:
    """Give the complaint's condition, before it that with nothing held by hand; none in which the engine is cranked."""
    conditions = dict.fromkeys((scene.let_go, scene.condition))
    return tuple(one for one in conditions if not cranks(scene.harness, one))


def _where_it_works(
    scene: Scene, element: Element, known: tuple[Condition, ...], *, may_be_new: bool
) -> Condition | None:
    """Give a condition in which a load works: one that is asked for already, else its own; None where there is none.

    A condition of its own costs a change of switches, and a solve: few are asked for.
    """
    for condition in known:
        if _works(scene, element, condition):
            return condition
    working = working_condition(scene.bench, element) if may_be_new else None
    return working.condition if working is not None and working.reached else None


def _works(scene: Scene, element: Element, condition: Condition) -> bool:
    try:
        reading = scene.bench.survey(condition).loads[element.name]
    except CircuitError:
        return False
    # a socket with nothing plugged in has its volts and shows nothing
    return reading.state is not LoadState.OFF and reading.volts >= WORKS_AT_SHARE * element.at_volts


def sharing(scene: Scene) -> tuple[Element, ...]:
    """Give other loads by how much they share with those complained of: fuse, ground, switch, relay, plug, metal."""
    complained = {element.name for element in scene.elements}
    own: dict[str, None] = {}
    for element in scene.elements:
        own.update(dict.fromkeys(_shared_names(scene.harness, element)))
    own.update(dict.fromkeys(link.part_id for _, _, link in scene.links))
    own.update(dict.fromkeys(point for point in scene.points if "." not in point))
    counted = []
    for place, element in enumerate(elements_by_name(scene.harness).values()):
        count = len(own.keys() & set(_shared_names(scene.harness, element)))
        is_told = element.name == scene.complaint.other_load
        # nobody sees the pin of a control unit work, nor a socket with nothing in it
        is_seen = element.kind is not LoadKind.SOCKET and not isinstance(scene.harness.parts[element.part_id], Module)
        if element.name not in complained and (is_told or (count and is_seen)):
            counted.append((not is_told, -count, place, element))
    return tuple(element for *_, element in sorted(counted, key=lambda one: one[:3])[:SHARING_AT_MOST])


def _shared_names(harness: Harness, element: Element) -> tuple[str, ...]:
    """Name what a load may share with others: the fuses before it, its bare metal, its ground points and splices."""
    nets = nets_of(harness)
    names: dict[str, None] = {}
    for end in (element.from_point, element.to_point):
        names.update(dict.fromkeys(nets.fuses_before(end)))
        if end in nets.grounded:
            names.update(dict.fromkeys(_ground_points(harness, end)))
        else:
            names.setdefault(f"metal {same_metal(harness, end)}")
    return tuple(names)


def _ground_points(harness: Harness, end: str) -> tuple[str, ...]:
    """Name the ground points and splices at which a grounded end is joined by one or two wires."""
    ids = {ground.id for ground in harness.grounds} | {splice.id for splice in harness.splices}
    found: dict[str, None] = {}
    reached = [end]
    for _ in range(2):
        wires = [wire for point in reached if point not in found for wire in wires_at(harness).get(point, ())]
        reached = [point for wire in wires for point in wire_points(harness, wire)]
        found.update(dict.fromkeys(point for point in reached if point in ids))
    return tuple(found)


def _itself_elsewhere(scene: Scene) -> Iterator[Check]:
    """Give the load complained of in the other key states and settings in which it works in the sound circuit."""
    for element in scene.elements:
        found: dict[Condition, None] = {}
        for condition in _conditions_of(scene, element):
            is_new = condition != scene.condition and not cranks(scene.harness, condition)
            if is_new and len(found) < _OTHER_KEYS_AT_MOST and _works(scene, element, condition):
                found.setdefault(condition)
        for condition in found:
            yield Check(CheckKind.OBSERVE, condition, load=element.name)


def _conditions_of(scene: Scene, element: Element) -> Iterator[Condition]:
    """Give other conditions in which a load may work: other choices of the file first, then other key states."""
    choices, works_in = works_with_of(scene.harness, element), works_in_of(scene.harness, element)
    for table in choices if isinstance(choices, tuple) else ():
        yield Condition(scene.condition.key, tuple(table.items()))
    for key in scene.harness.key_names if works_in is None else works_in:
        yield replace(scene.condition, key=key)


def _itself_cut_off(scene: Scene) -> Iterator[Check]:
    """Give the load that should be off with one thing on its ways taken out or set at rest at a time."""
    conditions = [without(scene.condition, relay.id) for relay in loose_relays(scene)]
    conditions += [without(scene.condition, fuse.id) for fuse in scene.fuses[:2]]
    conditions += [scene.condition.with_setting(plug, APART) for plug in plugs(scene)[:3]]
    for name in scene.moved_switches:
        kept = tuple(pair for pair in scene.condition.settings if pair[0] != name)
        conditions.append(replace(scene.condition, settings=kept))
    conditions += [scene.condition.at_key(key) for key in scene.harness.key_names if key != scene.condition.key]
    for condition in dict.fromkeys(conditions):
        if condition != scene.condition and not cranks(scene.harness, condition):
            for element in scene.elements:
                yield Check(CheckKind.OBSERVE, condition, load=element.name)
