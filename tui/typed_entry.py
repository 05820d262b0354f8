"""The keys of an entry: what is typed into a line until Enter takes it or Esc drops it."""

from __future__ import annotations

from textual.events import Key, Paste

BEGINS_ENTRY = frozenset("0123456789+-.,−O")
"""With one of these a reading begins; before it, letters are commands."""

TYPED_MOST = 30
_FULL = f"Not added: an entry has at most {TYPED_MOST} signs."
_ENDED = "Not added: Enter has ended that number."
_NO_NUMBER = "Not taken: no number is asked here now."


class TypedEntry:
    """A screen into which readings are typed.

    Attributes
    ----------
    typed
        What stands in the entry.
    wrong
        Why that cannot be taken; empty where nothing says so.
    ahead
        What is typed while nothing can be: it stands in the entry as soon as one is open.
    has_ended
        Enter has come behind what is typed ahead: the next number is another one.
    """

    typed: str
    wrong: str
    ahead: str = ""
    has_ended: bool = False

    def show_answer(self) -> None:
        """Show the entry as it stands."""
        raise NotImplementedError

    def take_typed(self) -> None:
        """Take what has been typed."""
        raise NotImplementedError

    def say(self, sentence: str) -> None:
        """Say one thing in the bottom line."""
        raise NotImplementedError

    def takes_number(self) -> bool:
        """Tell whether a number can be typed now."""
        raise NotImplementedError

    def is_waited_for(self) -> bool:
        """Tell whether what is typed now is for an entry that opens in a moment."""
        return False

    def goes_on_from(self) -> str:
        """Give what the next sign is added to: what was refused is replaced by the next entry."""
        return "" if self.wrong else self.typed

    def add_typed(self, words: str) -> None:
        """Add to the entry; what it has no room for is left out whole: half a number is another number."""
        typed = self.goes_on_from() + words
        if len(typed) > TYPED_MOST:
            self.say(_FULL)
        else:
            self.set_typed(typed)

    def set_typed(self, typed: str) -> None:
        """Let something else stand in the entry."""
        self.typed, self.wrong = typed, ""
        self.show_answer()

    def on_paste(self, event: Paste) -> None:
        """Take a reading that is pasted; several lines are one."""
        event.stop()
        words = " ".join(event.text.split())
        if not words:
            return
        if self.is_waited_for():
            self._add_ahead(words)
        elif self.takes_number():
            self.add_typed(words)
        else:
            self.say(_NO_NUMBER)

    def hear_typing(self, event: Key) -> bool:
        """Take a key of an entry that has begun; tell whether it was one."""
        self.say("")
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

    def hear_ahead(self, event: Key) -> bool:
        """Keep what is typed before there is an entry, but for its Enter; tell whether it was such a key.

        Were the first signs dropped, the rest would stand in the entry as another reading; and so would two numbers
        as one, if what comes behind Enter were added.
        """
        character = event.character or ""
        if not self.ahead and (not character or character not in BEGINS_ENTRY):
            return False
        match event.key:
            case "escape":
                self._set_ahead("")
            case "backspace":
                self._set_ahead(self.ahead[:-1])
            case "enter":
                self.has_ended = True
            case _:
                if event.key.startswith("ctrl+"):
                    return False
                if event.is_printable and character:
                    self._add_ahead(character)
        return True

    def _add_ahead(self, words: str) -> None:
        if self.has_ended:
            self.say(f"{_ENDED} Typed already: {self.ahead}")
        elif len(self.ahead + words) > TYPED_MOST:
            self.say(_FULL)
        else:
            self._set_ahead(self.ahead + words)

    def _set_ahead(self, typed: str) -> None:
        self.ahead, self.has_ended = typed, False
        self.say(f"Typed already: {typed}" if typed else "")

    def drop_ahead(self) -> str:
        """Forget what was typed ahead, and give it."""
        ahead, self.ahead, self.has_ended = self.ahead, "", False
        return ahead

    def take_ahead(self) -> None:
        """Let what was typed ahead stand in the entry that is open now, where it takes a number."""
        ahead = self.drop_ahead()
        if not ahead:
            return
        if self.takes_number():
            self.say("")
            self.set_typed(ahead)
        else:
            self.say(f"{_NO_NUMBER} Typed was {ahead}.")
