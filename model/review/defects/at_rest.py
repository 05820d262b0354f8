"""Loads of many amperes that work with the key off and everything at rest."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Element, Harness, all_elements
from model.review.defects.telling import do_unless_hazard
from model.review.element_said import element_said, sentence_start
from model.review.finding import Finding, FindingRule, Gravity
from model.review.heavy_loads import heavy_load_rule
from model.review.review_scene import ReviewScene
from model.tracing.rated import works_in_of
from model.words import amps_text


def heavy_at_rest(scene: ReviewScene) -> Iterator[Finding]:
    """Give each load of more than some 20 A that works at rest in the first key state without being asked to."""
    if scene.resting is not None:
        yield from _heavy_in(scene.harness, scene.resting)


def heavy_loads_at_rest(harness: Harness) -> tuple[Finding, ...]:
    """Give the same of a harness that is not looked over further; none where its circuit cannot be solved."""
    try:
        resting = Bench(harness).survey(Condition(harness.key_names[0]))
    except CircuitError:
        return ()
    return tuple(_heavy_in(harness, resting))


def _heavy_in(harness: Harness, resting: Survey) -> Iterator[Finding]:
    for element in all_elements(harness):
        amps = abs(resting.loads[element.name].amps)
        is_asked = resting.settled.condition.key in (works_in_of(harness, element) or ())
        if amps > heavy_load_rule().figure and not is_asked:
            yield _finding(harness, element, amps)


def _finding(harness: Harness, element: Element, load_amps: float) -> Finding:
    named = sentence_start(element_said(harness, element.name))
    at_rest = "the key off and everything" if harness.key_switch else "everything"
    return Finding(
        FindingRule.HEAVY_AT_REST,
        Gravity.DANGER,
        f"{named} works with {at_rest} at rest: {amps_text(load_amps)} go through it as soon as the battery is on.",
        do_unless_hazard(
            harness,
            (element.part_id,),
            "Do not put the battery on before that is cleared up. Put the switch, relay or solenoid that it has into "
            "the file; where it has none, fit one.",
        ),
        (element.part_id,),
        (element.from_point,),
        value=round(load_amps, 1),
        unit="A",
        rule_text=heavy_load_rule(),
    )
