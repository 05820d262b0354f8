"""A trace as it is shown: what to do now above the walk, what is known in the rows; driven in a thread."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path, PurePath
from time import monotonic
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.binding import BindingType
from textual.containers import Vertical
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Static

from model.errors import AnswerError
from tui.commands import Place, bindings_of
from tui.key_shown import key_shown
from tui.left_words import left_words, put_back_words
from tui.screens.frame import Framed
from tui.text import assembled, plain
from tui.trace_layout import at_most
from tui.widgets.bars import BarFacts
from tui.widgets.reading import NONE_CHOSEN, Answering, ReadingLine
from tui.widgets.rows import RowList
from tui.widgets.trace_view import BigView, TraceStepView, lines_left

if TYPE_CHECKING:
    from model.tracing.asking import Question, Reply
    from model.tracing.checks import Check
    from tui.trace_run import Seen, TraceRun

STARTING = "Gathering what may be wrong."
WORKING_OUT = "Working out the next check."
WAIT = "Wait: it is still being worked out."
_WAITING = "Wait; a number that is typed now is kept."
_ROWS_LEAST = 4
_HEADS_AND_ROW = 2
_BESIDES_MOST = 4
_DID_LINES = 2

Done = TypeVar("Done")


class TraceShown(Framed[None]):
    """A trace as it stands: the step above, the answer under it, then the walk.

    Parameters
    ----------
    start
        Sets the trace up; called in a thread.
    doing
        What is traced, for the line on top until it is set up.
    """

    PLACE = Place.TRACE
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.TRACE)]
    AUTO_FOCUS = "#points"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = (
        Path(__file__).parent.parent / "styles/trace.tcss"
    )

    def __init__(self, start: Callable[[], TraceRun], doing: str) -> None:
        super().__init__(BarFacts("", doing))
        self.start = start
        self.run_of: TraceRun | None = None
        self.seen: Seen | None = None
        self.is_busy = False
        self.is_gone = False
        self.is_big = False
        self.typed = ""
        self.wrong = ""
        self.chosen = NONE_CHOSEN
        self.home = ""
        self.elsewhere = ""
        self.followed = ""
        self.put_back = 0
        self.ticking: Timer | None = None

    def body(self) -> Iterable[Widget]:
        """Return the step, the answer, what the last one did, and the walk."""
        yield Static(id="unkept")
        yield TraceStepView(id="step")
        yield BigView(id="big")
        yield ReadingLine(id="answer")
        yield Static(plain(STARTING), id="did")
        with Vertical(id="walk"):
            yield Static(id="heads", classes="heads")
            yield RowList(id="points")

    def on_mount(self) -> None:
        """Set the trace up aside."""
        self.query_one(BigView).in_ascii = self.fusewalk.ascii_only
        if self.fusewalk.standing is not None:
            self.facts = BarFacts(self.fusewalk.standing.harness.build.name, self.facts.doing)

        def begin() -> Seen:
            run = self.run_of = self.start()
            if self.is_gone:
                run.close()
            return run.seen()

        self.drive(begin, STARTING)

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle is traced as it stands."""

    def on_unmount(self) -> None:
        """Let the record go, aside: a check that is still being worked out holds the trace."""
        self.is_gone = True
        run, path = self.run_of, self.fusewalk.path
        if run is not None and path is not None:
            self.fusewalk.let_go(lambda: left_words(path, run.close()))

    @property
    def question(self) -> Question | None:
        """What is asked now; None once the trace has ended."""
        from model.tracing.asking import Question

        return self.seen.now if self.seen is not None and isinstance(self.seen.now, Question) else None

    def drive(self, work: Callable[[], Seen], words: str = WORKING_OUT) -> None:
        """Do one thing with the trace aside; until it is done no other is begun."""
        if self.is_busy:
            self.say(WAIT)
        else:
            self.begin(work, self.driven, words)

    def begin(
        self, work: Callable[[], Done], then: Callable[[Done | Exception], None], words: str = WORKING_OUT
    ) -> None:
        """Do one thing aside and go on with what came of it, an error among that."""
        self.is_busy = True
        began = monotonic()
        did = self.query_one("#did", Static)
        did.display = True
        did.update(plain(words))
        self.show_answer()

        def tell() -> None:
            if self.is_busy and ticking is self.ticking:
                did.update(plain(f"{words} {monotonic() - began:.0f} s"))
            else:
                ticking.stop()

        ticking = self.ticking = self.set_interval(1, tell)

        def attempt() -> Done | Exception:
            return tried(work)

        self.aside(attempt, then, group="trace")

    def driven(self, came: Seen | Exception) -> None:
        """Show what came of it, or say why nothing did."""
        self.is_busy = False
        if isinstance(came, AnswerError):
            self.wrong = f"{came.what} {came.do}".rstrip()
            self.show_answer()
            self.show_did()
        elif isinstance(came, Exception):
            self.show_did()
            self.show_answer()
            if self.seen is None:
                self.dismiss(None)
            # told by the app itself: this screen may be gone by then
            self.app.call_later(self.fusewalk.tell, came)
        else:
            self.take(came)

    def take(self, seen: Seen) -> None:
        """Show the trace as it stands now; where it has ended, how."""
        from tui.trace_step import doing_words

        self.seen = seen
        self.typed, self.wrong, self.chosen, self.elsewhere, self.home = "", "", NONE_CHOSEN, "", ""
        question = self.question
        key = seen.condition.key if question is None else question.check.condition.key
        posts = (
            (None, "") if question is None else (question.posts_volts, "read" if question.posts_read else "not read")
        )
        self.facts = BarFacts(seen.harness.build.name, doing_words(seen), key_shown(seen.harness, key), *posts)
        self.show_seen()
        self.mark_home()
        if self.run_of is not None and self.run_of.put_back > self.put_back:
            self.put_back = self.run_of.put_back
            self.say(put_back_words(self.put_back))
        if question is None:
            self.show_finding()
        elif self.run_of is not None:
            self.aside(self.run_of.prepare, lambda _: None, group="ahead")

    def show_seen(self) -> None:
        """Show everything, for the width there is."""
        from tui.trace_rows import trace_heads, trace_rows
        from tui.trace_step import question_step

        seen = self.seen
        if seen is None:
            return
        unkept = self.query_one("#unkept", Static)
        unkept.display = bool(seen.unkept)
        unkept.update(assembled(seen.unkept))
        question = self.question
        self.query_one(TraceStepView).step = None if question is None else question_step(seen, question)
        points = self.query_one(RowList)
        self.query_one("#heads", Static).update(trace_heads(seen, points.room))
        points.show(trace_rows(seen, points.room))
        self.show_did()
        self.show_answer()

    def mark_home(self) -> None:
        """Mark the row that the check is about."""
        from tui.trace_rows import home_key

        points = self.query_one(RowList)
        if self.seen is not None:
            points.mark_key(home_key(self.seen))
        marked = points.marked_row
        self.home = "" if marked is None else marked.key

    def show_did(self) -> None:
        """Say what the last answer did; before the first one, which circuits of a part are traced as one."""
        from tui.taken_words import taken_words

        did, seen = self.query_one("#did", Static), self.seen
        words = "" if seen is None else seen.did
        if seen is not None and not words and not seen.answers:
            words = taken_words(seen.harness, seen.complaint.loads)
        did.display = bool(words)
        did.update(at_most(words, self.size.width - 2, _DID_LINES))

    def show_answer(self) -> None:
        """Show what has been typed and how it is understood."""
        self.query_one(ReadingLine).answering = self.answering()
        self.call_after_refresh(self.fit)

    def answering(self) -> Answering:
        """Return what the line of the answer says now."""
        from model.tracing.checks import MEASURED
        from tui.trace_step import choices_of

        question = self.question
        if self.is_busy:
            return Answering(understood=_WAITING)
        if question is None:
            return Answering(understood="The trace has ended: Enter shows how." if self.seen is not None else "")
        is_number = bool(self.elsewhere) or question.check.kind in MEASURED
        if not is_number:
            return Answering(self.typed, choices=choices_of(question.check), chosen=self.chosen)
        understood = self.understood() if self.typed else "Type what the meter shows, with ? if in doubt."
        return Answering(self.typed, understood, self.wrong, at=self.elsewhere)

    def fit(self) -> None:
        """Give the step the lines it wants as far as the walk keeps some, those that it needs in any case."""
        from tui.trace_layout import least_height, wanted_height

        view, big, walk = self.query_one(TraceStepView), self.query_one(BigView), self.query_one("#walk")
        view.display, big.display, walk.display = not self.is_big, self.is_big, not self.is_big
        self.set_class(self.is_big, "-big")
        if view.step is None:
            view.styles.height = 0
            return
        if self.is_big:
            big.cautions = view.step.cautions
            big.setting = self.big_setting()
            big.told = self.big_lines()
            return
        cells, both = self.size.width - 2, lines_left(self, view, walk)
        wanted, least = wanted_height(view.step, cells), min(least_height(view.step, cells), both)
        easy = min(wanted + _BESIDES_MOST, both // 2)
        height = max(min(max(wanted, easy), both - _ROWS_LEAST), least, 1)
        has_rows = both - height >= _HEADS_AND_ROW
        view.styles.height = height if has_rows else max(both, 1)
        # a share of what is left would take a line where none is
        walk.styles.height = "1fr" if has_rows else 0

    def shows_walk(self) -> bool:
        """Tell whether a row of the walk stands on the screen: a mark that nobody sees takes no reading."""
        has_row = self.query_one("#walk").size.height >= _HEADS_AND_ROW
        return has_row and not self.is_big and self.max_scroll_y == 0

    def big_lines(self) -> list[str]:
        """Return the step in the few words that are drawn big, what is typed last."""
        from tui.trace_step import big_words

        question = self.question
        if question is None or self.seen is None:
            return []
        typed = [f"{self.typed}_"] if self.typed else []
        return [*typed, *big_words(self.seen, question)]

    def big_setting(self) -> str:
        """Return what is set besides the key, in the words of the step; nothing where all else is at rest."""
        from model.tracing.condition_words import settings_words

        step, question, seen = self.query_one(TraceStepView).step, self.question, self.seen
        if step is None or question is None or seen is None:
            return ""
        return dict(step.lines).get("set", "") if settings_words(seen.harness, question.check.condition) else ""

    def on_resize(self) -> None:
        """Fit all to the new size."""
        self.call_after_refresh(self.show_seen)

    def understood(self) -> str:
        """Say how what has been typed is understood so far."""
        from model.tracing.typed_answer import echo_words, read_answer

        kind = self.asked_check().kind
        try:
            return echo_words(kind, read_answer(kind, self.typed))
        except AnswerError:
            return "…"

    def asked_check(self) -> Check:
        """Return the check that an answer is for: the one asked, or the volts at the row that is marked."""
        from tui.trace_step import suggested_check

        seen, question = self.seen, self.question
        assert seen is not None
        assert question is not None
        return suggested_check(seen, question, self.elsewhere) if self.elsewhere else question.check

    def reply(self, reply: Reply) -> None:
        """Hand a reply to the trace."""
        run = self.run_of
        if run is not None:
            self.drive(partial(run.reply, reply))

    def show_finding(self) -> None:
        """Show how the trace ended."""


def tried(work: Callable[[], Done]) -> Done | Exception:
    """Return what came of work, or the error: whatever it was, the screen has to be free again."""
    try:
        return work()
    except Exception as error:
        return error
