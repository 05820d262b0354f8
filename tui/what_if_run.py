"""What a fault does, worked out so that it can be watched and left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import Fault
from model.circuit.survey import Survey
from model.harness.harness import all_elements
from model.tracing.what_if import WhatIf, what_if
from model.tracing.working import working_condition
from tui.standing import Standing


class NobodyWaitsError(Exception):
    """Nobody waits for the outcome any more."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a fault does, and the relays that buzz with it, by key state."""

    seen: WhatIf
    buzzing: dict[str, tuple[str, ...]]


class WatchedBench(Bench):
    """A bench that tells each circuit it is asked for, and keeps which relays buzz."""

    def __init__(self, bench: Bench, step: Callable[[], None]) -> None:
        super().__init__(bench.harness, bench.first_emf)
        self.bench = bench
        self.step = step
        self.sound: dict[str, set[str]] = {}
        self.faulty: dict[str, dict[str, None]] = {}

    def survey(self, condition: Condition) -> Survey:
        """Give the survey of a condition, as the bench behind it does."""
        self.step()
        found = self.bench.survey(condition)
        if condition.faults:
            self.faulty.setdefault(condition.key, {}).update(dict.fromkeys(found.settled.buzzing))
        else:
            self.sound.setdefault(condition.key, set()).update(found.settled.buzzing)
        return found

    def buzzing(self) -> dict[str, tuple[str, ...]]:
        """Name by key state the relays that buzz with the fault alone."""
        fresh = {
            key: tuple(name for name in names if name not in self.sound.get(key, ()))
            for key, names in self.faulty.items()
        }
        return {key: names for key, names in fresh.items() if names}


def run_what_if(standing: Standing, fault: Fault, told: Callable[[str], None], left: Callable[[], bool]) -> Outcome:
    """Work out what one would see of a fault.

    Parameters
    ----------
    told
        Called with how far it is, in words.
    left
        Asked before each circuit whether nobody waits any more.

    Raises
    ------
    NobodyWaitsError
        Where nobody does.
    """
    elements = all_elements(standing.harness)
    settings: dict[str, Condition] = {}
    for number, element in enumerate(elements, 1):
        if left():
            raise NobodyWaitsError
        told(f"Finding out when each load should work: {number} of {len(elements)}.")
        kept = standing.walks.kept(element.name)
        working = kept.working if kept is not None else working_condition(standing.walks.bench, element)
        settings[element.name] = working.condition
    conditions = {(c.healthy().settings, key) for c in settings.values() for key in standing.harness.key_names}
    conditions |= {(standing.condition.settings, key) for key in standing.harness.key_names}
    done = 0

    def step() -> None:
        nonlocal done
        if left():
            raise NobodyWaitsError
        done += 1
        told(f"Solving circuits: {min(done, 2 * len(conditions))} of {2 * len(conditions)}.")

    bench = WatchedBench(standing.bench, step)
    seen = what_if(bench, fault, settings, standing.condition)
    return Outcome(seen, bench.buzzing())
