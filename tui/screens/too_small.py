"""The notice that stands where the window is too small for anything else."""

from textual.app import ComposeResult
from textual.geometry import Size
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.screens.left_once import LeftOnce
from tui.text import plain

LEAST = Size(40, 12)


def too_small(size: Size) -> bool:
    """Return whether a window has no room for our screens."""
    return size.width < LEAST.width or size.height < LEAST.height


class TooSmall(LeftOnce[None], ModalScreen[None]):
    """Says how large the window has to be, and goes when it is."""

    def __init__(self) -> None:
        super().__init__()
        self.going = False

    def compose(self) -> ComposeResult:
        """Say it in one line."""
        yield Static(plain(f"Window too small: {LEAST.width}×{LEAST.height} needed."))

    def on_resize(self) -> None:
        """Go when there is room again."""
        self.go_when_large()

    def on_screen_resume(self) -> None:
        """Go when there is room again."""
        self.go_when_large()

    def go_when_large(self) -> None:
        """Go, unless something else has come on top or there is no room."""
        if self.app.screen is self and not self.going and not too_small(self.app.size):
            self.going = True
            self.dismiss(None)
