"""The walk of one load as one column, with the step at the marked point."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.containers import Container, Vertical
from textual.widget import Widget
from textual.widgets import Static

from model.errors import FusewalkError
from tui.as_built import as_built_now, record_entries
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.dialog import MessageDialog
from tui.screens.following import READING
from tui.screens.told import FINDING, WORKING_OUT, ToldScreen
from tui.telling import working_here
from tui.text import assembled, fit, plain
from tui.walk_rows import WalkView, row_of, walk_heads, walk_rows
from tui.walk_step import Step, folded, leaves_out, make_step, shows_cautions, step_height, step_sentences
from tui.widgets.entry import VoltsEntry
from tui.widgets.rows import RowList
from tui.widgets.step import StepStrip

if TYPE_CHECKING:
    from model.circuit.condition import Condition
    from model.record_entries import AnyEntry
    from model.tracing.rows import WalkRow
    from model.tracing.walk import Walk
    from tui.standing import Standing

_ROOMY_FROM = 30
_LIST_LEAST = 3
_LIST_READ = 6
_LIST_EASY = 9
_STEP_LEAST = 6
_POSTS_TAKES = "Enter makes all volts follow from it."


class WalkScreen(ToldScreen):
    """Shows the walk of a load; the key and what the load needs are set on entry and put back on leaving."""

    PLACE = Place.WALK
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.WALK)]
    AUTO_FOCUS = "#points"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = Path(__file__).parent.parent / "styles/walk.tcss"

    def __init__(self, element_name: str) -> None:
        super().__init__(element_name)
        self.before: Condition | None = None
        self.adopted: Condition | None = None
        self.needs = ""
        self.entries: tuple[AnyEntry, ...] = ()
        self.read: frozenset[str] = frozenset()
        self.shown: frozenset[str] = frozenset()
        self.step_at = ""

    def body(self) -> Iterable[Widget]:
        """Return what is set, the column, the step and the entry."""
        yield Static(plain(FINDING), id="set_for", classes="heads")
        yield Static(id="trouble", classes="trouble")
        with Container(id="halves"):
            with Vertical(id="column"):
                yield Static(id="heads", classes="heads")
                yield RowList(id="points")
            yield StepStrip(id="step")
        yield VoltsEntry(_POSTS_TAKES)

    def on_mount(self) -> None:
        """Keep the condition that is to be put back."""
        standing = self.fusewalk.standing
        self.before = None if standing is None else standing.condition

    def on_screen_resume(self) -> None:
        """Read what stands in the record, and catch up."""
        super().on_screen_resume()
        standing = self.fusewalk.standing
        if standing is not None:
            self.aside(partial(record_entries, standing.path), self.take_entries, group="record")

    def take_entries(self, entries: tuple[AnyEntry, ...]) -> None:
        """Show what was read while the loom was proven."""
        if entries != self.entries:
            self.entries = entries
            self.show_told()

    def on_resize(self) -> None:
        """Fit rows and step to the new size."""
        self.call_after_refresh(self.show_told)

    def fit(self) -> None:
        """Fit the step to a body that has become higher or lower."""
        self.show_told()

    def walked(self, walk: Walk) -> None:
        """Set what the load needs."""
        from model.tracing.load_rows import load_needs

        standing = self.fusewalk.standing
        if standing is None:
            return
        needs = load_needs(standing.walker, walk)
        self.needs = needs.words if needs.reached else ""
        adopted = working_here(standing, walk)
        self.adopted = adopted
        changed = adopted != standing.condition
        self.fusewalk.standing = standing.with_condition(adopted)
        if not changed:
            self.follow()

    def show_told(self) -> None:
        """Show the column as far as it is known."""
        standing, told = self.fusewalk.standing, self.told.walk
        self._show_trouble()
        self.query_one("#set_for", Static).update(plain(fit(self._set_for(standing), self.size.width - 2)))
        points = self.query_one(RowList)
        if standing is None or told is None:
            points.show([])
            self.query_one(StepStrip).step = None
            return
        key, roomy = standing.condition.key, self.size.height >= _ROOMY_FROM
        as_built = as_built_now(standing.harness, self.now, standing.condition, self.entries)
        view = WalkView(told, self.label, key, self.now is not None, roomy, as_built.volts if as_built else None)
        cells = points.room - 1
        self.query_one("#heads", Static).update(walk_heads(cells, bool(standing.condition.faults), bool(as_built)))
        is_first = not points.rows
        points.show(walk_rows(view, cells))
        if is_first:
            self._mark_where_rows_are_seen(points)
        self.show_step()

    def _mark_where_rows_are_seen(self, points: RowList) -> None:
        """In a low window mark the first row whose step leaves the column some rows, cautions and all."""
        if not self.has_class("-short"):
            return
        room = self.query_one("#halves").size.height - _LIST_READ - 1
        for row in points.rows:
            step = self._step_at(row.key) if row.can_be_marked else None
            if step is not None and step_height(step, self.size.width - 2, 1) <= room:
                points.mark_key(row.key)
                return

    def _show_trouble(self) -> None:
        from model.sheets.settled_words import settled_words

        lines = [self.trouble] if self.trouble else []
        if self.solved is not None and self.fusewalk.standing is not None:
            survey = self.solved.survey
            lines += [self.solved.trouble] if survey is None else settled_words(survey.settled)
        trouble = self.query_one("#trouble", Static)
        trouble.display = any(lines)
        trouble.update(assembled(" ".join(dict.fromkeys(lines))))

    def _set_for(self, standing: Standing | None) -> str:
        """Say what has been set for the load, and whether it is still so."""
        if self.walk is None or standing is None:
            return "" if self.trouble else FINDING
        if self.now is None and not self.trouble:
            return WORKING_OUT
        if not self.needs:
            return "Nothing feeds this load in any setting; set as its file says."
        if self.adopted is not None and standing.condition == replace(self.adopted, faults=standing.condition.faults):
            return f"Set for this load: {self.needs}."
        return f"Changed; it needs {self.needs}."

    def show_step(self) -> None:
        """Show the step at the marked point, cautions and all; those that were read at a point before in one line."""
        strip, marked = self.query_one(StepStrip), self.query_one(RowList).marked_row
        if marked is not None and marked.key != self.step_at:
            self.read, self.shown, self.step_at = self.read | self.shown, frozenset(), marked.key
        strip.step = None if marked is None else self._step_at(marked.key)
        if marked is not None:
            self._fit_step(strip)

    def _step_at(self, key: str) -> Step | None:
        standing, told = self.fusewalk.standing, self.told.walk
        if standing is None or told is None:
            return None
        return make_step(standing.harness, told, key, standing.condition, self.now is not None)

    def _fit_step(self, strip: StepStrip) -> None:
        """Give the step the lines it wants below the column, as far as the column leaves some; beside it all.

        What the reading that tells most says comes before a longer column, all else only where that stays easy to read.
        """
        strip.border_title = None
        if self.has_class("-wide"):
            strip.styles.height = "1fr"
            return
        room, cells = self.query_one("#halves").size.height, self.size.width - 2
        lines = usual = max(room // 2, _STEP_LEAST)
        if strip.step is not None:
            if step_height(strip.step, cells, 1) > room - _LIST_READ - 1:
                strip.step = folded(strip.step, self.read)
            most = max(room - _LIST_LEAST - 1, 1)
            if strip.step.is_folded:
                most = min(max(room - _LIST_READ - 1, step_height(strip.step, cells) + 1), most)
            lines = max(usual, min(step_height(strip.step, cells, len(strip.step.after)) + 1, room - _LIST_EASY - 1))
            lines = min(max(lines, step_height(strip.step, cells, 1) + 1), most)
            strip.border_title = "a: all of it" if leaves_out(strip.step, cells, lines - 1) else None
            if shows_cautions(strip.step, cells, lines - 1):
                self.shown = frozenset(caution.text for caution in strip.step.cautions)
        strip.styles.height = lines

    def on_row_list_marked(self) -> None:
        """Show the step at the point that is marked now."""
        self.show_step()

    def on_row_list_taken(self) -> None:
        """Show the card of the part that was clicked."""
        self.action_card()

    def page(self) -> Page | None:
        """Return the walk as text, in the key state as it is now."""
        standing, told = self.fusewalk.standing, self.now
        if standing is None or told is None:
            return None
        from model.sheets.walk_sheet import walk_text

        shown = replace(told, condition=standing.condition)
        as_built = as_built_now(standing.harness, told, standing.condition, self.entries)
        return Page(f"walk {self.label}", walk_text(standing.harness, shown, as_built) + "\n")

    def action_card(self) -> None:
        """Show the card of the part of the marked row."""
        told, marked = self.told.walk, self.query_one(RowList).marked_row
        open_card(self, None if told is None or marked is None else row_of(told, marked.key))

    def action_what_if(self) -> None:
        """Ask what one would see if the marked row were faulty."""
        told, marked = self.told.walk, self.query_one(RowList).marked_row
        ask_what_if(self, None if told is None or marked is None else row_of(told, marked.key))

    def action_trace(self) -> None:
        """Trace why the load does not work."""
        if self.walk is None:
            self.say(self.trouble or FINDING)
            return
        self.fusewalk.trace_loads((self.element_name,))

    def action_all_keys(self) -> None:
        """Show all key states side by side."""
        from tui.screens.key_table import KeyTableScreen

        self.fusewalk.push_screen(KeyTableScreen(self.element_name))

    def action_profile(self) -> None:
        """Show the volts of the walk on one scale."""
        from tui.screens.profile import ProfileScreen

        marked = self.query_one(RowList).marked_row
        self.fusewalk.push_screen(ProfileScreen(self.element_name, "" if marked is None else marked.key))

    def action_cautions(self) -> None:
        """Show the step at the marked point with nothing left out."""
        step = self.query_one(StepStrip).step
        if step is None:
            self.say("No point is marked.")
            return
        self.read |= {caution.text for caution in step.cautions}
        self.fusewalk.push_screen(MessageDialog(step.title, step_sentences(step)), lambda _: self.show_step())

    def action_posts(self) -> None:
        """Ask for the volts across the posts."""
        standing = self.fusewalk.standing
        if standing is None:
            self.say(READING)
            return
        battery = standing.harness.batteries[0]
        name = ", ".join(word for word in (f"{battery.id}, the first battery", battery.label) if word)
        question = f"Type the volts read across the posts of {name}. Enter alone takes the file's battery again."
        self.query_one(VoltsEntry).ask(question)

    def on_volts_entry_taken(self, event: VoltsEntry.Taken) -> None:
        """Let all volts follow from what was read."""
        standing = self.fusewalk.standing
        if standing is None:
            self.say(READING)
            return
        self.query_one(VoltsEntry).understand(WORKING_OUT)
        self.aside(partial(_at_posts, standing, event.volts), self._at_posts, group="posts")

    def _at_posts(self, found: Standing | FusewalkError) -> None:
        entry = self.query_one(VoltsEntry)
        if isinstance(found, FusewalkError):
            entry.understand(f"{found.what} {found.do}".rstrip())
            return
        entry.close()
        now = self.fusewalk.standing
        # the posts were read as it was set then; what has been turned since stays turned
        self.fusewalk.standing = found if now is None else found.with_condition(now.condition)

    def action_back(self) -> None:
        """Put the condition back that stood before, and go back; an entry that a click has led out of goes first."""
        entry = self.query_one(VoltsEntry)
        if entry.display:
            entry.action_give_up()
            return
        standing = self.fusewalk.standing
        if standing is not None and self.before is not None:
            faults = standing.condition.faults
            self.fusewalk.standing = standing.with_condition(replace(self.before, faults=faults))
        super().action_back()


def open_card(screen: ToldScreen, row: WalkRow | None) -> None:
    """Show the card of the part of a row."""
    standing = screen.fusewalk.standing
    if standing is None or row is None:
        screen.say("No point is marked.")
        return
    from tui.screens.card import CardScreen

    screen.fusewalk.push_screen(CardScreen(row.part_id, row.point))


def ask_what_if(screen: ToldScreen, row: WalkRow | None) -> None:
    """Ask what one would see if what leads to the point of a row, or its part, were faulty."""
    standing = screen.fusewalk.standing
    if standing is None or row is None:
        screen.say("No point is marked.")
        return
    from tui.card_rows import site_of
    from tui.screens.what_if import WhatIfScreen

    leading = () if row.link is None else (row.link.part_id,)
    parts = [name for name in dict.fromkeys((*leading, row.part_id)) if name in standing.harness.parts]
    site = row.link.site if row.link is not None else site_of(standing.harness, row.part_id, row.point)
    screen.fusewalk.push_screen(WhatIfScreen(parts, site))


def _at_posts(standing: Standing, volts: float | None) -> Standing | FusewalkError:
    """Let all volts follow from those read, or return why they cannot."""
    try:
        return standing.with_posts(volts)
    except FusewalkError as error:
        return error
