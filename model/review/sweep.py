"""A loom with everything on at once: few enough conditions to solve for every key state of a loom of any size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from model.circuit.bench import Bench
from model.circuit.condition import OFF, ON, OUT, Condition, has_socket
from model.circuit.faults import part_of_site
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Element, Harness
from model.harness.parts import Load, Switch
from model.harness.records import Connector
from model.tracing.working import SOLVED_AT_MOST, WORKS_AT_SHARE, is_moved_by_hand, moved_positions, working_condition

SOLVED_A_SEARCH_AT_MOST = 60
"""Circuits that are solved for one element that nothing feeds with everything on; judgement."""

_SEARCHED_IN_VAIN_AT_MOST = 12


@dataclass(frozen=True, slots=True)
class Sweep:
    """Every key state, at rest and with everything that a hand moves in its first, second, … position from rest.

    Attributes
    ----------
    at_rest
        Key state → its survey with nothing moved; a key state that cannot be solved is left out.
    all_on
        The surveys with everything moved, those aside in which a fuse blows or relays buzz: what they tell of the
        loads is none of their own. Where something buzzes, or a fuse blows with nothing moved, the condition stands
        here without it.
    set_aside
        Those.
    """

    bench: Bench
    at_rest: dict[str, Survey]
    all_on: tuple[Survey, ...]
    set_aside: tuple[Survey, ...] = ()

    def best(self, element: Element) -> Survey | None:
        """Give the survey of the sweep in which an element has most volts; None where that is under 80 % of its own."""
        surveys = (*self.at_rest.values(), *self.all_on)
        best = max(surveys, key=lambda survey: survey.loads[element.name].volts, default=None)
        if best is None or best.loads[element.name].volts < WORKS_AT_SHARE * element.at_volts:
            return None
        return best

    def feeding(self, element: Element, solved_at_most: int = SOLVED_AT_MOST) -> Survey | None:
        """Give the survey in which an element has most volts; None where nothing feeds it.

        One with everything else on goes first; where none gives 80 % of its rated volts, its own working condition is
        searched, with so many circuits solved at most.
        """
        best = self.best(element)
        if best is not None:
            return best
        working = working_condition(self.bench, element, solved_at_most)
        return self.bench.survey(working.condition) if working.reached else None


class FeedSearch:
    """Looks for the survey that feeds each element, and gives up after a dozen in vain.

    Attributes
    ----------
    unsearched
        Names of elements that have no feed with everything on and were not looked into further, since too many were
        before them: a loom that is wrong as a whole costs no minutes.
    """

    def __init__(self, found: Sweep) -> None:
        self.unsearched: list[str] = []
        self._sweep = found
        self._in_vain = 0

    def feeding(self, element: Element) -> Survey | None:
        """Give the survey in which an element has most volts; None where nothing feeds it in any setting tried."""
        if self._in_vain < _SEARCHED_IN_VAIN_AT_MOST:
            found = self._sweep.feeding(element, SOLVED_A_SEARCH_AT_MOST)
            self._in_vain += found is None
            return found
        best = self._sweep.best(element)
        if best is None:
            self.unsearched.append(element.name)
        return best


def sweep(bench: Bench) -> Sweep:
    """Solve every key state at rest and with everything on; what has been solved before is kept by the bench."""
    at_rest: dict[str, Survey] = {}
    all_on: list[Survey] = []
    set_aside: list[Survey] = []
    for key in bench.harness.key_names:
        rest = _solved(bench, Condition(key))
        if rest is not None:
            at_rest[key] = rest
        moved = [_solved(bench, condition) for condition in _all_on(bench.harness, key)]
        every = [one for one in moved if one is not None]
        set_aside += [one for one in every if not is_sound(one)]
        blown = frozenset(rest.settled.blown) if rest is not None else frozenset()
        calmed = [_calmed(bench, one, blown) for one in (rest, *every) if one is not None]
        all_on += [one for one in (*every, *calmed) if one is not None and is_sound(one)]
    return Sweep(bench, at_rest, tuple(all_on), tuple(set_aside))


def is_sound(survey: Survey) -> bool:
    """Tell whether every fuse is whole and nothing buzzes in a survey."""
    return not survey.settled.blown and not survey.settled.buzzing


def is_moved(harness: Harness, condition: Condition) -> bool:
    """Tell whether a hand moves or plugs anything in a condition; what is out only because it buzzes does not count."""
    parts = harness.parts
    return any(isinstance(parts.get(name), Switch | Connector | Load) for name, _ in condition.settings)


def _calmed(bench: Bench, survey: Survey, blown: frozenset[str]) -> Survey | None:
    """Solve a condition without what buzzes in it, and without fuses that blow at rest: all else is as it would be."""
    condition = survey.settled.condition
    drivers = {f"{module.id}.{one.terminal}" for module in bench.harness.modules for one in module.drivers}
    still = dict((name, OFF) if name in drivers else (part_of_site(name), OUT) for name in survey.settled.buzzing)
    still.update((name, OUT) for name in survey.settled.blown if name in blown)
    if not still:
        return None
    kept = tuple(pair for pair in condition.settings if pair[0] not in still)
    return _solved(bench, replace(condition, settings=(*kept, *still.items())))


def _solved(bench: Bench, condition: Condition) -> Survey | None:
    try:
        return bench.survey(condition)
    except CircuitError:
        return None


def _all_on(harness: Harness, key: str) -> Iterator[Condition]:
    """Give the conditions of a key state with everything in its next position from rest, until each had every one."""
    plugged = tuple((load.id, ON) for load in harness.loads if has_socket(load))
    positions = {name: moved_positions(harness, name) for name in _moved(harness)}
    for turn in range(max((len(choices) for choices in positions.values()), default=0)):
        settings = tuple((name, choices[turn % len(choices)]) for name, choices in positions.items() if choices)
        yield Condition(key, (*settings, *plugged))


def _moved(harness: Harness) -> Iterator[str]:
    """Name the switches and plugs that a hand moves."""
    parts = (*harness.switches, *harness.connectors)
    yield from (part.id for part in parts if is_moved_by_hand(harness, part.id))
