"""The first rows of each key state: the posts, and what must be still while everything is at rest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from model.cautions import cautions_for, crank_keys
from model.circuit.bands import Band
from model.circuit.condition import Condition
from model.circuit.survey import ASKED_SHARE
from model.harness.harness import Element, Harness
from model.harness.hazards import may_be_probed
from model.harness.parts import Module
from model.harness.places import point_place
from model.harness.supply import battery_chain, battery_volts
from model.plans.limits import as_limit, limit_of
from model.plans.load_coils import is_coil
from model.plans.load_limits import band_words, computed_limit, half_with_read_posts
from model.plans.load_rows import beyond_limit, is_charging, load_name
from model.plans.load_scene import LoadScene
from model.plans.plan import Leaning, Limit, Measure, PlanRow
from model.tracing.condition_words import key_words
from model.tracing.working import WORKS_AT_SHARE
from model.words import clean, plural

_NAMED_AT_MOST = 12

POSTS = "posts in "
"""With it begin the keys of the rows of the posts."""


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
    limit = _posts_limit(scene, condition, band)
    return PlanRow(
        key=f"{POSTS}{condition.key}",
        title=", ".join(
            word for word in ("The battery's posts", key_words(scene.harness, condition), "all at rest") if word
        ),
        group=place,
        measure=Measure.VOLTS,
        condition=condition,
        red=ends[0],
        black=ends[1],
        place=place,
        far_place=place,
        expect=round(band.volts, 4),
        expect_words=band_words(band, limit),
        limit=limit,
        blind=beyond_limit(band, limit),
        leans=_leaning(scene, condition, ends, band),
        before=(
            "Posts 0.2 V under the figure here? Then 0.2 V less is right in every row of this key state; over it more.",
        ),
        cautions=tuple(caution.text for caution in cautions_for(scene.harness, ends, condition)),
    )


def _leaning(scene: LoadScene, condition: Condition, ends: tuple[str, str], band: Band) -> Leaning | None:
    """Let the posts lean on those of the first key state, as long as no charger holds them in either."""
    first = Condition(scene.harness.key_names[0])
    rest = scene.band(first, *ends)
    if rest is None or condition == first or any(is_charging(scene.harness, one) for one in (condition, first)):
        return None
    words = f"at the posts with {key_words(scene.harness, first)}"
    spread = "meter, loads and the battery's own ohms as far off as is usual, two sigma"
    half = half_with_read_posts(band, abs(rest.volts - band.volts))
    return Leaning(f"{POSTS}{first.key}", rest.volts, half, words, spread)


def _posts_limit(scene: LoadScene, condition: Condition, band: Band) -> Limit:
    """Give what the posts may read: at rest a lead battery has a floor of its own, else the band is the limit."""
    battery_id = scene.live.partition(".")[0]
    chain = battery_chain(scene.harness, battery_id)
    is_lead = all(one.chemistry == "lead" for one in scene.harness.batteries if one.id in chain)
    if not is_lead or condition.key != scene.harness.key_names[0] or is_charging(scene.harness, condition):
        return computed_limit(scene.harness, band)
    volts = battery_volts(scene.harness)
    floor = as_limit(limit_of("posts at rest", sum(volts[one] for one in chain)), "a rested lead battery")
    return replace(floor, high=band.high)


def _still_row(scene: LoadScene, condition: Condition) -> PlanRow:
    return PlanRow(
        key=f"rest in {condition.key}",
        title=f"Everything at rest, {key_words(scene.harness, condition) or 'supply on'}: what is on",
        group="",
        measure=Measure.SEEN,
        condition=condition,
        covers=tuple(on_in(scene, condition)),
        expect_words=on_words(scene, condition),
        before=("Look at every lamp from near, in the dark if you can: a stray glow is faint.",),
        cautions=tuple(caution.text for caution in cautions_for(scene.harness, (), condition)),
    )


def _is_hidden(harness: Harness, element: Element) -> bool:
    return isinstance(harness.parts[element.part_id], Module) or is_coil(harness, element)


def on_words(scene: LoadScene, condition: Condition) -> str:
    """Say which loads are on in a condition, weak ones apart, and that nothing else is."""
    on = on_in(scene, condition)
    works = [name for name, share in on.items() if share >= WORKS_AT_SHARE]
    weak = [name for name, share in on.items() if share < WORKS_AT_SHARE]
    labels = {element.name: load_name(scene.harness, element) for element in scene.elements}
    said = [
        f"{word}: {_named([labels[name] for name in names])}."
        for word, names in (("On", works), ("Weak", weak))
        if names
    ]
    return " ".join([*said, f"Nothing {'else ' if said else ''}glows, hums, clicks or turns."])


def _named(labels: list[str]) -> str:
    more = f" and {plural(len(labels) - _NAMED_AT_MOST, 'more load')}" if len(labels) > _NAMED_AT_MOST else ""
    return ", ".join(labels[:_NAMED_AT_MOST]) + more


def on_in(scene: LoadScene, condition: Condition) -> dict[str, float]:
    """Give the elements that show that they are on in a condition: name → share of their rated volts.

    Modules and ignition coils do not show it: nobody sees or hears them.
    """
    survey = scene.survey(condition)
    if survey is None:
        return {}
    loads = [one for one in scene.elements if not _is_hidden(scene.harness, one)]
    shares = {one.name: (survey.loads[one.name].volts / one.at_volts, survey.loads[one.name].amps) for one in loads}
    return {name: share for name, (share, amps) in shares.items() if amps > 0.0 and share >= ASKED_SHARE}
