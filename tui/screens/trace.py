"""A trace under way: one check after the other, and what leads away from the check that is asked."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from tui.line_replies import Undo
from tui.pages import Page
from tui.screens.dialog import CarefulDialog, MessageDialog, QuestionDialog
from tui.screens.trace_entry import TraceEntry
from tui.screens.trace_shown import WAIT
from tui.widgets.rows import RowList
from tui.widgets.trace_view import TraceStepView

if TYPE_CHECKING:
    from model.tracing.asking import Finding, Reply
    from tui.trace_run import Seen


_BIG = "In big letters; g or Esc: the whole step."
_WHOLE = "The whole step, and its walk."


class TraceScreen(TraceEntry):
    """Asks one check after the other until the fault is found."""

    def action_take(self) -> None:
        """Say what Enter waits for, or show how the trace ended."""
        if self.is_busy:
            self.say(WAIT)
        elif self.question is not None:
            self.say("Type what the meter shows, then Enter.")
        elif self.seen is not None:
            self.show_finding()

    def action_quick(self, reply_name: str) -> None:
        """Reply without a reading: cannot be reached, not sure, no helper."""
        from model.tracing.asking import NoHelper, Skip, Unsure

        if self.question is None:
            self.say(WAIT if self.is_busy else "Nothing is asked now.")
            return
        replies: dict[str, Reply] = {"skip": Skip(), "unsure": Unsure(), "no_helper": NoHelper()}
        self.reply(replies[reply_name])

    def action_undo(self) -> None:
        """Take the last reply back, and say which it was."""
        from tui.trace_undone import undone_words

        run, seen = self.run_of, self.seen
        if run is None or seen is None or seen.last is None:
            self.say("There is nothing to take back.")
            return
        if self.is_busy:
            self.say(WAIT)
            return
        words = undone_words(seen)

        def then(came: Seen | Exception) -> None:
            self.driven(came)
            if not isinstance(came, Exception):
                self.say(words)

        self.begin(run.undo, then)

    def action_why(self) -> None:
        """Show the suspects and the other checks."""
        if self.run_of is None or self.seen is None or self.is_busy:
            self.say(WAIT)
            return
        from tui.screens.trace_why import WhyScreen

        self.app.push_screen(WhyScreen(self.run_of, self.facts), self.go_on)

    def action_answers(self) -> None:
        """Show what has been answered."""
        if self.seen is None or self.is_busy:
            self.say(WAIT)
            return
        from tui.screens.trace_answers import AnswersScreen

        self.app.push_screen(AnswersScreen(self.seen, self.facts), self.go_on)

    def go_on(self, reply: Reply | None) -> None:
        """Reply with what another screen gave; nothing where it was left."""
        if reply is not None:
            self.reply(reply)

    def action_profile(self) -> None:
        """Show the volts of the walk on one scale, with what has been read."""
        if self.seen is None:
            return
        from tui.screens.profile import TraceProfileScreen

        marked = self.query_one(RowList).marked_row
        self.app.push_screen(TraceProfileScreen(self.seen, self.facts, "" if marked is None else marked.key))

    def action_elsewhere(self) -> None:
        """Ask for the point at which something else was read."""
        seen = self.seen
        if seen is None or self.question is None:
            return
        from tui.screens.ask import AskScreen
        from tui.screens.what_if import offered
        from tui.trace_step import point_typed

        harness = seen.harness
        ask: AskScreen[str] = AskScreen(
            "Read at which point?",
            "a point, or words of it: X2.cab.6, pump",
            partial(point_typed, harness),
            lambda typed: offered(harness, typed, with_wires=False),
        )
        self.app.push_screen(ask, self.read_at)

    def read_at(self, point: str | None) -> None:
        """Let the next number go to a point that was chosen."""
        if point:
            self.elsewhere = point
            self.show_answer()

    def action_posts(self) -> None:
        """Let the next number go to the posts of the battery."""
        from model.tracing.graph import hot_posts

        if self.is_busy or self.seen is None or self.question is None:
            self.say(WAIT if self.is_busy else "Nothing is asked now.")
            return
        self.read_at(hot_posts(self.seen.harness)[0])

    def action_bigger(self) -> None:
        """Show the step alone in big letters, and back; say which it is."""
        self.is_big = not self.is_big
        self.say(_BIG if self.is_big else _WHOLE)
        self.fit()
        self.query_one(RowList).focus()

    def action_part(self) -> None:
        """Show the card of the part of the marked row."""
        from tui.screens.card import CardScreen
        from tui.trace_rows import name_beside
        from tui.walk_rows import row_of

        seen, marked = self.seen, self.query_one(RowList).marked_row
        beside = "" if marked is None else name_beside(marked.key)
        if beside:
            self.app.push_screen(CardScreen(beside.partition(".")[0], beside if "." in beside else None))
            return
        row = None if seen is None or seen.told is None or marked is None else row_of(seen.told, marked.key)
        if row is None:
            self.say("No point is marked.")
            return
        self.app.push_screen(CardScreen(row.part_id, row.point))

    def action_cautions(self) -> None:
        """Show the step with nothing left out."""
        from tui.trace_layout import step_sentences

        step = self.query_one(TraceStepView).step
        if step is not None:
            self.app.push_screen(MessageDialog(step.title, step_sentences(step)))

    def action_stop(self) -> None:
        """Ask whether the trace is to end without a finding."""
        from model.tracing.asking import Stop

        if self.question is None:
            self.say("The trace has ended.")
            return

        def answer(stop: bool | None) -> None:
            if stop:
                self.reply(Stop())

        question = "It would not be offered again. Enter goes on with it; Esc there leaves it for later."
        self.app.push_screen(CarefulDialog("End this trace?", question, "end it"), answer)

    def show_finding(self) -> None:
        """Show how the trace ended."""
        from model.tracing.asking import Finding, Repaired
        from tui.screens.trace_found import FoundScreen

        seen, run = self.seen, self.run_of
        if seen is None or run is None or not isinstance(seen.now, Finding):
            return
        if seen.last == Repaired(cured=True):
            self.app.push_screen(MessageDialog("Cured.", cured_words(seen.now)), lambda _: self.action_back())
            return
        self.app.push_screen(FoundScreen(seen, run, self.facts), self.found_left)

    def found_left(self, left: Reply | Undo | None) -> None:
        """Go on after the finding: with whether it is cured, with the last answer taken back, or back to the walk."""
        if isinstance(left, Undo):
            self.action_undo()
        else:
            self.go_on(left)

    def page(self) -> Page | None:
        """Return the step and the answers so far as text."""
        seen, question = self.seen, self.question
        if seen is None or question is None:
            return None
        from tui.trace_run import element_named
        from tui.trace_step import step_text

        return Page(f"trace {element_named(seen.harness, seen.complaint.loads)}", step_text(seen, question))

    def action_back(self) -> None:
        """Drop what leads elsewhere; else leave the trace, which is kept."""
        if self.is_big:
            self.action_bigger()
        elif self.elsewhere:
            self.elsewhere = ""
            self.query_one(RowList).mark_key(self.home)
            self.show_answer()
        elif self.seen is not None and self.seen.unkept and self.seen.last is not None:
            self.ask_unkept("Leave the trace?", "leave", super().action_back)
        else:
            super().action_back()

    def action_quit(self) -> None:
        """Quit; a trace under way is asked about first."""
        if self.question is None or self.seen is None or not self.seen.answers:
            self.fusewalk.action_leave()
            return

        if self.seen.unkept:
            self.ask_unkept("Quit in the middle of a trace?", "quit", self.fusewalk.action_leave)
            return

        def answer(leave: bool | None) -> None:
            if leave:
                self.fusewalk.action_leave()

        kept = "It is kept: t on the same load picks it up where it stands."
        self.app.push_screen(QuestionDialog("Quit in the middle of a trace?", kept, "quit", "go on"), answer)

    def ask_unkept(self, title: str, does: str, go: Callable[[], object]) -> None:
        """Ask before something that gives up what is not written down."""
        assert self.seen is not None

        def answer(leave: bool | None) -> None:
            if leave:
                go()

        question = (
            f"{self.seen.unkept} What is left is printed when the program ends, to be put into the record by hand."
        )
        self.app.push_screen(QuestionDialog(title, question, does, "go on"), answer)


def cured_words(finding: Finding) -> list[str]:
    """Say what a trace that ended well came to."""
    from model.words import plural
    from tui.trace_step import minutes_words

    return [finding.sentence, f"{plural(finding.steps, 'check')}, {minutes_words(finding.minutes)} of work."]
