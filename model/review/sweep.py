"""A loom with everything on at once: few enough conditions to solve for every key state of a loom of any size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import ON, Condition, has_socket
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Element, Harness
from model.tracing.working import SOLVED_AT_MOST, WORKS_AT_SHARE, is_moved_by_hand, moved_positions, working_condition


@dataclass(frozen=True, slots=True)
class Sweep:
    """Every key state, at rest and with everything that a hand moves in its first, second, … position from rest.

    Attributes
    ----------
    at_rest
        Key state → its survey with nothing moved; a key state that cannot be solved is left out.
    all_on
        The surveys with everything moved, those aside in which a fuse blows or relays buzz: what they tell of the
        loads is none of their own.
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


def sweep(bench: Bench) -> Sweep:
    """Solve every key state at rest and with everything on; what has been solved before is kept by the bench."""
    at_rest: dict[str, Survey] = {}
    all_on: list[Survey] = []
    set_aside: list[Survey] = []
    for key in bench.harness.key_names:
        rest = _solved(bench, Condition(key))
        if rest is not None:
            at_rest[key] = rest
        for condition in _all_on(bench.harness, key):
            found = _solved(bench, condition)
            if found is not None:
                is_sound = not found.settled.blown and not found.settled.buzzing
                (all_on if is_sound else set_aside).append(found)
    return Sweep(bench, at_rest, tuple(all_on), tuple(set_aside))


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
