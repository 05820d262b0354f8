"""Defects of the way to a load: too many volts lost out and back, and lamps too dim with the engine running."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from model.cautions import cranks
from model.circuit.survey import Survey
from model.harness.harness import Element
from model.harness.parts import LoadKind
from model.harness.supply import grounded_post_of
from model.review.condition_said import condition_said
from model.review.defects.pairs import FED_SHARE
from model.review.element_said import element_said
from model.review.finding import Finding, FindingRule, Gravity, Rule, rule_in
from model.review.glance_sources import source_volts
from model.review.review_scene import ReviewScene
from model.review.way_trees import SurveyWays, Way
from model.tracing.graph import Link, LinkKind, hot_posts
from model.tracing.names import part_name
from model.tracing.rated import is_critical
from model.words import drop_text, volts_text

_BY_DESIGN = frozenset({LinkKind.DIODE, LinkKind.RESISTOR, LinkKind.OUTPUT, LinkKind.EXCITER})
_CRITICAL = "navigation lamps, bilge blowers and pumps, panel feeders, safety gear"
_OTHERS = "every other load (a rule for boats)"
_SOLVED_AT_MOST = 40


@dataclass(frozen=True, slots=True)
class Lost:
    """What is lost on the way of an element out and back.

    Attributes
    ----------
    volts
        What falls along metal, contacts and fuses, out and back.
    posts_volts, load_volts
        Across the posts that feed it, and across it.
    nominal_volts
        Of the batteries that feed it: of a tap less than of the whole chain.
    links
        Each link on the way with the volts that fall along it, the most first.
    """

    volts: float
    posts_volts: float
    load_volts: float
    nominal_volts: float
    links: tuple[tuple[float, Link], ...]


def volts_lost(scene: ReviewScene) -> Iterator[Finding]:
    """Give the loads that lose more on the way than is allowed them: 3 % of nominal where critical, 10 % elsewhere.

    What loses more with everything on is solved again with itself alone on, cranking aside; of the first forty such
    loads that counts. What falls along a resistance or a diode falls by design.
    """
    solved = 0
    for element in scene.elements:
        survey = _fed_in(scene.usual, element) or scene.feeding(element)
        if survey is None or not _loses_too_much(scene, survey, element):
            continue
        if solved < _SOLVED_AT_MOST:
            solved += 1
            survey = scene.own(element) or survey
        if not cranks(scene.harness, survey.settled.condition):
            yield from _loses_too_much(scene, survey, element)


def _loses_too_much(scene: ReviewScene, survey: Survey, element: Element) -> tuple[Finding, ...]:
    """Give the finding of an element that loses too much in a survey; nothing where it does not."""
    lost = lost_on_the_way(scene, survey, element)
    if lost is None or not lost.links:
        return ()
    rule = rule_in("drop_limits", "part", _CRITICAL if is_critical(scene.harness, element) else _OTHERS)
    share = 100.0 * lost.volts / lost.nominal_volts
    return (_drop(scene, element, survey, (lost, share, rule)),) if share > rule.figure else ()


def _fed_in(surveys: Iterable[Survey], element: Element) -> Survey | None:
    """Give the survey in which an element has most volts; None where none of them turns it on."""
    best = max(surveys, key=lambda survey: survey.loads[element.name].volts, default=None)
    return best if best is not None and best.loads[element.name].volts >= FED_SHARE * element.at_volts else None


def lost_on_the_way(scene: ReviewScene, survey: Survey, element: Element) -> Lost | None:
    """Give what an element loses out and back in a survey; None where a side of it leads through other loads.

    Parameters
    ----------
    survey
        One in which the element is on.
    """
    ways = scene.ways(survey)
    sides = _sides(scene, ways, element)
    if sides is None:
        return None
    feed, ground = sides
    falls = [(ways.falls(link), link) for link in (*feed, *ground)]
    by_design_volts = sum(volts for volts, link in falls if link.kind in _BY_DESIGN)
    load_volts = survey.loads[element.name].volts
    posts_volts = _posts_volts(ways, element, feed, ground)
    links = sorted((row for row in falls if row[1].kind not in _BY_DESIGN), key=lambda row: (-row[0], row[1].site))
    nominal_volts = _nominal_volts(scene, ways.start_of(feed, ways.hot_end(element)))
    return Lost(posts_volts - load_volts - by_design_volts, posts_volts, load_volts, nominal_volts, tuple(links))


def _nominal_volts(scene: ReviewScene, post: str) -> float:
    """Give the nominal volts behind the hot post of a battery; of a charger those of the build."""
    is_battery = post in hot_posts(scene.harness)
    return source_volts(scene.harness, post) if is_battery else scene.harness.build.nominal_volts


def _sides(scene: ReviewScene, ways: SurveyWays, element: Element) -> tuple[Way, Way] | None:
    """Give the way from the post that feeds an element, and from the grounded post of the same batteries."""
    feed = ways.feed_way(ways.hot_end(element))
    if feed is None:
        return None
    battery_id = ways.start_of(feed, ways.hot_end(element)).partition(".")[0]
    is_battery = any(battery.id == battery_id for battery in scene.harness.batteries)
    post = grounded_post_of(scene.harness, battery_id) if is_battery else ""
    ground = ways.ground_way(ways.cold_end(element), post)
    return None if ground is None else (feed, ground)


def _posts_volts(ways: SurveyWays, element: Element, feed: Way, ground: Way) -> float:
    """Give the volts between the post at which the feed of an element begins and that at which its ground ends."""
    hot = ways.start_of(feed, ways.hot_end(element))
    cold = ways.start_of(ground, ways.cold_end(element))
    return abs(ways.volts_of(hot) - ways.volts_of(cold))


def _drop(scene: ReviewScene, element: Element, survey: Survey, told: tuple[Lost, float, Rule]) -> Finding:
    lost, share, rule = told
    harness = scene.harness
    worst_volts, worst = lost.links[0]
    wire_ids = tuple(link.part_id for _, link in lost.links if link.kind is LinkKind.WIRE)
    where = part_name(harness, worst.part_id) if worst.site == worst.part_id else worst.site
    said = condition_said(harness, survey.settled.condition)
    away = f"{drop_text(lost.volts)} or {share:.1f} % of {lost.nominal_volts:g} V"
    sentence = (
        f"{element_said(harness, element.name)} gets {volts_text(lost.load_volts)} V of the "
        f"{volts_text(lost.posts_volts)} V at the posts ({said}): {away} is lost out and "
        f"back, where {rule.figure:g} % is allowed; most of it, {drop_text(worst_volts)}, along {where}."
    )
    return Finding(
        FindingRule.DROP,
        Gravity.WEARS,
        sentence,
        "Begin where most is lost: a thicker or shorter wire there, or a contact that carries the current.",
        (element.part_id, worst.part_id),
        (element.from_point, element.to_point),
        value=round(share, 1),
        unit="% of nominal",
        rule_text=rule,
        assumed=scene.assumed_among(wire_ids),
    )


def lamp_under_its_volts(scene: ReviewScene) -> Iterator[Finding]:
    """Give the lamps that have less than 85 % of their design volts with the engine running and themselves alone on.

    What has enough with everything on has enough; a lamp before which a resistance or a diode stands by design is left
    out, and one that is off while the engine runs.
    """
    solved = 0
    for element in scene.elements:
        survey = _fed_in(scene.charging, element) if element.kind is LoadKind.LAMP else None
        if survey is None or not _is_dim(scene, survey, element):
            continue
        if solved < _SOLVED_AT_MOST:
            solved += 1
            survey = _own_charging(scene, survey, element)
        yield from _is_dim(scene, survey, element)


def _own_charging(scene: ReviewScene, survey: Survey, element: Element) -> Survey:
    """Give the survey of an element's own condition with the engine running; the one given where that is none."""
    own = scene.own(element)
    if own is None:
        return survey
    alone = scene.survey(own.settled.condition.at_key(survey.settled.condition.key))
    return survey if alone is None or alone.loads[element.name].volts < FED_SHARE * element.at_volts else alone


