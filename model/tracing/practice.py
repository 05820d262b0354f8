"""Practice: a fault is hidden in a vehicle that is not there, and a person looks for it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import AnswerError, CircuitError
from model.harness.harness import Harness
from model.tracing.asking import Also, Finding, Question, Read
from model.tracing.check_words import check_place
from model.tracing.checks import Check, Outcome
from model.tracing.complaint import Complaint
from model.tracing.named_checks import named_check
from model.tracing.names import site_parts
from model.tracing.never_offered import never_offered
from model.tracing.planning import relay_out
from model.tracing.practice_fault import are_told_apart, hide_fault
from model.tracing.questions import cautions_of
from model.tracing.suspects import Hypothesis
from model.tracing.trace import Trace
from model.words import clean, nearest

PLAN_STEPS_AT_MOST = 60


@dataclass(frozen=True, slots=True)
class Made:
    """A check that was made.

    Attributes
    ----------
    step
        Counted from 1; the readings of one relay socket one after another are one step.
    minutes
        What it took.
    """

    check: Check
    outcome: Outcome
    step: int
    minutes: float


@dataclass(frozen=True)
class Planned:
    """The program's own trace of the same vehicle.

    Attributes
    ----------
    sentence
        How it ended.
    found
        Whether the work that mends what it ended with mends the hidden fault.
    """

    made: tuple[Made, ...]
    steps: int
    minutes: float
    sentence: str
    found: bool


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the person named.

    Attributes
    ----------
    named
        Empty where it was given up.
    is_right
        Whether the work that mends it mends the hidden fault, or no check tells it from that.
    is_alike
        Whether it is right for no check tells it from the hidden fault, whose work is another.
    is_effect
        Whether it really is so, but came of the hidden fault: a fuse that blew.
    """

    named: tuple[Hypothesis, ...]
    is_right: bool
    is_effect: bool
    is_alike: bool = False


@dataclass
class _Count:
    """Checks and minutes so far."""

    made: list[Made] = field(default_factory=list)
    hints: int = 0
    wrong_names: int = 0


