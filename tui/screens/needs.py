"""What the file still needs, one question after the other; each answer goes into the file at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.commands import Place, bindings_of, foot_of
from tui.screens.frame import Framed
from tui.text import assembled, plain
from tui.widgets.bars import BarFacts, BottomBar
from tui.widgets.line import Line
from tui.widgets.rows import Row, RowList

if TYPE_CHECKING:
    from model.harness.file_read import FileRead
    from model.harness.wire_list_questions import Question
    from model.review.finding import Finding
    from tui.answer_grid import PinChoice, TickGrid
    from tui.needs_asked import Asked, Effect, Wrote
    from tui.standing import Standing

_STYLES = Path(__file__).parent.parent / "styles/forms.tcss"
_NOTHING = "Nothing is left to answer: every figure of this file was given."
_TYPED_MOST = 2000
_TYPE, _TYPE_OR_CHOOSE = "type the answer", "type it; Space takes the marked one, Enter alone goes on"


class NeedsScreen(Framed[None]):
    """Asks what a file still needs.

    Parameters
    ----------
    standing
        The harness whose file is asked about; all screens stand on the file as it is after each answer.

    Notes
    -----
    What is assumed is marked, but it is no answer: it becomes one where somebody types, ticks or chooses it.
    """

    PLACE = Place.NEEDS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.NEEDS)]
    AUTO_FOCUS = "#typed"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = _STYLES

    def __init__(self, standing: Standing) -> None:
        super().__init__(BarFacts(standing.harness.build.name, "what the file still needs"))
        self.path = standing.path
        self.asked: Asked | None = None
        self.question: Question | None = None
        self.grid: TickGrid | PinChoice | None = None
        self.before: tuple[Finding, ...] | None = None
        self.said = ""
        self.wrong_typed: str | None = None
        self.is_chosen = False
        self.is_writing = False
        self.sent = ""

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: it is the file that is changed here."""

    def body(self) -> Iterable[Widget]:
        """Return the question, where it comes from, the entry, what to choose from, and what the last answer did."""
        yield Static(plain("The file is being read."), id="asks")
        yield Static(id="from")
        yield Line(id="typed", most=_TYPED_MOST)
        yield Static(id="wrong")
        yield Static(id="hint")
        yield RowList(id="choices")
        yield Static(id="effect")

    def on_mount(self) -> None:
        """Read the file aside."""
        from tui.needs_asked import begin

        self.query_one(Input).cursor_blink = False
        self.query_one(RowList).can_focus = False
        self.show_wrong("")
        self.show_effect()
        self.aside(partial(begin, self.path), self.show_asked, group="file")

    def show_asked(self, asked: Asked) -> None:
        """Ask the next question."""
        self.asked = asked
        self.show_question()

    def count(self, old: FileRead, new: FileRead) -> None:
        """Look aside for the findings of the file as it is beside those before."""
        from tui.needs_asked import effect_of

        self.aside(partial(effect_of, self.before, old, new), self.counted, group="findings")

    def counted(self, effect: Effect) -> None:
        """Say what the last answer did to the findings."""
        self.before = effect.after
        self.show_effect(f"{self.said} {effect.words}".rstrip())

    def show_effect(self, words: str = "") -> None:
        """Say what the last answer did."""
        effect = self.query_one("#effect", Static)
        effect.display = bool(words)
        effect.update(assembled(words))

    def show_question(self) -> None:
        """Show what is asked now, with an empty entry."""
        from tui.answer_grid import grid_hint, grid_of
        from tui.needs_asked import origin_words

        asked = self.asked
        if asked is None:
            return
        question = self.question = asked.question
        self.grid = grid_of(asked.read.harness, question) if question is not None else None
        self.is_chosen = False
        self.show_keys()
        self.facts = replace(self.facts, doing=self._doing(asked))
        self.query_one("#asks", Static).update(assembled(_NOTHING if question is None else question.asks))
        self.query_one("#from", Static).update(assembled("" if question is None else origin_words(question)))
        entry, hint = self.query_one(Input), self.query_one("#hint", Static)
        entry.value = ""
        entry.display = question is not None
        has_choices = question is not None and bool(question.choices)
        entry.placeholder = _TYPE_OR_CHOOSE if has_choices else _TYPE
        if self.grid is not None:
            entry.placeholder = "tick below, or type it in words"
        hint.display = self.grid is not None
        if self.grid is not None:
            hint.update(grid_hint(self.grid))
        self.show_choices()
        if question is not None and self.grid is None:
            self.query_one(RowList).mark_key(question.assumed)

    def show_keys(self) -> None:
        """Say at the bottom what Enter does now: nothing that is only marked is taken by it."""
        from tui.needs_asked import answer_keys

        question, is_untouched = self.question, self.is_untouched()
        has_marked = question is not None and bool(question.choices) and self.grid is None
        keys = answer_keys(question, foot_of(self.PLACE), is_untouched=is_untouched, has_marked=has_marked)
        self.query_one(BottomBar).keys = keys

    def is_untouched(self) -> bool:
        """Tell whether nothing has been typed, ticked or chosen."""
        return not self.query_one(Input).value.strip() and not self.is_chosen

    def _doing(self, asked: Asked) -> str:
        count = len(asked.open)
        left = sum(question.id in asked.left for question in asked.open)
        words = f"{count} to answer" if count else "nothing to answer"
        return f"{words}, {left} left assumed" if left else words

    def show_choices(self) -> None:
        """Show what there is to choose from, or to tick."""
        from tui.answer_grid import TickGrid

        rows, grid = self.query_one(RowList), self.grid
        marked = rows.marked_row
        if isinstance(grid, TickGrid):
            key = marked.key if marked is not None and marked.key in grid.positions else grid.positions[0]
            rows.show(grid.rows(rows.room, key))
            rows.mark_key(key)
        elif grid is not None:
            rows.show(grid.rows(rows.room))
        else:
            rows.show(list(self._choice_rows()))

    def _choice_rows(self) -> Iterator[Row]:
        if self.question is None:
            return
        for one in self.question.choices:
            is_assumed = one == self.question.assumed
            yield Row(assembled(one, ("  assumed" if is_assumed else "", "$quiet")), one)

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.show_choices)

    def on_row_list_marked(self) -> None:
        """Show the cell in question in the marked position."""
        from tui.answer_grid import TickGrid

        if isinstance(self.grid, TickGrid):
            self.show_choices()

    def on_row_list_taken(self) -> None:
        """Take the choice that was clicked; what is typed would be written in its place."""
        if self.query_one(Input).value.strip():
            self.show_wrong("Something is typed: Enter takes it; empty the line to take what is clicked.")
        elif not self.is_writing:
            self.is_chosen = self.is_chosen or self.grid is None
            self.action_take()

    def on_input_changed(self) -> None:
        """Drop what was wrong with what stood there before, and say what Enter does with what stands there now."""
        self.show_keys()
        if self.query_one(Input).value != self.wrong_typed:
            self.show_wrong("")

    def show_wrong(self, sentence: str) -> None:
        """Say why an answer cannot be taken; that stays until another stands there."""
        self.wrong_typed = self.query_one(Input).value if sentence else None
        wrong = self.query_one("#wrong", Static)
        wrong.display = bool(sentence)
        wrong.update(assembled((sentence, "bold $caution")))

    def hears(self, event: Key) -> bool:
        """Take the arrows and the few commands; all else is typed."""
        if self.is_writing:
            # what is typed till then is for the next question
            return not (event.key == "backspace" or (event.is_printable and event.character))
        self._drop_refused(event)
        typed = self.query_one(Input).value
        match event.key:
            case "up" | "down":
                self.query_one(RowList).action_step(-1 if event.key == "up" else 1)
                self.is_chosen = self.is_chosen or self.grid is None
            case "enter":
                self.action_take()
            case "tab":
                self.action_leave_assumed()
            case "space" if not typed and self.query_one(RowList).marked_row is not None:
                self.action_tick()
            case "left" | "right" if not typed:
                self.step(-1 if event.key == "left" else 1)
            case "question_mark" if not typed:
                self.fusewalk.action_explain()
            case _:
                return False
        self.show_keys()
        return True

    def _drop_refused(self, event: Key) -> None:
        """Let what is typed behind a refused answer take its place; with the cursor put into it, it is mended."""
        entry = self.query_one(Input)
        is_typed = event.is_printable and bool(event.character)
        if is_typed and entry.value == self.wrong_typed and entry.cursor_position == len(entry.value):
            entry.value = ""

    def step(self, way: int) -> None:
        """Go to the next terminal or the one before; where nothing is ticked, back to the question before."""
        from tui.answer_grid import TickGrid

        if isinstance(self.grid, TickGrid):
            self.grid = self.grid.moved(way)
            self.show_choices()
        elif self.grid is not None:
            self.turn_cavity(way)
        elif way < 0:
            self.go_back()

    def go_back(self) -> None:
        """Take up the question that was left last."""
        if self.asked is None or not self.asked.left:
            self.say("This is the first question.")
            return
        self.asked = self.asked.back()
        self.show_question()

    def turn_cavity(self, way: int) -> None:
        """Put another terminal into the marked cavity."""
        from tui.answer_grid import PinChoice

        marked = self.query_one(RowList).marked_row
        if isinstance(self.grid, PinChoice) and marked is not None:
            self.grid = self.grid.turned(int(marked.key), way)
            self.is_chosen = True
            self.show_choices()

    def action_tick(self) -> None:
        """Tick the terminal in question, turn what sits in the marked cavity, or take the marked row of a list."""
        from tui.answer_grid import TickGrid

        marked = self.query_one(RowList).marked_row
        self.show_wrong("")
        if isinstance(self.grid, TickGrid) and marked is not None:
            self.grid = self.grid.ticked(marked.key)
            self.is_chosen = True
            self.show_choices()
        elif self.grid is not None:
            self.turn_cavity(1)
        elif marked is not None:
            self.is_chosen = True
            self.action_take()
        else:
            self.say("There is nothing to tick here.")

    def action_leave_assumed(self) -> None:
        """Leave what is asked as it is assumed."""
        from tui.needs_asked import row_words

        if self.asked is None or self.question is None:
            self.say("Nothing is asked.")
            return
        if self.query_one(Input).value.strip():
            self.show_wrong("Something is typed: Enter takes it; empty the line to leave it assumed.")
            return
        words = f"Left as assumed: {row_words(self.question)}." if self.question.assumed else ""
        self.asked = self.asked.left_assumed()
        self.show_effect(words)
        self.show_question()

    def action_take(self) -> None:
        """Write what is typed, ticked or chosen into the file, aside."""
        from tui.answer_grid import TickGrid
        from tui.needs_asked import write_answer
        from tui.screens.trace_shown import tried

        asked, question = self.asked, self.question
        if asked is None or question is None or self.is_writing:
            return
        if self.is_untouched() and question.assumed:
            self.action_leave_assumed()
            return
        answer = "" if self.is_untouched() else self.answer()
        if not answer:
            self.show_wrong("Type the answer, or Tab leaves it as it is assumed.")
            return
        if isinstance(self.grid, TickGrid) and self.grid.lone() and not self.query_one(Input).value.strip():
            self.show_wrong(f"In {self.grid.lone()} one terminal is ticked alone: it takes two to be joined.")
            return
        self.is_writing, self.sent = True, self.query_one(Input).value
        self.aside(partial(tried, partial(write_answer, asked, question, answer)), self.wrote, group="write")

    def answer(self) -> str:
        """Return the answer as it is typed, ticked or chosen; empty where there is none."""
        typed, question = self.query_one(Input).value.strip(), self.question
        is_open = question is not None and not {"yes", "no"}.intersection(question.choices)
        if question is not None and is_open and typed.casefold() == "yes" and question.assumed:
            return question.assumed
        if typed:
            return typed
        if self.grid is not None:
            return self.grid.answer()
        marked = self.query_one(RowList).marked_row
        return "" if marked is None else marked.key

    def wrote(self, wrote: Wrote | Exception) -> None:
        """Go on to the next question, or say why the answer was not taken: it stays where it stands."""
        from tui.restand import stood_anew

        self.is_writing = False
        if isinstance(wrote, Exception):
            raise wrote
        old, read = self.asked, wrote.asked.read
        self.asked = wrote.asked
        is_changed = old is not None and read.harness is not old.read.harness
        if is_changed:
            self.fusewalk.standing = stood_anew(self.fusewalk.standing, self.path, read.harness)
        ahead = self.typed_ahead()
        if wrote.wrong:
            if ahead:
                # left behind what was refused it would stand there as another answer to the same question
                self.query_one(Input).value = self.sent
                self.say(f"Not taken, the question is still the same: {ahead}")
            if is_changed:
                self.show_again()
            self.show_wrong(wrote.wrong)
            return
        self.said = wrote.said
        self.show_effect(wrote.said)
        self.show_question()
        if self.question is not None and ahead:
            self.query_one(Input).insert_text_at_cursor(ahead)
        if old is not None:
            self.count(old.read, read)

    def typed_ahead(self) -> str:
        """Return what has been typed behind the answer while that was written."""
        typed = self.query_one(Input).value
        return typed.removeprefix(self.sent).lstrip() if typed.startswith(self.sent) else ""

    def show_again(self) -> None:
        """Ask of a file that was read anew, with what is typed or ticked as it was."""
        question, grid, entry, is_chosen = self.question, self.grid, self.query_one(Input), self.is_chosen
        typed = entry.value
        self.before = None
        self.show_question()
        entry.value = typed
        if question is not None and self.question is not None and question.id == self.question.id:
            self.grid = grid
            self.is_chosen = is_chosen
            self.show_choices()
            self.show_keys()

    def action_back(self) -> None:
        """Empty the line; where it is empty, leave."""
        entry = self.query_one(Input)
        if entry.value:
            entry.value = ""
            return
        super().action_back()
