"""A plan being worked through: what is typed answers the marked row, and the mark goes on to the next open one."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from textual.events import Key

from model.errors import AnswerError
from model.plans.judging import Standing, Taken
from model.plans.kept import counts
from model.plans.plan import Measure, Plan, PlanKind, PlanRow
from tui.pages import Page
from tui.plan_find import found_row, offered_rows
from tui.plan_keeper import unwritten_rows
from tui.plan_rows import standing_of
from tui.plan_verdict import ended_words
from tui.screens.choose import ChooseScreen
from tui.screens.dialog import MessageDialog, QuestionDialog
from tui.screens.plan_shown import PlanShown
from tui.typed_entry import BEGINS_ENTRY, TypedEntry
from tui.widgets.reading import Answering
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.plans.kept import Kept
    from model.plans.to_trace import NoTrace, RowTrace
    from tui.standing import Standing as Build


class PlanScreen(PlanShown, TypedEntry):
    """Takes the readings of a plan, row by row.

    Attributes
    ----------
    meant
        The key of a row and the word that Enter keeps of it: the record is only ever added to.
    """

    meant: tuple[str, Standing] | None = None

    def hears(self, event: Key) -> bool:
        """Take the keys of an entry: from the first sign of a number on all of them, until Enter or Esc."""
        if self.is_waited_for():
            return self.hear_ahead(event)
        if not self.can_answer():
            return False
        if self.typed:
            return self.hear_typing(event)
        if self.meant is not None and self._hears_of_meant(event):
            return True
        character = event.character or ""
        if not character or character not in BEGINS_ENTRY:
            return False
        if self.row is not None and self.row.measure is Measure.SEEN:
            self.wrong = "No number is asked here: g good, b bad, s skipped."
            self.show_answer()
            return True
        self.set_typed(character)
        return True

    def _hears_of_meant(self, event: Key) -> bool:
        """Keep the word that stands there with Enter, drop it with any other key."""
        meant, self.meant = self.meant, None
        self.show_answer()
        row = self.row
        if event.key == "enter" and row is not None and meant is not None and meant[0] == row.key:
            self.give(row, Taken(said=meant[1]))
            return True
        return event.key == "escape"

    def answering(self) -> Answering:
        """Return what the line of the answer says now; of a word that is not kept yet, what keeps it."""
        row = self.row
        if self.meant is None or row is None or self.meant[0] != row.key or self.typed:
            return super().answering()
        return Answering(understood=f"{str(self.meant[1]).upper()}? Enter keeps it, Esc drops it.")

    def can_answer(self) -> bool:
        """Tell whether an answer can be taken now."""
        return self.row is not None and self.keeper.is_open and self.is_counted

    def takes_number(self) -> bool:
        """Tell whether a number can be typed now."""
        return self.can_answer() and self.row is not None and self.row.measure is not Measure.SEEN

    def is_waited_for(self) -> bool:
        """Tell whether the plan, or its record, is still being read."""
        return not (self.is_counted and self.keeper.is_open)

    def _take_answers(self, kept: dict[str, Kept]) -> None:
        super()._take_answers(kept)
        self.take_ahead()

    def take_typed(self) -> None:
        """Answer the marked row with what has been typed; what cannot be read stays where it is."""
        from model.plans.typed_value import read_typed

        row = self.row
        assert row is not None
        try:
            taken = read_typed(row, self.typed)
        except AnswerError as error:
            self.wrong = f"{error.what} {error.do}".rstrip()
            self.show_answer()
            return
        self.give(row, taken)

    def action_take(self) -> None:
        """Say what Enter waits for."""
        is_seen = self.row is not None and self.row.measure is Measure.SEEN
        self.say("g good, b bad, s skip; Enter keeps it." if is_seen else "Type what the meter shows, then Enter.")

    def action_say_of_row(self, word: str) -> None:
        """Let a word stand as the answer of the marked row, for Enter to keep: good, bad, skipped."""
        row = self.row
        if row is None or not self.can_answer():
            self.say("There is no row to answer.")
            return
        self.meant, self.wrong = (row.key, Standing(word)), ""
        self.show_answer()

    def give(self, row: PlanRow, taken: Taken) -> None:
        """Answer a row and go on; first power stops at a bad one. Of a record that another has, try for it first."""
        if self.keeper.held_words:
            self.aside(self.keeper.open, lambda _: self._opened_for(row, taken), group="record")
            return
        assert self.plan is not None
        self.kept[row.key] = self.keeper.answer(self.plan, row, taken)
        self._judge_waiting(row)
        self._go_on(row)
        if self.stops_at(row.key):
            self.stay(row.key)
        else:
            self.mark_next(row.key)
            self.say(ended_words(counts(self.plan, self.kept)))

    def _judge_waiting(self, row: PlanRow) -> None:
        """Judge anew what looks back on a row: it waits for a clock that the answer starts, or leans on the reading."""
        plan = self.plan
        if plan is not None and any(row.key in one.looks_back for one in plan.rows):
            self.kept = self.keeper.answers(plan)
            self.show_rows()

    def _opened_for(self, row: PlanRow, taken: Taken) -> None:
        """Answer once the record has come free, else say again who has it."""
        self.show_trouble()
        if self.keeper.held_words:
            self.say("Not taken: another program writes this record.")
            return
        assert self.plan is not None
        self.kept = self.keeper.answers(self.plan)
        self.give(row, taken)

    def _go_on(self, row: PlanRow) -> None:
        """Show a changed row, and write the change aside; each is written behind those before it."""
        self.say("")
        self.typed, self.wrong, self.told_of, self.last = "", "", row.key, row.key
        self.suspects.pop(row.key, None)
        self.find_suspects()
        self.show_row(row.key)
        if any(not worker.is_finished for worker in self.workers.cancel_group(self, "answers")):
            # they were counted without this one
            self.read_answers()
        count = len(self.keeper.entries)
        self.aside(self.keeper.write, lambda _: self._written(row.key), group=f"write {count}")

    def _written(self, key: str) -> None:
        assert self.plan is not None
        before, self.unwritten = self.unwritten, unwritten_rows(self.keeper, self.plan)
        self.show_trouble()
        if before == self.unwritten:
            self.show_row(key)
        else:
            self.show_rows()
        self.show_did()

    def action_take_back(self) -> None:
        """Take the answer of the marked row back; without one, that of the row answered last."""
        row, plan = self.row, self.plan
        if plan is None or row is None or not self.can_answer():
            return
        if row.key not in self.kept:
            row = next((one for one in plan.rows if one.key == self.last and one.key in self.kept), None)
        if row is None:
            self.say("This row has no answer to take back.")
            return
        if self.keeper.held_words:
            self.say("Nothing is taken back: another program writes this record.")
            return
        self.keeper.take_back(plan, row)
        del self.kept[row.key]
        self._judge_waiting(row)
        self._go_on(row)
        self.query_one(RowList).mark_key(row.key)
        self.say(f"Taken back: {row.title} is open again.")

    def action_only_left(self) -> None:
        """Show only what is open, bad or skipped, at the end what is unproven, or all again."""
        self.only_left = not self.only_left
        self.show_rows()
        self.say(self._shown_words())

    def _shown_words(self) -> str:
        if not self.only_left:
            return "All rows are shown."
        is_open = any(standing_of(row, self.kept) is Standing.OPEN for row in self.shown().rows)
        return f"Only what is {'open, bad or skipped' if is_open else 'bad, skipped or unproven'} is shown."

    def action_find_row(self) -> None:
        """Ask for a row and mark it."""
        from tui.screens.ask import AskScreen

        plan = self.plan
        if plan is None:
            return
        ask: AskScreen[str] = AskScreen(
            "Find which row?",
            "letters of it: a wire, a part, a place",
            lambda typed: found_row(plan, typed).key,
            partial(offered_rows, plan),
        )
        self.app.push_screen(ask, self.go_to)

    def go_to(self, key: str | None) -> None:
        """Mark a row that was found."""
        if not key:
            return
        if self.only_left and key not in {row.key for row in self.shown().rows}:
            self.action_only_left()
        self.query_one(RowList).mark_key(key)

    def action_trace(self) -> None:
        """Trace what a bad reading is due to: that of the marked row, or the one whose verdict is shown."""
        row, standing = self._bad_row(), self.fusewalk.standing
        if row is None or self.plan is None or standing is None:
            self.say("A trace starts from a row that is bad.")
            return
        self._trace_asked(standing, row, self.kept[row.key].taken, self.plan)

    def _bad_row(self) -> PlanRow | None:
        """Give the marked row where it is bad; on an open one the row that the verdict shown is of, where that is."""
        row = self.row
        if row is None or row.key not in self.kept:
            row = self._rows_by_key.get(self.told_of)
        return row if row is not None and self.is_bad(row.key) else None

    def _trace_asked(self, standing: Build, row: PlanRow, taken: Taken, plan: Plan) -> None:
        """Ask what has to be known before a trace: which load was wrong, and whether power may come on."""
        from tui.plan_trace import find_trace, power_question, seen_choices

        if plan.kind is PlanKind.LOADS and row.measure is Measure.SEEN:
            ask = ChooseScreen("Which load was not as the row says?", seen_choices(self.harness, row))
            self.app.push_screen(ask, lambda load: self._trace_load(standing, row, load))
            return
        find = partial(find_trace, standing, row, taken, plan.state)
        question = power_question(self.harness, plan, row)
        if not question:
            self._trace(standing, find)
            return
        dialog = QuestionDialog("Power comes on with the trace.", question, "open the trace", "stay here")
        self.app.push_screen(dialog, lambda goes: self._trace(standing, find) if goes else None)

    def _trace_load(self, standing: Build, row: PlanRow, load: str | None) -> None:
        from model.plans.to_trace import trace_of_seen

        if load:
            self._trace(standing, partial(trace_of_seen, row, load))

    def _trace(self, standing: Build, find: Callable[[], RowTrace | NoTrace]) -> None:
        """Find the trace aside, and open it."""
        from tui.plan_trace import open_trace

        self.say("Finding the load that shows it.")
        self.aside(find, partial(open_trace, self, standing), group="trace")

    def action_cautions(self) -> None:
        """Show every caution, all that is to be done before, and the step with nothing left out."""
        from model.plans.kept import row_now
        from tui.plan_step import step_in_full

        row, plan = self.row, self.plan
        if plan is not None and row is not None:
            answer = self.kept.get(row.key)
            said = [] if answer is None else [f"{str(answer.verdict.standing).capitalize()}: {answer.verdict.why}"]
            told = step_in_full(self.harness, plan, row_now(row, self.kept), self.shared)
            suspects = self._suspects_of(plan, row)
            self.app.push_screen(MessageDialog(row.title, [*self._last_in_full(row), *said, *suspects, *told]))

    def _last_in_full(self, row: PlanRow) -> list[str]:
        """Give the verdict that is shown, whole, where it is that of another row."""
        return [self.did_words()] if self.told_of != row.key and self.is_bad(self.told_of) else []

    def _suspects_of(self, plan: Plan, row: PlanRow) -> tuple[str, ...]:
        """Give what fits the reading of a row; of a draw at once, it takes no solving."""
        answer = self.kept.get(row.key)
        if plan.kind is not PlanKind.DRAW or answer is None or row.key in self.suspects:
            return self.suspects.get(row.key, ())
        from model.plans.said_of_bad import suspects_words

        return suspects_words(self.harness, plan, row, answer.taken)

    def action_about(self) -> None:
        """Show what the plan proves, what it leaves out and what no row of it could show."""
        from tui.plan_step import about_plan

        if self.plan is not None:
            self.app.push_screen(MessageDialog(f"The plan: {self.kind}", about_plan(self.plan)))

    def action_who(self) -> None:
        """Ask who measures, with what, and how warm it is."""
        from tui.screens.who import WhoScreen

        self.app.push_screen(WhoScreen(self.keeper.measuring), self._take_who)

    def _take_who(self, measuring: object) -> None:
        from model.plans.kept import Measuring

        if isinstance(measuring, Measuring):
            self.keeper.measuring = measuring
            who = ", ".join(word for word in (measuring.who, measuring.meter) if word) or "nobody named"
            self.say(f"From now on measured by: {who}.")

    def page(self) -> Page | None:
        """Return the plan with its answers as Markdown."""
        if self.plan is None:
            return None
        from tui.plan_page import plan_page

        return plan_page(self.harness, self.plan, self.keeper.entries)

    def action_back(self) -> None:
        """Show all rows again; else leave the plan, which is kept."""
        if self.only_left:
            self.action_only_left()
        else:
            super().action_back()
