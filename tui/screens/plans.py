"""The list of plans: how far each is, and the record of what was measured."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from model.plans.plan import LoomState, PlanKind
from tui.commands import Place, bindings_of
from tui.left_words import left_words
from tui.pages import Page
from tui.plan_earlier import earlier_bad, earlier_words
from tui.plan_keeper import PlanKeeper
from tui.plan_list import (
    RECORD_KEY,
    PlanLine,
    line_words,
    list_heads,
    list_page,
    list_rows,
    plan_lines,
    whole_sentences,
)
from tui.plan_making import plans_of
from tui.screens.dialog import MessageDialog
from tui.screens.measured import MeasuredScreen
from tui.text import assembled, plain
from tui.widgets.bars import BarFacts
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from tui.plan_making import Made
    from tui.standing import Standing

_DETAIL_CELLS = 100
_DETAIL_LEAST, _DETAIL_MOST = 3, 6
"""Lines, as the styles have them."""


class PlansScreen(MeasuredScreen):
    """Lists the plans in working order, counted beside the record; each is made in a thread.

    Parameters
    ----------
    standing
        The harness whose loom is proven.
    first
        A plan to open at once, over the list.
    """

    PLACE = Place.PLANS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.PLANS)]
    AUTO_FOCUS = "#plans"

    def __init__(self, standing: Standing, first: PlanKind | None = None) -> None:
        super().__init__(PlanKeeper(standing.path), BarFacts(standing.harness.build.name, "plans"))
        self.harness = standing.harness
        self.path = standing.path
        self.made = plans_of(standing.harness)
        self.state = LoomState.APART
        self.first = first
        self.lines: list[PlanLine] = [PlanLine(kind, self._state_of(kind)) for kind in PlanKind]

    def body(self) -> Iterable[Widget]:
        """Return the sentence, the heads, the list, and what the marked plan proves."""
        yield Static(id="stop")
        yield Static(id="unkept")
        yield Static(plain(Place.PLANS.value), id="lead", classes="lead")
        yield Static(id="heads", classes="heads")
        yield RowList(id="plans")
        yield Static(id="detail", classes="told")

    def on_mount(self) -> None:
        """Show what is known, and make the plans aside."""
        self.show_list()
        if self.first is not None:
            self.query_one(RowList).mark_key(str(self.first))
            self.action_open_marked()
        self.make_next()

    def on_unmount(self) -> None:
        """Let the record go; what could not be written is printed once the screens are gone."""
        self.fusewalk.say_at_the_end(left_words(self.path, self.keeper.close()))

    def show_record(self) -> None:
        """Count the rows anew."""
        super().show_record()
        self.count()

    def make_next(self) -> None:
        """Make the next plan that has not been made, the marked one first."""
        marked = self.marked_kind()
        kinds = [*([] if marked is None else [marked]), *PlanKind]
        missing = next((kind for kind in kinds if self.made.kept(kind, self.state) is None), None)
        if missing is not None:
            self.aside(partial(self.made.make, missing, self.state), self._arrived, group="plans")

    def _arrived(self, _: Made) -> None:
        self.count()
        self.make_next()

    def count(self) -> None:
        """Count aside how the rows of the plans stand."""
        self.aside(partial(plan_lines, self.made, self.keeper, self.state), self._counted, group="count")
        bad = partial(earlier_bad, self.made, self.keeper, PlanKind.CRANK_AND_CHARGE)
        self.aside(bad, self._found_bad, group="bad")

    def _found_bad(self, bad: dict[PlanKind, int]) -> None:
        words, stop = earlier_words(bad), self.query_one("#stop", Static)
        stop.display = bool(words)
        stop.update(assembled(words))

    def _counted(self, lines: list[PlanLine]) -> None:
        self.lines = lines
        self.show_list()

    def show_list(self) -> None:
        """Show the list as far as it is known."""
        rows = self.query_one(RowList)
        self.query_one("#heads", Static).update(list_heads(rows.room))
        rows.show(list_rows(self.lines, self.keeper.entries, rows.room))
        self.show_detail()

    def on_resize(self) -> None:
        """Fit the columns to the width."""
        self.call_after_refresh(self.show_list)

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_detail()

    def show_detail(self) -> None:
        """Say what the marked plan proves."""
        kind = self.marked_kind()
        words = "Everything that was measured, by date."
        if kind is not None:
            words = next(line_words(line) for line in self.lines if line.kind is kind)
        cells = min(self.size.width, _DETAIL_CELLS) - 2
        self.query_one("#detail", Static).update(assembled(whole_sentences(words, cells, self._detail_lines())))

    def _detail_lines(self) -> int:
        """Return how many lines are left below the list, as far as it may take them."""
        rows, detail = self.query_one(RowList), self.query_one("#detail", Static)
        left = rows.size.height + detail.size.height - len(rows.rows)
        return min(max(left, _DETAIL_LEAST), _DETAIL_MOST)

    def action_about(self) -> None:
        """Show all that the marked plan proves, leaves out and cannot show."""
        from tui.plan_step import about_plan

        line = next((line for line in self.lines if line.kind is self.marked_kind()), None)
        if line is None or line.plan is None:
            self.say("Mark a plan first: o tells all that it proves.")
            return
        self.app.push_screen(MessageDialog(f"The plan: {line.kind}", about_plan(line.plan)))

    def marked_kind(self) -> PlanKind | None:
        """Return which plan is marked; None where the record is."""
        marked = self.query_one(RowList).marked_row
        return None if marked is None or marked.key == RECORD_KEY else PlanKind(marked.key)

    def _state_of(self, kind: PlanKind) -> LoomState | None:
        return self.state if kind is PlanKind.CONTINUITY else None

    def action_turn_loom(self, way: int) -> None:
        """Choose the state of the loom in which continuity is proven."""
        if self.marked_kind() is not PlanKind.CONTINUITY:
            self.say("Only continuity has a state of the loom: mark it first.")
            return
        states = list(LoomState)
        self.state = states[(states.index(self.state) + way) % len(states)]
        self.count()
        self.make_next()

    def on_row_list_taken(self) -> None:
        """Open what was clicked."""
        self.action_open_marked()

    def action_open_marked(self) -> None:
        """Open the marked plan, or the record."""
        kind = self.marked_kind()
        if kind is None:
            self.action_record()
            return
        from tui.screens.plan import PlanScreen

        self.app.push_screen(PlanScreen(self.keeper, self.harness, kind, self.state))

    def page(self) -> Page:
        """Return the list as text."""
        return Page(f"{self.path.stem} plans", list_page(self.lines, self.keeper.entries))

    def action_back(self) -> None:
        """Go back to the loads; answers that are not written are asked about first."""
        self.ask_unwritten("Leave the plans?", "leave", super().action_back)
