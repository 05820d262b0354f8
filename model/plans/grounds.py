"""The grounds plan: millivolts from each lug to the battery's grounded post with a known current through it."""

from __future__ import annotations

from dataclasses import replace

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import cautions_for
from model.harness.harness import Harness
from model.harness.hazards import may_be_probed
from model.harness.metal import wires_at
from model.harness.places import NO_PLACE_WORDS, place_words, point_place
from model.harness.records import GroundPoint, Joint, Wire
from model.harness.supply import grounded_posts
from model.plans.chains import live_post_of
from model.plans.chargers_off import chargers_off_words
from model.plans.every_plan import GROUND_AMPS
from model.plans.ground_reading import BAD_JOINT_OHMS, GroundReading
from model.plans.ground_ways import HEAVY_AMPS, GroundScene, Way, ground_ways
from model.plans.limits import high_of
from model.plans.live_off import live_off_words
from model.plans.plan import Limit, Measure, Plan, PlanKind, PlanRow
from model.plans.row_words import OUTSIDE_BY_FILE
from model.tracing.names import id_and_label, point_name, wire_code
from model.words import amps_text, clean, drop_text, ohms_text

_CAUTIONS = (
    CautionKind.BATTERY_ORDER,
    CautionKind.UNFUSED,
    CautionKind.BATTERY_GAS,
    CautionKind.HOT_PART,
    CautionKind.PROBING,
    CautionKind.FUSE_RATING,
)


def grounds_plan(harness: Harness, amps: float = GROUND_AMPS) -> Plan:
    """Make the plan that proves the grounds.

    Parameters
    ----------
    amps
        Current in amperes that a lamp drives from the live post through each ground.

    Notes
    -----
    What is expected is what the lamp's current, in at the lug and out at the post, leaves between the probes, solved
    with the live clamps off and the fuses out. A lug has
    10 mΩ through which less than 10 A ever return, and else what lets it rise by 0.1 V at the largest current that the
    sound loom drives through it in any key state. A case on a body has 2.5 mΩ (AC 43.13-1B 11-188), a strap 3 mΩ for
    each of its two joints (11-189) beside its own wire; one of more by its file, which never carries what the lamp
    drives, is a contact that touches and is left out. A row covers what 50 mΩ more would bring over its limit.
    """
    scene = GroundScene(harness, amps)
    rows: list[PlanRow] = []
    left_out = []
    for way in ground_ways(scene):
        refusal = may_be_probed(harness, way.lit) or may_be_probed(harness, way.far)
        if refusal is not None:
            left_out.append(f"{way.title}: {refusal.reason}")
        elif scene.too_slight_amps(way.must_tell) is not None:
            left_out.append(_too_slight(scene, way))
        elif not all(map(scene.is_joined, (way.lit, way.far, way.post))):
            left_out.append(f"{way.title}: no metal and no switch joins it to {point_name(harness, way.post)}.")
        else:
            rows.append(_row(scene, way))
    rows.sort(key=lambda row: row.group)
    return Plan(
        kind=PlanKind.GROUNDS,
        vehicle=clean(harness.build.name),
        revision=harness.build.revision,
        rows=_first_told(harness, rows),
        about=_about(scene, rows),
        cautions=tuple(CAUTIONS[kind].text for kind in _CAUTIONS),
        left_out=tuple(left_out),
        undetected=_undetected(scene, rows),
    )


def _too_slight(scene: GroundScene, way: Way) -> str:
    """Say why no test current goes through a contact that only touches, and what proves it."""
    joint = scene.harness.part_of(way.must_tell, Joint)
    return (
        f"{way.title}: {id_and_label(scene.harness, joint.id)} is no bond, {ohms_text(joint.ohms or 0.0)} by the file, "
        f"and carries {amps_text(scene.too_slight_amps(joint.id) or 0.0)} at most. {amps_text(scene.amps)} could burn "
        "it: the loads plan proves it with its own current."
    )


def _first_told(harness: Harness, rows: list[PlanRow]) -> tuple[PlanRow, ...]:
    """Say before the first row how the batteries stand, and that it stays so."""
    if not rows:
        return ()
    return (replace(rows[0], before=(live_off_words(harness), *rows[0].before)), *rows[1:])


