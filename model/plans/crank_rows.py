"""The rows of cranking: posts, clamps, both sides of the starter, its control and the key's feeds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from model.cautions import crank_keys
from model.circuit.condition import Condition
from model.circuit.survey import ASKED_SHARE
from model.harness.harness import CHASSIS, Element
from model.harness.metal import same_metal
from model.harness.parts import Relay, Switch
from model.harness.points import contacts, relay_coils, relay_groups, switch_contacts
from model.harness.supply import battery_chain
from model.plans.chains import chain_posts
from model.plans.crank_scene import Scene, added_row, drop_row, volts_row
from model.plans.limits import COMPUTED, as_limit, limit_of
from model.plans.plan import Limit, Measure, PlanRow
from model.tables import SourceKind
from model.tracing.names import id_and_label, point_name
from model.words import amps_text

CRANKING = "While cranking"
CONTROL = "Start control, while cranking"

_SHORT = "Ten seconds at most are enough for this reading."
_RELAYS_AT_MOST = 4
_FEEDS_SHARE = 0.2


@dataclass(frozen=True)
class Crank:
    """A starter that turns, and what feeds it.

    Attributes
    ----------
    condition
        In which it turns.
    """

    scene: Scene
    element: Element
    condition: Condition

    @cached_property
    def amps(self) -> float:
        """Amperes of the starter."""
        return self.scene.bench.survey(self.condition).loads[self.element.name].amps

    @cached_property
    def batteries(self) -> tuple[str, ...]:
        """The batteries that give a fifth of its current or more, the first of the file first."""
        giving = [one.id for one in self.scene.harness.batteries if self._gives(one.id)]
        return tuple(giving) or (self.scene.harness.batteries[0].id,)

    def _gives(self, battery_id: str) -> bool:
        return self.scene.battery_amps(self.condition, battery_id) >= _FEEDS_SHARE * self.amps

    @cached_property
    def posts(self) -> tuple[str, str]:
        """The live and the grounded post that its current comes from and goes back to."""
        return chain_posts(self.scene.harness, self.batteries[0])

    @cached_property
    def ends(self) -> tuple[str, str]:
        """Its feed terminal and its ground terminal."""
        points = self.element.from_point, self.element.to_point
        off = [abs(self.scene.volts(self.condition, point, self.posts[1])) for point in points]
        return points if off[0] >= off[1] else (points[1], points[0])

    @cached_property
    def contact(self) -> tuple[str, str, str] | None:
        """The contact that closes its feed: part, the terminal the supply comes to, the one that the starter is on."""
        feed = same_metal(self.scene.harness, self.ends[0])
        parts: tuple[Relay | Switch, ...] = (*self.scene.harness.relays, *self.scene.harness.switches)
        for part in parts:
            pairs = switch_contacts(part) if isinstance(part, Switch) else contacts(_groups(part))
            for one, other in (*pairs, *((b, a) for a, b in pairs)):
                if same_metal(self.scene.harness, f"{part.id}.{other}") == feed:
                    return part.id, f"{part.id}.{one}", f"{part.id}.{other}"
        return None


def _groups(relay: Relay) -> tuple[tuple[str, ...], ...]:
    rest, pulled = relay_groups(relay)
    return (*rest, *pulled)


def crank_rows(crank: Crank) -> Iterator[PlanRow]:
    """Give the rows of a starter, in the order in which they are read."""
    yield from _posts(crank)
    yield from _clamps(crank)
    yield from _sides(crank)
    yield from _control(crank)
    yield from _key_feeds(crank)


def _posts(crank: Crank) -> Iterator[PlanRow]:
    scene = crank.scene
    for battery_id in crank.batteries:
        limit = as_limit(limit_of("posts cranking", scene.battery_volts[battery_id]))
        ask = (
            f"crank posts {battery_id}",
            f"posts of {id_and_label(scene.harness, battery_id)}, starter turning",
            CRANKING,
        )
        ends = f"{battery_id}.+", f"{battery_id}.-"
        yield volts_row(scene, ask, crank.condition, ends, limit, (battery_id,), (_SHORT,))
    chain = battery_chain(scene.harness, crank.batteries[0])
    if len(chain) > 1:
        limit = as_limit(limit_of("posts cranking", scene.harness.build.nominal_volts))
        ask = f"crank chain {chain[0]}", f"over {' and '.join(chain)} in series, starter turning", CRANKING
        yield volts_row(scene, ask, crank.condition, crank.posts, limit, chain, (_SHORT,))


def _turning(crank: Crank) -> str:
    return f"{amps_text(crank.amps)} that the starter draws by its file"


def _clamps(crank: Crank) -> Iterator[PlanRow]:
    """Give a row for each post that carries the starter's current: post to its clamp, whole 0."""
    scene = crank.scene
    limit = as_limit(limit_of("post to clamp"), factor=1000.0)
    for battery_id in crank.batteries:
        for sign in "+-":
            post = f"{battery_id}.{sign}"
            ask = f"clamp {post}", f"{point_name(scene.harness, post)} to its clamp, starter turning", CRANKING
            touch = "One probe on the post's own metal, the other on the clamp."
            row = volts_row(scene, ask, crank.condition, (post, post), limit, (post,), (touch, _SHORT))
            yield replace(row, measure=Measure.MILLIVOLTS, black="", far_place="")


