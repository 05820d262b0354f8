"""Contacts over their rating, heavy contacts whose resistance is not known, fuses that blow in use."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.harness.parts import Fuse, FuseStyle, Relay
from model.harness.points import contacts, relay_groups, switch_contacts
from model.harness.wire_list_marks import marks_of
from model.review.blows_alone import BlowsAlone, opens_amps
from model.review.condition_said import condition_said
from model.review.defects.telling import do_unless_hazard, some_of, when_words
from model.review.element_said import element_said
from model.review.finding import Finding, FindingRule, Gravity, rule_of
from model.review.review_scene import ReviewScene
from model.tracing.names import id_and_label, site_points
from model.words import amps_text


@dataclass(frozen=True, slots=True)
class _Most:
    """The most amperes that a site carries in any survey of the sweep, and the survey."""

    site: str
    part_id: str
    amps: float
    survey: Survey


def contact_over_rating(scene: ReviewScene) -> Iterator[Finding]:
    """Give each switch, relay and connector with a contact that carries more than the rating that the file gives."""
    ratings = _ratings(scene.harness)
    rule = rule_of("within its rating")
    over: dict[str, list[_Most]] = {}
    for most in _most_amps(scene, {site: part_id for site, (part_id, _) in ratings.items()}):
        if most.amps > rule.figure / 100.0 * ratings[most.site][1]:
            over.setdefault(most.part_id, []).append(most)
    for part_id, found in over.items():
        worst = max(found, key=lambda most: most.amps)
        rating_amps = ratings[worst.site][1]
        others = [most.site for most in found if most is not worst]
        also = f" So do {some_of(others)}." if len(others) > 1 else f" So does {others[0]}." if others else ""
        grave = worst.amps > rule_of("far over its rating").figure / 100.0 * rating_amps
        yield Finding(
            FindingRule.OVER_RATING,
            Gravity.DANGER if grave else Gravity.WEARS,
            f"{worst.site} of {id_and_label(scene.harness, part_id)} carries {amps_text(worst.amps)}, and is rated at "
            f"{amps_text(rating_amps)} ({_when(scene, worst.survey)}).{also}",
            do_unless_hazard(
                scene.harness,
                (part_id,),
                "Put a contact of a higher rating there, or a relay near the load that this one only pulls in.",
            ),
            (part_id,),
            site_points(scene.harness, worst.site),
            value=round(worst.amps, 1),
            unit="A",
            rule_text=rule,
        )


def _when(scene: ReviewScene, survey: Survey) -> str:
    """Say the condition of a survey; of one that was solved for a load by itself with what is set there."""
    condition = survey.settled.condition
    is_own = any(survey is one for one in scene.lasting)
    return condition_said(scene.harness, condition) if is_own else when_words(scene.harness, condition)


def _ratings(harness: Harness) -> dict[str, tuple[str, float]]:
    """Give the part and the rating in amperes of each contact that has one."""
    found: dict[str, tuple[str, float]] = {}
    for switch in harness.switches:
        if switch.amps is not None:
            found |= {f"{switch.id}:{one}-{other}": (switch.id, switch.amps) for one, other in switch_contacts(switch)}
    for relay in harness.relays:
        if relay.amps is not None:
            rated = relay.id, relay.amps
            found |= {f"{relay.id}:{one}-{other}": rated for one, other in _relay_contacts(relay)}
    for connector in harness.connectors:
        if connector.amps is not None:
            cavities = range(1, connector.cavities + 1)
            found |= {f"{connector.id}.{cavity}": (connector.id, connector.amps) for cavity in cavities}
    return found


def _most_amps(scene: ReviewScene, parts: dict[str, str]) -> tuple[_Most, ...]:
    """Give the most that each of some sites carries, in their order.

    Parameters
    ----------
    parts
        Site → part.
    """
    most: dict[str, tuple[float, Survey]] = {}
    for survey in scene.surveys:
        carried = survey.settled.amps.tolist()
        for branch, site in enumerate(survey.settled.net.sites):
            if site in parts and (site not in most or abs(carried[branch]) > most[site][0]):
                most[site] = abs(carried[branch]), survey
    return tuple(_Most(site, part_id, *most[site]) for site, part_id in parts.items() if site in most)


def heavy_contact(scene: ReviewScene) -> Iterator[Finding]:
    """Give, as one finding, what carries a heavy current and has no resistance in the file."""
    rule = rule_of("contact with its resistance")
    heavy: dict[str, _Most] = {}
    for most in _most_amps(scene, _without_ohms(scene.harness)):
        if most.amps > rule.figure and (most.part_id not in heavy or most.amps > heavy[most.part_id].amps):
            heavy[most.part_id] = most
    if not heavy:
        return
    found = sorted(heavy.values(), key=lambda most: -most.amps)
    named = some_of(f"{id_and_label(scene.harness, one.part_id)} with {amps_text(one.amps)}" for one in found)
    yield Finding(
        FindingRule.HEAVY_CONTACT,
        Gravity.ASK,
        f"The file gives no resistance for what carries most: {named}. At {amps_text(found[0].amps)} each milliohm "
        f"that is taken wrongly puts the volts behind it wrong by {found[0].amps / 1000.0:.2f} V.",
        do_unless_hazard(
            scene.harness,
            (most.part_id for most in found),
            "Measure the volts across each of them under its load, divide by the amperes, and give it as ohms.",
        ),
        tuple(most.part_id for most in found),
        value=round(found[0].amps, 1),
        unit="A",
        rule_text=rule,
    )


def _without_ohms(harness: Harness) -> dict[str, str]:
    """Give the sites of switches, relays, fuses and joints without a resistance in the file, with their parts.

    What the file's own defaults give counts as given.
    """
    typed = harness.defaults.model_fields_set
    found: dict[str, str] = {}
    for switch in (one for one in harness.switches if one.ohms is None and "switch" not in typed):
        found |= {f"{switch.id}:{one}-{other}": switch.id for one, other in switch_contacts(switch)}
    for relay in (one for one in harness.relays if one.ohms is None):
        if relay.amps is not None or "relay" not in typed:
            found |= {f"{relay.id}:{one}-{other}": relay.id for one, other in _relay_contacts(relay)}
    found |= {fuse.id: fuse.id for fuse in harness.fuses if fuse.ohms is None}
    if "joint" not in typed:
        found |= {joint.id: joint.id for joint in harness.joints if joint.ohms is None}
    return found


def _relay_contacts(relay: Relay) -> tuple[tuple[str, str], ...]:
    return tuple(pair for groups in relay_groups(relay) for pair in contacts(groups))


def fuse_blows(scene: ReviewScene) -> Iterator[Finding]:
    """Give the fuses that their own loads blow, those that blow with nothing moved, and those with everything on."""
    alone: dict[str, list[BlowsAlone]] = {}
    for one in scene.blowing:
        for fuse_id in one.fuse_ids:
            alone.setdefault(fuse_id, []).append(one)
    yield from (_blown_alone(scene, scene.harness.part_of(fuse_id, Fuse), found) for fuse_id, found in alone.items())
    told = set(alone)
    for survey in (*scene.sweep.at_rest.values(), *scene.sweep.set_aside):
        for fuse_id in survey.settled.blown:
            if fuse_id not in told:
                told.add(fuse_id)
                yield _blown(scene, survey, scene.harness.part_of(fuse_id, Fuse))


def _blown_alone(scene: ReviewScene, fuse: Fuse, found: list[BlowsAlone]) -> Finding:
    harness = scene.harness
    worst = max(found, key=lambda one: one.survey.fuse_amps[fuse.id])
    carried_amps = worst.survey.fuse_amps[fuse.id]
    opening_amps = opens_amps(harness, fuse.id)
    named = some_of(element_said(harness, one.element.name) for one in found)
    is_one, is_assumed = len(found) == 1, _is_rating_assumed(fuse)
    part_ids = tuple(dict.fromkeys(one.element.part_id for one in found))
    return Finding(
        FindingRule.FUSE_BLOWS,
        Gravity.FAILS,
        f"{id_and_label(harness, fuse.id)} of {fuse.amps:g} A {_verb(fuse)} when {named} {'is' if is_one else 'are'} "
        f"on: {amps_text(carried_amps)} go through it ({condition_said(harness, worst.survey.settled.condition)}), "
        f"and it opens in time above {amps_text(opening_amps)}.{_ASSUMED if is_assumed else ''}",
        _READ_FIRST if is_assumed else _FIT_OTHER,
        (fuse.id, *part_ids),
        site_points(harness, fuse.id),
        value=round(carried_amps, 1),
        unit="A",
        rule_text=rule_of("fuse holds in use"),
    )


_ASSUMED = " Its rating is assumed and was never read: this says nothing of the fuse that is fitted."
_FIT_OTHER = (
    "Fit a fuse that bears this for long, no larger than its wires bear; where they bear less, thicker wires, or "
    "two fuses, each with its wire."
)
_READ_FIRST = "Read the rating on the fuse that is fitted and put it into the file; then look again."


def _is_rating_assumed(fuse: Fuse) -> bool:
    """Tell whether a list named the fuse without a rating, and the file has one that was assumed."""
    return "amps" in marks_of(fuse.note)


def _verb(fuse: Fuse) -> str:
    return "opens, closes and opens again" if fuse.resets or fuse.style is FuseStyle.BREAKER else "blows"


def _blown(scene: ReviewScene, survey: Survey, fuse: Fuse) -> Finding:
    rule = rule_of("fuse holds in use")
    opening_amps = opens_amps(scene.harness, fuse.id)
    moved, is_assumed = bool(survey.settled.condition.settings), _is_rating_assumed(fuse)
    do = (
        "Add up what hangs on it; where all of it can be on at once, share it out over two fuses, each with its wire."
        if moved
        else "Look for a contact that joins the feed to the grounded side, then add up what hangs on the fuse."
    )
    return Finding(
        FindingRule.FUSE_BLOWS,
        Gravity.WEARS if moved else Gravity.FAILS,
        f"{id_and_label(scene.harness, fuse.id)} {_verb(fuse)} with more than {amps_text(opening_amps)} through it "
        f"({when_words(scene.harness, survey.settled.condition)}).{_ASSUMED if is_assumed else ''}",
        _READ_FIRST if is_assumed else do,
        (fuse.id,),
        site_points(scene.harness, fuse.id),
        value=round(opening_amps, 1),
        unit="A",
        rule_text=rule,
    )
