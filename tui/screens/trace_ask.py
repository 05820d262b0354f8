"""What is asked before the first check, on one screen; Enter at once takes what stands there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Static

from tui.commands import Place, bindings_of
from tui.key_shown import key_shown
from tui.screens.frame import Framed
from tui.text import assembled, plain
from tui.trace_asked import Asked, Choices, asked_rows, companion_words, turned, with_defaults, with_posts
from tui.typed import typed_volts
from tui.typed_entry import TypedEntry
from tui.widgets.bars import BarFacts
from tui.widgets.reading import Answering, ReadingLine
from tui.widgets.rows import Row, RowList

if TYPE_CHECKING:
    from tui.standing import Standing
    from tui.trace_record import Unfinished

BEGINS_VOLTS = frozenset("0123456789.,")
_LEAD = "Space changes the marked row, Enter starts the trace."
_LEAD_RESUME = "Enter goes on with the trace that was left; go down to start anew."
_READING = "Wait: the record is still being read."
_RESUME = "resume"
_NO_VOLTS = "That is no reading in volts: type 12.4."


class TraceAskScreen(Framed[None], TypedEntry):
    """Asks what is wrong with a load, then starts the trace, or goes on with one that was left.

    Parameters
    ----------
    loads
        Elements complained of, batteries and chargers by id.
    """

    PLACE = Place.TRACE_ASK
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.TRACE_ASK)]
    AUTO_FOCUS = "#asked"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = (
        Path(__file__).parent.parent / "styles/trace.tcss"
    )

    def __init__(self, loads: tuple[str, ...]) -> None:
        super().__init__(BarFacts("", f"trace {', '.join(loads)}"))
        self.asked = Asked(loads)
        self.choices: Choices | None = None
        self.unfinished: Unfinished | None = None
        self.is_looked_up = False
        self.wants_start = False
        self.typed = ""
        self.wrong = ""

    def body(self) -> Iterable[Widget]:
        """Return the questions, and what the marked load shares."""
        yield Static(plain(_LEAD), id="lead", classes="lead")
        yield RowList(id="asked")
        yield ReadingLine(id="answer")
        yield Static(id="detail", classes="told")

    def on_mount(self) -> None:
        """Ask at once, and find aside what shares something and what was left."""
        from tui.trace_ask_run import find_choices
        from tui.trace_record import unfinished
        from tui.trace_run import element_named

        standing = self.fusewalk.standing
        self.query_one(ReadingLine).display = False
        if standing is None:
            return
        name = element_named(standing.harness, self.asked.loads)
        key = key_shown(standing.harness, standing.condition.key)
        self.facts = BarFacts(standing.harness.build.name, f"{name}, before the first check", key)
        self.asked = self._said_before(standing) or replace(self.asked, posts_volts=self._posts_at_rest(standing))
        self.show()
        self.aside(partial(unfinished, standing, self.asked.loads), self.show_unfinished, group="record")
        self.aside(partial(find_choices, standing, self.asked.loads), self.show_choices, group="choices")

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: the vehicle is traced as it stands."""

    def _said_before(self, standing: Standing) -> Asked | None:
        """Return what was said when this was left with nothing started; None where that was of something else."""
        harness, asked = self.fusewalk.said_before or (None, None)
        return asked if harness is standing.harness and asked is not None and asked.loads == self.asked.loads else None

    def action_back(self) -> None:
        """Go back; what has been said stands there again when one comes back."""
        standing = self.fusewalk.standing
        if standing is not None:
            self.fusewalk.said_before = (standing.harness, self.asked)
        super().action_back()

    def _posts_at_rest(self, standing: Standing) -> float | None:
        """Return the posts where they have been read with everything at rest."""
        posts = standing.posts
        if posts is None or posts.condition.settings or posts.condition.key != standing.harness.key_names[0]:
            return None
        return posts.volts

    def show_choices(self, choices: Choices) -> None:
        """Show the loads that share something."""
        self.choices = choices
        self.asked = with_defaults(self.asked, choices)
        posts = None if self.fusewalk.standing is None else self.fusewalk.standing.posts
        if posts is not None:
            self.asked = with_posts(self.asked, choices, posts.volts, posts.condition.healthy())
        self.show()

    def show_unfinished(self, found: Unfinished | None) -> None:
        """Offer to go on with a trace that was left; where there is none start, if that has been asked for already."""
        self.unfinished, self.is_looked_up = found, True
        self.show()
        if found is not None:
            self.query_one(RowList).mark_key(_RESUME)
            self.query_one("#lead", Static).update(plain(_LEAD_RESUME))
            self.say(_LEAD_RESUME if self.wants_start else "")
        elif self.wants_start:
            self.action_start()

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.show)

    def show(self) -> None:
        """Show the rows as they stand."""
        standing = self.fusewalk.standing
        if standing is None:
            return
        rows = self.query_one(RowList)
        shown = asked_rows(standing.harness, self.asked, self.choices, rows.room)
        if self.unfinished is not None:
            shown.insert(0, Row(assembled((f"go on with the trace of {self.unfinished.words}", "bold $feed")), _RESUME))
        rows.show(shown)
        self.show_detail()

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_detail()

    def show_detail(self) -> None:
        """Say what the marked load shares and when it should work."""
        rows, detail = self.query_one(RowList), self.query_one("#detail", Static)
        marked, words = rows.marked_row, ""
        if marked is not None and self.choices is not None:
            words = companion_words(self.choices, marked.key)
        words = words or rows.cut_words
        detail.display = bool(words)
        detail.update(assembled(words))

    def hears(self, event: Key) -> bool:
        """Take the volts of the posts: a digit begins them, whatever row is marked."""
        character = event.character or ""
        if not self.typed:
            if character and character in BEGINS_VOLTS:
                self.set_typed(character)
                return True
            return False
        return self.hear_typing(event)

    def take_typed(self) -> None:
        """Take the volts of the posts."""
        self.take_posts()

    def takes_number(self) -> bool:
        """Tell whether a number can be typed now: always."""
        return True

    def show_answer(self) -> None:
        """Show what is typed, and how it is understood."""
        typed, line = self.typed, self.query_one(ReadingLine)
        line.display = bool(typed)
        volts = typed_volts(typed)
        wrong = "" if volts is not None or len(typed) < 2 else _NO_VOLTS
        line.answering = Answering(typed, "" if volts is None else f"posts {volts:g} V", wrong)

    def take_posts(self) -> None:
        """Take the volts of the posts; what cannot be read or cannot be stays where it is."""
        from model.circuit.condition import check_posts
        from model.errors import ArgumentError

        standing, volts = self.fusewalk.standing, typed_volts(self.typed)
        if volts is None or standing is None:
            self.refuse(_NO_VOLTS)
            return
        try:
            check_posts(standing.harness, volts)
        except ArgumentError as error:
            self.refuse(f"{error.what} {error.do}")
            return
        self.asked = replace(self.asked, posts_volts=volts)
        self.set_typed("")
        self.show()

    def refuse(self, why: str) -> None:
        """Say why what was typed is not taken; it stays until something else is typed."""
        self.wrong = why
        self.query_one(ReadingLine).answering = Answering(self.typed, wrong=why)

    def on_row_list_taken(self) -> None:
        """Change the row that was clicked."""
        self.action_turn(1)

    def action_turn(self, way: int) -> None:
        """Change the marked row to its next or previous value."""
        marked = self.query_one(RowList).marked_row
        if marked is None or (self.choices is None and marked.key not in {"symptom", "age", "helper", "posts"}):
            return
        choices = self.choices or Choices((None,), (), ())
        self.asked = turned(self.asked, choices, marked.key, way)
        self.show()

    def action_start(self) -> None:
        """Start the trace, once it is known whether one was left; with the mark on that go on with it."""
        from tui.screens.trace import TraceScreen
        from tui.trace_record import start_trace
        from tui.trace_run import element_named

        standing, marked = self.fusewalk.standing, self.query_one(RowList).marked_row
        if standing is None:
            return
        if not self.is_looked_up:
            self.wants_start = True
            self.say(_READING)
            return
        resumed = self.unfinished if marked is not None and marked.key == _RESUME else None
        self.fusewalk.said_before = None
        start = partial(start_trace, standing, self.asked.complaint, resumed)
        self.app.switch_screen(TraceScreen(start, element_named(standing.harness, self.asked.loads)))
