"""A screen that is left once: what still comes for it then changes nothing."""

from collections.abc import Callable
from typing import TypeVar

from textual.await_complete import AwaitComplete
from textual.events import Event, Mount, Resize
from textual.screen import Screen

from tui.widgets.rows import RowList

Result = TypeVar("Result")


class LeftOnce(Screen[Result]):
    """A screen that goes by itself alone.

    Textual takes the screen on top whoever asks to be left: a double click would take two.
    """

    @property
    def is_left(self) -> bool:
        """Whether it is no longer among the screens: what still comes for it finds no widgets any more."""
        return self not in self.app.screen_stack

    async def on_event(self, event: Event) -> None:
        """Do nothing on mount where not all was mounted, as it is when the program is left meanwhile.

        Nor with a new size once the screen has been left: its widgets are gone, or going.
        """
        if isinstance(event, Mount) and not (self.children and self.app.is_running):
            return
        if isinstance(event, Resize) and self.is_left:
            return
        await super().on_event(event)

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Leave with a result, and what stands above with it; where it has been left already do nothing."""
        if self.is_left:
            return AwaitComplete()
        while self.app.screen is not self:
            self.app.pop_screen()
        return super().dismiss(result)

    def on_row_list_taken_again(self, event: RowList.TakenAgain) -> None:
        """Take the row of a double click once more, unless the first click has led away from here."""
        if self.app.screen is self:
            event.rows.post_message(RowList.Taken(event.row))

    def call_after_refresh(self, callback: Callable[..., object], *args: object, **kwargs: object) -> bool:
        """Do something once all is laid out anew, unless the screen has been left by then."""

        def do() -> object:
            return None if self.is_left else callback(*args, **kwargs)

        return super().call_after_refresh(do)
