"""What the grounds plan reads between: lugs and posts, cases and bodies, both ends of a strap, each with its limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.harness import CHASSIS, Harness
from model.harness.metal import wire_points
from model.harness.points import resolve_point
from model.harness.records import Body, GroundPoint, Joint
from model.plans.cold_circuit import ColdLoom
from model.plans.ground_currents import Most, largest_currents
from model.plans.ground_reading import GroundReading
from model.plans.insulation_groups import Ground
from model.plans.insulation_positions import set_to
from model.plans.limits import as_limit, high_of, limit_of
from model.plans.live_off import live_side_off
from model.plans.plan import Limit
from model.plans.row_words import titled
from model.plans.switch_settings import Settings, settings_to
from model.tracing.condition_words import key_words
from model.tracing.names import id_and_label, point_name
from model.words import amps_text, ohms_text

HEAVY_AMPS = 10.0
"""From this current on a lug is judged by the volts that it lets the ground rise; judgement."""


@dataclass(frozen=True, slots=True)
class Way:
    """A pair of points of the grounded side that a row reads between, with its limit in ohms.

    Attributes
    ----------
    lit
        The point that the lamp is laid to.
    far
        The other point.
    post
        The grounded post to which the lamp's current goes back.
    must_tell
        The site that the row is there for.
    """

    key: str
    title: str
    lit: str
    far: str
    post: str
    most: Limit
    must_tell: str


@dataclass(frozen=True)
class GroundScene:
    """What all rows of grounds are made from.

    Attributes
    ----------
    amps
        Current in amperes that the lamp lets through.
    """

    harness: Harness
    amps: float

    @cached_property
    def ground(self) -> Ground:
        """The grounded side."""
        return Ground(ColdLoom(self.harness))

    @cached_property
    def condition(self) -> Condition:
        """The state of the plan: grounded clamps on, live clamps off, fuses out."""
        return live_side_off(self.harness)

    @cached_property
    def points(self) -> tuple[str, ...]:
        """Ground points and bodies, and the chassis where something is bolted to it."""
        chassis = (CHASSIS,) if self.harness.build.chassis and self.harness.grounds else ()
        return (*(part.id for part in (*self.harness.grounds, *self.harness.bodies)), *chassis)

    @cached_property
    def most(self) -> dict[str, Most]:
        """The largest current that returns through each point, and through each case that touches rather than bonds."""
        touching = tuple(case for case in self.touching.values() if case not in self.points)
        return largest_currents(Bench(self.harness), (*self.points, *touching))

    @cached_property
    def touching(self) -> dict[str, str]:
        """The case of each joint that has by its file more ohms than a bond may have: it rubs or rests on the body."""
        most_ohms = high_of("equipment to structure")
        joints = (joint for joint in self.harness.joints if (joint.ohms or 0.0) > most_ohms)
        return {joint.id: ends[0] for joint in joints if (ends := _case_and_body(self.harness, joint)) is not None}

    def too_slight_amps(self, site: str) -> float | None:
        """Give the most amperes that a touching joint ever carries where the lamp would drive more; else None."""
        most = self.most.get(self.touching.get(site, ""))
        return most.amps if most is not None and most.amps < self.amps else None

    @cached_property
    def joining(self) -> dict[int, Settings]:
        """The settings of switches with which metal joins each node to the grounded post."""
        ground = self.ground
        start = ground.loom.node(ground.point)
        return settings_to(ground.loom, start, self.condition, frozenset(), through=ground.is_metal)

    def is_joined(self, point: str) -> bool:
        """Tell whether metal and switches join a point to the grounded post."""
        return self.ground.loom.node(point) in self.joining

    def reading(self, way: Way) -> GroundReading:
        """Give the reading of a way, with the switches closed that it goes through."""
        nodes = (self.ground.loom.node(point) for point in (way.lit, way.far, way.post))
        settings = {name: value for node in nodes for name, value in self.joining.get(node, ())}
        condition = set_to(self.harness, self.condition, tuple(settings.items()))
        return GroundReading(self.ground, (way.lit, way.post), (way.lit, way.far), condition)


def ground_ways(scene: GroundScene) -> Iterator[Way]:
    """Give every way that a row reads: of lugs, of cases, of straps."""
    yield from _lugs(scene)
    yield from _cases(scene)
    yield from _straps(scene)


def _lugs(scene: GroundScene) -> Iterator[Way]:
    """Give the way from each ground point and body to the grounded post."""
    for point in scene.points:
        most = scene.most.get(point)
        post = scene.ground.point if most is None or most.amps < HEAVY_AMPS else most.post
        title = f"{point_name(scene.harness, point)} to {point_name(scene.harness, post)}"
        yield Way(f"lug {point}", titled(title), point, post, post, _lug_limit(scene, point), point)


def _lug_limit(scene: GroundScene, point: str) -> Limit:
    most = scene.most.get(point)
    if most is None or most.amps < HEAVY_AMPS:
        words = "" if most is None else f"at most {amps_text(most.amps)} that return here"
        return as_limit(limit_of("ground lug"), words)
    harness = scene.harness
    at = key_words(harness, most.condition) or "loads on"
    words = f"{amps_text(most.amps)} that return here at most, {at}, which may lift it by 0.1 V"
    return as_limit(limit_of("heavy ground lug"), words, factor=1.0 / most.amps)


def _cases(scene: GroundScene) -> Iterator[Way]:
    """Give the way from each case that is bolted on a body to that body."""
    harness, limit = scene.harness, as_limit(limit_of("equipment to structure"))
    for joint in harness.joints:
        ends = _case_and_body(harness, joint)
        if ends is not None:
            case, body = ends
            title = f"{point_name(harness, case)} to {point_name(harness, body)}"
            yield Way(f"case {joint.id}", titled(title), case, body, scene.ground.point, limit, joint.id)


def _case_and_body(harness: Harness, joint: Joint) -> tuple[str, str] | None:
    """Give the case that a joint puts on a body, and the body; None where it joins none."""
    ends = resolve_point(harness, joint.from_point), resolve_point(harness, joint.to_point)
    body = next((end for end in ends if _is_body(harness, end)), None)
    return None if body is None else (ends[1] if ends[0] == body else ends[0], body)


def _straps(scene: GroundScene) -> Iterator[Way]:
    """Give the way from end to end of each wire that joins two ground points or bodies, lit at the end that lifts more.

    What is lit at the end next to the post sends nothing through the strap.
    """
    harness, joint = scene.harness, limit_of("bonding jumper joint")
    for wire in harness.wires:
        ends = wire_points(harness, wire)
        if ends[0] == ends[1] or not all(_is_body(harness, end) or _is_ground(harness, end) for end in ends):
            continue
        ohms = sum(1.0 / float(scene.ground.loom.siemens[at]) for at in scene.ground.loom.branches_of[wire.id])
        words = f"3 mΩ for each of its two joints and {ohms_text(ohms)} of its own wire"
        limit = Limit(None, 2 * (joint.high or 0.0) + ohms, joint.source, joint.source_kind, words)
        title = titled(f"Strap {id_and_label(harness, wire.id)}, {' to '.join(point_name(harness, e) for e in ends)}")
        ways = [
            Way(f"strap {wire.id}", title, lit, far, scene.ground.point, limit, wire.id)
            for lit, far in (ends, ends[::-1])
        ]
        joined = all(map(scene.is_joined, ends))
        yield max(ways, key=lambda way: scene.reading(way).ohms) if joined else ways[0]


def _is_body(harness: Harness, point: str) -> bool:
    return point == CHASSIS or isinstance(harness.parts.get(point), Body)


def _is_ground(harness: Harness, point: str) -> bool:
    return isinstance(harness.parts.get(point), GroundPoint)
