"""The first rows of each key state: the posts, and what must be still while everything is at rest."""

from __future__ import annotations

from collections.abc import Iterator

from model.cautions import cautions_for, crank_keys
from model.circuit.condition import Condition
from model.circuit.survey import ASKED_SHARE
from model.harness.harness import Element
from model.harness.hazards import may_be_probed
from model.harness.parts import Module
from model.harness.places import point_place
from model.plans.load_limits import band_words, computed_limit
from model.plans.load_rows import load_name
from model.plans.load_scene import LoadScene
from model.plans.plan import Measure, PlanRow
from model.tracing.condition_words import key_words
from model.words import clean, plural

_NAMED_AT_MOST = 12


def rest_rows(scene: LoadScene) -> Iterator[PlanRow]:
    """Give for each key state, cranking aside, the volts of the posts, and what works there with all at rest.

    A load that glows though nothing asks for it is seen at once, and nothing else would show it: so one look a key
    state stands for every load that must be still.
    """
    for key in scene.harness.key_names:
        condition = Condition(key)
        survey = scene.survey(condition)
        if key in crank_keys(scene.harness) or survey is None or survey.settled.buzzing:
            continue
        posts = _posts_row(scene, condition)
        if posts is not None:
            yield posts
        yield _still_row(scene, condition)


def _posts_row(scene: LoadScene, condition: Condition) -> PlanRow | None:
    ends = (scene.live, scene.black)
    if scene.harness.build.ground_side == "positive":
        ends = (scene.black, scene.live)
    band = scene.band(condition, *ends)
    if band is None or any(may_be_probed(scene.harness, point) for point in ends):
        return None
    place = clean(point_place(scene.harness, scene.live).name)
    return PlanRow(
        key=f"posts in {condition.key}",
        title="The battery's posts, before anything is switched on",
        group=place,
        measure=Measure.VOLTS,
        condition=condition,
        red=ends[0],
        black=ends[1],
        place=place,
        far_place=place,
        expect=round(band.volts, 4),
        expect_words=band_words(band),
        limit=computed_limit(scene.harness, band),
        before=("Take what they differ from the figure here off every row of this key state.",),
        cautions=tuple(caution.text for caution in cautions_for(scene.harness, ends, condition)),
    )


def _still_row(scene: LoadScene, condition: Condition) -> PlanRow:
    elements = _on_at_rest(scene, condition)
    on = [load_name(scene.harness, element) for element in elements]
    more = f" and {plural(len(on) - _NAMED_AT_MOST, 'more load')}" if len(on) > _NAMED_AT_MOST else ""
    named = ", ".join(on[:_NAMED_AT_MOST]) + more
    works = f"These work: {named}. Nothing else" if on else "Nothing"
    return PlanRow(
        key=f"rest in {condition.key}",
        title=f"Everything at rest, {key_words(scene.harness, condition) or 'supply on'}: what is on",
        group="",
        measure=Measure.SEEN,
        condition=condition,
        covers=tuple(element.name for element in elements),
        expect_words=f"{works} glows, hums, clicks or turns.",
        before=("Look at every lamp from near, in the dark if you can: a stray glow is faint.",),
        cautions=tuple(caution.text for caution in cautions_for(scene.harness, (), condition)),
    )


def _on_at_rest(scene: LoadScene, condition: Condition) -> list[Element]:
    survey = scene.survey(condition)
    if survey is None:
        return []
    loads = [one for one in scene.elements if not isinstance(scene.harness.parts[one.part_id], Module)]
    found = [(one, survey.loads[one.name]) for one in loads]
    return [one for one, reading in found if reading.amps > 0.0 and reading.volts >= ASKED_SHARE * one.at_volts]