class Practice:
    """One hidden fault, looked for.

    Parameters
    ----------
    bench
        Where the harness is solved; it stands at rest.
    seed
        The same seed hides the same fault in the same vehicle.

    Raises
    ------
    ArgumentError
        Where no load of the harness can be practised on.

    Notes
    -----
    Load, symptom and age of the loom are drawn, then a fault by its weight among those that show the symptom on this
    very vehicle and that some check tells.
    """

    def __init__(self, bench: Bench, seed: int) -> None:
        self.seed = seed
        self.bench = bench
        self._hidden = hide_fault(bench, random.Random(seed))
        self._vehicle = self._hidden.vehicle()
        self._count = _Count()
        inquiry = self._hidden.inquiry
        self._standing = inquiry.costs.start(inquiry.condition)
        self._advisor: Trace | None = None
        self._advised = 0
        self.verdict: Verdict | None = None
        self.offered = tuple(sorted(inquiry.checks, key=self._by_place))

    def _by_place(self, check: Check) -> tuple[str, str]:
        return check_place(self.harness, check), named_check(self.harness, check, self.condition)

    @property
    def harness(self) -> Harness:
        """The harness as read."""
        return self.bench.harness

    @property
    def complaint(self) -> Complaint:
        """What is complained of."""
        return self._hidden.inquiry.complaint

    @property
    def condition(self) -> Condition:
        """The condition in which it is seen."""
        return self._hidden.inquiry.condition

    @property
    def suspects(self) -> tuple[Hypothesis, ...]:
        """All that may be named, by part and fault."""
        inquiry = self._hidden.inquiry
        order = {part_id: place for place, part_id in enumerate(self.harness.parts)}
        listed = [one for one in inquiry.field.hypotheses if one.ways]
        return tuple(sorted(listed, key=lambda one: (order.get(site_parts(self.harness, one.site)[0], 0), one.name)))

    @property
    def hidden(self) -> Hypothesis:
        """The fault that was hidden."""
        return self._hidden.hypothesis

    @property
    def made(self) -> tuple[Made, ...]:
        """The checks made so far."""
        return tuple(self._count.made)

    @property
    def steps(self) -> int:
        """How many checks were made, counted as a trace counts them."""
        return self._count.made[-1].step if self._count.made else 0

    @property
    def minutes(self) -> float:
        """What they took."""
        return sum(one.minutes for one in self._count.made)

    @property
    def hints(self) -> int:
        """How many hints were asked for."""
        return self._count.hints

    @property
    def wrong_names(self) -> int:
        """How many times something was named that is not what was hidden."""
        return self._count.wrong_names

    def cautions(self, check: Check) -> tuple[str, ...]:
        """Give what would stand before a check on a vehicle that is there, full sentences, the gravest first."""
        return cautions_of(self._hidden.inquiry, check)

    def make(self, check: Check) -> Made:
        """Make a check on the vehicle.

        Raises
        ------
        AnswerError
            Where it must never be made or cannot be computed, and once the practice is over; nothing changes by it.
        """
        self._refuse_over()
        reason = never_offered(self._hidden.inquiry.bench, check)
        if reason is not None:
            raise AnswerError(reason, do="Choose another check.")
        try:
            outcome = self._vehicle.answer(check)
        except (CircuitError, KeyError) as error:
            raise AnswerError(f"That check cannot be computed: {error}.", do="Choose another check.") from None
        costs = self._hidden.inquiry.costs
        made = Made(check, outcome, self._step_of(check), costs.minutes(check, self._standing))
        self._standing = costs.after(check, self._standing)
        self._count.made.append(made)
        return made

    def _step_of(self, check: Check) -> int:
        """Count a check; a further reading of the socket that is being read belongs to the same step."""
        if not self._count.made:
            return 1
        last = self._count.made[-1]
        relay_id = relay_out(check)
        goes_on = relay_id and relay_id == relay_out(last.check) and check.condition == last.check.condition
        return last.step if goes_on else last.step + 1

    def hint(self) -> Check | None:
        """Give the next best check after those made, and count it; None where enough has been read to name the fault.

        Raises
        ------
        AnswerError
            Once the practice is over.
        """
        self._refuse_over()
        advisor = self._advisor or Trace(self._hidden.inquiry.bench, self.complaint, opened=self._hidden.inquiry)
        self._advisor = advisor
        for one in self._count.made[self._advised :]:
            advisor.reply(Also(one.check, one.outcome))
        self._advised = len(self._count.made)
        self._count.hints += 1
        asked = advisor.next()
        return asked.check if isinstance(asked, Question) else None

    def named(self, part_or_site: str, fault: str = "") -> tuple[Hypothesis, ...]:
        """Give the suspects that a part or site means, of one fault where that is said.

        Raises
        ------
        AnswerError
            Where there is none, naming what is near.
        """
        folded = part_or_site.strip().casefold()
        here = [one for one in self.suspects if folded in self._names(one)]
        if not here:
            near = nearest(part_or_site, {name for one in self.suspects for name in self._spelled(one)})
            do = f"Did you mean {near}?" if near else "Name a part that is on the way of the current."
            raise AnswerError(f"{clean(part_or_site, 40)} is none of the suspects.", do=do)
        words = " ".join(fault.split()).casefold()
        found = [one for one in here if not words or words in (one.fault, f"{one.fault} {one.partner}".casefold())]
        if not found:
            faults = ", ".join(dict.fromkeys(str(one.fault) for one in here))
            raise AnswerError(f"{clean(part_or_site, 40)} cannot be “{clean(fault, 40)}”.", do=f"There are: {faults}.")
        return tuple(found)

    def _names(self, one: Hypothesis) -> set[str]:
        return {name.casefold() for name in self._spelled(one)}

    def _spelled(self, one: Hypothesis) -> tuple[str, ...]:
        return (one.site, *site_parts(self.harness, one.site))

    def judge(self, named: Sequence[Hypothesis]) -> Verdict:
        """Take what the person names, and end the practice.

        Raises
        ------
        AnswerError
            Once it is over.
        """
        self.verdict = self._verdict_on(named)
        return self.verdict

    def name(self, named: Sequence[Hypothesis]) -> Verdict:
        """Take what the person names: the right name ends the practice, a wrong one is counted and it goes on.

        Raises
        ------
        AnswerError
            Once it is over.
        """
        verdict = self._verdict_on(named)
        if verdict.is_right:
            self.verdict = verdict
        else:
            self._count.wrong_names += 1
        return verdict

    def _verdict_on(self, named: Sequence[Hypothesis]) -> Verdict:
        self._refuse_over()
        if any(one.repair == self.hidden.repair for one in named):
            return Verdict(tuple(named), is_right=True, is_effect=False)
        blown = self._hidden.vehicle().blown
        if any(one.site in blown for one in named):
            return Verdict(tuple(named), is_right=False, is_effect=True)
        inquiry = self._hidden.inquiry
        is_alike = any(not are_told_apart(inquiry, self.hidden, one) for one in named)
        return Verdict(tuple(named), is_right=is_alike, is_effect=False, is_alike=is_alike)

    def give_up(self) -> Verdict:
        """End the practice without naming anything."""
        return self.judge(())

    def _refuse_over(self) -> None:
        if self.verdict is not None:
            raise AnswerError("The practice is over.", do="Start another one.")

    def planned(self) -> Planned:
        """Trace the same vehicle as the program does; slow.

        Raises
        ------
        CircuitError
            Where a circuit finds no rest.
        """
        inquiry = self._hidden.inquiry
        trace, vehicle = Trace(inquiry.bench, self.complaint, opened=inquiry), self._hidden.vehicle()
        asked = trace.next()
        while isinstance(asked, Question) and len(trace.replies) < PLAN_STEPS_AT_MOST:
            trace.reply(Read(vehicle.answer(asked.check)))
            asked = trace.next()
        made = tuple(Made(one.check, one.outcome, one.step, one.minutes) for one in trace.answers)
        group = asked.group if isinstance(asked, Finding) else ()
        repairs = {one.name: one.repair for one in inquiry.hypotheses}
        found = any(repairs.get((one.part, one.fault, one.partner)) == self.hidden.repair for one in group)
        sentence = asked.sentence or asked.stopped if isinstance(asked, Finding) else "it came to no end"
        return Planned(made, made[-1].step if made else 0, trace.minutes, sentence, found)