def _sides(crank: Crank) -> Iterator[PlanRow]:
    scene, harness = crank.scene, crank.scene.harness
    live, grounded = crank.posts
    feed, ground = crank.ends
    name = id_and_label(harness, crank.element.part_id)
    if crank.contact is not None:
        part_id, fed, on = crank.contact
        ask = f"crank feed {part_id}", f"{point_name(harness, live)} to {point_name(harness, fed)}"
        yield _drop(crank, ask, (live, fed), _path_limit(crank))
        limit = as_limit(limit_of("switch or solenoid contact", harness.build.nominal_volts))
        ask = f"crank contact {part_id}", f"across the contact of {id_and_label(harness, part_id)}"
        yield _drop(crank, ask, (fed, on), limit)
    ask = f"crank feed {feed}", f"{point_name(harness, live)} to the feed terminal of {name}"
    yield _drop(crank, ask, (live, feed), _feed_limit(crank))
    ask = f"crank ground {ground}", f"ground terminal of {name} to {point_name(harness, grounded)}"
    yield _drop(crank, ask, (ground, grounded), _path_limit(crank))
    if harness.build.chassis and scene.ground.loom.node(CHASSIS) in scene.ground.nodes:
        limit = as_limit(limit_of("frame to post", harness.build.nominal_volts))
        ask = "crank frame", f"bare metal of the body to {point_name(harness, grounded)}"
        yield _drop(crank, ask, (CHASSIS, grounded), limit)


def _drop(crank: Crank, ask: tuple[str, str], ends: tuple[str, str], limit: Limit) -> PlanRow:
    key, title = ask
    whole = key, f"{title}, starter turning", CRANKING
    row = volts_row(crank.scene, whole, crank.condition, ends, limit, (), (_SHORT,))
    return drop_row(crank.scene, row, crank.amps)


def _path_limit(crank: Crank) -> Limit:
    """Give 0.2 V for every 100 A that the starter draws."""
    return as_limit(limit_of("any cranking path"), f"0.2 V per 100 A at {_turning(crank)}", factor=crank.amps / 100.0)


def _feed_limit(crank: Crank) -> Limit:
    """Give the limit of the whole feed: the published volts, and no less than what any path of its amperes may lose."""
    row = limit_of("battery + to starter", crank.scene.harness.build.nominal_volts)
    of_path = _path_limit(crank)
    if row.source_kind is SourceKind.JUDGEMENT or (of_path.high or 0.0) > (row.high or 0.0):
        return of_path
    return as_limit(row)


def _control(crank: Crank) -> Iterator[PlanRow]:
    """Give the rows of the relays that start it: drops to the solenoid's coil, volts across each coil."""
    relays = _start_relays(crank)
    if relays:
        yield _control_drops(crank, relays[0])
    for relay in relays:
        yield _coil_row(crank, relay)


