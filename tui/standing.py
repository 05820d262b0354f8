"""What the screens look at: one harness, solved, and the condition that it is in now.

It pulls in the solver, so it is imported only once the first screen has been painted.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from model.cautions import crank_keys
from model.circuit.bench import Bench
from model.circuit.condition import IN, OUT, Condition, make_condition, setting_choices
from model.circuit.faults import Fault
from model.circuit.survey import Survey
from model.errors import CircuitError
from model.harness.harness import Harness
from tui.walks import Walks

if TYPE_CHECKING:
    from model.tracing.walk import Walker


@dataclass(frozen=True)
class PostsRead:
    """Volts read across the posts of the first battery, and the condition that they were read in."""

    volts: float
    condition: Condition


@dataclass(frozen=True)
class Solved:
    """A condition solved, or the sentence that says why it cannot be.

    Attributes
    ----------
    survey
        None where the circuit cannot be as the condition says.
    trouble
        Empty where it can.
    """

    survey: Survey | None
    trouble: str = ""


@dataclass(frozen=True)
class Standing:
    """A harness and the condition that it is in now; every change gives a new one.

    Attributes
    ----------
    bench
        Where conditions are solved, each once, with the battery as its posts were read.
    walks
        The walks made so far, with the battery as the file has it.
    posts
        The volts last read across the posts; None where the battery is taken from the file.
    """

    path: Path
    bench: Bench
    walks: Walks
    condition: Condition
    posts: PostsRead | None = None

    @property
    def harness(self) -> Harness:
        """The harness as read."""
        return self.bench.harness

    @property
    def walker(self) -> Walker:
        """What makes the walks, each load's working condition found once."""
        return self.walks.walker

    @property
    def posts_origin(self) -> str:
        """How the volts across the posts are known: ``read``, ``not read``, ``estimate``."""
        if self.posts is None:
            return "estimate" if self.condition.key in crank_keys(self.harness) else "not read"
        return "read" if self.posts.condition == self.condition else "not read"

    def survey(self) -> Survey:
        """Solve the condition as it is now.

        Raises
        ------
        CircuitError
            Where the circuit cannot be as the condition says.
        """
        return self.survey_at(self.condition.key)

    def survey_at(self, key: str) -> Survey:
        """Solve a key state with everything set as it is now; the condition that the posts were read in stands at them.

        Raises
        ------
        CircuitError
            Where the circuit cannot be as the condition says.
        """
        bench, condition = self.asked(key)
        return bench.survey(condition)

    def asked(self, key: str) -> tuple[Bench, Condition]:
        """Give what a key state is solved as: with the volts read where they were read, else with the emf they gave."""
        condition = self.condition.at_key(key)
        if self.posts is not None and self.posts.condition == condition:
            return self.walks.bench, replace(condition, posts_volts=self.posts.volts)
        return self.bench, condition

    def solve(self) -> Solved:
        """Solve the condition as it is now, or say why it cannot be."""
        try:
            found = self.survey()
        except CircuitError as error:
            return Solved(None, f"{error.what} {error.do}".rstrip())
        assert found.loads is not None
        return Solved(found)

    def solved(self) -> Solved | None:
        """Give the condition as it is now where it has been solved before; None where that is still to do."""
        bench, condition = self.asked(self.condition.key)
        found = bench.kept(condition)
        return None if found is None else Solved(found)

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

    def without_setting(self, name: str) -> Standing:
        """Let one thing go back to what it does of itself."""
        kept = tuple(pair for pair in self.condition.settings if pair[0] != name)
        return replace(self, condition=replace(self.condition, settings=kept))

    def at_rest(self) -> Standing:
        """Put everything back in and to rest; the key, a fault and the volts read stay."""
        return replace(self, condition=replace(self.condition, settings=()))

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
        """Take the volts read across the posts of the first battery in the condition as it is now.

        Every other condition then follows from the emf that the battery must have; None takes the file's again.

        Raises
        ------
        ArgumentError
            Where no battery of the harness can read so.
        CircuitError
            Where the posts cannot read so in this condition.
        """
        if posts_volts is None:
            return replace(self, bench=self.walks.bench, posts=None)
        make_condition(self.harness, self.condition.key, posts_volts=posts_volts)
        asked = replace(self.condition, posts_volts=posts_volts)
        return replace(self, bench=self.walks.bench.at_posts(asked), posts=PostsRead(posts_volts, self.condition))


def stand(path: Path, harness: Harness) -> Standing:
    """Put a harness on the bench, the key in its first state and everything at rest."""
    bench = Bench(harness)
    return Standing(path, bench, Walks(bench), Condition(harness.key_names[0]))
