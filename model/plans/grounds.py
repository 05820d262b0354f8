"""The grounds plan: millivolts from each lug to the battery's grounded post with a known current through it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.caution_words import CAUTIONS, CautionKind
from model.cautions import cautions_for
from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import CHASSIS, Harness
from model.harness.hazards import may_be_probed
from model.harness.metal import wire_points, wires_at
from model.harness.parts import Battery
from model.harness.places import NO_PLACE_WORDS, place_words, point_place
from model.harness.points import resolve_point
from model.harness.records import Body, GroundPoint, Joint, Wire
from model.harness.supply import grounded_posts
from model.plans.chains import live_post_of
from model.plans.cold_circuit import ColdLoom
from model.plans.ground_currents import Most, largest_currents
from model.plans.ground_reading import BAD_JOINT_OHMS, GroundReading
from model.plans.insulation_groups import Ground
from model.plans.insulation_positions import set_to
from model.plans.limits import as_limit, high_of, limit_of
from model.plans.plan import Limit, Measure, Plan, PlanKind, PlanRow
from model.plans.switch_settings import Settings, settings_to
from model.tracing.condition_words import key_words
from model.tracing.names import id_and_label, point_name, wire_code
from model.words import amps_text, clean, drop_text, ohms_text

HEAVY_AMPS = 10.0
"""From this current on a lug is judged by the volts that it lets the ground rise; judgement."""

GROUND_AMPS = 5.0
"""About what a lamp of 55 W draws at 12 V."""

_TITLE_CHARACTERS = 90
_CAUTIONS = (CautionKind.UNFUSED, CautionKind.BATTERY_GAS, CautionKind.HOT_PART, CautionKind.PROBING)


@dataclass(frozen=True, slots=True)
class _Way:
    """A pair of points of the grounded side that a row reads between, with its limit in ohms.

    Attributes
    ----------
    must_tell
        The site that the row is there for.
    """

    key: str
    title: str
    red: str
    black: str
    most: Limit
    must_tell: str


@dataclass(frozen=True)
class _Scene:
    """What all rows are made from."""

    harness: Harness
    ground: Ground
    amps: float
    most: dict[str, Most]
    joining: dict[int, Settings]


def grounds_plan(harness: Harness, amps: float = GROUND_AMPS) -> Plan:
    """Make the plan that proves the grounds.

    Parameters
    ----------
    amps
        Current in amperes that a lamp drives from the live post through each ground.

    Notes
    -----
    What is expected is the ohms of the grounded side from the lug to the post, solved, times the current. A lug has
    10 mΩ through which less than 10 A ever return, and else what lets it rise by 0.1 V at the largest current that the
    sound loom drives through it in any key state. A case on a body has 2.5 mΩ (AC 43.13-1B 11-188), a strap 3 mΩ for
    each of its two joints (11-189) beside its own wire. A row covers what 50 mΩ more would bring over its limit.
    """
    ground = Ground(ColdLoom(harness))
    points = _points(harness)
    condition = Condition(harness.key_names[0])
    joining = settings_to(ground.loom, ground.loom.node(ground.point), condition, frozenset(), through=ground.is_metal)
    scene = _Scene(harness, ground, amps, largest_currents(Bench(harness), points), joining)
    rows, left_out = [], []
    for way in (*_lugs(scene, points), *_cases(harness), *_straps(scene)):
        refusal = may_be_probed(harness, way.red) or may_be_probed(harness, way.black)
        if refusal is not None:
            left_out.append(f"{way.title}: {refusal.reason}")
        elif any(ground.loom.node(point) not in joining for point in (way.red, way.black)):
            left_out.append(f"{way.title}: no metal and no switch joins it to {point_name(harness, ground.point)}.")
        else:
            rows.append(_row(scene, way))
    rows.sort(key=lambda row: row.place)
    return Plan(
        kind=PlanKind.GROUNDS,
        vehicle=clean(harness.build.name),
        revision=harness.build.revision,
        rows=tuple(rows),
        about=_about(scene, rows),
        cautions=tuple(CAUTIONS[kind].text for kind in _CAUTIONS),
        left_out=tuple(left_out),
        undetected=_undetected(scene, rows),
    )


def _points(harness: Harness) -> tuple[str, ...]:
    chassis = (CHASSIS,) if harness.build.chassis and harness.grounds else ()
    return (*(part.id for part in (*harness.grounds, *harness.bodies)), *chassis)


def _lugs(scene: _Scene, points: tuple[str, ...]) -> Iterator[_Way]:
    """Give the way from each ground point and body to the grounded post."""
    for point in points:
        most = scene.most.get(point)
        post = scene.ground.point if most is None or most.amps < HEAVY_AMPS else most.post
        title = f"{point_name(scene.harness, point)} to {point_name(scene.harness, post)}"
        yield _Way(f"lug {point}", _titled(title), point, post, _lug_limit(scene, point), point)


def _lug_limit(scene: _Scene, point: str) -> Limit:
    most = scene.most.get(point)
    if most is None or most.amps < HEAVY_AMPS:
        words = "" if most is None else f"at most {amps_text(most.amps)} that return here"
        return as_limit(limit_of("ground lug"), words)
    harness = scene.harness
    at = key_words(harness, most.condition) or "loads on"
    words = f"{amps_text(most.amps)} that return here at most, {at}, which may lift it by 0.1 V"
    return as_limit(limit_of("heavy ground lug"), words, factor=1.0 / most.amps)


def _cases(harness: Harness) -> Iterator[_Way]:
    """Give the way from each case that is bolted on a body to that body."""
    limit = as_limit(limit_of("equipment to structure"))
    for joint in harness.joints:
        ends = resolve_point(harness, joint.from_point), resolve_point(harness, joint.to_point)
        bodies = [end for end in ends if _is_body(harness, end)]
        for body in bodies[:1]:
            case = ends[1] if ends[0] == body else ends[0]
            title = f"{point_name(harness, case)} to {point_name(harness, body)}"
            yield _Way(f"case {joint.id}", _titled(title), case, body, limit, joint.id)


def _straps(scene: _Scene) -> Iterator[_Way]:
    """Give the way from end to end of each wire that joins two ground points or bodies."""
    harness, joint = scene.harness, limit_of("bonding jumper joint")
    for wire in harness.wires:
        one, other = wire_points(harness, wire)
        if one != other and all(_is_body(harness, end) or _is_ground(harness, end) for end in (one, other)):
            ohms = sum(1.0 / float(scene.ground.loom.siemens[at]) for at in scene.ground.loom.branches_of[wire.id])
            words = f"3 mΩ for each of its two joints and {ohms_text(ohms)} of its own wire"
            limit = Limit(None, 2 * (joint.high or 0.0) + ohms, joint.source, joint.source_kind, words)
            title = (
                f"Strap {id_and_label(harness, wire.id)}, {point_name(harness, one)} to {point_name(harness, other)}"
            )
            yield _Way(f"strap {wire.id}", _titled(title), one, other, limit, wire.id)


def _is_body(harness: Harness, point: str) -> bool:
    return point == CHASSIS or isinstance(harness.parts.get(point), Body)


def _is_ground(harness: Harness, point: str) -> bool:
    return isinstance(harness.parts.get(point), GroundPoint)


def _row(scene: _Scene, way: _Way) -> PlanRow:
    harness, ground = scene.harness, scene.ground
    settings = tuple(
        dict((*scene.joining[ground.loom.node(way.red)], *scene.joining[ground.loom.node(way.black)])).items()
    )
    condition = set_to(harness, Condition(harness.key_names[0]), settings)
    reading = GroundReading(ground, way.red, way.black, condition)
    most_ohms = way.most.high or 0.0
    told = reading.told(most_ohms)
    factor = 1000.0 * scene.amps
    limit = Limit(None, most_ohms * factor, way.most.source, way.most.source_kind, way.most.computed_from)
    place = point_place(harness, way.red)
    return PlanRow(
        key=way.key,
        title=way.title,
        group=place_words(place) if place else NO_PLACE_WORDS,
        measure=Measure.MILLIVOLTS,
        condition=condition,
        red=way.red,
        black=way.black,
        place=place.name,
        far_place=point_place(harness, way.black).name,
        expect=reading.ohms * factor,
        limit=limit,
        amps=scene.amps,
        covers=told,
        tells=bool(told),
        blind=_blind(scene, way, reading, told),
        before=(*_before(scene, way), *_over(scene, reading, most_ohms)),
        cautions=tuple(
            one.text for one in cautions_for(harness, (way.red, way.black), condition) if one.kind not in _CAUTIONS
        ),
    )


def _blind(scene: _Scene, way: _Way, reading: GroundReading, told: tuple[str, ...]) -> str:
    if way.must_tell in told or way.must_tell not in scene.ground.loom.net.sites:
        return ""
    named = id_and_label(scene.harness, way.must_tell)
    bad = ohms_text(BAD_JOINT_OHMS)
    if reading.ohms > (way.most.high or 0.0):
        return f"Whole it is over the limit by its own file: {bad} more at {named} stand out too little against that."
    if told:
        return f"A bad bond of {named} does not show here: what returns goes another way."
    beside = f"another way stands beside it, {ohms_text(reading.ohms)} in all"
    return f"{bad} more at {named} would stay within the limit: {beside}."


def _before(scene: _Scene, way: _Way) -> tuple[str, ...]:
    harness = scene.harness
    is_post = isinstance(harness.parts.get(way.black.partition(".")[0]), Battery)
    source = point_name(harness, live_post_of(harness, way.black if is_post else scene.ground.point))
    said = []
    nominal_volts = harness.build.nominal_volts
    said.append(
        f"Lay a lamp of about {scene.amps * nominal_volts:.0f} W at {nominal_volts:g} V, a fuse in its lead, from "
        f"{source} to {point_name(harness, way.red)}, its clip beside the red probe and not under it; read its "
        "amperes: the millivolts go with them."
    )
    rings = [f"{wire.id} {wire_code(harness, wire)}" for wire in wires_at(harness).get(way.red, ())]
    if rings and _is_ground(harness, way.red):
        said.append(f"Touch the crimp barrel of each ring on it, the most counts: {', '.join(rings)}.")
    return tuple(said)


def _over(scene: _Scene, reading: GroundReading, most_ohms: float) -> tuple[str, ...]:
    """Say where by its own file a sound loom is over the limit."""
    if reading.ohms <= most_ohms:
        return ()
    read, most = drop_text(reading.ohms * scene.amps), drop_text(most_ohms * scene.amps)
    return (f"By its own file the sound loom reads {read} here, over the limit of {most}: look into that first.",)


def _titled(title: str) -> str:
    return clean(title[:1].upper() + title[1:], _TITLE_CHARACTERS)


def _about(scene: _Scene, rows: list[PlanRow]) -> tuple[str, ...]:
    said = [
        f"Proves the grounds: about {amps_text(scene.amps)} through each, and the millivolts that they leave. "
        "An ohmmeter is not good enough for milliohms.",
        "Key off and loads off, so that nothing but the lamp returns there. A reading goes with its amperes: give "
        "both.",
        f"A lug through which less than {amps_text(HEAVY_AMPS)} return may have {ohms_text(high_of('ground lug'))} "
        f"(a judgement), a heavier one may rise by {drop_text(high_of('heavy ground lug'))} at its largest current "
        "(common practice).",
    ]
    if not rows:
        said.append("This loom has no ground point, no body and no bonding strap.")
    return tuple(said)


def _undetected(scene: _Scene, rows: list[PlanRow]) -> tuple[str, ...]:
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
