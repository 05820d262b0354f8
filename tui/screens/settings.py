"""The settings: what a hand can move, pull or plug in, with what that does to the loads."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Input, Static

from model.words import plural
from tui.commands import Place, bindings_of
from tui.pages import Page
from tui.screens.following import Following
from tui.text import assembled, fit, plain
from tui.widgets.bars import BarFacts
from tui.widgets.line import Line
from tui.widgets.rows import RowList
from tui.widgets.whole import WholeRow

if TYPE_CHECKING:
    from tui.setting_rows import Setting
    from tui.standing import Solved, Standing

_NOTHING_LIKE_THAT = "Nothing that can be set has these letters."


class SettingsScreen(Following[None]):
    """Lists everything that can be set; each change is solved at once for all screens."""

    PLACE = Place.SETTINGS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.SETTINGS)]
    AUTO_FOCUS = "#settable"

    def __init__(self) -> None:
        super().__init__(BarFacts("", "switches and plugs"))
        self.settings: list[Setting] = []
        self.typed = ""

    def body(self) -> Iterable[Widget]:
        """Return the sentence, the filter and the list."""
        yield Static(plain(Place.SETTINGS.value), id="lead", classes="heads")
        yield Line(placeholder="letters of a name, a label or a position", id="typed")
        yield Static(id="trouble", classes="trouble")
        yield RowList(id="settable")
        yield WholeRow()

    def on_mount(self) -> None:
        """Hide the filter until it is asked for."""
        self.query_one(Input).display = False

    def on_resize(self) -> None:
        """Fit the columns to the new width."""
        self.call_after_refresh(self.show_list)

    def doing(self, solved: Solved | None) -> str:
        """Say how many loads work with what is set."""
        if solved is None or solved.survey is None:
            return "switches and plugs"
        states = [load.state.value for load in solved.survey.loads.values()]
        return f"switches and plugs, {states.count('works')} of {plural(len(states), 'circuit')} on"

    def show_waiting(self, standing: Standing) -> None:
        """Show what is set while it is being solved."""
        self._list(standing)

    def show_standing(self, standing: Standing, solved: Solved) -> None:
        """Show what is set, and what the figures alone do not say."""
        from model.sheets.settled_words import settled_words

        survey = solved.survey
        lines = [solved.trouble] if survey is None else settled_words(survey.settled)
        trouble = self.query_one("#trouble", Static)
        trouble.display = any(lines)
        trouble.update(assembled(" ".join(lines)))
        self._list(standing)

    def _list(self, standing: Standing) -> None:
        from tui.setting_rows import settings_of

        self.settings = settings_of(standing.harness, standing.condition)
        self.show_list()

    def show_list(self) -> None:
        """Show the settings that have the letters typed."""
        from tui.setting_rows import only, setting_rows

        shown = only(self.settings, self.typed)
        rows = self.query_one(RowList)
        rows.show(setting_rows(shown, rows.room))
        moved = [f"{one.label or one.name} {one.now}" for one in self.settings if one.is_set]
        words = f"Moved: {', '.join(moved)}." if moved else "Everything is at rest."
        if self.settings and not shown:
            words = _NOTHING_LIKE_THAT
        self.query_one("#lead", Static).update(plain(fit(words, self.size.width - 2)))
        self.show_whole()

    def on_row_list_marked(self) -> None:
        """Follow the mark."""
        self.show_whole()

    def show_whole(self) -> None:
        """Say every position of the marked setting where its row has no room for them."""
        from tui.setting_rows import cut_setting

        rows = self.query_one(RowList)
        one = self._marked()
        self.query_one(WholeRow).tell(
            "" if one is None or rows.marked_row is None else cut_setting(one, rows.marked_row)
        )

    def _marked(self) -> Setting | None:
        row = self.query_one(RowList).marked_row
        return next((each for each in self.settings if row is not None and each.name == row.key), None)

    def on_key(self, event: Key) -> None:
        """Go from the filter back to the list; Esc empties it too."""
        entry = self.query_one(Input)
        if not entry.has_focus or event.key not in {"down", "up", "escape", "enter"}:
            return
        event.stop()
        event.prevent_default()
        if event.key == "escape":
            entry.value = ""
        entry.display = bool(entry.value)
        self.query_one(RowList).focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what has the letters typed."""
        self.typed = event.value
        self.show_list()

    def on_row_list_taken(self) -> None:
        """Move what was clicked on."""
        self.action_set_next(1)

    def page(self) -> Page:
        """Return the settings as text."""
        from tui.setting_rows import settings_page

        return Page("switches and plugs", settings_page(self.settings))

    def action_filter(self) -> None:
        """Go into the filter."""
        entry = self.query_one(Input)
        entry.display = True
        entry.focus()

    def action_set_next(self, way: int) -> None:
        """Move the marked thing to its next (1) or the previous (-1) position."""
        standing, one = self.fusewalk.standing, self._marked()
        if standing is None or one is None:
            self.say("Nothing is marked.")
            return
        choice = one.choices[(one.choices.index(one.now) + way) % len(one.choices)]
        if choice == one.choices[0]:
            self.fusewalk.standing = standing.without_setting(one.name)
        else:
            self.fusewalk.standing = standing.with_setting(one.name, choice)

    def action_rest(self) -> None:
        """Put everything back to rest and back in."""
        standing = self.fusewalk.standing
        if standing is None:
            return
        self.fusewalk.standing = standing.at_rest()
        self.say("Everything is at rest and in its place.")

    def action_settings(self) -> None:
        """Stay here."""
