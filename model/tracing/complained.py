"""In which condition a complaint is seen, where the person does not say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from model.cautions import cranks
from model.circuit.bench import Bench
from model.circuit.cases import Variant
from model.circuit.condition import Condition, rest_position
from model.circuit.faults import Fault, FaultKind
from model.circuit.many_faults import FaultBench
from model.circuit.survey import ASKED_SHARE
from model.errors import CircuitError
from model.harness.harness import Element
from model.harness.parts import Battery, Charger, Switch
from model.tracing.complaint import Complaint, Symptom
from model.tracing.graph import LinkKind, closed_test
from model.tracing.load_ways import ways_of
from model.tracing.symptoms import elements_by_name, symptom_likelihood
from model.tracing.walk import Walker
from model.tracing.working import WORKS_AT_SHARE, working_condition

_CONTACTS = frozenset({LinkKind.SWITCH, LinkKind.RELAY, LinkKind.DRIVER, LinkKind.OUTPUT})
_LIKELY = 0.5


def complained_condition(bench: Bench, complaint: Complaint) -> Condition:
    """Give the condition in which a complaint is seen: as said, else the one in which it would show.

    Notes
    -----
    What is dead, weak or comes and goes shows where it should work. What stays on shows where it should be off: at
    rest in the first key state, but where a single stuck contact cannot switch it on there, in another key state or
    with one thing less set than it works with. What works with another shows where the other works and it should not.
    """
    if complaint.condition is not None:
        return replace(complaint.condition, posts_volts=None, faults=())
    match complaint.symptom:
        case Symptom.STAYS_ON:
            return _where_off(bench, complaint)
        case Symptom.WORKS_WITH_ANOTHER:
            return _beside_another(bench, complaint)
    return usual_condition(bench, complaint.loads[0])


def usual_condition(bench: Bench, name: str) -> Condition:
    """Give the condition in which a load should work and a charger charge; a battery is looked at at rest."""
    harness = bench.harness
    part = harness.parts.get(name)
    if isinstance(part, Charger):
        return Condition(next(iter(harness.charging_keys(part)), harness.key_names[-1]))
    if isinstance(part, Battery):
        return Condition(harness.key_names[0])
    return working_condition(bench, elements_by_name(harness)[name]).condition


def is_asked(bench: Bench, name: str, condition: Condition) -> bool:
    """Tell whether the sound circuit feeds a load in a condition; a battery or charger always is looked at."""
    element = elements_by_name(bench.harness).get(name)
    if element is None:
        return True
    return bench.survey(condition.healthy()).loads[name].volts >= ASKED_SHARE * element.at_volts


def _where_off(bench: Bench, complaint: Complaint) -> Condition:
    """Give a condition in which all that is complained of should be off, and one stuck contact would feed it."""
    elements = elements_by_name(bench.harness)
    own = [elements[name] for name in complaint.loads if name in elements]
    rest = Condition(bench.harness.key_names[0])
    if not own:
        return rest
    candidates = (one for one in _less_set(bench, own[0]) if not cranks(bench.harness, one))
    off = [one for one in dict.fromkeys(candidates) if _are_off(bench, own, one)]
    return next((one for one in off if _one_contact_feeds(bench, complaint, one)), off[0] if off else rest)


def _less_set(bench: Bench, element: Element) -> Iterator[Condition]:
    """Give conditions in which a load may be off: at rest, with one thing less set, with one switch moved."""
    harness = bench.harness
    for key in harness.key_names:
        yield Condition(key)
    working = working_condition(bench, element)
    for name in _nearest_first(bench, element, working.condition):
        kept = tuple(pair for pair in working.condition.settings if pair[0] != name)
        yield replace(working.condition, settings=kept)
    for name in working.switches:
        switch = harness.part_of(name, Switch)
        for position in switch.positions:
            if position != rest_position(switch):
                yield Condition(harness.key_names[0]).with_setting(name, position)


def _nearest_first(bench: Bench, element: Element, condition: Condition) -> list[str]:
    """Name what a condition sets, that which commands the load first: what drives its relays, then what feeds it."""
    walk = Walker(bench).walk(element)
    stretches = [stretch for control in walk.controls for stretch in (control.feed, control.ground)]
    steps = [step for stretch in (*stretches, walk.feed) if stretch is not None for step in reversed(stretch.steps)]
    near = [step.link.part_id for step in steps if step.link is not None and step.link.part_id in condition.by_name]
    return [*dict.fromkeys((*near, *reversed(condition.by_name)))]


def _are_off(bench: Bench, elements: Sequence[Element], condition: Condition) -> bool:
    try:
        return not any(is_asked(bench, element.name, condition) for element in elements)
    except CircuitError:
        return False


def _one_contact_feeds(bench: Bench, complaint: Complaint, condition: Condition) -> bool:
    settled = bench.survey(condition).settled
    is_closed = closed_test(bench.harness, settled)
    stuck = [
        Variant((Fault(link.site, FaultKind.STUCK),))
        for link in ways_of(bench.harness, complaint, settled).links
        if link.kind in _CONTACTS and not is_closed(link)
    ]
    if not stuck:
        return False
    cases = FaultBench(bench, [Variant(), *stuck], ()).cases(condition)
    return bool(symptom_likelihood(bench, complaint, cases).max() > _LIKELY)


def _beside_another(bench: Bench, complaint: Complaint) -> Condition:
    """Give a condition in which the other load works and what is complained of should be off."""
    elements = elements_by_name(bench.harness)
    own = [elements[name] for name in complaint.loads if name in elements]
    other = elements[complaint.other_load]
    usual = working_condition(bench, other).condition
    for condition in (usual, *(usual.at_key(key) for key in bench.harness.key_names if key != usual.key)):
        if _works(bench, other, condition) and _are_off(bench, own, condition):
            return condition
    return usual


def _works(bench: Bench, element: Element, condition: Condition) -> bool:
    try:
        return bench.survey(condition).loads[element.name].volts >= WORKS_AT_SHARE * element.at_volts
    except CircuitError:
        return False
