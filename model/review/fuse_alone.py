"""The current of a fuse with its own loads alone, of chargers that a hand turns on, and what is charged through it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from model.cautions import crank_keys
from model.circuit.bench import Bench
from model.circuit.condition import ON, OUT, Condition, charger_is_on
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Harness
from model.harness.parts import Fuse
from model.review.own_settings import reaching
from model.review.spread import Spread
from model.review.sweep import Sweep, is_sound
from model.tracing.nets import nets_of

ALONE_AT_MOST = 40
"""Fuses that are tried with their own loads alone; a judgement, so that a loom of any size costs little."""

_DROPPED_AT_MOST = 8
_SAGS_SHARE = 0.002
_FED_SHARE = 0.9
_CHARGES_AMPS = 0.01


@dataclass(frozen=True, slots=True)
class Uncharged:
    """A battery that is charged no longer where a fuse is pulled, and the chargers that do it."""

    battery_id: str
    charger_ids: tuple[str, ...]


def alone_survey(spread: Spread, most: Survey, fuse_id: str, behind: Iterable[str]) -> Survey | None:
    """Solve the condition in which a fuse carries most with nothing set but what reaches the loads behind it.

    Everything else on pulls the volts down, and with them its amperes. None where that is so little, or nothing else
    is set, that it is no other condition; and where a fuse opens so.
    """
    condition = most.settled.condition
    if not _sags(spread, most, fuse_id):
        return None
    elements = [spread.elements[name] for name in behind]
    reach = {element.part_id for element in elements}
    for element in elements:
        own = spread.owns.get(element.name)
        reach.update(reaching(spread.bench.harness, element) if own is None else own.reach)
    settings = tuple(pair for pair in condition.settings if pair[0] in reach)
    if len(settings) == len(condition.settings):
        return None
    best = _solved(spread.bench, Condition(condition.key, settings))
    is_small = len(spread.bench.harness.fuses) <= ALONE_AT_MOST and 1 < len(settings) <= _DROPPED_AT_MOST
    for pair in settings if best is not None and is_small else ():
        kept = tuple(one for one in best.settled.condition.settings if one != pair) if best is not None else ()
        less = _solved(spread.bench, Condition(condition.key, kept))
        if less is not None and best is not None and less.fuse_amps[fuse_id] >= best.fuse_amps[fuse_id] - 1e-9:
            best = less
    return best


def tried_alone(fuses: Iterable[Fuse], surveys: Sequence[Survey]) -> frozenset[str]:
    """Name the fuses that are tried with their own loads alone: of a large loom those with most of their rating."""

    def share(fuse: Fuse) -> float:
        return max((one.fuse_amps[fuse.id] for one in surveys), default=0.0) / (fuse.amps or 1.0)

    return frozenset(fuse.id for fuse in sorted(fuses, key=share, reverse=True)[:ALONE_AT_MOST])


def hand_charged(found: Sweep) -> tuple[Survey, ...]:
    """Solve each charger that no key state turns on turned on by hand: at rest, and with all on in the first key."""
    harness = found.bench.harness
    keys = [key for key in harness.key_names if key not in crank_keys(harness)]
    solved: list[Survey | None] = []
    for charger in harness.chargers:
        if harness.charging_keys(charger):
            continue
        solved += [_solved(found.bench, Condition(key, ((charger.id, ON),))) for key in keys]
        beside = (one.settled.condition for one in found.all_on if one.settled.condition.key in keys[:1])
        solved += [_solved(found.bench, one.with_setting(charger.id, ON)) for one in beside]
    return tuple(one for one in solved if one is not None)


def uncharged(bench: Bench, surveys: Iterable[Survey], fuse_id: str) -> tuple[Uncharged, ...]:
    """Give the batteries that are charged in one of the surveys and are so no longer with a fuse out."""
    found: dict[str, dict[str, None]] = {}
    for survey in surveys:
        condition = survey.settled.condition
        on = [one.id for one in bench.harness.chargers if charger_is_on(bench.harness, condition, one)]
        charged = _charged(survey)
        if not on or not charged or survey.fuse_amps[fuse_id] < _CHARGES_AMPS:
            continue
        after = _solved(bench, condition.with_setting(fuse_id, OUT))
        for battery_id in charged - _charged(after) if after is not None else ():
            found.setdefault(battery_id, {}).update(dict.fromkeys(on))
    order = [battery.id for battery in bench.harness.batteries if battery.id in found]
    return tuple(Uncharged(name, tuple(found[name])) for name in order)


def charging_surveys(harness: Harness, found: Sweep, by_hand: Iterable[Survey]) -> Iterator[Survey]:
    """Give the surveys at rest in which a charger is on, by the key or by hand."""
    for survey in (*found.at_rest.values(), *by_hand):
        condition = survey.settled.condition
        is_on = any(charger_is_on(harness, condition, one) for one in harness.chargers)
        if is_on and len(condition.settings) <= 1 and is_sound(survey):
            yield survey


def _charged(survey: Survey) -> frozenset[str]:
    """Name the batteries into which current goes."""
    net, amps = survey.settled.net, survey.settled.amps
    into = {battery.id: 0.0 for battery in net.harness.batteries}
    for branch, site in enumerate(net.sites):
        if site in into:
            way = 1.0 if net.names[net.one[branch]] == f"{site}.+" else -1.0
            into[site] += way * float(amps[branch])
    return frozenset(name for name, taken_amps in into.items() if taken_amps > _CHARGES_AMPS)


def _sags(spread: Spread, most: Survey, fuse_id: str) -> bool:
    """Tell whether the feed of a fuse has noticeably less volts than at rest."""
    rest = next((one.survey for one in spread.seen if one.condition == Condition(most.settled.condition.key)), None)
    if rest is None:
        return True
    point = nets_of(spread.bench.harness).upstream[fuse_id]
    before, now = (abs(one.settled.volts_at(point) or 0.0) for one in (rest, most))
    return before < _FED_SHARE * now or now < (1.0 - _SAGS_SHARE) * before


def _solved(bench: Bench, condition: Condition) -> Survey | None:
    try:
        survey = bench.survey(condition)
    except CircuitError:
        return None
    return survey if is_sound(survey) else None
