"""What the screens look at: one harness, solved, and the condition that it is in now.

It pulls in the solver, so it is imported only once the first screen has been painted.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from model.circuit.bench import Bench
from model.circuit.condition import IN, OUT, Condition, setting_choices
from model.circuit.faults import Fault
from model.circuit.survey import Survey
from model.harness.harness import Harness
from model.tracing.walk import Walker


@dataclass(frozen=True)
class Standing:
    """A harness and the condition that it is in now; every change gives a new one.

    Attributes
    ----------
    bench
        Where conditions are solved, each once.
    walker
        Makes the walks, each load's working condition found once.
    """

    path: Path
    bench: Bench
    walker: Walker
    condition: Condition

    @property
    def harness(self) -> Harness:
        """The harness as read."""
        return self.bench.harness

    def survey(self) -> Survey:
        """Solve the condition as it is now.

        Raises
        ------
        CircuitError
            Where the circuit cannot be as the condition says.
        """
        return self.bench.survey(self.condition)

    def turned(self, way: int) -> Standing:
        """Turn the key to the next (1) or the previous (-1) state; from the last it goes to the first."""
        keys = self.harness.key_names
        place = (keys.index(self.condition.key) + way) % len(keys)
        return replace(self, condition=self.condition.at_key(keys[place]))

    def with_setting(self, name: str, value: str) -> Standing:
        """Set one thing; what is set to its state at rest, or put back in, is not kept as a setting."""
        choices = setting_choices(self.harness, name)
        put_back = value == IN and self.condition.by_name.get(name) == OUT
        if put_back or (choices and value == choices[0] and not self._rest_depends_on_key(name)):
            kept = tuple(pair for pair in self.condition.settings if pair[0] != name)
            return replace(self, condition=replace(self.condition, settings=kept))
        return replace(self, condition=self.condition.with_setting(name, value))

    def _rest_depends_on_key(self, name: str) -> bool:
        """Tell whether what is at rest changes with the key: drivers, chargers, switches that follow the key."""
        part = self.harness.parts.get(name.partition(".")[0])
        return "." in name or part in self.harness.chargers or bool(getattr(part, "follows", None))

    def with_fault(self, fault: Fault | None) -> Standing:
        """Put one fault in, in place of any other; None takes it out."""
        return replace(self, condition=replace(self.condition, faults=() if fault is None else (fault,)))

    def with_condition(self, condition: Condition) -> Standing:
        """Take another condition."""
        return replace(self, condition=condition)

    def with_posts(self, posts_volts: float | None) -> Standing:
        """Take the volts read across the posts of the first battery in the key state as it is now."""
        return replace(self, condition=replace(self.condition, posts_volts=posts_volts))


def stand(path: Path, harness: Harness) -> Standing:
    """Put a harness on the bench, the key in its first state and everything at rest."""
    bench = Bench(harness)
    return Standing(path, bench, Walker(bench), Condition(harness.key_names[0]))
