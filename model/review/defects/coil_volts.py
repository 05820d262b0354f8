"""Coils of relays with too few volts: while the starter turns, and once the coil is hot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.cautions import cranks, is_starter
from model.circuit.condition import Condition
from model.circuit.survey import Survey
from model.harness.parts import Relay, Switch
from model.review.contact_map import contact_map
from model.review.defects.telling import do_unless_hazard, when_words
from model.review.finding import Finding, FindingRule, Gravity, Rule, rule_of
from model.review.islands import Taker, islands_of
from model.review.review_scene import ReviewScene
from model.review.strays import losing, taker_volts
from model.review.sweep import is_sound
from model.tracing.names import id_and_label
from model.tracing.working import working_condition
from model.words import volts_text


@dataclass(frozen=True, slots=True)
class _Weak:
    """A coil with fewer volts than it may need.

    Attributes
    ----------
    needs_volts
        What it has too few against.
    what
        What may happen, as a clause.
    """

    coil: Taker
    survey: Survey
    volts: float
    needs_volts: float
    what: str
    gravity: Gravity
    rule: Rule | None


def relay_weak(scene: ReviewScene) -> Iterator[Finding]:
    """Give the relays that may not pull in, or may let go, with the volts of their coil; the worst of each.

    While the starter turns, one that was in before or that turns it has to hold, the others have to pull in. Otherwise
    the most volts that a coil ever has count, against what it needs when it is hot.
    """
    worst: dict[str, _Weak] = {}
    for weak in (*_while_cranking(scene), *_otherwise(scene)):
        known = worst.get(weak.coil.part_id)
        if known is None or weak.volts / weak.needs_volts < known.volts / known.needs_volts:
            worst[weak.coil.part_id] = weak
    for weak in worst.values():
        yield _finding(scene, weak)


def _finding(scene: ReviewScene, weak: _Weak) -> Finding:
    harness, relay_id = scene.harness, weak.coil.part_id
    condition = weak.survey.settled.condition
    estimate = " The volts while cranking are an estimate." if cranks(harness, condition) else ""
    return Finding(
        FindingRule.RELAY_WEAK,
        weak.gravity,
        f"{id_and_label(harness, relay_id)} has {volts_text(weak.volts)} V across its coil, where it wants "
        f"{volts_text(weak.needs_volts)} V: {weak.what} ({when_words(harness, condition)}).{estimate}",
        do_unless_hazard(
            harness,
            (relay_id,),
            f"Measure across {weak.coil.ends[0]} and {weak.coil.ends[1]} in that state, and feed the coil from nearer "
            "the battery or ground it better.",
        ),
        (relay_id,),
        weak.coil.ends,
        value=round(weak.volts, 2),
        unit="V",
        rule_text=weak.rule,
    )


def _while_cranking(scene: ReviewScene) -> Iterator[_Weak]:
    for condition in _cranking_conditions(scene):
        survey, before = scene.survey(condition), scene.survey(_before(scene, condition))
        if survey is None or not is_sound(survey):
            continue
        was_on = before.settled.relays if before is not None else {}
        for coil, relay, volts in _fed_coils(scene, survey):
            holds = was_on.get(relay.id) or _turns_starter(scene, survey, relay)
            weak = _to_hold(scene, relay, volts) if holds else _to_pull(scene, relay, volts)
            if weak is not None:
                yield _Weak(coil, survey, volts, *weak)


def _turns_starter(scene: ReviewScene, survey: Survey, relay: Relay) -> bool:
    """Tell whether the starter turns by a relay: that one pulls in before the volts sag, and only has to hold."""
    if not survey.settled.relays[relay.id]:
        return False
    closed = contact_map(scene.harness, survey.settled)
    lost = frozenset().union(*losing(closed, survey, relay.id))
    starters = [
        one for one in closed.islands.takers if one.element is not None and is_starter(scene.harness, one.element)
    ]
    return any(starter.one in lost or starter.other in lost for starter in starters)


def _otherwise(scene: ReviewScene) -> Iterator[_Weak]:
    """Give the coils that, with the most volts that they ever have, pull in cold alone."""
    best: dict[str, tuple[Taker, Survey, Relay, float]] = {}
    for survey in scene.usual:
        for coil, relay, volts in _fed_coils(scene, survey):
            if coil.name not in best or volts > best[coil.name][3]:
                best[coil.name] = coil, survey, relay, volts
    for coil, survey, relay, volts in best.values():
        weak = _to_pull(scene, relay, volts)
        if weak is not None and weak[2] is Gravity.WEARS:
            yield _Weak(coil, survey, volts, *weak)


_Need = tuple[float, str, Gravity, Rule | None]


def _to_pull(scene: ReviewScene, relay: Relay, volts: float) -> _Need | None:
    """Tell what a relay that is to pull in has too little of; None where it has enough, hot too."""
    cold_volts = relay.pull_in * scene.harness.build.nominal_volts
    hot = rule_of("hot coil")
    if volts < cold_volts:
        return cold_volts, "it does not pull in", Gravity.FAILS, None
    if volts < hot.figure * cold_volts:
        return hot.figure * cold_volts, "it pulls in cold, and may not once its coil is hot", Gravity.WEARS, hot
    return None


def _to_hold(scene: ReviewScene, relay: Relay, volts: float) -> _Need | None:
    nominal_volts = scene.harness.build.nominal_volts
    held = rule_of("held by a coil")
    if volts < relay.drop_out * nominal_volts:
        return relay.drop_out * nominal_volts, "it lets go", Gravity.FAILS, None
    if volts < held.figure / 100.0 * nominal_volts:
        return held.figure / 100.0 * nominal_volts, "it was in before, and may let go", Gravity.WEARS, held
    return None


def _fed_coils(scene: ReviewScene, survey: Survey) -> Iterator[tuple[Taker, Relay, float]]:
    """Give the coils that closed contacts feed on both sides, with their volts; of a relay the one with most."""
    closed = contact_map(scene.harness, survey.settled)
    found: dict[str, tuple[Taker, float]] = {}
    for taker in islands_of(scene.harness).takers:
        if taker.element is None and closed.is_supplied(taker):
            volts = taker_volts(survey, taker)
            if taker.part_id not in found or volts > found[taker.part_id][1]:
                found[taker.part_id] = taker, volts
    for relay in scene.harness.relays:
        if relay.id in found:
            yield found[relay.id][0], relay, found[relay.id][1]


def _cranking_conditions(scene: ReviewScene) -> tuple[Condition, ...]:
    """Give the conditions in which starters turn; without a starter in the file the crank key states at rest."""
    workings = [
        working_condition(scene.bench, element) for element in scene.elements if is_starter(scene.harness, element)
    ]
    found = [working.condition for working in workings if working.reached]
    if not found:
        states = (Condition(key) for key in scene.harness.key_names)
        found = [condition for condition in states if cranks(scene.harness, condition)]
    return tuple(dict.fromkeys(found))


def _before(scene: ReviewScene, condition: Condition) -> Condition:
    """Give the condition from which one is reached: what springs back let go, else the key one state back."""
    kept = tuple(pair for pair in condition.settings if not _springs_back(scene, pair[0]))
    if cranks(scene.harness, Condition(condition.key)):
        place = scene.harness.key_names.index(condition.key)
        return Condition(scene.harness.key_names[max(place - 1, 0)], kept)
    return Condition(condition.key, kept)


def _springs_back(scene: ReviewScene, name: str) -> bool:
    part = scene.harness.parts.get(name)
    return isinstance(part, Switch) and part.momentary
