"""Relays that stay in once they are pulled, though all that pulled them is at rest again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from model.circuit.condition import rest_position
from model.circuit.netlist import MoverKind
from model.circuit.settle import Settled, settle_netlist
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.points import contacts
from model.review.contact_map import ContactMap, contact_map
from model.review.islands import Contact
from model.review.review_scene import ReviewScene
from model.review.sweep import is_sound
from model.tracing.graph import LinkKind


@dataclass(frozen=True, slots=True)
class Latch:
    """Relays that hold one another in, or one that holds itself.

    Attributes
    ----------
    relay_ids
        The relays, in the order of the file.
    keys
        Key states in which they stay in with everything at rest.
    freed_by
        Key states, and positions of switches as pairs of id and position, that let them go.
    held
        The circuit with them in, in the first of the key states.
    """

    relay_ids: tuple[str, ...]
    keys: tuple[str, ...]
    freed_by: tuple[tuple[str, str], ...]
    held: Settled


def latches(scene: ReviewScene) -> Iterator[Latch]:
    """Give the relays that hold themselves or one another in.

    Notes
    -----
    The contacts tell which could: those whose coil is fed with everything at rest while they are in. Only these are
    solved. A relay that follows one that holds itself is not told.
    """
    ever_on = _ever_on(scene)
    keys: dict[tuple[str, ...], dict[str, Settled]] = {}
    for key, rest in scene.sweep.at_rest.items():
        if not is_sound(rest):
            continue
        at_rest = {relay_id for relay_id, on in rest.settled.relays.items() if on}
        alone = (one for one in _own_feeding(scene, rest) if one in _staying(scene, rest, frozenset({one})))
        staying = {*_staying(scene, rest, ever_on), *alone} - at_rest
        if not staying:
            continue
        held = _solved_with(scene, rest, staying | at_rest)
        if held is None:
            continue
        for group in _groups(scene, rest, {one for one in staying if held.relays[one]}):
            keys.setdefault(group, {})[key] = held
    for relay_ids, held_in in keys.items():
        freeing = [("", key) for key in scene.sweep.at_rest if key not in held_in]
        first = next(iter(held_in))
        freeing += _freeing_switches(scene, scene.sweep.at_rest[first], frozenset(relay_ids))
        yield Latch(relay_ids, tuple(held_in), tuple(freeing), held_in[first])


def _ever_on(scene: ReviewScene) -> frozenset[str]:
    surveys = (*scene.surveys, *scene.sweep.set_aside)
    return frozenset(relay_id for survey in surveys for relay_id, on in survey.settled.relays.items() if on)


def _own_feeding(scene: ReviewScene, rest: Survey) -> Iterator[str]:
    """Name the relays that at rest have one of their own contacts between what has a post and their coil."""
    base = contact_map(scene.harness, rest.settled)
    coil_ends: dict[str, set[int]] = {}
    for taker in base.islands.takers:
        if taker.element is None:
            coil_ends.setdefault(taker.part_id, set()).update((taker.one, taker.other))
    for contact in base.islands.contacts:
        if contact.link.kind is LinkKind.RELAY and contact.link.pulled:
            loose = [island for island in (contact.one, contact.other) if not base.side(island)]
            if len(loose) == 1 and not base.hanging_with(loose[0]).isdisjoint(coil_ends[contact.owner]):
                yield contact.owner


def _groups(scene: ReviewScene, rest: Survey, latched: set[str]) -> Iterator[tuple[str, ...]]:
    """Give each relay that holds itself alone; where there is none, those that hold one another."""
    in_order = [relay.id for relay in scene.harness.relays if relay.id in latched]
    alone = [relay_id for relay_id in in_order if relay_id in _staying(scene, rest, frozenset({relay_id}))]
    if alone:
        yield from ((relay_id,) for relay_id in alone)
    elif in_order:
        yield tuple(in_order)


def _staying(
    scene: ReviewScene, rest: Survey, pulled: frozenset[str], moved: tuple[str, str] | None = None
) -> frozenset[str]:
    """Name those of some relays whose coils the contacts at rest, and their own, keep fed.

    Parameters
    ----------
    moved
        A switch and its position, in place of the one at rest.
    """
    base = contact_map(scene.harness, rest.settled)
    switched = [contact for contact in base.islands.contacts if contact.link.kind is LinkKind.RELAY]
    others = [contact for contact in base.closed if contact.link.kind is not LinkKind.RELAY]
    if moved is not None:
        others = [contact for contact in others if contact.owner != moved[0]]
        others += _closed_at(scene, base, *moved)
    while pulled:
        closed = [*others, *(one for one in switched if (one.owner in pulled) is one.link.pulled)]
        now = ContactMap(base.islands, base.posts, closed)
        coils = (taker for taker in base.islands.takers if taker.part_id in pulled and taker.element is None)
        fed = frozenset(coil.part_id for coil in coils if now.is_supplied(coil))
        if fed == pulled:
            return pulled
        pulled = fed
    return pulled


def _closed_at(scene: ReviewScene, base: ContactMap, switch_id: str, position: str) -> Iterable[Contact]:
    switch = next(one for one in scene.harness.switches if one.id == switch_id)
    joined = {f"{switch_id}:{one}-{other}" for one, other in contacts(switch.positions[position])}
    return (contact for contact in base.islands.of_owner.get(switch_id, ()) if contact.link.site in joined)


def _solved_with(scene: ReviewScene, rest: Survey, pulled: Iterable[str]) -> Settled | None:
    """Settle a key state at rest from relays that are in; None where it finds no rest or blows a fuse."""
    settled, names = rest.settled, frozenset(pulled)
    states = tuple(
        on or (mover.kind is MoverKind.RELAY and mover.name in names)
        for mover, on in zip(settled.net.movers, settled.states, strict=True)
    )
    before = replace(settled, states=states)
    try:
        held = settle_netlist(settled.net, settled.condition, before=before, first_emf=scene.bench.first_emf)
    except CircuitError:
        return None
    return None if held.buzzing or held.blown else held


def _freeing_switches(scene: ReviewScene, rest: Survey, latched: frozenset[str]) -> Iterator[tuple[str, str]]:
    """Give the switches that a hand moves, each with the first position that lets the relays go."""
    closed = contact_map(scene.harness, rest.settled).by_owner
    for switch in scene.harness.switches:
        if switch.key or switch.follows or switch.id not in closed:
            continue
        moved = (position for position in switch.positions if position != rest_position(switch))
        for position in moved:
            if not latched & _staying(scene, rest, latched, (switch.id, position)):
                yield switch.id, position
                break
