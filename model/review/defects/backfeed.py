"""Loads and relays that have volts with their own switch off, because current comes to them through other parts."""

from __future__ import annotations

from collections.abc import Iterator

from model.review.adrift import adrift_of
from model.review.defects.telling import do_unless_hazard, owner_words, some_of, when_words
from model.review.finding import Finding, FindingRule, Gravity, rule_of
from model.review.review_scene import ReviewScene
from model.review.strays import Stray, worst_strays
from model.tracing.names import id_and_label
from model.words import volts_text


def backfeed(scene: ReviewScene) -> Iterator[Finding]:
    """Give loads with more than a trace of their volts while every contact that feeds them is open, and relays held so.

    Those that feed one another in the same condition are one finding. What hangs on metal without a way home strays by
    that alone, which is told.
    """
    adrift = frozenset().union(*(one.points for one in adrift_of(scene.harness)))
    groups: list[list[Stray]] = []
    for stray in worst_strays(scene, rule_of("fed with its switch off").figure / 100.0):
        if not adrift.isdisjoint((*stray.taker.ends, *stray.through.ends)):
            continue
        together = [group for group in groups if any(_hang_together(stray, one) for one in group)]
        groups = [group for group in groups if group not in together]
        groups.append([*(one for group in together for one in group), stray])
    for group in groups:
        yield _finding(scene, group)


def _hang_together(one: Stray, other: Stray) -> bool:
    """Tell whether two have their volts in the same condition and one by way of the other or both by the same part."""
    if (one.survey.settled.condition, one.off) != (other.survey.settled.condition, other.off):
        return False
    return not {one.taker.name, one.through.name}.isdisjoint({other.taker.name, other.through.name})


def _finding(scene: ReviewScene, group: list[Stray]) -> Finding:
    harness = scene.harness
    worst = max(group, key=lambda stray: stray.share)
    owners = dict.fromkeys(owner for stray in group for owner in stray.opened)
    opened = some_of(owner_words(harness, owner) for owner in owners) or "every contact"
    through = dict.fromkeys((stray.through.part_id, stray.through.name) for stray in group)
    through_words = some_of(f"{id_and_label(harness, part_id)} ({name})" for part_id, name in through)
    part_ids = tuple(dict.fromkeys([*(stray.taker.part_id for stray in group), *(part_id for part_id, _ in through)]))
    when = when_words(harness, worst.survey.settled.condition, worst.off)
    return Finding(
        FindingRule.BACKFEED,
        _gravity(group),
        f"{some_of(_name(scene, stray) for stray in group)}: with {opened} open there are still up to "
        f"{volts_text(worst.volts)} V across {worst.taker.name}, {100 * worst.share:.0f} % of its own ({when}). "
        f"The current goes through {through_words}.",
        do_unless_hazard(
            harness,
            part_ids,
            "Part the circuits: a feed or a ground of their own, or a diode that lets current through one way only. "
            f"{_until(scene, worst)}",
        ),
        part_ids,
        tuple(dict.fromkeys(end for stray in group for end in stray.taker.ends)),
        value=round(100 * worst.share, 1),
        unit="% of its volts",
        rule_text=rule_of("fed with its switch off"),
    )


def _name(scene: ReviewScene, stray: Stray) -> str:
    return f"{id_and_label(scene.harness, stray.taker.part_id)} ({stray.taker.name})"


def _gravity(group: list[Stray]) -> Gravity:
    """Rank what lights, turns or holds a relay as not working, a trace of the volts as working badly."""
    coils = any(stray.taker.element is None for stray in group)
    strong = any(stray.share >= rule_of("alive with its switch off").figure / 100.0 for stray in group)
    return Gravity.FAILS if coils or strong else Gravity.WEARS


def _until(scene: ReviewScene, stray: Stray) -> str:
    if not stray.off:
        return "Until then “off” at its switch does not mean dead: measure."
    return f"Until then {owner_words(scene.harness, stray.off)} at rest does not mean dead: measure."
