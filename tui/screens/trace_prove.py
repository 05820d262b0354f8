"""The proof of a repair: one reading, then whether what was complained of is cured."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Static

from model.errors import AnswerError
from model.tracing.asking import Reply
from tui.commands import Place, bindings_of
from tui.screens.frame import Framed
from tui.text import assembled, plain
from tui.typed_entry import BEGINS_ENTRY
from tui.widgets.bars import BarFacts
from tui.widgets.reading import NONE_CHOSEN, Answering, ReadingLine
from tui.widgets.trace_view import TraceStepView, lines_left
from tui.word_entry import WordEntry

if TYPE_CHECKING:
    from model.tracing.asking import Finding, Question
    from tui.trace_run import Seen, TraceRun

CURED = ("cured", "still there")


class ProveScreen(Framed[Reply], WordEntry):
    """Gives back whether the repair cured it.

    Parameters
    ----------
    seen
        The trace as it ended.
    run
        The trace.
    facts
        The line on top of the screen below.
    """

    PLACE = Place.PROVE
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.PROVE)]

    def __init__(self, seen: Seen, run: TraceRun, facts: BarFacts) -> None:
        super().__init__(replace(facts, doing=f"prove it: {facts.doing}"))
        self.seen = seen
        self.run_of = run
        self.typed = ""
        self.wrong = ""
        self.verdict = ""
        self.chosen = NONE_CHOSEN
        self.asks_cured = False

    def body(self) -> Iterable[Widget]:
        """Return the step, the answer and the verdict."""
        yield TraceStepView(id="step")
        yield ReadingLine(id="answer")
        yield Static(plain(""), id="did")

    def on_mount(self) -> None:
        """Ask aside what the check shows; without it the cure is asked for at once."""
        from model.tracing.checks import MEASURED

        finding = self.finding
        assert finding.prove is not None
        check = finding.prove
        self.asks_cured = check.kind not in MEASURED
        self.aside(lambda: self.run_of.question_for(check), self.show_step, group="prove")
        self.show()

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle is traced as it stands."""

    @property
    def finding(self) -> Finding:
        """How the trace ended."""
        from model.tracing.asking import Finding

        assert isinstance(self.seen.now, Finding)
        return self.seen.now

    def show_step(self, question: Question) -> None:
        """Show what to do."""
        from tui.trace_step import question_step

        finding = self.finding
        step = question_step(self.seen, replace(question, low=finding.prove_low, high=finding.prove_high))
        self.query_one(TraceStepView).step = replace(step, after=())
        self.fit()

    def on_resize(self) -> None:
        """Give the step the lines that it needs in the new width."""
        self.call_after_refresh(self.fit)

    def fit(self) -> None:
        """Give the step the lines that it needs, as far as the answer and the whole verdict leave any."""
        from tui.trace_layout import wanted_height

        view = self.query_one(TraceStepView)
        if view.step is not None:
            wanted = wanted_height(view.step, self.size.width - 2)
            view.styles.height = max(min(wanted, lines_left(self, view)), 1)

    def show(self) -> None:
        """Show what is typed, or asked."""
        said = self._understood() if self.typed else "Type what the meter shows; Enter alone goes on without."
        self.query_one(ReadingLine).answering = Answering(self.typed, said, self.wrong, self.words(), self.chosen)
        asks = "Look at what was complained of: is it cured?" if self.asks_cured else ""
        did = self.query_one("#did", Static)
        did.update(assembled((self.verdict, "bold"), "  " if self.verdict and asks else "", asks))
        self.call_after_refresh(self.fit)

    def hears(self, event: Key) -> bool:
        """Take the keys of the entry, then the two answers."""
        if self.asks_cured:
            self.say("")
            return self._turned_up_or_down(event) or self.hear_choosing(event)
        character = event.character or ""
        if not self.typed:
            if event.key == "enter":
                self.ask_cured("")
                return True
            if character and character in BEGINS_ENTRY:
                self.set_typed(character)
                return True
            return False
        return self.hear_typing(event)

    def _turned_up_or_down(self, event: Key) -> bool:
        """Turn to the other answer; tell whether the key is one that does."""
        if event.key in {"up", "down"}:
            self.turn_choice(1 if event.key == "down" else -1)
        return event.key in {"up", "down"}

    def words(self) -> tuple[str, ...]:
        """Return the two answers once the cure is asked for."""
        return CURED if self.asks_cured else ()

    def show_answer(self) -> None:
        """Show the entry as it stands."""
        self.show()

    def take_typed(self) -> None:
        """Judge what has been typed."""
        self.judge()

    def takes_number(self) -> bool:
        """Tell whether a number can be typed now."""
        return not self.asks_cured

    def _understood(self) -> str:
        from model.tracing.typed_answer import echo_words, read_answer

        assert self.finding.prove is not None
        kind = self.finding.prove.kind
        try:
            return echo_words(kind, read_answer(kind, self.typed))
        except AnswerError:
            return "…"

    def judge(self) -> None:
        """Say whether the reading proves the repair, and ask whether it is cured."""
        from model.tracing.answer_words import outcome_words
        from model.tracing.proof_words import proves_words
        from model.tracing.typed_answer import read_trusted
        from tui.trace_found_words import proof_band

        finding = self.finding
        assert finding.prove is not None
        try:
            outcome = read_trusted(finding.prove.kind, self.typed)
        except AnswerError as error:
            self.wrong = f"{error.what} {error.do}".rstrip()
            self.show()
            return
        words, band = outcome_words(finding.prove, outcome), proof_band(self.seen, finding)
        if finding.prove_low is None or finding.prove_high is None:
            self.ask_cured(f"{words} read.")
        elif finding.prove_low <= outcome.least and outcome.most <= finding.prove_high:
            self.chosen = 0
            self.ask_cured(f"{words} lies within {band}: the reading is good. {proves_words(finding.prove)}")
        else:
            self.chosen = 1
            self.ask_cured(f"{words} lies outside {band}: something is still wrong there.")

    def ask_cured(self, verdict: str) -> None:
        """Ask for the load itself."""
        self.verdict, self.typed, self.asks_cured = verdict, "", True
        self.show()

    def take_word(self, place: int) -> None:
        """Go back with the answer."""
        from model.tracing.asking import Repaired

        self.dismiss(Repaired(cured=place == 0))

    def action_amend(self) -> None:
        """Put the repair into the file, with the reading that proves it."""
        from tui.trace_amend import amend_repair

        amend_repair(self, self.seen, self.run_of, (self.verdict,) if self.verdict else ())

    def action_back(self) -> None:
        """Go back to the finding."""
        self.dismiss(None)
