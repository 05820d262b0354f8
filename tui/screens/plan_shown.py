"""A plan as it stands beside its record: the step above, the answer under it, then the rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.containers import Vertical
from textual.widget import Widget
from textual.widgets import Static

from model.harness.harness import Harness
from model.plans.judging import Standing
from model.plans.kept import counts
from model.plans.plan import LoomState, Measure, Plan, PlanKind, PlanRow
from tui.commands import Place, bindings_of
from tui.plan_earlier import POWERED, earlier_bad, earlier_words, own_words
from tui.plan_keeper import PlanKeeper, unwritten_rows
from tui.plan_making import plans_of
from tui.plan_rows import RowsShown, left_rows, plan_heads, plan_row, plan_rows
from tui.plan_verdict import ended_words, verdict_content, verdict_words
from tui.screens.measured import MeasuredScreen
from tui.text import assembled, plain
from tui.widgets.bars import BarFacts
from tui.widgets.reading import Answering, ReadingLine
from tui.widgets.rows import Row, RowList
from tui.widgets.trace_view import TraceStepView

if TYPE_CHECKING:
    from model.plans.kept import Kept
    from tui.plan_fit import PlanStep
    from tui.plan_making import Made

WORKING_OUT = "The plan is being worked out."
_ROWS_LEAST = 3
_DID_LINES = 3
_TINY_UNDER = 18
_STATE_FROM_CELLS = 56
_AT_A_KEY = frozenset({Measure.VOLTS, Measure.MILLIVOLTS, Measure.AMPS, Measure.LAMP})


class PlanShown(MeasuredScreen):
    """A plan as it stands: the step of the marked row, its answer, and all rows.

    Parameters
    ----------
    keeper
        Of the record.
    kind, state
        Which plan; the state of the loom is that of a continuity plan alone.

    Attributes
    ----------
    plan
        None while it is being made.
    kept
        The answer that counts of each row that has one, by its key.
    unwritten
        The rows that waited to be written when that was tried last.
    shared
        The settings that every row of the plan has.
    step
        Of the marked row, not yet fitted into the room there is.
    earlier
        What is bad in the plans before it, in a sentence.
    told_of, last
        The row whose verdict is told, and the one answered last.
    suspects
        What fits the reading of each bad row for which that was worked out, in sentences, by its key.
    """

    PLACE = Place.PLAN
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.PLAN)]
    AUTO_FOCUS = "#points"

    def __init__(self, keeper: PlanKeeper, harness: Harness, kind: PlanKind, state: LoomState) -> None:
        super().__init__(keeper, BarFacts(harness.build.name, str(kind)))
        self.harness = harness
        self.kind = kind
        self.state = state
        self.plan: Plan | None = None
        self.kept: dict[str, Kept] = {}
        self.suspects: dict[str, tuple[str, ...]] = {}
        self.shared: frozenset[tuple[str, str]] = frozenset()
        self.unwritten: frozenset[str] = frozenset()
        self.is_counted = False
        self.only_left = False
        self.typed = ""
        self.wrong = ""
        self.told_of = ""
        self.home = ""
        self.last = ""
        self.earlier = ""
        self.step: PlanStep | None = None
        self.stepped = ""
        self.cautions: tuple[str, ...] = ()
        self.cautioned: tuple[str, ...] = ()
        self.before: tuple[str, tuple[str, ...]] = "", ()
        self.done_before: tuple[str, ...] = ()
        self._rows_by_key: dict[str, PlanRow] = {}
        self._listed: list[Row] = []
        self._places: dict[str, int] = {}

    def body(self) -> Iterable[Widget]:
        """Return the step, the answer, what came of the last one, and the rows."""
        yield Static(id="stop")
        yield Static(id="unkept")
        yield TraceStepView(id="step")
        yield ReadingLine(id="answer")
        yield Static(plain(WORKING_OUT), id="did")
        with _Room(id="walk"):
            yield Static(id="heads", classes="heads")
            yield RowList(id="points")

    def on_mount(self) -> None:
        """Show the plan, made aside where it has not been."""
        made = plans_of(self.harness)
        known = made.kept(self.kind, self.state)
        if known is None:
            self.aside(partial(made.make, self.kind, self.state), self.take_plan, group="plan")
        else:
            self.take_plan(known)

    def take_plan(self, made: Made) -> None:
        """Show a plan, or say why there is none."""
        if isinstance(made, Exception):
            self.dismiss(None)
            self.app.call_later(self.fusewalk.tell, made)
            return
        from model.sheets.plan_states import shared_settings

        self.plan = made
        self.shared = shared_settings(self.harness, made)
        self._rows_by_key = {row.key: row for row in made.rows}
        self.read_answers()

    def show_record(self) -> None:
        """Show what the record holds of the plan."""
        super().show_record()
        self.read_answers()

        if self.kind in POWERED and self.keeper.is_open:
            find = partial(earlier_bad, plans_of(self.harness), self.keeper, self.kind)
            self.aside(find, self._take_earlier, group="earlier")

    def _take_earlier(self, bad: dict[PlanKind, int]) -> None:
        self.earlier = earlier_words(bad)
        self.show_stop()

    def show_stop(self) -> None:
        """Say on the first line what is bad in the plans before, and in first power in this one."""
        bad = [key for key in self.kept if self.is_bad(key)]
        row = self.row
        # the verdict of a bad row says so itself
        own = "" if row is not None and row.key in bad else own_words(self.kind, len(bad))
        words, stop = " ".join(one for one in (self.earlier, own) if one), self.query_one("#stop", Static)
        stop.display = bool(words)
        stop.update(assembled(words))

    def read_answers(self) -> None:
        """Judge the answers of the record aside; until then the rows stand open."""
        plan = self.plan
        if plan is None:
            return
        if self.keeper.is_open:
            self.aside(partial(self.keeper.answers, plan), self._take_answers, group="answers")
        self.show_rows()

    def _take_answers(self, kept: dict[str, Kept]) -> None:
        is_first, self.is_counted = not self.is_counted, True
        self.kept = kept
        self.suspects.clear()
        self.show_rows()
        if is_first:
            self.mark_next("")
        self.find_suspects()

    @property
    def row(self) -> PlanRow | None:
        """The marked row; None where there is none."""
        marked = self.query_one(RowList).marked_row
        return None if marked is None else self._rows_by_key.get(marked.key)

    def shown(self) -> RowsShown:
        """Return what the list shows now."""
        plan = self.plan
        assert plan is not None
        rows = left_rows(plan.rows, self.kept) if self.only_left else plan.rows
        return RowsShown(rows, self.kept, unwritten_rows(self.keeper, plan))

    def show_rows(self) -> None:
        """Make all rows anew for the width there is."""
        if self.plan is None:
            return
        points = self.query_one(RowList)
        self.query_one("#heads", Static).update(plan_heads(points.room))
        self._listed = plan_rows(self.shown(), points.room)
        self._places = {row.key: place for place, row in enumerate(self._listed) if row.key}
        points.show(self._listed)
        self.show_marked()

    def show_row(self, key: str) -> None:
        """Make one row anew; all where it goes from the list."""
        place = self._places.get(key)
        if self.only_left or place is None:
            self.show_rows()
            return
        points = self.query_one(RowList)
        self._listed[place] = plan_row(self.shown(), self._rows_by_key[key], points.room)
        points.show(self._listed)

    def mark_next(self, after: str) -> None:
        """Mark the first row after a key that has no answer, going round; leave the mark where all have one."""
        from model.plans.kept import next_open

        plan, points = self.plan, self.query_one(RowList)
        if plan is None:
            return
        found = next_open(plan.rows, self.kept, after)
        if found is not None:
            points.mark_key(found.key)
        marked = points.marked_row
        self.home = "" if marked is None else marked.key
        self.show_marked()

    def stay(self, key: str) -> None:
        """Keep the mark on a row, with its verdict."""
        self.query_one(RowList).mark_key(key)
        self.home = key
        self.show_marked()

    def on_row_list_marked(self) -> None:
        """Follow the mark with the step and, where a person has moved it, with the verdict of the row."""
        row = self.row
        if row is not None and row.key == self.home:
            return
        self.home = ""
        self.told_of = "" if row is None else row.key
        if not self.typed:
            self.wrong = ""
        self.find_suspects()
        self.show_marked()

    def show_marked(self) -> None:
        """Show the step of the marked row, and how the plan stands."""
        plan, row = self.plan, self.row
        if plan is None:
            return
        self.facts = BarFacts(self.harness.build.name, self._doing(plan), self._key(row))
        self.step = None if row is None else self._cautioned(plan, row)
        self.show_stop()
        self.show_did()
        self.show_answer()

    def _cautioned(self, plan: Plan, row: PlanRow) -> PlanStep:
        """Return the step of a row; what stood before the row just before it too is said in short."""
        from model.plans.kept import row_now
        from tui.plan_before import anew
        from tui.plan_fit import briefly_cautioned
        from tui.plan_step import plan_step

        now = row_now(row, self.kept)
        if row.key != self.before[0]:
            self.done_before, self.before = self.before[1], (row.key, now.before)
        told = replace(now, before=anew(now.before, self.done_before))
        step = plan_step(self.harness, plan, told, self.shared)
        if not self.kept:
            # what holds for every row is told until the first has been answered
            return replace(step, cautions=tuple(dict.fromkeys((*step.cautions, *plan.cautions))))
        if row.key != self.stepped:
            self.cautioned, self.stepped = self.cautions, row.key
            self.cautions = step.cautions
        return briefly_cautioned(step, self.size.width - 2) if self.cautioned == step.cautions else step

    def _doing(self, plan: Plan) -> str:
        counted = counts(plan, self.kept)
        has_room = self.size.width >= _STATE_FROM_CELLS
        state = f", {plan.state}" if plan.state is not None and has_room else ""
        bad = f", {counted[Standing.BAD]} bad" if counted[Standing.BAD] else ""
        return f"{plan.kind}{state}, {len(plan.rows) - counted[Standing.OPEN]} of {len(plan.rows)}{bad}"

    def _key(self, row: PlanRow | None) -> str:
        return row.condition.key if row is not None and row.measure in _AT_A_KEY else ""

    def show_did(self) -> None:
        """Say what came of the last answer, or how the marked row stands."""
        did = self.query_one("#did", Static)
        words = self.did_words()
        did.display = bool(words)
        did.update(verdict_content(words, self.size.width - 2, self._did_lines()))

    def _did_lines(self) -> int:
        if self.size.height < _TINY_UNDER:
            return 1
        return _DID_LINES - self.has_class("-short") + self.is_bad(self.told_of)

    def is_bad(self, key: str) -> bool:
        """Tell whether a row has an answer that is bad."""
        answer = self.kept.get(key)
        return answer is not None and answer.verdict.standing is Standing.BAD

    def stops_at(self, key: str) -> bool:
        """Tell whether the mark stays on a row: where nothing more may be fitted before it is mended."""
        return self.kind is PlanKind.FIRST_POWER and self.is_bad(key)

    def did_words(self) -> str:
        """Return the verdict of the row that is told of, with why; nothing where it has none."""
        plan, answer = self.plan, self.kept.get(self.told_of)
        if plan is None:
            return WORKING_OUT
        if not plan.rows:
            return " ".join((*plan.about, *plan.left_out)) or "There is nothing to prove in it."
        if answer is None:
            return "" if self.told_of else ended_words(counts(plan, self.kept))
        row = self._rows_by_key[self.told_of]
        own = "" if self.row is not None and self.row.key == row.key else row.title
        verdict = answer.verdict
        why, suspects = verdict.why, self.suspects.get(row.key, ())
        if self.kind is PlanKind.DRAW:
            # where to look comes before what it was judged by
            why, suspects = " ".join((*suspects[:1], why)), suspects[1:]
        said = verdict_words(self.kind, verdict.standing, own, self._kept_words(row), why)
        return " ".join((said, *suspects))

    def find_suspects(self) -> None:
        """Work out aside what fits the reading of the row that is told of, where it is bad and that is not known."""
        plan, row, answer = self.plan, self._rows_by_key.get(self.told_of), self.kept.get(self.told_of)
        if plan is None or row is None or answer is None or row.key in self.suspects:
            return
        if answer.verdict.standing is not Standing.BAD:
            return
        from model.plans.said_of_bad import suspects_words

        def show(words: tuple[str, ...]) -> None:
            if self.kept.get(row.key) is answer:
                self.suspects[row.key] = words
                self.show_did()

        self.aside(partial(suspects_words, self.harness, plan, row, answer.taken), show, group="suspects")

    def _kept_words(self, row: PlanRow) -> str:
        assert self.plan is not None
        if row.key not in unwritten_rows(self.keeper, self.plan):
            when = self.kept[row.key].entry.when
            return f"kept {when:%d %b %H:%M}"
        return "being written" if self.keeper.problem is None else "not written yet"

    def show_answer(self) -> None:
        """Show what has been typed and how it is understood."""
        self.query_one(ReadingLine).answering = self.answering()
        self.call_after_refresh(self.fit)

    def answering(self) -> Answering:
        """Return what the line of the answer says now."""
        from tui.plan_step import ask_words, typed_words

        row = self.row
        if row is None:
            return Answering(understood="" if self.plan is None else "No row is shown; f shows them all.")
        if not self.keeper.is_open:
            return Answering(understood="The record is being opened.")
        again = "Once more, or Down. " if self.stops_at(row.key) else ""
        understood = typed_words(row, self.typed) if self.typed else f"{again}{ask_words(row)}"
        return Answering(self.typed, understood, self.wrong)

    def fit(self) -> None:
        """Give the step the lines it wants, as far as the list keeps some."""
        from tui.plan_fit import easy_height, fitted

        view, walk = self.query_one(TraceStepView), self.query_one("#walk")
        if self.step is None:
            view.step = None
            view.styles.height = 0
            return
        cells, both = self.size.width - 2, view.size.height + walk.size.height
        step = view.step = fitted(self.step, cells, both - _ROWS_LEAST)
        view.styles.height = easy_height(step, cells, both - _ROWS_LEAST, both // 2)

    def on_resize(self) -> None:
        """Fit all to the new size."""
        self.call_after_refresh(self.show_rows)


class _Room(Vertical):
    """The rows under their heads; whatever takes lines from them, the step is fitted anew."""

    def on_resize(self) -> None:
        """Fit the step to what is left."""
        screen = self.screen
        if isinstance(screen, PlanShown):
            screen.fit()
