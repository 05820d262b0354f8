"""The choice of a harness file: one opened before, one of the builds to try, or one by its name."""

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual.binding import BindingType
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Input, Static

from model.harness.near_file import no_such_file
from tui.commands import Place, bindings_of
from tui.file_names import completed, completions, resolved
from tui.places import demo_builds
from tui.remembered import recent_files
from tui.screens.frame import Framed
from tui.text import fit, fit_end, padded, plain, width
from tui.widgets.bars import BarFacts
from tui.widgets.line import Line
from tui.widgets.rows import Row, RowList

_NAME_MOST = 32
_PATH_MOST = 4096
_GAP = 3
_OPENED = "opened before, "
_TO_TRY = "a build to try"
_AS_IT_CAME = ", as it came"


@dataclass(frozen=True, slots=True)
class Choice:
    """One line of the list.

    Attributes
    ----------
    name
        What is shown first.
    note
        Why it is there, or where it is.
    path
        The file; None for a directory, which is gone into.
    typed
        What the entry becomes where the line is a completion.
    """

    name: str
    note: str
    path: Path | None
    typed: str = ""


def first_choices() -> list[Choice]:
    """Return the files opened before, the latest first, then the builds to try.

    Of a build that bears the name of a file opened before it is said that it is the one nobody has changed.
    """
    recent = [Choice(path.name, f"{_OPENED}{home_short(path.parent)}", path) for path in recent_files()]
    shown = {choice.path for choice in recent}
    names = {choice.name for choice in recent}
    demos = [
        Choice(path.name, f"{_TO_TRY}{_AS_IT_CAME if path.name in names else ''}", path)
        for path in demo_builds()
        if path not in shown
    ]
    return recent + demos


def as_rows(choices: list[Choice], cells: int) -> list[Row]:
    """Return choices as rows so many cells wide, their notes in one column."""
    column = min(max((width(choice.name) for choice in choices), default=0), _NAME_MOST)
    return [
        Row(
            plain(f"{padded(choice.name, column)}   {_note(choice.note, cells - column - _GAP)}".rstrip()),
            str(choice.path or choice.typed),
        )
        for choice in choices
    ]


def home_short(directory: Path) -> str:
    """Return a directory as a person writes it: ``~`` for the home, no ``..`` on the way."""
    whole = Path(os.path.normpath(directory))
    try:
        home = Path.home()
    except RuntimeError:
        return str(whole)
    return f"~/{whole.relative_to(home)}".removesuffix("/.") if whole.is_relative_to(home) else str(whole)


def _note(note: str, cells: int) -> str:
    """Return a note in its cells; of a directory the end stays, where it differs from others."""
    if not note.startswith(_OPENED):
        return fit(note, cells)
    return f"{_OPENED}{fit_end(note.removeprefix(_OPENED), cells - len(_OPENED))}"


class OpenHarness(Framed[Path]):
    """Gives back the path of the file chosen; it opens none itself.

    Parameters
    ----------
    here
        The directory that a typed name starts from; the current one where None.
    """

    PLACE = Place.OPEN
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.OPEN)]
    AUTO_FOCUS = "#choices"

    def __init__(self, here: Path | None = None) -> None:
        super().__init__(BarFacts("Fusewalk", "which harness?"))
        self.here = here or Path.cwd()
        self.choices: list[Choice] = []

    def body(self) -> Iterable[Widget]:
        """Return the entry over the list."""
        yield Static(plain(Place.OPEN.value), classes="lead")
        yield Line(placeholder="f: type a file's name", id="typed", most=_PATH_MOST)
        yield Static(plain("Nothing begins like that."), id="nothing")
        yield RowList(id="choices")

    def on_mount(self) -> None:
        """Show the files that are known."""
        self.show_choices(first_choices())

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show the names that begin as typed."""
        if not event.value:
            self.show_choices(first_choices())
            return
        names = completions(event.value, self.here)
        self.show_choices([self.as_choice(name) for name in names])

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Open what was typed, or the one name that begins so."""
        path = self.here / resolved(event.value.strip())
        try:
            is_there = bool(event.value.strip()) and path.is_file()
        except OSError as error:
            # asked of a name that is too long, or in a directory that may not be entered
            self.say(f"That file cannot be looked for: {error.strerror}.")
            return
        if is_there:
            self.dismiss(path)
            return
        if len(self.choices) == 1 and self.choices[0].path is not None:
            self.dismiss(self.choices[0].path)
            return
        if not event.value.strip():
            self.say("Type a file's name.")
            return
        near = no_such_file(path).do
        self.say(f"There is no file {event.value.strip()}. {near}")

    def on_row_list_taken(self, event: RowList.Taken) -> None:
        """Open the file that was clicked."""
        event.stop()
        self.action_open_marked()

    def on_key(self, event: Key) -> None:
        """Complete with Tab and move into the list with Down while a name is typed."""
        entry = self.query_one(Input)
        if not entry.has_focus or event.key not in {"tab", "down", "escape"}:
            return
        event.stop()
        event.prevent_default()
        if event.key == "tab":
            entry.value = completed(entry.value, [choice.typed for choice in self.choices if choice.typed])
            entry.cursor_position = len(entry.value)
            return
        if event.key == "escape":
            entry.value = ""
        self.query_one(RowList).focus()

    def as_choice(self, name: str) -> Choice:
        """Return a completed name as a line of the list."""
        if name.endswith("/"):
            return Choice(name, "directory", None, name)
        return Choice(name, "", self.here / resolved(name), name)

    def show_choices(self, choices: list[Choice]) -> None:
        """Fill the list, the first one marked."""
        self.choices = choices
        rows = self.query_one(RowList)
        rows.show(as_rows(choices, rows.room))
        self.query_one("#nothing").display = not choices

    def on_resize(self) -> None:
        """Cut the notes anew for the width there is."""
        self.call_after_refresh(lambda: self.show_choices(self.choices))

    def action_name(self) -> None:
        """Go into the entry."""
        self.query_one(Input).focus()

    def action_open_marked(self) -> None:
        """Open the marked file, or go into the marked directory."""
        marked = self.query_one(RowList).marked
        if marked is None:
            self.say("Press f and type a file's name.")
            return
        choice = self.choices[marked]
        if choice.path is not None:
            self.dismiss(choice.path)
            return
        entry = self.query_one(Input)
        entry.value = choice.typed
        entry.cursor_position = len(entry.value)
        entry.focus()
