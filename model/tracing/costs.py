"""What a check costs in minutes, from where one stands and from what is open and apart already.

The minutes are judgement: they order checks, and a person's own minutes differ.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from model.circuit.arrays import BoolArray, FloatArray, IntArray
from model.circuit.condition import Condition
from model.harness.fields import Access
from model.harness.harness import Harness
from model.harness.places import named_place
from model.tracing.checks import Check
from model.tracing.work import BATTERY_MINUTES, MOVE_MINUTES, SET_MINUTES, Work, settings_by_hand, work_of

FIRST_HOLD_MINUTES, HOLD_MINUTES = 2.0, 0.3
VISIT_MINUTES = {Access.OPEN: 0.5, Access.PANEL: 5.0, Access.BURIED: 20.0}
_KEPT_AT_MOST = 2000

T = TypeVar("T", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a trace stands: what has been paid for and how the vehicle is left.

    Attributes
    ----------
    opened
        Names of the places that have been visited; the empty name is that of parts without a place.
    here
        The place where one is; None before the first visit.
    key
        The key state.
    settings
        What is set by hand and not at rest: switches, drivers, dimmers, sockets.
    taken
        Names of what is out, apart or off: plugs, loads, fuses, relays, wires' ends.
    battery_off
        True with the battery's clamps off.
    was_held
        True once somebody has held a switch or the key.
    has_helper
        False where nobody can.
    """

    key: str
    settings: frozenset[tuple[str, str]] = frozenset()
    opened: frozenset[str] = frozenset()
    here: str | None = None
    taken: frozenset[str] = frozenset()
    battery_off: bool = False
    was_held: bool = False
    has_helper: bool = True


class Costs:
    """What checks of a harness cost.

    Parameters
    ----------
    harness
        The harness as read.
    """

    def __init__(self, harness: Harness) -> None:
        self.harness = harness
        self._works: dict[Check, Work] = {}
        self._last: tuple[Sequence[Check], PricedChecks] | None = None

    def start(self, condition: Condition, *, has_helper: bool = True) -> Standing:
        """Give where a trace stands before its first check: the complaint was just seen in its condition."""
        return Standing(condition.key, settings_by_hand(self.harness, condition), has_helper=has_helper)

    def work(self, check: Check) -> Work:
        """Give what a check asks for, worked out once."""
        found = self._works.get(check)
        if found is None:
            found = self._works[check] = work_of(self.harness, check)
        return found

    def minutes(self, check: Check, standing: Standing) -> float:
        """Give the minutes that a check costs; infinite where it wants a helper and there is none."""
        work = self.work(check)
        new = work.takes.keys() - standing.taken
        places = self._places(work, standing)
        minutes = work.own_minutes + sum(work.takes[name].minutes for name in new)
        minutes += sum(self._visit_minutes(place, standing) for place in places)
        if work.moves_switches:
            minutes += SET_MINUTES * (len(_names_that_differ(work, standing)) + (work.key != standing.key))
        needs_off = work.battery_off or any(work.takes[name].wants_battery_off for name in new)
        if needs_off and not standing.battery_off:
            minutes += BATTERY_MINUTES
        return minutes + (_hold_minutes(standing) if work.is_held else 0.0)

    def after(self, check: Check, standing: Standing) -> Standing:
        """Give where a trace stands once a check is made."""
        work = self.work(check)
        places = self._places(work, standing)
        stood = replace(
            standing,
            opened=standing.opened.union(places),
            here=places[-1] if places else standing.here,
            was_held=standing.was_held or work.is_held,
        )
        if not work.moves_switches:
            return stood
        return replace(
            stood,
            key=work.key,
            settings=work.settings,
            taken=frozenset(work.takes),
            battery_off=work.battery_off,
        )

    def priced(self, checks: Sequence[Check]) -> PricedChecks:
        """Give the same checks with their costs ready, by their number; kept for the sequence given last."""
        if self._last is None or self._last[0] is not checks:
            self._last = (checks, PricedChecks(self, checks))
        return self._last[1]

    def minutes_of(self, checks: Sequence[Check], standing: Standing) -> FloatArray:
        """Give the minutes of each of many checks, shape (checks,); fast where the same sequence is given again."""
        return self.priced(checks).all_minutes(standing)

    def _places(self, work: Work, standing: Standing) -> tuple[str, ...]:
        """Name the places that a check leads to from here, in the order in which they are gone to: here first."""
        new = [need.place for name, need in work.takes.items() if name not in standing.taken]
        places = dict.fromkeys((*(place for place in new if place is not None), *work.places))
        return tuple(sorted(places, key=lambda place: place != standing.here))

    def _visit_minutes(self, place: str, standing: Standing) -> float:
        if place not in standing.opened:
            return VISIT_MINUTES[named_place(self.harness, place).access]
        return 0.0 if place == standing.here else MOVE_MINUTES


