"""A few words to answer with, each by its number: a number that is longer than that is a reading, and no answer."""

from __future__ import annotations

from textual.events import Key

from tui.typed_entry import BEGINS_ENTRY, TypedEntry
from tui.widgets.reading import NONE_CHOSEN, numbers_words, turned


class WordEntry(TypedEntry):
    """A screen that is answered with words, or with readings.

    Attributes
    ----------
    chosen
        Which word Enter takes; `NONE_CHOSEN` where it takes none.

    Notes
    -----
    The digit of a word begins an entry, as that of a reading does: were each digit heard alone, the last one of a
    reading that is typed by habit would answer in its place.
    """

    chosen: int

    def words(self) -> tuple[str, ...]:
        """Return the words to choose from now; none where a number is asked."""
        raise NotImplementedError

    def take_word(self, place: int) -> None:
        """Answer with one of the words."""
        raise NotImplementedError

    def takes_words(self) -> bool:
        """Tell whether the answer is one of a few words."""
        return bool(self.words())

    def hear_choosing(self, event: Key) -> bool:
        """Take a key of an answer in words; tell whether it was one."""
        character = event.character or ""
        is_sign = bool(character) and event.is_printable
        match event.key:
            case "left" | "right":
                self.turn_choice(1 if event.key == "right" else -1)
            case "enter":
                self._take_chosen()
            case "escape" | "backspace" if self.typed:
                return self.hear_typing(event)
            case _ if is_sign and (self.typed or character in BEGINS_ENTRY):
                self.add_typed(character)
            case _:
                if self.typed:
                    self.set_typed("")
                return False
        return True

    def turn_choice(self, way: int) -> None:
        """Choose the next word (1) or the one before (-1)."""
        self.typed, self.chosen = "", turned(self.chosen, way, len(self.words()))
        self.show_answer()

    def set_typed(self, typed: str) -> None:
        """Let something else stand in the entry: the number of a word alone chooses it, all else chooses none."""
        self.chosen, count = NONE_CHOSEN, len(self.words())
        if len(typed) == 1 and typed.isdecimal() and 1 <= int(typed) <= count:
            self.chosen = int(typed) - 1
        super().set_typed(typed)

    def _take_chosen(self) -> None:
        """Take the chosen word; Enter alone answers nothing: it may have been meant for the question before."""
        how = f"press {numbers_words(len(self.words()))}, then Enter."
        if self.chosen != NONE_CHOSEN:
            self.take_word(self.chosen)
        elif self.typed:
            self.say(f"“{self.typed}” is no answer here: {how}")
            self.set_typed("")
        else:
            self.say(f"Choose first: {how}")
