"""The screen program: looks, screen stack, filters, signals, and the way out."""

import os
import sys
from collections.abc import Sequence
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import App
from textual.await_complete import AwaitComplete
from textual.events import Event, InputEvent, Key, Paste
from textual.filter import LineFilter
from textual.screen import Screen
from textual.widgets import Input

from tui import remembered
from tui.commands import Place
from tui.filters import AsciiOnly, Disarm, Unpainted
from tui.first_steps import Stepping
from tui.screens.frame import Framed
from tui.screens.too_small import TooSmall, too_small
from tui.signals import STANDARD_INPUT, on_hang_up, on_signal, say_last
from tui.terminal import Look, Options, ascii_wanted, choose_look
from tui.theme import THEMES
from tui.widgets.rows import RowList

if TYPE_CHECKING:
    from model.tracing.complaint import Complaint

_STYLES = Path(__file__).parent / "styles"


class FusewalkApp(Stepping):
    """The program on a terminal.

    Parameters
    ----------
    path
        The harness file to open; None asks for one.
    look
        How to colour; decided before, since textual picks its filters as the app is made.
    ascii_only
        Draw with ASCII alone.
    """

    ALLOW_SELECT = False
    ENABLE_COMMAND_PALETTE = False
    CSS_PATH: ClassVar[str | PurePath | list[str | PurePath] | None] = [
        _STYLES / "frame.tcss", _STYLES / "sheets.tcss", _STYLES / "cards.tcss",
    ]  # fmt: skip
    TITLE = "Fusewalk"

    def __init__(self, path: Path | None = None, look: Look = Look.DARK, ascii_only: bool = False) -> None:
        super().__init__(ansi_color=look in {Look.PLAIN, Look.TERMINAL})
        for theme in THEMES.values():
            self.register_theme(theme)
        self.set_reactive(App.theme, THEMES[look].name)
        self.stylesheet.set_variables(self.get_css_variables())
        self.HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (80, "-normal"), (120, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-short"), (24, "-tall")]
        self.animation_level = "none"
        self.path = path
        self.look = look
        self.ascii_only = ascii_only
        unpainted = [Unpainted()] if look in {Look.PLAIN, Look.TERMINAL} else []
        self._own_filters: list[LineFilter] = [Disarm(), *unpainted, *([AsciiOnly()] if ascii_only else [])]

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Give our hues to themes that are not ours."""
        return THEMES[Look.DARK].variables

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Put our filters behind textual's own."""
        return [*super().get_line_filters(), *self._own_filters]

    async def on_event(self, event: Event) -> None:
        """Open help and search before the next key is looked at: what is pasted behind their keys belongs to them.

        Once the program has been left nothing more is heard: a key behind ``q`` would open a screen that is going.
        """
        if self.return_code is not None and isinstance(event, InputEvent | Paste):
            return
        if isinstance(event, Key) and not event.is_forwarded:
            if self.takes_step(event.key):
                return
            if isinstance(self.screen, Framed) and self.screen.hears(event):
                return
            opens = self._opened_by(event.key)
            if opens:
                await self.run_action(opens)
                return
            if isinstance(self.focused, RowList) and await self._obeys(event.key):
                return
        await super().on_event(event)

    async def _obeys(self, key: str) -> bool:
        """Do at once what a key does on a list: a number that comes right behind it is for what stands there then."""
        bound = self.screen.active_bindings.get(key)
        return bound is not None and bound.enabled and await self.run_action(bound.binding.action, bound.node)

    def _opened_by(self, key: str) -> str:
        """Return the action that a key stands for on every screen; empty where it belongs to an entry or the screen."""
        entry = self.focused if isinstance(self.focused, Input) else None
        if key == "question_mark" and getattr(self.screen, "PLACE", Place.HELP) is not Place.HELP:
            return "" if entry is not None and entry.value else "app.explain"
        if key == "slash" and isinstance(self.screen, Framed) and self.screen.has_search:
            return "app.find" if entry is None else ""
        return ""

    def on_mount(self) -> None:
        """Take the signals and show the first screen."""
        if not self.is_headless:
            on_signal(lambda code: self.exit(return_code=code))
            on_hang_up(STANDARD_INPUT, lambda code: self.exit(return_code=code))
        if self.path is None:
            self.choose_file()
        else:
            self.open_file(self.path)
        self.call_after_refresh(self.heed_size)

    def on_resize(self) -> None:
        """Heed the new size."""
        self.call_after_refresh(self.heed_size)

    def heed_size(self) -> None:
        """Say so where the window is too small."""
        if too_small(self.size) and not any(isinstance(screen, TooSmall) for screen in self.screen_stack):
            self.push_screen(TooSmall())

    def pop_screen(self) -> AwaitComplete:
        """Leave the screen on top; a notice of a small window that goes with one below it is shown again."""
        popped = super().pop_screen()
        self.call_after_refresh(self.heed_size)
        return popped

    def has_below(self, screen: Screen[Any]) -> bool:
        """Return whether there is a screen of ours to go back to."""
        return screen in self.screen_stack[2:]

    def action_explain(self) -> None:
        """Show the help of the screen, where it has one."""
        from tui.screens.help import HelpScreen

        place = getattr(self.screen, "PLACE", None)
        if isinstance(place, Place):
            self.push_screen(HelpScreen(place, self.ascii_only), self._helped)

    def _helped(self, wants_steps: bool | None) -> None:
        if wants_steps:
            self.action_first_steps()

    def action_find(self) -> None:
        """Search the harness and the commands of the screen."""
        from tui.screens.search import SearchScreen, findable_commands

        if isinstance(self.screen, Framed):
            search = SearchScreen(findable_commands(self.screen), self.screen.facts)
            self.push_screen(search, lambda chosen: chosen and chosen.go())

    def action_turn_look(self) -> None:
        """Change between dark and light, and remember it."""
        if self.look not in {Look.DARK, Look.LIGHT}:
            self.say("The terminal's own colours are in use; change them there.")
            return
        self.look = Look.LIGHT if self.look is Look.DARK else Look.DARK
        self.theme = THEMES[self.look].name
        remembered.remember_look(self.look.value)

    def action_leave(self) -> None:
        """Quit."""
        self.exit(0)

    def action_help_quit(self) -> None:
        """Say how to quit."""
        self.say("Press q to quit.")


def run(path: Path | None, options: Options, complaint: "Complaint | None" = None) -> int:
    """Run the program on this terminal; without a path it asks for a file, with a complaint it traces that.

    Returns
    -------
    int
        0 after quitting, 1 after a fault of the program, 128 + the number of a signal that ended it.
    """
    if os.environ.get("NO_COLOR") == "":
        del os.environ["NO_COLOR"]
    look = choose_look(os.environ, options.light, remembered.look())
    in_ascii = ascii_wanted(os.environ, getattr(sys.__stderr__, "encoding", None), options.ascii_only)
    app = FusewalkApp(path, look, in_ascii)
    app.complaint = complaint
    app.begins_with_steps = options.first_steps and remembered.is_first_start()
    app.run(mouse=options.mouse)
    app.wait_for_records()
    say_last(app.last_words)
    return app.return_code or 0