def _control_drops(crank: Crank, solenoid: Relay) -> PlanRow:
    """Give the row of both sides of the start control: the published volts are those of both added."""
    scene, harness = crank.scene, crank.scene.harness
    fed, returned = _coil_ends(crank, solenoid)
    limit = as_limit(limit_of("starter control circuit, both sides added", harness.build.nominal_volts))
    title = f"start control of {id_and_label(harness, solenoid.id)}, drops of both sides added"
    pairs = (crank.posts[0], fed), (returned, crank.posts[1])
    row = added_row(scene, (f"control {solenoid.id}", title, CONTROL), crank.condition, pairs, limit)
    coil_amps = abs(scene.volts(crank.condition, fed, returned)) / _coil_ohms(crank, solenoid)
    steady = "Of each the first steady reading counts, with the solenoid pulled in."
    return drop_row(scene, replace(row, before=(*row.before, steady, _SHORT)), coil_amps)


def _coil_ohms(crank: Crank, relay: Relay) -> float:
    return relay_coils(relay, crank.scene.harness.build.nominal_volts)[0][2]


def _coil_row(crank: Crank, relay: Relay) -> PlanRow:
    nominal_volts = crank.scene.harness.build.nominal_volts
    words = f"pull-in of {relay.id} by the file, {relay.pull_in:.0%} of {nominal_volts:g} V"
    limit = Limit(relay.pull_in * nominal_volts, None, COMPUTED, SourceKind.JUDGEMENT, words)
    ask = f"coil {relay.id}", f"across the coil of {id_and_label(crank.scene.harness, relay.id)}", CONTROL
    ends = _coil_ends(crank, relay)
    return volts_row(crank.scene, ask, crank.condition, ends, limit, (f"{relay.id}:coil",), (_SHORT,))


def _start_relays(crank: Crank) -> list[Relay]:
    """List the relays whose contacts start it: the solenoid at the starter, then what feeds its coil, and so on."""
    harness = crank.scene.harness
    found: list[Relay] = []
    wanted = same_metal(harness, crank.ends[0])
    while len(found) < _RELAYS_AT_MOST:
        relay = next((one for one in harness.relays if one not in found and _pulls(crank, one, wanted)), None)
        if relay is None:
            return found
        found.append(relay)
        wanted = same_metal(harness, _coil_ends(crank, relay)[0])
    return found


def _pulls(crank: Crank, relay: Relay, metal: str) -> bool:
    """Tell whether a relay is pulled in while it cranks, and one of its contacts ends on some metal."""
    settled = crank.scene.settled(crank.condition)
    names = {name for group in relay_groups(relay)[1] for name in group}
    return settled.relays[relay.id] and any(
        same_metal(crank.scene.harness, f"{relay.id}.{name}") == metal for name in names
    )


def _coil_ends(crank: Crank, relay: Relay) -> tuple[str, str]:
    """Give the fed and the grounded terminal of a relay's first coil."""
    one, other, _ = relay_coils(relay, crank.scene.harness.build.nominal_volts)[0]
    points = f"{relay.id}.{one}", f"{relay.id}.{other}"
    off = [abs(crank.scene.volts(crank.condition, point, crank.posts[1])) for point in points]
    return points if off[0] >= off[1] else (points[1], points[0])


def _key_feeds(crank: Crank) -> Iterator[PlanRow]:
    """Give the volts of each terminal of the key switch while it is held in crank."""
    scene, harness = crank.scene, crank.scene.harness
    key_switch = harness.key_switch
    if key_switch is None or crank.condition.key not in crank_keys(harness):
        return
    settled = scene.settled(crank.condition)
    for terminal in key_switch.terminals:
        point = f"{key_switch.id}.{terminal}"
        if settled.net.index[point] in settled.idle:
            continue
        limit = _key_limit(crank, point)
        ask = f"key feed {point}", f"{point_name(harness, point)} to {point_name(harness, crank.posts[1])}", CONTROL
        yield volts_row(scene, ask, crank.condition, (point, crank.posts[1]), limit, (key_switch.id,), (_SHORT,))


def _key_limit(crank: Crank, point: str) -> Limit:
    """Give the band of a terminal of the key against the grounded post; one that is dead has no least."""
    scene, grounded = crank.scene, crank.posts[1]
    volts = scene.volts(crank.condition, point, grounded)
    ends = (point, grounded) if volts >= 0 else (grounded, point)
    limit = scene.band_limit(crank.condition, *ends, "the file's battery, contacts and wires, with their tolerances")
    is_dead = abs(volts) < ASKED_SHARE * scene.harness.build.nominal_volts
    return replace(limit, low=None) if is_dead else limit
