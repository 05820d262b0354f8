"""The first screen of a harness: its loads, what each does now, what it needs, and the fuse it hangs on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from model.errors import FusewalkError
from model.words import plural
from tui import remembered
from tui.commands import Place, bindings_of
from tui.load_filling import (
    NeedsFound,
    findings_words,
    left_traces,
    needs_of,
    put_on_bench,
    tables_at_once,
    turn_through,
)
from tui.load_lines import lines_of_harness, lines_of_tables
from tui.load_table import LoadsShown, load_page, load_table
from tui.pages import Page
from tui.screens.following import READING, Following
from tui.text import assembled, fit, plain
from tui.widgets.bars import BarFacts, BottomBar
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.harness.harness import Harness
    from tui.standing import Solved, Standing

_QUICK_SECONDS = 0.15
"""Where even the quickest load takes longer than this only those in the window are worked out."""

_IDLE_SECONDS = 1.0
_COUNTED_FROM = 18


class LoadsScreen(Following[None]):
    """Lists the loads of a harness file; names come with the first paint, the rest as it is worked out.

    Parameters
    ----------
    path
        The file.
    """

    PLACE = Place.LOADS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.LOADS)]
    AUTO_FOCUS = "#loads"

    def __init__(self, path: Path) -> None:
        tables = tables_at_once(path)
        super().__init__(_first_facts(path, tables))
        self.path = path
        self.shown = LoadsShown(lines_of_tables(tables))
        self.harness: Harness | None = None
        self.counts = ""
        self.findings = ""
        self.left: dict[str, str] = {}
        self.is_counting = False
        self.trouble: list[str] = []
        self.wish: Callable[[], None] | None = None
        self.quickest_seconds = inf
        self.is_filling = False

    def body(self) -> Iterable[Widget]:
        """Return the sentence, the heads of the columns and the list."""
        yield Static(plain(Place.LOADS.value), id="lead", classes="lead")
        yield Static(id="trouble", classes="trouble")
        yield Static(id="heads", classes="heads")
        yield RowList(id="loads")
        yield Static(id="needs", classes="heads")

    def on_mount(self) -> None:
        """Show the names, and read the file once they have been painted."""
        self.show_list()
        self.watch(self.query_one(RowList), "scroll_y", self.fill, init=False)
        self.call_after_refresh(self.read)

    def on_resize(self) -> None:
        """Fit the columns to the new width."""
        self.show_list()

    def read(self) -> None:
        """Read and check the file aside."""
        before = self.fusewalk.standing
        self.aside(partial(put_on_bench, self.path, before), self.arrived, group="read")

    def arrived(self, found: Standing | FusewalkError) -> None:
        """Put the harness up for all screens, or tell what is wrong with the file."""
        if isinstance(found, FusewalkError):
            self.fusewalk.give_up_file(found)
            return
        remembered.remember_file(self.path)
        self.relist(found)
        same = self.fusewalk.standing is found
        self.fusewalk.standing = found
        if same:
            self.follow()
        if self.query_one(BottomBar).said == READING:
            self.say("")
        self.read_left()
        wish, self.wish = self.wish, None
        if wish is not None and self.is_current:
            wish()

    def once_read(self, wish: Callable[[], None]) -> Standing | None:
        """Return what stands; where the file is still being read say so, and do what is wished once it has been."""
        standing = self.fusewalk.standing
        if standing is None:
            self.wish = wish
            self.say(READING)
        return standing

    def relist(self, standing: Standing) -> None:
        """List the loads of a harness: of the file, or of another revision of it."""
        self.harness = standing.harness
        self.shown = LoadsShown(lines_of_harness(standing.harness), self.shown.order)
        self.counts, self.findings = counts(standing), ""

    def follow(self) -> None:
        """Show what stands now, once it is known to be of this file; of a file that was changed here list it anew."""
        standing = self.fusewalk.standing
        if not self.counts:
            return
        if standing is not None and standing.path == self.path and standing.harness is not self.harness:
            self.relist(standing)
        super().follow()

    def doing(self, solved: Solved | None) -> str:
        """Say how many loads work."""
        if solved is None or solved.survey is None:
            return "loads"
        states = [load.state.value for load in solved.survey.loads.values()]
        return f"{states.count('works')} of {plural(len(states), 'circuit')} on"

    def show_waiting(self, standing: Standing) -> None:
        """Leave the states open."""
        self.shown = LoadsShown(self.shown.lines, self.shown.order, {}, self.shown.needs)
        self.show_list()

    def show_standing(self, standing: Standing, solved: Solved) -> None:
        """Show what each load does now."""
        from model.sheets.settled_words import settled_words

        now: dict[str, str] = {}
        if solved.survey is not None:
            now = {name: load.state.value for name, load in solved.survey.loads.items()}
        self.trouble = [solved.trouble] if solved.survey is None else settled_words(solved.survey.settled)
        self.shown = LoadsShown(self.shown.lines, self.shown.order, now, self.shown.needs)
        self.show_list()
        self.call_after_refresh(self.fill)

    def show_list(self) -> None:
        """Fill the list for the width there is."""
        rows = self.query_one(RowList)
        self.show_lead()
        trouble = self.query_one("#trouble", Static)
        trouble.display = bool(self.trouble)
        trouble.update(assembled(" ".join(self.trouble)))
        heads, shown = load_table(self.shown, rows.room)
        self.query_one("#heads", Static).update(heads)
        rows.show(shown)
        self.show_needs()

    def show_lead(self) -> None:
        """Say what can be done here, how large the harness is, and how much was found in its design."""
        lead = Place.LOADS.value
        if not self.shown.lines:
            lead = "No load is in this file." if self.counts else "Reading the file."
        counted = (self.counts, self.findings) if self.size.height >= _COUNTED_FROM else ()
        self.query_one("#lead", Static).update(assembled(" ".join(filter(None, (lead, *counted)))))

    def show_needs(self) -> None:
        """Say of the marked load that a trace of it was left, and what it needs where its row has no room for that."""
        row, line = self.query_one(RowList).marked_row, self.query_one("#needs", Static)
        needs = None if row is None else self.shown.needs.get(row.key)
        left = "" if row is None else self.left.get(row.key, "")
        told = f"Trace left {left}: t goes on with it." if left else ""
        if needs is not None and not self.has_class("-wide"):
            words = f"Needs {needs.words}." if needs.reached else f"{needs.words[:1].upper()}{needs.words[1:]}."
            told = f"{told} {words} Fuse {needs.fuse_id or 'none'}.".lstrip()
        line.display = bool(left) or (row is not None and not self.has_class("-wide"))
        line.update(plain(fit(told, self.size.width - 2)))

    def on_row_list_marked(self) -> None:
        """Follow the mark with what the load needs."""
        self.show_needs()

    def fill(self) -> None:
        """Work out aside what loads need: those in the window first, the others where that is quick."""
        standing = self.fusewalk.standing
        if standing is None or not self.counts or self.is_filling or not self.is_current:
            return
        if not self.shown.needs:
            self.aside(partial(turn_through, standing), lambda _: None, group="turn")
        names = self._unfilled()
        if names:
            self.is_filling = True
            self.aside(
                partial(needs_of, standing, names), lambda found: self.filled(found, standing.harness), group="needs"
            )
        elif not self.findings and not self.is_counting:
            self.is_counting = True
            self.set_timer(_IDLE_SECONDS, self.count_findings)

    def _unfilled(self) -> list[str]:
        rows = self.query_one(RowList)
        missing = [row.key for row in rows.rows if row.key and row.key not in self.shown.needs]
        in_window = {row.key for row in rows.in_window()}
        first = [name for name in missing if name in in_window]
        if first or _QUICK_SECONDS < self.quickest_seconds < inf:
            return first
        return missing

    def filled(self, found: NeedsFound, harness: Harness | None) -> None:
        """Show what has been found of the harness that is listed, and go on; what was of one before is let go."""
        self.is_filling = False
        if harness is not self.harness:
            self.fill()
            return
        self.quickest_seconds = min(self.quickest_seconds, found.seconds_each)
        needs = {**self.shown.needs, **found.needs}
        self.shown = LoadsShown(self.shown.lines, self.shown.order, self.shown.now, needs)
        self.show_list()
        self.fill()

    def count_findings(self) -> None:
        """Count aside what is found in the design, once nothing else is to be done here."""
        standing, self.is_counting = self.fusewalk.standing, False
        if standing is not None and self.counts and self.is_current:
            self.aside(
                partial(findings_words, standing), lambda words: self.found(words, standing.harness), group="findings"
            )

    def found(self, words: str, harness: Harness | None) -> None:
        """Show how much was found in the design of the loom; of a revision before count anew."""
        if harness is not self.harness:
            self.fill()
            return
        self.findings = words
        self.show_lead()

    def on_screen_resume(self) -> None:
        """Go on filling in, and look which traces have been left meanwhile."""
        self.fill()
        if self.counts:
            self.read_left()

    def read_left(self) -> None:
        """Find aside which loads have a trace that was left."""
        self.aside(partial(left_traces, self.path), self.show_left, group="left")

    def show_left(self, left: dict[str, str]) -> None:
        """Say of which loads a trace was left, once of each, and of the marked one how far it is."""
        new = [line.label for line in self.shown.lines if line.name in left and line.name not in self.left]
        self.left = left
        self.show_needs()
        if new and self.is_current and not self.query_one(BottomBar).said:
            self.say(f"A trace was left: {', '.join(dict.fromkeys(new))}. t on that row goes on with it.")

    def page(self) -> Page:
        """Return the list as text."""
        return Page(f"{self.path.stem} loads", load_page(self.shown))

    def on_row_list_taken(self) -> None:
        """Show the walk of the load that was clicked."""
        self.action_walk()

    def action_walk(self) -> None:
        """Show the walk of the marked load."""
        row = self.query_one(RowList).marked_row
        if row is None:
            self.say("There is no load to walk: a adds a circuit." if self.counts else READING)
            return
        self.open_walk(row.key)

    def open_walk(self, name: str) -> None:
        """Show the walk of a load, as soon as the file has been read."""
        if self.once_read(partial(self.open_walk, name)) is None:
            return
        from tui.screens.walk import WalkScreen

        self.fusewalk.push_screen(WalkScreen(name))

    def action_trace(self) -> None:
        """Trace why the marked load does not work."""
        row = self.query_one(RowList).marked_row
        if row is None:
            self.say("There is no load to trace: a adds a circuit." if self.counts else READING)
            return
        if self.once_read(self.action_trace) is None:
            return
        self.fusewalk.trace_loads((row.key,))

    def action_practise(self) -> None:
        """Hide a fault to practise on."""
        standing = self.once_read(self.action_practise)
        if standing is None:
            return
        from tui.screens.practice import PracticeScreen

        self.fusewalk.push_screen(PracticeScreen(standing.harness))

    def action_plans(self) -> None:
        """Show the plans that prove a new loom."""
        standing = self.once_read(self.action_plans)
        if standing is None:
            return
        from tui.screens.plans import PlansScreen

        self.fusewalk.push_screen(PlansScreen(standing))

    def action_reviews(self) -> None:
        """Show what the loom can be looked over for."""
        standing = self.once_read(self.action_reviews)
        if standing is None:
            return
        from tui.screens.reviews import ReviewsScreen

        self.fusewalk.push_screen(ReviewsScreen(standing))

    def action_needs(self) -> None:
        """Ask what the file still needs."""
        standing = self.once_read(self.action_needs)
        if standing is None:
            return
        from tui.screens.needs import NeedsScreen

        self.fusewalk.push_screen(NeedsScreen(standing))

    def action_new_circuit(self) -> None:
        """Choose a pattern for a new circuit."""
        standing = self.once_read(self.action_new_circuit)
        if standing is None:
            return
        from tui.screens.patterns import PatternsScreen

        self.fusewalk.push_screen(PatternsScreen(standing))

    def action_turn_order(self) -> None:
        """List by name, or by place again."""
        shown = self.shown
        self.shown = LoadsShown(shown.lines, shown.order.other, shown.now, shown.needs)
        self.show_list()
        self.say(f"Listed {self.shown.order.value}.")

    def action_back(self) -> None:
        """Go back to the choice of a file."""
        self.fusewalk.leave_file()


def _first_facts(path: Path, tables: dict[str, Any]) -> BarFacts:
    build, states = tables.get("build"), tables.get("key_states")
    name = build.get("name") if isinstance(build, dict) else None
    first = states[0] if isinstance(states, list) and states else None
    key = first.get("name") if isinstance(first, dict) else None
    switches = tables.get("switches")
    listed = switches if isinstance(switches, list) else []
    has_key = any(isinstance(one, dict) and one.get("key") is True for one in listed)
    is_shown = has_key or (isinstance(states, list) and len(states) > 1)
    return BarFacts(str(name or path.stem), "loads", str(key or "") if is_shown else "")


def counts(standing: Standing) -> str:
    """Say how large the harness is, how much of it is assumed, and which key asks for that."""
    from tui.count_words import assumed_words, count_words

    assumed = assumed_words(standing.harness)
    return f"{count_words(standing.harness)}{f'; {assumed}, f asks for them' if assumed else ''}."
