"""What has volts though every contact that should feed it is open: current that comes through loads, coils or diodes.

A load is strayed to where one of its ends hangs on no post through closed contacts and it has volts all the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.condition import APART, MATED, OFF, Condition, rest_position, switch_position
from model.circuit.survey import Survey
from model.harness.harness import Element, Harness
from model.harness.parts import Relay, Switch
from model.harness.points import contacts
from model.harness.records import Connector
from model.review.contact_map import ContactMap, Side, contact_map
from model.review.islands import Contact, Taker, islands_of
from model.review.review_scene import ReviewScene
from model.review.sweep import is_sound
from model.tracing.graph import LinkKind
from model.tracing.rated import works_in_of, works_with_of

_LEAST_AMPS = 1e-6
_FED_SHARE = 0.25
"""Under this share of its volts a load neither lights nor turns; judgement, as in the table ``load_limits``."""


@dataclass(frozen=True, slots=True)
class Stray:
    """A taker with volts that no closed contact gives it.

    Attributes
    ----------
    off
        What alone is at rest in the survey, everything else on; empty in a survey of the sweep.
    volts, share
        Across it, and as a share of its rated volts; of a coil of the nominal volts.
    through
        Through what most of the current comes.
    opened
        What would feed it were its contacts closed: ``S2``, ``K1``, ``A1.pump``.
    """

    taker: Taker
    survey: Survey
    off: str
    volts: float
    share: float
    through: Taker
    opened: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Move:
    """Something that closes contacts in a survey, its position at rest, and what it closes there."""

    owner: str
    rest: str
    closing: tuple[Contact, ...]


def worst_strays(scene: ReviewScene, least_share: float) -> tuple[Stray, ...]:
    """Give each taker that is strayed to, in the survey in which it has most volts; in the order of the file.

    Looked at are the surveys of the sweep, and each of those with everything on with one switch, plug or driver at
    rest, where the contacts tell that what then hangs on no post is joined to both sides through what takes current.

    Parameters
    ----------
    least_share
        Of its rated volts that a load must have to be told; a coil must have its drop-out volts.

    Notes
    -----
    What no contacts feed in any survey is in series by design, as a gauge on its sender. What the file asks to work in
    a condition is not strayed to in it. In a loom that shorts its battery no switch is tried.
    """
    takers = islands_of(scene.harness).takers
    fed = _ever_fed(scene)
    worst: dict[str, Stray] = {}
    for survey, off in _looked_at(scene):
        for stray in _strays(scene, survey, contact_map(scene.harness, survey.settled), off):
            name = stray.taker.name
            enough = stray.share > least_share and name in fed
            if enough and (name not in worst or stray.share > worst[name].share):
                worst[name] = stray
    return tuple(worst[taker.name] for taker in takers if taker.name in worst)


def _ever_fed(scene: ReviewScene) -> set[str]:
    """Name the takers that closed contacts feed in some survey so that they work or pull."""
    nominal_volts = scene.harness.build.nominal_volts
    fed: set[str] = set()
    for survey in scene.surveys:
        closed = contact_map(scene.harness, survey.settled)
        for taker in closed.islands.takers:
            if taker.name not in fed and closed.is_held(taker):
                at_volts = taker.element.at_volts if taker.element is not None else nominal_volts
                if taker_volts(survey, taker) >= _FED_SHARE * at_volts:
                    fed.add(taker.name)
    return fed


def _looked_at(scene: ReviewScene) -> Iterator[tuple[Survey, str]]:
    """Give the surveys to look at, each with what alone is at rest in it."""
    for survey in scene.surveys:
        yield survey, ""
    for survey in scene.sweep.all_on:
        condition, closed = survey.settled.condition, contact_map(scene.harness, survey.settled)
        for move in () if closed.is_shorted else _moves(scene.harness, closed, condition):
            if _may_stray(closed, survey, move):
                found = scene.survey(condition.with_setting(move.owner, move.rest))
                if found is not None and is_sound(found):
                    yield found, move.owner


def _moves(harness: Harness, closed: ContactMap, condition: Condition) -> Iterator[_Move]:
    """Give each switch, plug and driver that closes something now and could be at rest instead."""
    for owner, owned in closed.by_owner.items():
        part = harness.parts.get(owner)
        if isinstance(part, Switch) and owner in condition.by_name:
            rest = rest_position(part)
            joined = {f"{owner}:{one}-{other}" for one, other in contacts(part.positions[rest])}
            yield _Move(owner, rest, tuple(one for one in closed.islands.of_owner[owner] if one.link.site in joined))
        elif isinstance(part, Connector) and condition.by_name.get(owner) == MATED:
            yield _Move(owner, APART, ())
        elif owned[0].link.kind is LinkKind.DRIVER:
            yield _Move(owner, OFF, ())


def _may_stray(closed: ContactMap, survey: Survey, move: _Move) -> bool:
    """Tell whether what loses its posts hangs on both sides through takers, relays that drop with it counted in."""
    return any(_has_both_sides(closed, lost) for lost in losing(closed, survey, move.owner, move.closing))


def losing(
    closed: ContactMap, survey: Survey, owner: str, closing: tuple[Contact, ...] = ()
) -> Iterator[frozenset[int]]:
    """Give the islands that lose their posts as the contacts of an owner open, then with the relays that drop by it.

    Parameters
    ----------
    closing
        Contacts that close instead.
    """
    relays = survey.settled.relays
    without = frozenset({owner})
    while True:
        lost = closed.cut_off(without, closing)
        yield lost
        hanging = (taker for island in lost for taker in closed.islands.takers_at.get(island, ()))
        dropped = {taker.part_id for taker in hanging if taker.element is None and relays[taker.part_id]}
        if dropped <= without:
            return
        without |= dropped


def _has_both_sides(closed: ContactMap, lost: frozenset[int]) -> bool:
    """Tell whether takers lead from islands that lose their posts to the hot side and to the grounded side."""
    todo = set(lost)
    while todo:
        group, sides = {todo.pop()}, Side.NONE
        waiting = list(group)
        while waiting:
            island = waiting.pop()
            for there in _neighbours(closed, lost, island) - group:
                if closed.side(there) and there not in lost:
                    sides |= closed.side(there)
                else:
                    group.add(there)
                    waiting.append(there)
        if sides == Side.HOT | Side.GROUNDED:
            return True
        todo -= group
    return False


def _neighbours(closed: ContactMap, lost: frozenset[int], island: int) -> set[int]:
    """Give the islands that takers, and contacts among what has no posts, join to one."""
    found = {taker.beyond(island) for taker in closed.islands.takers_at.get(island, ())}
    return found | {there for there in closed.beside(island) if there in lost or not closed.side(there)}


def _strays(scene: ReviewScene, survey: Survey, closed: ContactMap, off: str) -> Iterator[Stray]:
    for taker in closed.islands.takers:
        if closed.is_held(taker):
            continue
        volts, share = _volts_and_share(scene, survey, taker)
        if share > 0.0:
            through = _through(survey, closed, taker)
            if through is not None:
                yield Stray(taker, survey, off, volts, share, through, _opened(closed, taker))


def _opened(closed: ContactMap, taker: Taker) -> tuple[str, ...]:
    """Name what owns the open contacts of the islands that a taker hangs loose on."""
    loose = {island for end in (taker.one, taker.other) if not closed.side(end) for island in closed.hanging_with(end)}
    shut = {id(contact) for contact in closed.closed}
    touching = [one for one in closed.islands.contacts if id(one) not in shut and {one.one, one.other} & loose]
    beyond = _joined_by_contacts(closed)
    feeding = (one for one in touching if _leads_to_a_post(closed, beyond, loose, one))
    return tuple(dict.fromkeys(contact.owner for contact in feeding))


def _joined_by_contacts(closed: ContactMap) -> dict[int, list[int]]:
    """Give the islands beside each, contacts that are open counted in."""
    beyond: dict[int, list[int]] = {}
    for one in closed.islands.contacts:
        beyond.setdefault(one.one, []).append(one.other)
        beyond.setdefault(one.other, []).append(one.one)
    return beyond


def _leads_to_a_post(closed: ContactMap, beyond: dict[int, list[int]], loose: set[int], contact: Contact) -> bool:
    """Tell whether a contact at the rim of some islands leads to what hangs on a post, by more open ones too."""
    seen = {contact.one, contact.other} | loose
    waiting = [island for island in (contact.one, contact.other) if island not in loose]
    while waiting:
        island = waiting.pop()
        if closed.side(island):
            return True
        fresh = [there for there in beyond.get(island, ()) if there not in seen]
        seen.update(fresh)
        waiting += fresh
    return False


def _volts_and_share(scene: ReviewScene, survey: Survey, taker: Taker) -> tuple[float, float]:
    """Give the volts across a taker and what share of its own they are; 0 of one that the file asks to work."""
    element = taker.element
    if element is None:
        nominal_volts = scene.harness.build.nominal_volts
        volts = taker_volts(survey, taker)
        drops_out = scene.harness.part_of(taker.part_id, Relay).drop_out
        return volts, volts / nominal_volts if volts >= drops_out * nominal_volts else 0.0
    volts = survey.loads[taker.name].volts
    return volts, 0.0 if _is_asked(scene.harness, element, survey.settled.condition) else volts / element.at_volts


def taker_volts(survey: Survey, taker: Taker) -> float:
    """Give the volts across a load, a feed or a coil; 0 where an end has none to tell."""
    return survey.settled.volts_across(*taker.ends)


def _through(survey: Survey, closed: ContactMap, taker: Taker) -> Taker | None:
    """Give the other taker on the loose side of one that carries most current; None where none carries any."""
    best: tuple[float, Taker] | None = None
    for end in (taker.one, taker.other):
        if closed.side(end):
            continue
        for island in closed.hanging_with(end):
            for other in closed.islands.takers_at.get(island, ()):
                amps = taker_amps(survey, other)
                if other.name != taker.name and amps > _LEAST_AMPS and (best is None or amps > best[0]):
                    best = amps, other
    return None if best is None else best[1]


def taker_amps(survey: Survey, taker: Taker) -> float:
    """Give the amperes through a load, a feed or a coil."""
    return taker_volts(survey, taker) / taker.ohms if taker.element is None else survey.loads[taker.name].amps


def _is_asked(harness: Harness, element: Element, condition: Condition) -> bool:
    """Tell whether the file says of an element that it works in a condition: with what is set, in its key state."""
    works_in, works_with = works_in_of(harness, element), works_with_of(harness, element)
    if not works_with or (works_in is not None and condition.key not in works_in):
        return False
    tables = works_with if isinstance(works_with, tuple) else (works_with,)
    return any(all(_is_at(harness, name, to, condition) for name, to in table.items()) for table in tables)


def _is_at(harness: Harness, name: str, position: str, condition: Condition) -> bool:
    switch = harness.parts.get(name)
    if not isinstance(switch, Switch):
        return condition.by_name.get(name) == position
    return switch_position(harness, switch, condition) == position
