"""The help: what a screen is for, in one sentence, and its keys, in six lines at most."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.commands import Place, bindings_of, help_of
from tui.text import assembled, plain
from tui.widgets.bars import bottom_line

_BESIDES = "Shift and drag (Option and drag on a Mac) selects text in most terminals."
_ASCII = "Signs: R ohms, u millionth, ~ plus or minus, > at least."


class HelpScreen(ModalScreen[None]):
    """The help of one place, over the whole screen.

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
        """Put the keys under the sentence."""
        with VerticalScroll(id="help"):
            yield Static(plain(self.place.value), classes="paragraph")
            for key, words in help_of(self.place):
                with Horizontal(classes="key"):
                    yield Static(assembled((key, "bold $feed")), classes="name")
                    yield Static(plain(words), classes="words")
            yield Static(plain(_BESIDES), classes="besides")
            if self.ascii_only:
                yield Static(plain(_ASCII), classes="besides")
        yield Static(bottom_line([("Esc", "back")], 40), classes="foot")

    def action_back(self) -> None:
        """Leave the help."""
        self.dismiss(None)
