"""The help: what a screen is for, its keys, the signs and words that stand on it, and words of the trade."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.commands import Place, bindings_of, help_of
from tui.key_words import also_of
from tui.screen_words import TRADE, Told, signs_of, words_of
from tui.screens.left_once import LeftOnce
from tui.text import assembled, lines, padded, plain, width
from tui.widgets.bars import bottom_line

_BESIDES = "Shift and drag (Option and drag on a Mac) selects text in most terminals."
_ASCII = "Signs: R ohms, u millionth, ~ plus or minus, > at least."
_NAME = 10
_WORDS_MOST = 80
_KEYS = (("Esc", "back"), ("f", "first steps"))
_MORE = ("Down", "more")


def help_lines(place: Place, cells: int, ascii_only: bool = False) -> list[Content]:
    """Return the help of a place in lines of at most so many cells: what it is for, keys, signs, words."""
    told = [*assembled(place.value).wrap(min(cells, _WORDS_MOST)), plain("")]
    told += _named((*help_of(place), *also_of(place.name)), cells)
    sections = (("Signs here", signs_of(place)), ("Words here", words_of(place)), ("Words of the trade", TRADE))
    for heading, rows in sections:
        if rows:
            told += [plain(""), assembled((heading, "bold")), *_named(rows, cells)]
    besides = (_BESIDES, _ASCII) if ascii_only else (_BESIDES,)
    return [*told, plain(""), *(line for words in besides for line in assembled((words, "$quiet")).wrap(cells))]


def _named(rows: Told, cells: int) -> list[Content]:
    """Lay names beside their words; a name that is too long for its column has a line of its own."""
    shown: list[Content] = []
    for name, words in rows:
        wrapped = plain(words).wrap(max(min(cells, _WORDS_MOST) - _NAME, 8))
        if width(name) >= _NAME:
            shown.append(assembled((name, "bold $feed")))
            shown += [assembled(" " * _NAME, line) for line in wrapped]
            continue
        heads = [name, *[""] * (len(wrapped) - 1)]
        pairs = zip(heads, wrapped, strict=True)
        shown += [assembled((padded(head, _NAME), "bold $feed"), line) for head, line in pairs]
    return shown


class HelpScreen(LeftOnce[bool], ModalScreen[bool]):
    """The help of one place, over the whole screen; gives back whether the first steps are asked for.

    Parameters
    ----------
    place
        The place that is explained.
    ascii_only
        Whether signs are drawn by their ASCII twins, which are then explained.
    """

    PLACE: ClassVar[Place] = Place.HELP
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(Place.HELP)]
    AUTO_FOCUS = "#help"

    def __init__(self, place: Place, ascii_only: bool = False) -> None:
        super().__init__()
        self.place = place
        self.ascii_only = ascii_only

    def compose(self) -> ComposeResult:
        """Put the help over the keys that leave it."""
        with VerticalScroll(id="help"):
            yield Static(id="told")
        yield Static(id="keys", classes="foot")

    def on_mount(self) -> None:
        """Say at the bottom whether there is more below, once it is laid out and after each scrolling."""
        for changes in ("scroll_y", "virtual_size"):
            self.watch(self.query_one("#help"), changes, self.show_keys, init=False)

    def on_resize(self, event: Resize) -> None:
        """Lay the help out for the width there is."""
        cells = max(event.size.width - 6, 8)
        self.query_one("#told", Static).update(lines(help_lines(self.place, cells, self.ascii_only)))
        self.call_after_refresh(self.show_keys)

    def show_keys(self) -> None:
        """Show the keys, and that there is more below where there is."""
        scroll = self.query_one("#help")
        keys = [*_KEYS[:1], _MORE, *_KEYS[1:]] if scroll.scroll_offset.y < scroll.max_scroll_y else [*_KEYS]
        self.query_one("#keys", Static).update(bottom_line(keys, self.size.width - 4))

    def action_back(self) -> None:
        """Leave the help."""
        self.dismiss(False)

    def action_first_steps(self) -> None:
        """Leave the help for the first steps."""
        self.dismiss(True)
