"""A new circuit after a pattern: what it asks, what is proposed with reasons, and the way into the file."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType

from model.errors import FusewalkError
from tui.commands import Place, bindings_of
from tui.form_rows import FormLine
from tui.pages import Page
from tui.screens.form import FormScreen
from tui.screens.trace_shown import tried
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.amending import Done
    from model.harness.file_read import FileRead
    from model.review.pattern_choices import OpenQuestion
    from model.review.patterns import Pattern, ProposedCircuit
    from tui.circuit_lines import Tried
    from tui.standing import Standing

_TRYING = "It is being worked out."
_PROPOSED = "What is proposed stands below; any of it can be typed otherwise. Tab and Enter put it in."


class CircuitScreen(FormScreen):
    """Asks what a circuit is to do, and proposes it anew after each answer.

    Parameters
    ----------
    standing
        The harness that gets the circuit.
    pattern
        What the circuit is made after.
    """

    PLACE = Place.CIRCUIT
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.CIRCUIT)]

    def __init__(self, standing: Standing, pattern: Pattern) -> None:
        super().__init__(BarFacts(standing.harness.build.name, f"new circuit, {pattern}"))
        self.before = standing
        self.pattern = pattern
        self.questions: tuple[OpenQuestion, ...] = ()
        self.read: FileRead | None = None
        self.tried: Tried | None = None
        self.is_trying = False

    def on_mount(self) -> None:
        """Find aside what there is to choose from."""
        from tui.circuit_lines import begin

        self.show()
        self.aside(partial(tried, partial(begin, self.before, self.pattern)), self.show_asked, group="file")

    def show_asked(self, begun: tuple[tuple[OpenQuestion, ...], FileRead] | Exception) -> None:
        """Show what is asked, or why nothing can be: the file was changed outside, or cannot be read."""
        from tui.circuit_lines import Tried, unanswered

        if isinstance(begun, FusewalkError):
            self.tried = Tried(None, self.told_error(begun))
            self.show()
            return
        if isinstance(begun, Exception):
            raise begun
        self.questions, self.read = begun
        self.show()
        self.query_one(RowList).mark_key(next(iter(unanswered(self.form_lines())), ""))

    @property
    def circuit(self) -> ProposedCircuit | None:
        """What is proposed; None while something is missing, or it is being worked out."""
        return self.tried.circuit if self.tried is not None and not self.is_trying else None

    def lead(self) -> str:
        """Say what is missing, or how the circuit comes out."""
        from model.review.patterns import PATTERNS
        from tui.circuit_lines import missing

        needed = missing(self.form_lines())
        if needed:
            words = PATTERNS[self.pattern]
            return f"{words[:1].upper()}{words[1:]}. Still needed: {', '.join(needed)}."
        if self.is_trying or self.tried is None:
            return _TRYING
        return self.tried.wrong or _PROPOSED

    def form_lines(self) -> list[FormLine]:
        """Return what is asked and what is proposed."""
        from tui.circuit_lines import proposal_lines, question_lines

        proposals = () if self.tried is None or self.tried.circuit is None else self.tried.circuit.proposals
        lines = list(question_lines(self.questions, self.values, proposals))
        found = list(proposal_lines(proposals, self.questions, self.values))
        heads = [FormLine("", "proposed, with reasons")] if found else []
        return [*lines, *heads, *found]

    def given(self, key: str) -> None:
        """Propose anew, aside, once all that is needed is answered."""
        from tui.circuit_lines import missing, try_circuit

        if missing(self.form_lines()):
            self.is_trying, self.tried = False, None
            self.show()
            return
        self.is_trying = True
        self.show()
        work = partial(tried, partial(try_circuit, self.before.walks.bench, self.pattern, dict(self.values)))
        self.aside(work, self.came, group="try")

    def came(self, came: Tried | Exception) -> None:
        """Show what is proposed, or what is missing; nothing where something has been emptied meanwhile."""
        if not self.is_trying:
            return
        self.is_trying = False
        if isinstance(came, Exception):
            raise came
        self.tried = came
        self.show()

    def after(self) -> str:
        """Say how the circuit comes out once it is solved."""
        from tui.circuit_lines import outcome_words

        circuit = self.circuit
        return "" if circuit is None else outcome_words(self.before.harness, circuit)

    def put_in(self) -> None:
        """Ask, with what to look at before the work, then put it into the file."""
        from model.review.patterns import as_amendment
        from tui.circuit_lines import caution_words, outcome_words
        from tui.putting_in import question_words

        circuit = self.circuit
        if circuit is None or self.read is None:
            self.show_wrong(self.lead())
            return
        amendment = as_amendment(circuit)
        harness = self.before.harness
        told = [caution_words(harness, circuit), outcome_words(harness, circuit)]
        question = " ".join([*told, question_words(replace(amendment, remarks=()), harness.build.revision)])
        self.ask_first("Put this circuit into the file?", question, partial(self.work, circuit))

    def work(self, circuit: ProposedCircuit) -> Done:
        """Put a circuit into the file; touches no widget."""
        from model.amending import Why
        from model.review.patterns import as_amendment
        from tui.putting_in import put_in

        return put_in(self.before.path, as_amendment(circuit), Why(), self.read)

    def written(self, done: Done) -> None:
        """Go to the card of the first load of the circuit, on the new revision."""
        from tui.putting_in import done_words
        from tui.restand import show_revision

        loads = {part.id for part in (*done.after.loads, *done.after.modules)}
        first = next((one for one in done.entry.parts if one in loads), "")
        show_revision(self.fusewalk, done.after, first, done_words(done))

    def page(self) -> Page | None:
        """Return what is proposed as Markdown."""
        circuit = self.circuit
        if circuit is None:
            return None
        from model.sheets.circuit_sheet import circuit_sheet
        from model.sheets.review_markdown import review_markdown

        sheet = circuit_sheet(self.before.harness, circuit)
        return Page(f"circuit {circuit.label}", f"{review_markdown(sheet)}\n", ".md")