class PricedChecks:
    """The costs of a fixed list of checks, by their number.

    Notes
    -----
    The minutes of all checks are worked out at once for a standing and kept, so that one more is a look-up.
    """

    def __init__(self, costs: Costs, checks: Sequence[Check]) -> None:
        self._costs = costs
        self._checks = tuple(checks)
        works = [costs.work(check) for check in self._checks]
        self._kept: dict[Standing, tuple[FloatArray, list[float]]] = {}
        self._own = np.array([work.own_minutes for work in works], dtype=np.float64)
        self._is_held: BoolArray = np.array([work.is_held for work in works], dtype=bool)
        self._battery_off: BoolArray = np.array([work.battery_off for work in works], dtype=bool)
        self._sets: BoolArray = np.array([work.moves_switches for work in works], dtype=bool)
        self._keys = {key: number for number, key in enumerate(costs.harness.key_names)}
        self._key: IntArray = np.array([self._keys[work.key] for work in works], dtype=np.int64)
        self._index_taken(works)
        self._index_places(works)
        self._index_settings(works)

    def _index_taken(self, works: list[Work]) -> None:
        self._taken = _numbered(name for work in works for name in work.takes)
        needs = {name: need for work in works for name, need in work.takes.items()}
        self._takes = np.zeros((len(works), len(self._taken)))
        for row, work in enumerate(works):
            self._takes[row, [self._taken[name] for name in work.takes]] = 1.0
        self._take_minutes = np.array([needs[name].minutes for name in self._taken])
        self._take_off = np.array([needs[name].wants_battery_off for name in self._taken], dtype=np.float64)
        self._take_place = [needs[name].place for name in self._taken]

    def _index_places(self, works: list[Work]) -> None:
        at_takes = (place for place in self._take_place if place is not None)
        self._places = _numbered((*(place for work in works for place in work.places), *at_takes))
        self._at = np.zeros((len(works), len(self._places)))
        for row, work in enumerate(works):
            self._at[row, [self._places[place] for place in work.places]] = 1.0
        self._taken_at = np.zeros((len(self._taken), len(self._places)))
        for row, place in enumerate(self._take_place):
            if place is not None:
                self._taken_at[row, self._places[place]] = 1.0
        accesses = (named_place(self._costs.harness, place).access for place in self._places)
        self._visit = np.array([VISIT_MINUTES[access] for access in accesses])

    def _index_settings(self, works: list[Work]) -> None:
        self._names = _numbered(name for work in works for name, _ in work.settings)
        self._values = _numbered(pair for work in works for pair in work.settings)
        self._set: IntArray = np.full((len(works), len(self._names)), -1, dtype=np.int64)
        for row, work in enumerate(works):
            for pair in work.settings:
                self._set[row, self._names[pair[0]]] = self._values[pair]

    def minutes(self, option: int, standing: Standing) -> float:
        """Give the minutes of one check by its number; infinite where it wants a helper and there is none."""
        return self._at_standing(standing)[1][option]

    def after(self, option: int, standing: Standing) -> Standing:
        """Give where a trace stands once a check is made."""
        return self._costs.after(self._checks[option], standing)

    def all_minutes(self, standing: Standing) -> FloatArray:
        """Give the minutes of every check, shape (checks,); not to be changed."""
        return self._at_standing(standing)[0]

    def _at_standing(self, standing: Standing) -> tuple[FloatArray, list[float]]:
        found = self._kept.get(standing)
        if found is None:
            if len(self._kept) >= _KEPT_AT_MOST:
                self._kept.clear()
            minutes = self._work_out(standing)
            found = self._kept[standing] = (minutes, minutes.tolist())
        return found

    def _work_out(self, standing: Standing) -> FloatArray:
        still_in = np.array([name not in standing.taken for name in self._taken], dtype=np.float64)
        new = self._takes * still_in
        to_visit = (self._at + new @ self._taken_at) > 0
        minutes = self._own + new @ self._take_minutes + to_visit @ self._place_minutes(standing)
        minutes += SET_MINUTES * np.where(self._sets, self._count_set(standing), 0)
        if not standing.battery_off:
            minutes += BATTERY_MINUTES * (self._battery_off | (new @ self._take_off > 0))
        minutes[self._is_held] += _hold_minutes(standing)
        return np.asarray(minutes, dtype=np.float64)

    def _place_minutes(self, standing: Standing) -> FloatArray:
        pairs = zip(self._places, self._visit.tolist(), strict=True)
        moved = [
            visit if place not in standing.opened else (0.0 if place == standing.here else MOVE_MINUTES)
            for place, visit in pairs
        ]
        return np.array(moved, dtype=np.float64)

    def _count_set(self, standing: Standing) -> IntArray:
        """Count the changes of key and switches that each check wants."""
        now = np.full(len(self._names), -1, dtype=np.int64)
        strange = 0
        for name, value in standing.settings:
            if name in self._names:
                now[self._names[name]] = self._values.get((name, value), -2)
            else:
                strange += 1
        turned = self._key != self._keys.get(standing.key, -1)
        return np.asarray((self._set != now).sum(axis=1) + strange + turned, dtype=np.int64)


def _numbered(names: Iterable[T]) -> dict[T, int]:
    return {name: number for number, name in enumerate(dict.fromkeys(names))}


def _hold_minutes(standing: Standing) -> float:
    if not standing.has_helper:
        return math.inf
    return HOLD_MINUTES if standing.was_held else FIRST_HOLD_MINUTES


def _names_that_differ(work: Work, standing: Standing) -> set[str]:
    return {name for name, _ in work.settings ^ standing.settings}
