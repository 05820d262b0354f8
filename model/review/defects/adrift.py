"""Defects of the way home: a charger, a battery or a body that nothing joins to the grounded post."""

from __future__ import annotations

from collections.abc import Iterator

from model.circuit.faults import part_of_site
from model.harness.parts import Charger
from model.harness.supply import grounded_post_of
from model.review.adrift import Adrift, adrift_of
from model.review.defects.telling import some_of
from model.review.element_said import element_said, sentence_start
from model.review.finding import Finding, FindingRule, Gravity
from model.review.review_scene import ReviewScene
from model.tracing.names import either, id_and_label, point_name
from model.words import clean


def no_way_home(scene: ReviewScene) -> Iterator[Finding]:
    """Give the chargers, the further batteries and the bodies with things on them that have no way home."""
    for one in adrift_of(scene.harness):
        yield _finding(scene, one)


def _finding(scene: ReviewScene, one: Adrift) -> Finding:
    harness = scene.harness
    part_id = part_of_site(one.point)
    bodies = tuple(body for body in one.bodies if body in harness.parts and body != part_id)
    part_ids = tuple(dict.fromkeys(name for name in (part_id, *bodies) if name in harness.parts))
    hanging = tuple(dict.fromkeys(part_of_site(name) for name in one.hanging))
    return Finding(
        FindingRule.ADRIFT,
        Gravity.FAILS,
        " ".join(_words(scene, one)),
        _do(scene, one),
        part_ids or hanging,
        (one.point,),
    )


def _words(scene: ReviewScene, one: Adrift) -> Iterator[str]:
    harness = scene.harness
    named = sentence_start(clean(point_name(harness, one.point)))
    home = _home(scene)
    others = either([_body_name(scene, body) for body in one.bodies if body != one.point], "and")
    on = f" leads to {others} alone, which" if others else ""
    if one.is_hot:
        yield f"{named} leads to no battery post that feeds, whatever is switched."
    elif others:
        yield f"{named}{on} nothing joins to {home}, whatever is switched."
    else:
        yield f"{named} is joined to nothing that leads to {home}, whatever is switched."
    if isinstance(harness.parts.get(part_of_site(one.point)), Charger):
        yield "So it charges nothing."
    if one.hanging and not one.is_hot:
        plural = len(one.hanging) > 1
        yield (
            f"{sentence_start(some_of(element_said(harness, name) for name in one.hanging))} "
            f"{'hang' if plural else 'hangs'} there too, without a way back to the battery."
        )


def _do(scene: ReviewScene, one: Adrift) -> str:
    if one.is_hot:
        return "Lay its cable to the battery, with a fuse at the battery end; where it is there, write it down."
    start = _body_name(scene, one.bodies[0]) if one.bodies else clean(point_name(scene.harness, one.point))
    return f"Lay a strap from {start} to {_home(scene)}; where one is there, write it down: the file leaves it out."


def _home(scene: ReviewScene) -> str:
    post = grounded_post_of(scene.harness, scene.harness.batteries[0].id)
    return f"the grounded post ({clean(point_name(scene.harness, post))})"


def _body_name(scene: ReviewScene, body: str) -> str:
    return f"body {id_and_label(scene.harness, body)}" if body in scene.harness.parts else f"the body {clean(body)}"
