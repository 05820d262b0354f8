"""A trace that asks a given list of checks in turn, whatever is answered: for what the screens do with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import AnswerError
from model.harness.harness import Harness, all_elements
from model.tracing.asking import (
    Also,
    Answered,
    Change,
    Finding,
    NoHelper,
    Offered,
    Outlook,
    Question,
    Reached,
    Read,
    Repaired,
    Reply,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from model.tracing.checks import MEASURED, Check, CheckKind, Outcome, measured
from model.tracing.complaint import Complaint
from model.tracing.suspects import Suspect
from model.tracing.working import working_condition

WHY = "It halves what may be wrong, and its place is open already."
CAUTION = "Fuel vapour may be near: no sparks here. Keep the cap on the tank."
CAUTION_TWO = "The pump starts as the key is turned: keep hands out of it."


@dataclass
class _State:
    """What the replies so far come to."""

    done: list[Check] = field(default_factory=list)
    answers: list[Answered] = field(default_factory=list)
    ahead: list[Check] = field(default_factory=list)
    stopped: bool = False


class TracedByScript:
    """Asks `script`, then ends with a finding.

    Parameters
    ----------
    script
        The checks; None asks for volts at a fuse and at the load's ground, for a relay and for a test lamp.
    """

    def __init__(self, bench: Bench, complaint: Complaint, script: Sequence[Check] | None = None) -> None:
        self.bench = bench
        self.complaint = complaint
        self.harness: Harness = bench.harness
        element = next(one for one in all_elements(bench.harness) if one.name == complaint.loads[0])
        self.condition: Condition = complaint.condition or working_condition(bench, element).condition
        self.script = tuple(script or script_of(self.harness, self.condition, element.to_point))
        wire = next((one.id for one in self.harness.wires if one.from_point), "W1")
        self.wrong = tuple(Suspect(wire, fault, "", share) for fault, share in (("open", 0.6), ("high", 0.3)))
        self.given: list[Reply] = []
        self.asked_swapped: list[Outcome] = []

    @property
    def replies(self) -> tuple[Reply, ...]:
        """Everything replied."""
        return tuple(self.given)

    @property
    def answers(self) -> tuple[Answered, ...]:
        """The answers that count."""
        return tuple(self._state().answers)

    @property
    def minutes(self) -> float:
        """Two minutes an answer."""
        return 2.0 * len(self.answers)

    def next(self) -> Question | Finding:
        """Give the next check of the script, or the end."""
        state = self._state()
        if state.stopped:
            return Finding((), 0.0, len(state.answers), self.minutes, "stopped on request", others=self.wrong)
        asked = self._asked(state)
        return self._finding(state) if asked is None else self.question_for(asked)

    def prepare(self) -> None:
        """Work out nothing ahead."""

    def reply(self, reply: Reply) -> None:
        """Take a reply."""
        match reply:
            case Read(outcome=outcome):
                asked = self.next()
                if not isinstance(asked, Question):
                    raise AnswerError("Nothing is asked.", do="Go on.")
                if (outcome.word is None) != (asked.check.kind in MEASURED):
                    raise AnswerError("That does not fit.", do="Answer the check.")
            case Strike(place=place) | Change(place=place):
                if place >= len(self.answers):
                    raise AnswerError("There is no such answer.")
        self.given.append(reply)

    def undo(self) -> None:
        """Take the last reply back."""
        if not self.given:
            raise AnswerError("There is nothing to take back.")
        self.given.pop()

    def suspects(self, most: int = 50) -> tuple[Suspect, ...]:
        """Give the suspects."""
        return self.wrong[:most]

    def offered(self, most: int = 50) -> tuple[Offered, ...]:
        """Give the rest of the script."""
        state = self._state()
        asked = self._asked(state)
        left = [check for check in self.script if check not in state.done and check != asked]
        return tuple(Offered(check, 0.5, 1.8) for check in left[:most])

    def marks(self) -> Mapping[str, str]:
        """Set aside what was read, suspect the wire."""
        aside = {point for one in self.answers for point in one.check.points}
        return {self.wrong[0].part: "suspect"} | dict.fromkeys(aside, "set aside")

    def did(self) -> str:
        """Say how many answers there are."""
        count = len(self.answers)
        return f"Answer {count} taken in. 7 left." if count else ""

    def looks_swapped(self, outcome: Outcome) -> bool:
        """Tell of a reading under minus one volt, once each."""
        if outcome.word is not None or outcome.least > -1 or outcome in self.asked_swapped:
            return False
        self.asked_swapped.append(outcome)
        return True

    def question_for(self, check: Check) -> Question:
        """Give a question with a band round 12.3."""
        is_number = check.kind in MEASURED
        return Question(
            step=len(self.answers) + 1,
            reading=1,
            of=1,
            check=check,
            healthy=12.3 if is_number else None,
            low=12.0 if is_number else None,
            high=12.5 if is_number else None,
            healthy_words="" if is_number else "it pulls in",
            why=WHY,
            minutes=1.8,
            cautions=(CAUTION, CAUTION_TWO) if check.kind is CheckKind.VOLTS else (),
            suspects=self.wrong,
            outlooks=(Outlook("near 12.3 V", 0.6, 7, measured(12.3)), Outlook("near 0.0 V", 0.4, 5, measured(0.0))),
            posts_volts=12.52,
            posts_read=True,
        )

    def _finding(self, state: _State) -> Finding:
        return Finding(
            group=self.wrong[:1],
            group_probability=0.97,
            steps=len(state.answers),
            minutes=self.minutes,
            sentence="The wire is open between the fuse and the load.",
            because=("12.30 V at the fuse", "0.02 V at the load"),
            repair="Join it anew: a spare runs in the same trunk.",
            cautions=(CAUTION,),
            prove=self.script[0],
            prove_low=12.0,
            prove_high=12.5,
            others=self.wrong[1:],
        )

    def _asked(self, state: _State) -> Check | None:
        return next((check for check in (*state.ahead, *self.script) if check not in state.done), None)

    def _state(self) -> _State:
        state = _State()
        for reply in self.given:
            self._fold(state, reply)
        return state

    def _fold(self, state: _State, reply: Reply) -> None:
        asked = self._asked(state)
        match reply:
            case Read(outcome=outcome) if asked is not None:
                state.done.append(asked)
                state.answers.append(Answered(asked, outcome, len(state.answers) + 1, 2.0))
            case Also(check=check, outcome=outcome):
                state.answers.append(Answered(check, outcome, len(state.answers) + 1, 2.0))
            case Take(check=check):
                state.ahead.insert(0, check)
            case Skip() | Unsure() | NoHelper() if asked is not None:
                state.done.append(asked)
            case Reached():
                state.done = [check for check in state.done if check in [one.check for one in state.answers]]
            case Strike(place=place):
                struck = state.answers.pop(place)
                state.done = [check for check in state.done if check != struck.check]
            case Change(place=place, outcome=outcome):
                before = state.answers[place]
                state.answers[place] = Answered(before.check, outcome, before.step, before.minutes)
            case Repaired(cured=False):
                state.done.clear()
                state.answers.clear()
            case Stop():
                state.stopped = True


def script_of(harness: Harness, condition: Condition, ground_end: str) -> list[Check]:
    """Give volts at the first fuse, then at the load's ground, a relay, and a lamp."""
    black = f"{harness.batteries[0].id}.-"
    fuse = next((f"{one.id}.out" for one in harness.fuses), ground_end)
    checks = [Check(CheckKind.VOLTS, condition, fuse, black), Check(CheckKind.VOLTS, condition, ground_end, black)]
    if harness.relays:
        checks.append(Check(CheckKind.LISTEN, condition, part=harness.relays[0].id))
    return [*checks, Check(CheckKind.LAMP, condition, fuse, black, watts=3.0)]
