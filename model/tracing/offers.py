"""Which checks there are for a complaint: everything that can be measured, seen, heard or tried, and may be."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from itertools import chain, islice

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import part_of_site
from model.harness.harness import CHASSIS, Harness
from model.harness.hazards import may_be_probed
from model.harness.parts import Relay
from model.harness.points import all_points
from model.harness.supply import grounded_posts
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from model.tracing.graph import hot_posts
from model.tracing.never_offered import never_offered
from model.tracing.offer_loads import observations
from model.tracing.offer_ohms import ohms_checks
from model.tracing.offer_parts import bridges, fuse_amps, listens, looks, new_fuses, socket_checks, swaps
from model.tracing.offer_points import (
    beyond_the_walk,
    let_go_volts,
    load_volts,
    other_keys,
    posts_volts,
    switched_off,
    test_lamps,
    walk_drops,
    walk_volts,
)
from model.tracing.offer_scene import Scene
from model.tracing.offer_shorts import apart_ohms, fuse_lamps, wire_looks
from model.tracing.symptoms import elements_by_name
from model.tracing.walk import Walker

OFFERED_AT_MOST = 400

_BLACK_MAY_MOVE = frozenset({CheckKind.VOLTS, CheckKind.LAMP})


def offered_checks(
    walker: Walker, complaint: Complaint, condition: Condition, sites: Collection[str]
) -> tuple[Check, ...]:
    """Give every check that may be made for a complaint, always in the same order.

    Parameters
    ----------
    condition
        Key state and settings in which the complaint is seen.
    sites
        Fault sites of all hypotheses: what is suspected off the walks gets checks too.

    Raises
    ------
    CircuitError
        Where the sound circuit cannot be solved in the condition.
    """
    scene = _scene(walker, complaint, condition, sites)
    thought_of = dict.fromkeys(chain.from_iterable(_groups(scene)))
    allowed = (check for check in thought_of if never_offered(walker.bench, check) is None)
    return tuple(islice(allowed, OFFERED_AT_MOST))


def _groups(scene: Scene) -> Iterator[Iterator[Check]]:
    """Give the checks by what is done, those that the most traces want before those that few do."""
    yield posts_volts(scene)
    yield walk_volts(scene)
    yield let_go_volts(scene)
    yield load_volts(scene)
    yield walk_drops(scene)
    yield looks(scene)
    yield listens(scene)
    yield observations(scene)
    yield fuse_amps(scene)
    yield _sockets(scene)
    yield switched_off(scene)
    yield other_keys(scene)
    yield test_lamps(scene)
    yield fuse_lamps(scene)
    yield apart_ohms(scene)
    yield wire_looks(scene)
    yield swaps(scene)
    yield new_fuses(scene)
    yield bridges(scene)
    yield ohms_checks(scene)
    yield beyond_the_walk(scene)


def _scene(walker: Walker, complaint: Complaint, condition: Condition, sites: Collection[str]) -> Scene:
    elements = elements_by_name(walker.harness)
    walks = tuple(walker.walk(elements[name]) for name in dict.fromkeys(complaint.loads) if name in elements)
    black = walks[0].black if walks else grounded_posts(walker.harness)[0]
    plain = replace(condition, faults=(), posts_volts=None)
    return Scene(walker.bench, complaint, plain, walks, black, _in_order(walker.harness, sites))


def _in_order(harness: Harness, sites: Collection[str]) -> tuple[str, ...]:
    """Sort sites by the order of the file's parts, so that the same sites give the same checks."""
    order = {part_id: place for place, part_id in enumerate(harness.parts)}

    def place(site: str) -> tuple[int, str]:
        part_id = part_of_site(site)
        return order.get(part_id, len(order)), site

    return tuple(sorted(set(sites), key=place))


def _sockets(scene: Scene) -> Iterator[Check]:
    for relay in scene.relays:
        if relay.inside is None:
            yield from socket_checks(relay, scene.condition, scene.black, scene.hot)


def socket_test(walker: Walker, relay_id: str, condition: Condition, black: str) -> tuple[Check, ...]:
    """Give the readings of the relay-out test of a socket: 30, 86, 85 and 87, with the relay out.

    At 85 the red probe is on the hot post and the black one on the terminal, so that what grounds the coil shows. Of a
    relay of another make every contact's terminal is read. Readings that must never be taken are left out.

    Raises
    ------
    KeyError
        Where the harness has no such relay.
    """
    relay = walker.harness.part_of(relay_id, Relay)
    checks = socket_checks(relay, replace(condition, faults=(), posts_volts=None), black, hot_posts(walker.harness)[0])
    return tuple(check for check in checks if never_offered(walker.bench, check) is None)


def with_black(check: Check, point: str, bench: Bench) -> Check:
    """Give the same volts or test lamp with the black probe on another ground point; the check itself where it cannot.

    Only a black probe that stands on a grounded post is moved.
    """
    stands_on_post = check.black in grounded_posts(bench.harness) and not check.part
    if check.kind not in _BLACK_MAY_MOVE or not stands_on_post or check.red == point:
        return check
    moved = replace(check, black=point)
    return moved if never_offered(bench, moved) is None else check


def ground_points(harness: Harness) -> tuple[str, ...]:
    """Name the points that may serve the black probe: grounded posts, ground points, the bodies."""
    bodies = [CHASSIS] if harness.build.chassis else []
    bodies += [body.id for body in harness.bodies]
    names = (*grounded_posts(harness), *(ground.id for ground in harness.grounds), *bodies)
    return tuple(name for name in names if name in all_points(harness) and may_be_probed(harness, name) is None)
