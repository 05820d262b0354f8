"""A form: rows to type or to choose in, and a last one that puts all of it into the file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.events import Key
from textual.widget import Widget
from textual.widgets import Input, Static
from textual.widgets.input import Selection

from model.errors import FusewalkError, HarnessFileError
from tui.form_rows import PUT_IN, FormLine, form_rows, line_words, next_choice
from tui.screens.dialog import QuestionDialog
from tui.screens.frame import Framed
from tui.screens.trace_shown import tried
from tui.text import CUT, assembled, lines
from tui.widgets.bars import BarFacts
from tui.widgets.line import Line
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.amending import Done

_STYLES = Path(__file__).parent.parent / "styles/forms.tcss"
_TYPED_MOST = 400
_DETAIL_MOST, _BESIDES = 12, 10
"""Lines of what is said of the marked row, and lines of the window that are kept for the rest."""

_DOES = "put it into the file"
_TYPED_OVER = "What is typed replaces it; Right or End goes behind it."
_MORE = "Enter tells all of it before anything is put in."


class FormScreen(Framed[None]):
    """Rows that are filled in; a subclass says which, takes what is typed, and puts it into the file.

    While no row is open a letter, digit or sign opens the marked one with itself in it; Enter opens it as it stands.

    Attributes
    ----------
    values
        What somebody has given, by the keys of the rows.
    """

    AUTO_FOCUS = "#fields"
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = _STYLES

    def __init__(self, facts: BarFacts) -> None:
        super().__init__(facts)
        self.values: dict[str, str] = {}
        self.open_key = ""
        self.wrong = ""
        self.is_writing = False

    def _tell_fault(self) -> None:
        """Leave out a fault that a question has put in: it is the file that is changed here."""

    def body(self) -> Iterable[Widget]:
        """Return what is done, the rows, the entry, what is wrong, and the marked row in full."""
        yield Static(id="lead", classes="lead")
        yield RowList(id="fields")
        yield Line(id="typed", most=_TYPED_MOST)
        yield Static(id="wrong")
        yield Static(id="detail", classes="told")

    def on_mount(self) -> None:
        """Keep the entry shut."""
        entry = self.query_one(Input)
        entry.cursor_blink = False
        entry.display = False
        self.show_wrong("")

    def form_lines(self) -> list[FormLine]:
        """Return the rows as they stand."""
        return []

    def lead(self) -> str:
        """Say what the form is for, and what it would come to."""
        return self.PLACE.value

    def after(self) -> str:
        """Say what the last row would do, in full."""
        return ""

    def given(self, key: str) -> None:
        """Go on after a row has been given another value."""

    def put_in(self) -> None:
        """Put all of it into the file."""

    def on_resize(self) -> None:
        """Fit the rows to the width."""
        self.call_after_refresh(self.show)

    def show(self) -> None:
        """Show everything as it stands."""
        rows = self.query_one(RowList)
        self.query_one("#lead", Static).update(assembled(self.lead()))
        lines = self.form_lines()
        rows.show(form_rows(lines, rows.room, _DOES) if lines else [])
        self.show_detail()

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_wrong("")
        self.show_detail()

    def show_detail(self) -> None:
        """Say all of the marked row."""
        marked, detail = self.marked_line(), self.query_one("#detail", Static)
        told = [assembled(self.after())] if marked is None else line_words(marked)
        if marked is not None and self.open_key == marked.key and marked.value:
            told.append(assembled((_TYPED_OVER, "$quiet")))
        detail.display = any(one.plain for one in told)
        wrapped = [line for one in told for line in one.wrap(max(self.size.width - 2, 8))]
        most = min(max(self.size.height - _BESIDES, 3), _DETAIL_MOST)
        if len(wrapped) > most:
            wrapped = [*wrapped[: most - 1], assembled((_MORE if marked is None else CUT, "$quiet"))]
        detail.update(lines(wrapped))

    def show_wrong(self, sentence: str) -> None:
        """Say why something cannot be taken."""
        self.wrong = sentence
        wrong = self.query_one("#wrong", Static)
        wrong.display = bool(sentence)
        wrong.update(assembled((sentence, "bold $caution")))

    def marked_line(self) -> FormLine | None:
        """Return the marked row; None for the last one."""
        row = self.query_one(RowList).marked_row
        return None if row is None else next((one for one in self.form_lines() if one.key == row.key), None)

    def hears(self, event: Key) -> bool:
        """Take the keys of the entry, and open it with the first sign of an answer."""
        if self.is_writing:
            return True
        if self.open_key:
            return self._in_entry(event)
        character = event.character or ""
        line = self.marked_line()
        if line is None or not event.is_printable or not character or character in " ?":
            return False
        self.open(line, character)
        return True

    def _in_entry(self, event: Key) -> bool:
        match event.key:
            case "enter" | "down" | "tab":
                self.take_typed(1)
            case "up":
                self.take_typed(-1)
            case "escape":
                self.shut()
                self.show_wrong("")
            case _ if event.is_printable and event.character and not self.query_one(Input).has_focus:
                # the entry gets the focus a moment after it opens: what is typed till then belongs to it
                entry = self.query_one(Input)
                entry.replace(event.character, *entry.selection)
            case _:
                return False
        return True

    def open(self, line: FormLine, typed: str = "") -> None:
        """Open a row to be typed: with what has been typed already, else with what stands there, to be typed over."""
        self.open_key = line.key
        self.show_wrong("")
        entry = self.query_one(Input)
        entry.placeholder = line.head
        entry.value = typed or line.value
        end = len(entry.value)
        entry.selection = Selection(end if typed else 0, end)
        entry.display = True
        self.show_detail()
        entry.focus()

    def shut(self) -> None:
        """Shut the entry."""
        self.open_key = ""
        entry = self.query_one(Input)
        entry.display = False
        self.query_one(RowList).focus()
        self.show_detail()

    def take_typed(self, way: int) -> None:
        """Take what is typed, and go to the row below (1) or above (-1); what cannot be taken stays in the entry."""
        if self.keep_typed():
            self.query_one(RowList).action_step(way)

    def keep_typed(self) -> bool:
        """Give the open row what is typed; False where it cannot be taken and stays in the entry."""
        key, typed = self.open_key, self.query_one(Input).value.strip()
        try:
            self.check(key, typed)
        except FusewalkError as error:
            self.show_wrong(f"{error.what} {error.do}".rstrip())
            return False
        self.give(key, typed)
        self.shut()
        return True

    def check(self, key: str, typed: str) -> None:
        """Raise a `FusewalkError` where something cannot stand in a row."""

    def give(self, key: str, value: str) -> None:
        """Give a row a value."""
        self.values[key] = value
        self.show()
        self.given(key)

    def ask_first(self, title: str, question: str, work: Callable[[], Done]) -> None:
        """Ask, then put something into the file."""

        def answer(goes_in: bool | None) -> None:
            if goes_in:
                self.write(work)

        self.app.push_screen(QuestionDialog(title, question, "put it in"), answer)

    def write(self, work: Callable[[], Done]) -> None:
        """Put something into the file aside; what goes wrong is said, and all that was given stays."""
        self.is_writing = True
        self.aside(partial(tried, work), self._wrote, group="write")

    def _wrote(self, came: Done | Exception) -> None:
        self.is_writing = False
        if isinstance(came, FusewalkError):
            self.show_wrong(self.told_error(came))
        elif isinstance(came, Exception):
            raise came
        else:
            self.written(came)

    def written(self, done: Done) -> None:
        """Go on once it is in the file."""

    def on_row_list_taken(self) -> None:
        """Open the row that was clicked, once what is typed in another has been taken."""
        if not self.open_key or self.keep_typed():
            self.action_take()

    def action_take(self) -> None:
        """Open the marked row, or put all into the file."""
        row, line = self.query_one(RowList).marked_row, self.marked_line()
        if line is not None:
            self.open(line)
        elif row is not None and row.key == PUT_IN and not self.is_writing:
            self.put_in()

    def action_turn(self, way: int) -> None:
        """Choose the next (1) or the previous (-1) answer of the marked row."""
        line = self.marked_line()
        if line is None or not line.choices:
            self.say("There is nothing to choose from here: type it." if line is not None else "Enter puts it in.")
            return
        self.show_wrong("")
        self.give(line.key, next_choice(line, way))

    def action_to_last(self) -> None:
        """Go to the row that puts it in."""
        self.query_one(RowList).mark_key(PUT_IN)

    def told_error(self, error: FusewalkError) -> str:
        """Say an error in one line."""
        breaches = [one.text(error.file_name) for one in error.breaches] if isinstance(error, HarnessFileError) else []
        return " ".join([error.what, error.do, *breaches[:3]]).strip()

    def action_back(self) -> None:
        """Go back; where something was given ask first whether that is dropped."""
        if not self.values or self.is_writing:
            super().action_back()
            return

        def answer(drops: bool | None) -> None:
            if drops:
                Framed.action_back(self)

        question = "What was given here is not in the file yet. Enter drops it, Esc goes on with it."
        self.app.push_screen(QuestionDialog("Leave it?", question, "drop it", "go on here"), answer)
