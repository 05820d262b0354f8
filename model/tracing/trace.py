"""A trace: asks for one check at a time, takes what was read, heard or seen, and ends with what is wrong.

It does no input or output and knows no clock: the same harness, complaint and replies give the same questions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import AnswerError, CircuitError
from model.harness.harness import Harness
from model.tracing.asking import Also, Answered, Finding, Offered, Question, Read, Repaired, Reply, Unsure
from model.tracing.at_rest import are_flat, low_again
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import Check, CheckKind, Outcome
from model.tracing.complaint import Complaint
from model.tracing.doubts import doubt_sentences, not_seen_again, seen_again
from model.tracing.ending import settled_group, untold_group
from model.tracing.finding import Stopped, finding_of, stopped_finding
from model.tracing.folding import Event, Fold, fold
from model.tracing.hypotheses import NOTHING_LEARNED, Learned
from model.tracing.in_doubt import doubted_again, hangs_on_doubted, trusted_ending
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.marks import Mark, marks_of
from model.tracing.never_offered import never_offered
from model.tracing.out_of_reach import out_of_reach_with
from model.tracing.pairing import with_pairs
from model.tracing.planning import plan_of, socket_readings
from model.tracing.questions import question_of, suspects_of
from model.tracing.reasons import again_sentence, did_sentence
from model.tracing.repeating import to_repeat
from model.tracing.replies_fit import refuse_misfit
from model.tracing.suspects import PAIR_SIGN, Hypothesis, Suspect

TWO_AT_ONCE = "No single fault explains the readings: two at once are thought of from here."

_ANSWERS_AT_MOST = 30
"""After so many nobody is sent for another check by itself; a judgement. The mean of simulated traces is six."""

_SWAPPED_VOLTS = 1.0
_SWAPPED_SHARE = 0.2


class Trace:
    """One complaint, traced.

    Parameters
    ----------
    bench
        Where the harness is solved.
    learned
        What the record says of repairs and readings before.
    opened
        The inquiry of this complaint, where it has been opened before.

    Raises
    ------
    ArgumentError
        Where the complaint names what the harness does not have.
    CircuitError
        Where the sound circuit cannot be solved as the complaint says.
    """

    def __init__(
        self, bench: Bench, complaint: Complaint, *, learned: Learned = NOTHING_LEARNED, opened: Inquiry | None = None
    ) -> None:
        self.complaint = complaint
        self._bench = bench
        self._learned = learned
        self._events: list[Event] = []
        self._inquiries: dict[tuple[str, ...], Inquiry] = {}
        self._paired: list[tuple[int, tuple[str, ...], Inquiry]] = []
        self._next: Question | Finding | None = None
        self._left: tuple[Check, ...] = ()
        self._did: str = ""
        if opened is not None:
            self._inquiries[()] = opened
        self._first = self._inquiry_of(())

    @property
    def harness(self) -> Harness:
        """The harness as read."""
        return self._bench.harness

    @property
    def condition(self) -> Condition:
        """The condition in which the complaint is seen."""
        return self._first.condition

    @property
    def replies(self) -> tuple[Reply, ...]:
        """Everything replied, in order; a trace given these again stands where this one stood."""
        return tuple(event.reply for event in self._events)

    @property
    def minutes(self) -> float:
        """Minutes that the answers took, as computed."""
        return self._state().minutes

    @property
    def answers(self) -> tuple[Answered, ...]:
        """The answers that count now, each with whether it surprised."""
        state, belief = self._standing()
        given = len(belief.answers) - len(state.answers)
        return tuple(
            Answered(one.check, one.outcome, one.step, one.minutes, surprising, _SURPRISE if surprising else "")
            for place, one in enumerate(state.answers)
            for surprising in (belief.is_surprising(given + place),)
        )

    def next(self) -> Question | Finding:
        """Give what is asked now, or how the trace ended; kept until a reply comes.

        Raises
        ------
        CircuitError
            Where a circuit finds no rest.
        """
        if self._next is None:
            self._next = self._work_out()
        return self._next

    def reply(self, reply: Reply) -> None:
        """Take a reply.

        Raises
        ------
        AnswerError
            Where it does not fit what is asked; nothing changes by it.
        """
        asked = self.next()
        refuse_misfit(reply, asked, self._state().answers, self._refuse)
        before = self._standing()[1]
        event = self._event(reply, asked)
        self._events.append(event)
        try:
            after = self._standing()[1]
        except CircuitError as error:
            self._events.pop()
            raise AnswerError(f"That reading cannot be weighed: {error.what}", do="Choose another check.") from None
        self._next, self._did = None, ""
        if isinstance(reply, Read | Also):
            check = reply.check if isinstance(reply, Also) else event.check
            assert check is not None
            did = did_sentence(self.harness, check, reply.outcome, suspects_of(before), suspects_of(after))
            self._did = " ".join((did, *doubt_sentences(self.harness, before, after)))
        elif isinstance(reply, Unsure):
            self._did = _TOLD_NOTHING

    def undo(self) -> None:
        """Take the last reply back.

        Raises
        ------
        AnswerError
            Where there is none.
        """
        if not self._events:
            raise AnswerError("There is no answer to take back.", do="Answer the check first.")
        self._events.pop()
        self._paired = [one for one in self._paired if one[0] <= len(self._events)]
        self._next, self._did = None, ""

    def copy(self) -> Trace:
        """Give a trace that stands where this one does and goes on by itself."""
        other = Trace(self._bench, self.complaint, learned=self._learned, opened=self._first)
        other._events = self._events.copy()
        other._inquiries, other._paired = self._inquiries, self._paired.copy()
        return other

    def prepare(self) -> None:
        """Solve ahead what the next question will look at; it changes nothing but how soon that comes.

        Raises
        ------
        CircuitError
            Where a circuit finds no rest.
        """
        state, belief = self._standing()
        self._inquiry(state).prepare(belief, len(state.answers))

    def did(self) -> str:
        """Say what the last answer did; nothing at the start and after an undo."""
        return self._did

    def suspects(self, most: int = 50) -> tuple[Suspect, ...]:
        """List the suspects, the likeliest first."""
        return suspects_of(self._standing()[1], most)

    def share_of(self, hypothesis: Hypothesis) -> float:
        """Give the share of one hypothesis; 0 of one that does not show the complaint."""
        belief = self._standing()[1]
        shares = belief.hypotheses().tolist()
        named = zip(belief.field.hypotheses, shares, strict=True)
        return next((share for one, share in named if one.name == hypothesis.name), 0.0)

    def offered(self, most: int = 50) -> tuple[Offered, ...]:
        """List the checks that can be made, the best first; the one that is asked is among them."""
        state, belief = self._standing()
        return plan_of(self._inquiry(state), belief, state).offered()[:most]

    @property
    def hypotheses(self) -> tuple[Hypothesis, ...]:
        """The hypotheses that were thought of before the complaint was solved."""
        return self._first.hypotheses

    def marks(self) -> Mapping[str, Mark]:
        """Mark the parts and sites of the walk: set aside or suspect."""
        return marks_of(self._standing()[1])

    def question_for(self, check: Check) -> Question:
        """Tell what any check would show, for readings that were not asked for.

        Raises
        ------
        AnswerError
            Where it must never be made.
        CircuitError
            Where its condition cannot be solved.
        """
        self._refuse_never(check)
        state, belief = self._standing()
        inquiry = self._inquiry(state)
        minutes = inquiry.costs.minutes(check, state.standing)
        return question_of(inquiry, belief, check, minutes=minutes, step=state.steps + 1)

    def looks_swapped(self, outcome: Outcome) -> bool:
        """Tell whether volts read are about minus what the sound circuit shows, so that the leads may be swapped."""
        asked = self.next()
        is_volts = isinstance(asked, Question) and asked.check.kind in (CheckKind.VOLTS, CheckKind.DROP)
        if not isinstance(asked, Question) or not is_volts or asked.healthy is None:
            return False
        off_volts = abs(outcome.value + asked.healthy)
        is_far = abs(asked.healthy) > _SWAPPED_VOLTS and off_volts < _SWAPPED_SHARE * abs(asked.healthy)
        return is_far and self.harness.build.ground_side != "positive"

    def _work_out(self) -> Question | Finding:
        state, belief = self._standing()
        if state.is_cured:
            return stopped_finding(belief, state, None)
        if state.is_stopped:
            return stopped_finding(belief, state, Stopped.BY_HAND)
        if are_flat(self.harness, self.complaint, belief):
            return stopped_finding(belief, state, Stopped.CHARGE_FIRST)
        inquiry = self._inquiry(state)
        if not inquiry.field.solved:
            return stopped_finding(belief, state, Stopped.NOTHING_SHOWS)
        asked = self._taken(state, inquiry, belief)
        if asked is not None:
            return asked
        again = low_again(self.harness, state, belief, inquiry.costs)
        if again is not None:
            return self._ask_again(state, inquiry, belief, again)
        fits_badly = belief.fits_badly()
        if fits_badly:
            found = self._look_harder(state, inquiry, belief)
            if found is not None:
                return found
            state, belief = self._standing()
            inquiry = self._inquiry(state)
        return self._go_on(state, inquiry, belief, fits_badly=fits_badly)

    def _go_on(self, state: Fold, inquiry: Inquiry, belief: Belief, *, fits_badly: bool) -> Question | Finding:
        """Ask the check that tells most, or end where that is settled or nothing tells more."""
        plan = plan_of(inquiry, belief, state)
        ending = trusted_ending(settled_group, belief, plan.shares)
        if ending is not None:
            return finding_of(inquiry, belief, ending, state)
        if plan.best is None:
            plan = plan_of(inquiry, belief, state, looks_at_all=True)
        again = seen_again(self.harness, state, belief, inquiry.costs)
        if again is None and hangs_on_doubted(belief, plan.shares, is_last=plan.best is None):
            again = doubted_again(state, belief, inquiry.costs)
        if again is not None:
            return self._ask_again(state, inquiry, belief, again)
        is_long = sum(not one.given for one in belief.answers) >= _ANSWERS_AT_MOST
        if plan.best is not None and not is_long:
            return self._ask(state, inquiry, belief, plan.best, more=socket_readings(plan, plan.best))
        ending = untold_group(belief, plan.shares)
        if ending is not None:
            return finding_of(inquiry, belief, ending, state)
        if is_long:
            return stopped_finding(belief, state, Stopped.TOO_LONG)
        plan = plan_of(inquiry, belief, state, looks_at_all=True, doubts_all=True)
        if plan.best is not None:
            return self._ask(state, inquiry, belief, plan.best, more=socket_readings(plan, plan.best))
        return stopped_finding(belief, state, Stopped.FILE_DIFFERS if fits_badly else Stopped.NOTHING_TELLS)

    def _taken(self, state: Fold, inquiry: Inquiry, belief: Belief) -> Question | None:
        """Give the check that the person chose, or the next reading of the step that is under way."""
        if state.taken is not None:
            return self._ask(state, inquiry, belief, state.taken)
        if state.left:
            return self._ask(state, inquiry, belief, state.left[0])
        return None

    def _ask(
        self,
        state: Fold,
        inquiry: Inquiry,
        belief: Belief,
        check: Check,
        *,
        more: tuple[Check, ...] = (),
        before: str = "",
    ) -> Question:
        """Ask a check; with `more` the first of several readings of one step."""
        step, reading = state.steps + 1, (1, 1 + len(more))
        self._left = more
        if state.left and check == state.left[0]:
            self._left = state.left[1:]
            done = _readings_of_step(state)
            step, reading = state.steps, (done + 1, done + len(state.left))
        minutes = inquiry.costs.minutes(check, state.standing)
        return question_of(inquiry, belief, check, minutes=minutes, step=step, reading=reading, before=before)

    def _ask_again(self, state: Fold, inquiry: Inquiry, belief: Belief, again: tuple[Check, str]) -> Question:
        """Ask a check that was answered before, and say why."""
        return replace(self._ask(state, inquiry, belief, again[0]), why=again[1])

    def _look_harder(self, state: Fold, inquiry: Inquiry, belief: Belief) -> Question | None:
        """Do something about readings that fit nothing: repeat one, then think of two faults at once."""
        again = to_repeat(state, belief, inquiry.costs)
        if again is not None:
            given = next(one.outcome for one in reversed(state.answers) if one.check == again)
            return self._ask(state, inquiry, belief, again, before=again_sentence(again, given))
        paired = with_pairs(inquiry, belief.answers, state.new_fuses, counted=len(state.answers))
        if paired is not inquiry:
            self._paired.append((len(self._events), state.mended, paired))
            if inquiry.pairs is None:
                self._did = f"{self._did} {TWO_AT_ONCE}".strip()
        return None

    def _state(self) -> Fold:
        state = fold(self._first.costs, self._first.condition, self._events, has_helper=self.complaint.has_helper)
        state.out_of_reach |= out_of_reach_with(self.harness, self._events, self._first.checks)
        return state

    def _standing(self) -> tuple[Fold, Belief]:
        state = self._state()
        inquiry = self._inquiry(state)
        answers = [Evidence(one.check, one.outcome, new_fuses=one.new_fuses) for one in state.answers]
        answers[:0] = not_seen_again(inquiry.given, answers)
        return state, Belief(inquiry.foresight, answers, inquiry.posts_volts, state.new_fuses)

    def _inquiry(self, state: Fold) -> Inquiry:
        paired = (inquiry for _, mended, inquiry in reversed(self._paired) if mended == state.mended)
        return next(paired, None) or self._inquiry_of(state.mended)

    def _inquiry_of(self, mended: tuple[str, ...]) -> Inquiry:
        found = self._inquiries.get(mended)
        if found is None:
            found = open_inquiry(
                self._bench, self.complaint, replace(self._learned, repaired=self._learned.repaired | set(mended))
            )
            self._inquiries[mended] = found
        return found

    def _event(self, reply: Reply, asked: Question | Finding) -> Event:
        if isinstance(asked, Finding):
            repairs = [site for one in asked.group for site in one.part.split(PAIR_SIGN)]
            made = tuple(dict.fromkeys(repairs)) if isinstance(reply, Repaired) else ()
            return Event(reply, None, asked.steps, repairs=made)
        return Event(reply, asked.check, asked.step, self._left)

    def _refuse(self, check: Check) -> None:
        """Refuse a check that must never be made, or that cannot be computed."""
        self._refuse_never(check)
        state, belief = self._standing()
        try:
            self._inquiry(state).foresight.shares(check, belief.known)
        except (CircuitError, KeyError) as error:
            raise AnswerError(f"That check cannot be computed: {error}.", do="Choose another check.") from None

    def _refuse_never(self, check: Check) -> None:
        reason = never_offered(self._first.bench, check)
        if reason is not None:
            raise AnswerError(reason, do="Choose another check.")


_TOLD_NOTHING = "Not sure: that sets nothing aside."
_SURPRISE = "No suspect in play foresaw this: look at the probes, the key and the switches, and take it again."


def _readings_of_step(state: Fold) -> int:
    """Count the readings of the step under way that were answered."""
    return max(1, sum(one.step == state.steps for one in state.answers))
