"""A trace in plain sentences, one question at a time: for a screen reader, a slow link, a small terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from typing import TextIO, TypeVar

from model.circuit.condition import Condition
from model.errors import AnswerError, FusewalkError
from model.tracing.answer_words import outcome_words
from model.tracing.asking import Also, Change, Finding, NoHelper, Question, Read, Repaired, Reply, Skip, Stop, Unsure
from model.tracing.blown_fuses import blown_fuses
from model.tracing.checks import Outcome
from model.tracing.typed_answer import echo_words
from model.words import clean
from tui.line_input import LineInput
from tui.line_mode import FOUND_OR_STOPPED, NOT_FOUND
from tui.line_out import wrapped
from tui.line_replies import Undo
from tui.line_sentences import (
    answer_sentences,
    finding_sentences,
    other_sentences,
    question_sentences,
    why_sentences,
)
from tui.line_typed import HELP, Told, other_checks, read_or_command, read_typed
from tui.trace_rounds import Rounds
from tui.trace_run import Keeper, Tracing

YES, NO = ("yes", "y"), ("no", "n")
_LINE_CHARACTERS = 2000
_PASSED_OVER = {
    Skip: "It is not asked again.",
    Unsure: "That tells nothing; it goes on without.",
    NoHelper: "Nothing is asked any more that needs a second pair of hands.",
    Repaired: "It goes on, with that taken as mended.",
    Stop: "The trace is stopped.",
}

T = TypeVar("T")


def say(out: TextIO, sentences: Iterable[str]) -> None:
    """Write sentences, each on a line of its own, and send them off."""
    for sentence in sentences:
        if sentence:
            out.write(wrapped(clean(sentence, _LINE_CHARACTERS), out) + "\n")
    out.flush()


class Conversation:
    """One trace in sentences.

    Parameters
    ----------
    keeper
        Where replies are kept; None where there is no record.
    rounds
        What was read before repairs in vain; None leaves that out.
    """

    def __init__(
        self,
        trace: Tracing,
        answers: LineInput,
        out: TextIO,
        keeper: Keeper | None = None,
        rounds: Rounds | None = None,
    ) -> None:
        self._trace = trace
        self._answers = answers
        self._out = out
        self._keeper = keeper
        self._rounds = rounds
        self._unkept = ""
        self._asked: Question | Finding | None = None
        self._has_input_ended = False

    def run(self) -> int:
        """Ask until the trace is over.

        Returns
        -------
        int
            0 where it ended with a finding or was stopped on request, 1 where it ended without a finding.
        """
        self._say("Type ? for the words that are understood.")
        while True:
            now = self._trace.next()
            if now is not self._asked:
                self._tell(now)
            self._asked = now
            if isinstance(now, Finding) and (now.stopped or not now.group):
                return NOT_FOUND
            code = self._at_finding(now) if isinstance(now, Finding) else self._at_question(now)
            if code is not None:
                return code

    def _tell(self, now: Question | Finding) -> None:
        harness = self._trace.harness
        blown = blown_fuses(harness, self._trace.complaint, self._trace.answers)
        if isinstance(now, Question):
            say(self._out, question_sentences(harness, now, self._trace.complaint.loads, blown))
            with suppress(FusewalkError):
                self._trace.prepare()
            return
        say(self._out, finding_sentences(harness, now, blown))
        self._keep(lambda keeper: keeper.keep_finding(now))
        if now.group and not now.stopped:
            self._say("When the repair is made: is it cured? Type yes or no; stop to leave it there.")

    def _at_question(self, now: Question) -> int | None:
        """Take one line in; give the exit code where it ends the trace."""
        said = self._tried(lambda: self._read(lambda typed: read_or_command(self._trace, now, typed)))
        if isinstance(said, Stop):
            return self._stop() if self._is_sure() else None
        if isinstance(said, Read):
            outcome = self._with_leads_right(said.outcome)
            self._say(f"Understood: {echo_words(now.check.kind, outcome)}.")
            said = Read(outcome)
        self._heed(said)
        return None

    def _at_finding(self, now: Finding) -> int | None:
        """Hear whether it is cured; give the exit code where that ends the trace."""
        said = self._tried(lambda: self._read(lambda typed: self._cured(now, typed)))
        if isinstance(said, Stop):
            return FOUND_OR_STOPPED
        if said == Repaired(True):
            self._reply(Repaired(True))
            self._say("Cured.")
            return FOUND_OR_STOPPED
        self._heed(said)
        return None

    def _cured(self, now: Finding, typed: str) -> Reply | Undo | Told:
        folded = typed.strip().casefold()
        if folded in (*YES, *NO):
            return Repaired(folded in YES)
        checks = [one.check for one in self._trace.answers[-1:]] + ([] if now.prove is None else [now.prove])
        rest = Condition(self._trace.harness.key_names[0])
        command = read_typed(self._trace, checks[0].condition if checks else rest, typed)
        if command is None:
            raise AnswerError("That is neither yes nor no.", do="Type yes where it is cured, no where it is not.")
        return command

    def _read(self, understand: Callable[[str], T]) -> T | Stop:
        typed = self._answers.read()
        self._has_input_ended = typed is None
        return Stop() if typed is None else understand(typed)

    def _is_sure(self) -> bool:
        """Ask once whether a trace is to end without a finding; the end of the input has no doubt."""
        if self._has_input_ended:
            return True
        self._say("End this trace? It is not offered again. Type yes to end it; anything else goes on.")
        typed = self._tried(lambda: self._read(lambda line: line.strip().casefold()))
        is_sure = isinstance(typed, Stop) or typed in YES
        if not is_sure:
            self._say("It goes on. Type again for the question once more.")
        return is_sure

    def _heed(self, said: Reply | Undo | Told | None) -> None:
        """Do what was said; None was not understood, which has been told."""
        if isinstance(said, Told):
            say(self._out, self._told(said))
        elif isinstance(said, Undo):
            if self._tried(self._undo):
                self._say("The last answer is taken back.")
        elif said is not None:
            self._take(said)

    def _undo(self) -> bool:
        last = self._trace.replies[-1] if self._trace.replies else None
        self._trace.undo()
        if self._rounds is not None:
            self._rounds.undone(last)
        self._keep(lambda keeper: keeper.keep_undone())
        return True

    def _take(self, reply: Reply) -> None:
        """Say how a reply is understood, reply, and say what it did."""
        if isinstance(reply, Also):
            self._say(f"Understood besides: {outcome_words(reply.check, reply.outcome)}.")
        if isinstance(reply, Change):
            kind = self._trace.answers[reply.place].check.kind
            self._say(f"Answer {reply.place + 1} is now {echo_words(kind, reply.outcome)}.")
        if self._reply(reply):
            self._say(_PASSED_OVER.get(type(reply), "") or self._trace.did())

    def _reply(self, reply: Reply) -> bool:
        """Reply and keep it; False where it did not fit, which has been said."""
        asked, answers = self._trace.next(), self._trace.answers

        def work() -> bool:
            self._trace.reply(reply)
            return True

        if not self._tried(work):
            return False
        if self._rounds is not None:
            self._rounds.taken(asked, answers, reply)
        self._keep(lambda keeper: keeper.keep(self._trace, asked, answers, reply))
        return True

    def _stop(self) -> int:
        self._take(Stop())
        return FOUND_OR_STOPPED

    def _keep(self, write: Callable[[Keeper], None]) -> None:
        """Write something into the record; where that fails the trace goes on, and it is said once."""
        if self._keeper is None:
            return
        try:
            write(self._keeper)
            self._unkept = ""
        except FusewalkError as error:
            if str(error) != self._unkept:
                self._say(f"Not written down: {error} The trace goes on.")
            self._unkept = str(error)

    def _with_leads_right(self, outcome: Outcome) -> Outcome:
        """Ask whether the leads are swapped where a reading is about minus what is expected."""
        if not self._trace.looks_swapped(outcome):
            return outcome
        self._say("That is about minus what is to be expected. Are the leads swapped? Type yes or no.")
        typed = self._tried(lambda: self._read(lambda line: line.strip().casefold()))
        return replace(outcome, least=-outcome.most, most=-outcome.least) if typed in YES else outcome

    def _told(self, what: Told) -> Iterable[str]:
        harness = self._trace.harness
        match what:
            case Told.HELP:
                return HELP
            case Told.ANSWERS:
                before = () if self._rounds is None else self._rounds.before()
                return answer_sentences(harness, self._trace.answers, before)
            case Told.OTHERS:
                return other_sentences(harness, other_checks(self._trace))
            case Told.AGAIN:
                self._asked = None
                return ()
            case Told.WHY:
                if isinstance(self._asked, Finding) and self._asked.group:
                    return why_sentences(harness, None, self._asked.group, most=len(self._asked.group))
                asked = self._asked if isinstance(self._asked, Question) else None
                return why_sentences(harness, asked, self._trace.suspects())

    def _tried(self, work: Callable[[], T]) -> T | None:
        """Do something that a person may have mistyped; the mistake is said, and None is given."""
        try:
            return work()
        except FusewalkError as error:
            self._say(str(error))
            return None

    def _say(self, sentence: str) -> None:
        say(self._out, (sentence,))
