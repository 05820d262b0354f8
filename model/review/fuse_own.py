"""What a pulled fuse does to a load by the load's own settings, where something else set with them tells otherwise."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from model.circuit.condition import OUT, Condition
from model.circuit.survey import ASKED_SHARE, Survey
from model.errors import CircuitError
from model.review.spread import Spread
from model.review.sweep import is_sound
from model.tracing.nets import nets_of
from model.tracing.rated import works_in_of
from model.tracing.working import WORKS_AT_SHARE

CARRIES_AMPS = 1e-4
"""A fuse with less than this through it changes nothing where it is pulled."""


@dataclass(frozen=True, slots=True)
class OtherWay:
    """A load that a pulled fuse kills in one setting and leaves alive in another.

    Attributes
    ----------
    own
        Its own switches on and nothing else.
    other
        One thing set that keeps it alive, or lets it die, against that; None where no single one does.
    """

    name: str
    own: Condition
    other: Condition | None


def other_ways(
    spread: Spread, fuse_id: str, found: Condition, dies: tuple[str, ...], alive: tuple[str, ...]
) -> tuple[OtherWay, ...]:
    """Give the loads of a pulled fuse that fare otherwise with their own switches alone than in a condition.

    Parameters
    ----------
    found
        In which some of them die and some stay alive.
    """
    forked = (name for name in dies if _has_two_feeds(spread, name))
    every = ((name, False) for name in forked), ((name, True) for name in alive)
    ways = (_other_way(spread, fuse_id, found, name, lives=lives) for some in every for name, lives in some)
    return tuple(way for way in ways if way is not None)


def _other_way(spread: Spread, fuse_id: str, found: Condition, name: str, *, lives: bool) -> OtherWay | None:
    own = next((one for one in _own_conditions(spread, name) if _lives(spread, fuse_id, one, name) is not None), None)
    if own is None or _lives(spread, fuse_id, own, name) is lives:
        return None
    return OtherWay(name, own, _least(spread, fuse_id, found, name, lives=lives))


def _has_two_feeds(spread: Spread, name: str) -> bool:
    element, feeds = spread.elements[name], nets_of(spread.bench.harness).feeds
    return len(frozenset().union(*(feeds.get(end, ()) for end in (element.from_point, element.to_point)))) > 1


def _own_conditions(spread: Spread, name: str) -> Iterator[Condition]:
    """Give the conditions with a load's own switches on alone, in the key states in which it works so."""
    own, harness = spread.owns.get(name), spread.bench.harness
    if own is None:
        return
    asked = works_in_of(harness, own.element)
    for key in harness.key_names:
        group = spread.switched.get((key, name))
        if group is None or (asked is not None and key not in asked):
            continue
        if group.loads[name].volts >= WORKS_AT_SHARE * own.element.at_volts:
            settings = dict(group.settled.condition.settings)
            choice = next((one for one in own.choices if all(settings.get(k) == v for k, v in one)), own.choices[0])
            yield Condition(key, choice)


def _least(spread: Spread, fuse_id: str, found: Condition, name: str, *, lives: bool) -> Condition | None:
    """Give a condition with one thing set in which a load fares as in that found; None where none is so."""
    own = spread.owns[name]
    for pair in found.settings:
        alone = replace(found, settings=(pair,))
        if pair[0] in own.reach and _lives(spread, fuse_id, alone, name) is lives:
            return alone
    return None


def _lives(spread: Spread, fuse_id: str, condition: Condition, name: str) -> bool | None:
    """Tell whether a load that works in a condition does with a fuse out; None where it works not, or half."""
    at_volts = spread.elements[name].at_volts
    before = _solved(spread, condition)
    if before is None or before.loads[name].volts < WORKS_AT_SHARE * at_volts:
        return None
    if before.fuse_amps[fuse_id] <= CARRIES_AMPS:
        return True
    after = _solved(spread, condition.with_setting(fuse_id, OUT))
    share = after.loads[name].volts / at_volts if after is not None else 0.5
    return None if after is None or ASKED_SHARE <= share < WORKS_AT_SHARE else share >= WORKS_AT_SHARE


def _solved(spread: Spread, condition: Condition) -> Survey | None:
    try:
        survey = spread.bench.survey(condition)
    except CircuitError:
        return None
    return survey if is_sound(survey) else None