def _is_dim(scene: ReviewScene, survey: Survey, element: Element) -> tuple[Finding, ...]:
    """Give the finding of a lamp that has too few volts in a survey; nothing where it has enough."""
    if not _BY_DESIGN.isdisjoint(_kinds(scene, survey, element)):
        return ()
    lost = lost_on_the_way(scene, survey, element)
    rule = rule_in("load_limits", "quantity", "least volts at a lamp")
    share = 0.0 if lost is None else 100.0 * lost.load_volts / element.at_volts
    return () if lost is None or share >= rule.figure else (_dim(scene, element, (lost, share, rule)),)


def _kinds(scene: ReviewScene, survey: Survey, element: Element) -> set[LinkKind]:
    sides = _sides(scene, scene.ways(survey), element)
    return {link.kind for way in sides or () for link in way}


def _dim(scene: ReviewScene, element: Element, told: tuple[Lost, float, Rule]) -> Finding:
    lost, share, rule = told
    made_for = f"{share:.1f} % of the {element.at_volts:g} V that it is made for"
    return Finding(
        FindingRule.LAMP_DIM,
        Gravity.WEARS,
        f"{element_said(scene.harness, element.name)} has {volts_text(lost.load_volts)} V with the "
        f"engine running, {made_for}, where {rule.figure:g} % is asked.",
        "Look at its feed and its ground under load, and whether the lamp is made for this vehicle's volts.",
        (element.part_id,),
        (element.from_point, element.to_point),
        value=round(lost.load_volts, 2),
        unit="V",
        rule_text=rule,
    )
