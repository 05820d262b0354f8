"""An entry of one line: what is pasted into it becomes one line, what it has no room for is refused and told."""

from __future__ import annotations

from textual.events import Paste
from textual.message import Message
from textual.widgets import Input

from model.words import clean


def one_line(text: str) -> str:
    """Return what was pasted as one line, without what a terminal obeys: several lines stand behind each other."""
    return clean(" ".join(text.split()), len(text) + 1)


class Line(Input):
    """Takes what is typed and pasted whole, or leaves it out whole: half a name or a number is another one.

    Parameters
    ----------
    value
        What stands in it at first.
    placeholder
        What stands in the empty entry.
    most
        How many signs have room.
    """

    class Refused(Message):
        """Something has no room."""

        def __init__(self, sentence: str) -> None:
            super().__init__()
            self.sentence = sentence

    def __init__(self, value: str = "", *, placeholder: str = "", id: str | None = None, most: int = 200) -> None:
        super().__init__(value, placeholder=placeholder, id=id, compact=True, select_on_focus=False, max_length=most)

    def on_paste(self, event: Paste) -> None:
        """Take what is pasted in place of what is selected."""
        event.stop()
        event.prevent_default()
        words = one_line(event.text)
        if words:
            self.replace(words, *self.selection)

    def restricted(self) -> None:
        """Tell that there is no room for what came last."""
        self.post_message(self.Refused(f"Not added: at most {self.max_length} signs have room here."))