def _row(scene: GroundScene, way: Way) -> PlanRow:
    harness, reading = scene.harness, scene.reading(way)
    most_ohms = way.most.high or 0.0
    told = reading.told(most_ohms)
    factor = 1000.0 * scene.amps
    limit = Limit(None, most_ohms * factor, way.most.source, way.most.source_kind, way.most.computed_from)
    place = point_place(harness, way.lit)
    red, black = _probes(harness, way)
    return PlanRow(
        key=way.key,
        title=way.title,
        group=place_words(place) if place else NO_PLACE_WORDS,
        measure=Measure.MILLIVOLTS,
        condition=reading.condition,
        red=red,
        black=black,
        place=place.name,
        far_place=point_place(harness, way.far).name,
        expect=reading.ohms * factor,
        limit=limit,
        amps=scene.amps,
        covers=told,
        tells=bool(told),
        blind=_blind(scene, way, reading, told),
        before=(*_over(reading, most_ohms), *_before(scene, way)),
        cautions=tuple(
            one.text for one in cautions_for(harness, (red, black), reading.condition) if one.kind not in _CAUTIONS
        ),
    )


def _probes(harness: Harness, way: Way) -> tuple[str, str]:
    """Give red and black: red on the side that the lamp's current comes from, so that a sound reading is positive."""
    return (way.far, way.lit) if harness.build.ground_side == "positive" else (way.lit, way.far)


def _blind(scene: GroundScene, way: Way, reading: GroundReading, told: tuple[str, ...]) -> str:
    if way.must_tell in told or way.must_tell not in scene.ground.loom.net.sites:
        return ""
    named = id_and_label(scene.harness, way.must_tell)
    bad = ohms_text(BAD_JOINT_OHMS)
    if reading.ohms > (way.most.high or 0.0):
        return f"The file itself is over the limit here: {bad} more at {named} would hardly show beside that."
    if told:
        return f"A bad bond of {named} does not show here: what returns goes another way."
    return f"{bad} more at {named} would stay within the limit: another way stands beside it."


def _before(scene: GroundScene, way: Way) -> tuple[str, ...]:
    harness, nominal_volts = scene.harness, scene.harness.build.nominal_volts
    source, lug = point_name(harness, live_post_of(harness, way.post)), point_name(harness, way.lit)
    said = [
        f"Lay a lamp of about {scene.amps * nominal_volts:.0f} W at {nominal_volts:g} V, a fuse in its lead, from "
        f"{source}, bare, to {lug}: the clip at the post on first and off last, the other beside the probe and not "
        "under it. Read its amperes: the millivolts go with them."
    ]
    rings = [f"{wire.id} {wire_code(harness, wire)}" for wire in wires_at(harness).get(way.lit, ())]
    if rings and isinstance(harness.parts.get(way.lit), GroundPoint):
        said.append(f"Touch the crimp barrel of each ring on it, the most counts: {', '.join(rings)}.")
    return tuple(said)


def _over(reading: GroundReading, most_ohms: float) -> tuple[str, ...]:
    """Say where by its own file a sound loom is over the limit."""
    return (OUTSIDE_BY_FILE,) if reading.ohms > most_ohms else ()


def _about(scene: GroundScene, rows: list[PlanRow]) -> tuple[str, ...]:
    said = [
        f"Proves the grounds: about {amps_text(scene.amps)} through each, and the millivolts that they leave. "
        "An ohmmeter is not good enough for milliohms.",
        "Take the clamps off, the grounded one first, and every fuse out; cover the live ones, then put the grounded "
        f"one back. {live_off_words(scene.harness)} The lamp's lead, with its fuse, goes to the bare live post: a loom "
        "that is not proven yet never comes to it here. Afterwards the grounded clamp comes off again, before any live "
        "clamp goes on.",
        *chargers_off_words(scene.harness),
        "Nothing but the lamp returns there then. A reading goes with its amperes: give both.",
        f"A lug through which less than {amps_text(HEAVY_AMPS)} return may have {ohms_text(high_of('ground lug'))} "
        f"(a judgement), a heavier one may rise by {drop_text(high_of('heavy ground lug'))} at its largest current "
        "(common practice).",
    ]
    if not rows:
        said.append("This loom has no ground point, no body and no bonding strap.")
    return tuple(said)


def _undetected(scene: GroundScene, rows: list[PlanRow]) -> tuple[str, ...]:
    """Name the bonds, cases, straps and cables of grounded posts whose bad joint no row shows."""
    covered = {name for row in rows for name in row.covers}
    harness, sites = scene.harness, set(scene.ground.loom.net.sites)
    cables = [wire.id for post in grounded_posts(harness) for wire in wires_at(harness).get(post, ())]
    asked = dict.fromkeys([*(row.key.partition(" ")[2] for row in rows), *cables])
    return tuple(
        f"{id_and_label(harness, name)}: another way stands beside it, so that a bad joint there shows in no row."
        for name in asked
        if name in harness.parts and isinstance(harness.parts[name], GroundPoint | Joint | Wire)
        if name in sites and name not in covered
    )
