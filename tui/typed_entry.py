"""The keys of an entry: what is typed into a line until Enter takes it or Esc drops it."""

from __future__ import annotations

from textual.events import Key

BEGINS_ENTRY = frozenset("0123456789+-.,−O")
"""With one of these a reading begins; before it, letters are commands."""

TYPED_MOST = 30


class TypedEntry:
    """A screen into which readings are typed.

    Attributes
    ----------
    typed
        What stands in the entry.
    wrong
        Why that cannot be taken; empty where nothing says so.
    """

    typed: str
    wrong: str

    def show_answer(self) -> None:
        """Show the entry as it stands."""
        raise NotImplementedError

    def take_typed(self) -> None:
        """Take what has been typed."""
        raise NotImplementedError

    def goes_on_from(self) -> str:
        """Give what the next sign is added to."""
        return self.typed

    def add_typed(self, words: str) -> None:
        """Add to the entry, as far as there is room."""
        self.set_typed((self.goes_on_from() + words)[:TYPED_MOST])

    def set_typed(self, typed: str) -> None:
        """Let something else stand in the entry."""
        self.typed, self.wrong = typed, ""
        self.show_answer()

    def hear_typing(self, event: Key) -> bool:
        """Take a key of an entry that has begun; tell whether it was one."""
        match event.key:
            case "enter":
                self.take_typed()
            case "escape":
                self.set_typed("")
            case "backspace":
                self.set_typed(self.typed[:-1])
            case _:
                if event.key.startswith("ctrl+"):
                    return False
                if event.is_printable and event.character:
                    self.add_typed(event.character)
        return True
