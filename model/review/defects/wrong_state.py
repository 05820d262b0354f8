"""Loads that work in another key state than the file asks for, or do not work in one that it asks for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from model.circuit.condition import Condition
from model.review.contact_map import contact_map
from model.review.defects.telling import do_unless_hazard, some_of
from model.review.finding import Finding, FindingRule, Gravity
from model.review.islands import islands_of
from model.review.key_feeds import Feed, LoadFeeds, Oddity, key_feeds
from model.review.review_scene import ReviewScene
from model.tracing.names import either, id_and_label
from model.tracing.rated import works_in_of
from model.words import clean

_WORKING = frozenset({Feed.AT_REST, Feed.FED})


def wrong_state(scene: ReviewScene) -> Iterator[Finding]:
    """Give the loads that are fed in a key state in which the file does not ask for it, or not in one in which it does.

    Those that differ alike in the same key states are one finding. What never works is told as not fed, what is weak as
    volts lost, and what has its volts through other parts as fed with its switch off.
    """
    if all(works_in_of(scene.harness, element) is None for element in scene.elements):
        return
    groups: dict[tuple[Oddity, tuple[str, ...]], list[LoadFeeds]] = {}
    for load in key_feeds(scene.bench, scene.sweep):
        if not any(one.feed in _WORKING for one in load.keys):
            continue
        for oddity in dict.fromkeys(odd for _, odd in load.oddities):
            if oddity is Oddity.WEAK:
                continue
            keys = tuple(key for key, odd in load.oddities if odd is oddity and _is_by_contacts(scene, load, key))
            if keys:
                groups.setdefault((oddity, keys), []).append(load)
    for (oddity, keys), loads in groups.items():
        yield _finding(scene, oddity, keys, loads)


def _is_by_contacts(scene: ReviewScene, load: LoadFeeds, key: str) -> bool:
    """Tell of a load whether closed contacts decide what it has in a key state; nothing strays to one that is dead."""
    state = next(one for one in load.keys if one.key == key)
    if state.feed not in _WORKING:
        return True
    taker = next(one for one in islands_of(scene.harness).takers if one.name == load.element.name)
    is_at_rest = state.feed is Feed.AT_REST or state.condition is None
    survey = scene.sweep.at_rest.get(key) if is_at_rest else scene.survey(state.condition or Condition(key))
    return survey is None or contact_map(scene.harness, survey.settled).is_held(taker)


def _finding(scene: ReviewScene, oddity: Oddity, keys: tuple[str, ...], loads: list[LoadFeeds]) -> Finding:
    named = some_of(f"{id_and_label(scene.harness, one.element.part_id)} ({one.element.name})" for one in loads)
    part_ids = tuple(dict.fromkeys(one.element.part_id for one in loads))
    what, gravity = _told(oddity)
    state = "key state" if len(keys) == 1 else "key states"
    return Finding(
        FindingRule.WRONG_STATE,
        gravity,
        f"{what} {state} {either([clean(key, 40) for key in keys], 'and')}: {named}.",
        do_unless_hazard(
            scene.harness,
            part_ids,
            "Look by which terminal of the key or relay the feed comes: move it, or put right what the file asks.",
        ),
        part_ids,
        tuple(dict.fromkeys(one.feed_point for one in loads)),
    )


def _told(oddity: Oddity) -> tuple[str, Gravity]:
    """Say how loads differ from what the file asks for, up to the key states, and how grave that is."""
    match oddity:
        case Oddity.MISSING:
            return "Asked to work and not fed in", Gravity.FAILS
        case Oddity.DROPPED:
            return "Asked to work and not fed while the starter turns, in", Gravity.FAILS
        case Oddity.WEAK:
            return "Weak in", Gravity.WEARS
        case Oddity.UNASKED:
            return "Fed, and not asked to work, in", Gravity.WEARS
        case Oddity.KEPT:
            return "Fed, and not asked to work while the starter turns, in", Gravity.ASK
        case Oddity.UNSWITCHED:
            return "Fed with their own switches at rest in", Gravity.WEARS
    assert_never(oddity)
