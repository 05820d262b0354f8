"""Relays that never rest, that hold themselves in, or that end otherwise by the way there."""

from __future__ import annotations

from collections.abc import Iterator

from model.cautions import cranks
from model.circuit.settle import Settled, settle_netlist
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.review.defects.telling import do_unless_hazard, some_of, when_words
from model.review.finding import Finding, FindingRule, Gravity
from model.review.islands import islands_of
from model.review.latches import Latch, latches
from model.review.review_scene import ReviewScene
from model.tracing.names import either, id_and_label
from model.words import clean, volts_text


def relay_buzzes(scene: ReviewScene) -> Iterator[Finding]:
    """Give what never comes to rest, relays, drivers and inverters, once for those that go together."""
    told: set[tuple[str, ...]] = set()
    for survey in (*scene.sweep.at_rest.values(), *scene.sweep.set_aside):
        names = survey.settled.buzzing
        if not names or names in told:
            continue
        told.add(names)
        part_ids = tuple(dict.fromkeys(name.replace(":", ".").partition(".")[0] for name in names))
        when = when_words(scene.harness, survey.settled.condition)
        named = some_of(id_and_label(scene.harness, part_id) for part_id in part_ids)
        ends = (
            " Moved one at a time they would rest: which of several ends comes is not known."
            if survey.settled.rests_one_at_a_time
            else ""
        )
        yield Finding(
            FindingRule.RELAY_BUZZES,
            Gravity.FAILS,
            f"{named} never {'rests' if len(part_ids) == 1 else 'rest'}: on, it loses the volts that hold it, and off, "
            f"it has them again ({when}).{ends}",
            do_unless_hazard(
                scene.harness,
                part_ids,
                "Feed it from a point that its own contact does not switch, and look for volts that sag with it: a "
                "weak battery, a thin wire, a bad ground.",
            ),
            part_ids,
            _coil_points(scene, part_ids),
        )


def relay_latches(scene: ReviewScene) -> Iterator[Finding]:
    """Give the relays that stay in once pulled, with what lets them go; graver where nothing does."""
    for latch in latches(scene):
        named = either([id_and_label(scene.harness, relay_id) for relay_id in latch.relay_ids], "and")
        one = len(latch.relay_ids) == 1
        points = _coil_points(scene, latch.relay_ids)
        volts = _across(latch.held, points)
        frees = _freeing_words(scene, latch)
        keys = either([clean(key, 40) for key in latch.keys], "and")
        yield Finding(
            FindingRule.RELAY_LATCHES,
            Gravity.ASK if frees else Gravity.FAILS,
            f"{named} {'holds itself' if one else 'hold one another'} in by {'its' if one else 'their'} own "
            f"contacts: once pulled, {'it stays' if one else 'they stay'} in with everything at rest in key state "
            f"{keys}, {volts_text(volts)} V across the coil. "
            + (f"What lets go: {frees}." if frees else "Nothing but a lost supply lets go."),
            do_unless_hazard(
                scene.harness,
                latch.relay_ids,
                "If it is meant so, see that what lets it go is in reach; else feed the coil from before the contact.",
            ),
            latch.relay_ids,
            points,
            value=round(volts, 2),
            unit="V",
        )


def _freeing_words(scene: ReviewScene, latch: Latch) -> str:
    words = []
    for switch_id, position in latch.freed_by:
        if switch_id:
            words.append(f"{id_and_label(scene.harness, switch_id)} at {clean(position, 40)}")
        else:
            words.append(f"the key at {clean(position, 40)}")
    return some_of(words)


def ends_differ(scene: ReviewScene) -> Iterator[Finding]:
    """Give the relays that are in or out in the same condition by the key state that was before; cranking aside."""
    for before, survey in _one_after_the_other(scene):
        other = _from(scene, before.settled, survey.settled)
        if other is None:
            continue
        differ = tuple(one for one, on in survey.settled.relays.items() if other.relays[one] is not on)
        if not differ:
            continue
        named = some_of(id_and_label(scene.harness, relay_id) for relay_id in differ)
        was = clean(before.settled.condition.key, 40)
        yield Finding(
            FindingRule.TWO_ENDS,
            Gravity.ASK,
            f"{named} {'is' if len(differ) == 1 else 'are'} in or out by the way there: "
            f"{when_words(scene.harness, survey.settled.condition)}, it ends otherwise after {was} than from rest.",
            "Try both ways, from rest and through the key state before it; where that must not be, part the circuits.",
            differ,
            _coil_points(scene, differ),
        )


def _one_after_the_other(scene: ReviewScene) -> Iterator[tuple[Survey, Survey]]:
    """Give each survey with the one of the same settings in the key state before it."""
    known = {(one.settled.condition.key, one.settled.condition.settings): one for one in scene.surveys}
    keys = scene.harness.key_names
    for (key, settings), survey in known.items():
        place = keys.index(key)
        before = known.get((keys[place - 1], settings)) if place else None
        if before is not None and not cranks(scene.harness, survey.settled.condition):
            yield before, survey


def _from(scene: ReviewScene, before: Settled, after: Settled) -> Settled | None:
    """Settle a condition from the relays of another; None where none that was in is out now, or it finds no rest."""
    if not any(on and not after.relays[relay_id] for relay_id, on in before.relays.items()):
        return None
    try:
        return settle_netlist(after.net, after.condition, before=before, first_emf=scene.bench.first_emf)
    except CircuitError:
        return None


def _coil_points(scene: ReviewScene, part_ids: tuple[str, ...]) -> tuple[str, ...]:
    coils = [one for one in islands_of(scene.harness).takers if one.element is None and one.part_id in part_ids]
    return tuple(dict.fromkeys(end for coil in coils for end in coil.ends))


def _across(settled: Settled, points: tuple[str, ...]) -> float:
    """Give the volts across the first coil of some."""
    one, other = points[:2]
    return settled.volts_across(one, other)
