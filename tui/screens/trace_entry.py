"""What is typed into a trace: a number as the meter shows it, or one of a few words by its key."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.events import Key

from model.errors import AnswerError
from tui.screens.dialog import QuestionDialog
from tui.screens.trace_shown import TraceShown
from tui.typed_entry import BEGINS_ENTRY
from tui.widgets.rows import RowList
from tui.word_entry import WordEntry

if TYPE_CHECKING:
    from model.tracing.checks import Outcome
    from tui.trace_run import Seen

_MOVE_MARK = frozenset({"up", "down", "pageup", "pagedown", "home", "end"})
_IN_BIG = "No row is seen in big letters: g shows the walk, o reads at another point."
_NO_ROOM = "No row of the walk has room here: o reads at another point."


class TraceEntry(TraceShown, WordEntry):
    """Takes the keys of an answer before any command has them."""

    def hears(self, event: Key) -> bool:
        """Take the keys of an entry: from the first sign of a number on all of them, until Enter or Esc."""
        if self.is_waited_for():
            return self.hear_ahead(event)
        if self.question is None:
            return False
        # what was said of the key before is over with the next
        self.say("")
        if event.key in _MOVE_MARK and not self.shows_walk():
            self._move_unseen(event.key)
            return True
        if not self.typed:
            self._follow_mark()
        if self.takes_words():
            return self.hear_choosing(event)
        if self.typed:
            return self.hear_typing(event)
        character = event.character or ""
        if character in BEGINS_ENTRY and character:
            self.query_one(RowList).show_mark()
            self.set_typed(character)
            return True
        return False

    def _move_unseen(self, key: str) -> None:
        """Scroll the page where there is more of it than the screen shows, else say why no row is marked."""
        way = -1 if key in {"pageup", "up"} else 1
        if self.max_scroll_y > 0:
            self.scroll_relative(y=way * max(self.size.height // 2, 1), animate=False)
        else:
            self.say(_IN_BIG if self.is_big else _NO_ROOM)

    def _follow_mark(self) -> None:
        """Follow a mark that the key just before has moved, where nobody has been told of that yet."""
        marked = self.query_one(RowList).marked_row
        if marked is not None and marked.key != self.followed:
            self.on_row_list_marked()

    def words(self) -> tuple[str, ...]:
        """Return the words to choose from now; none where a number is asked."""
        return self.answering().choices

    def takes_number(self) -> bool:
        """Tell whether a number can be typed now."""
        return self.question is not None and not self.is_busy and not self.takes_words()

    def is_waited_for(self) -> bool:
        """Tell whether the next check is being worked out."""
        return self.is_busy

    def driven(self, came: Seen | Exception) -> None:
        """Show what came of it; what was typed ahead was for a check that has not come where it failed."""
        super().driven(came)
        ahead = self.drop_ahead()
        if ahead:
            self.say(f"Not taken, the check is still the same: {ahead}")

    def take(self, seen: Seen) -> None:
        """Show the trace as it stands now, what was typed meanwhile in its entry."""
        super().take(seen)
        self.take_ahead()

    def take_typed(self) -> None:
        """Answer with the number that has been typed; one that cannot be read stays where it is."""
        from model.tracing.asking import Also
        from model.tracing.typed_answer import read_answer

        check = self.asked_check()
        try:
            high = self.question.high if self.question is not None and not self.elsewhere else None
            outcome = read_answer(check.kind, self.typed, high)
        except AnswerError as error:
            self.wrong = f"{error.what} {error.do}".rstrip()
            self.show_answer()
            return
        if self.elsewhere:
            self.reply(Also(check, outcome))
            return
        self.read(outcome)

    def read(self, outcome: Outcome) -> None:
        """Answer with a reading; one that looks like swapped leads is asked about first."""
        from model.tracing.asking import Read

        run = self.run_of
        assert run is not None

        def work() -> Seen | None:
            return None if run.looks_swapped(outcome) else run.reply(Read(outcome))

        def then(came: Seen | Exception | None) -> None:
            if came is None:
                self.is_busy = False
                self.show_answer()
                self.ask_swapped(outcome)
            else:
                self.driven(came)

        self.begin(work, then)

    def ask_swapped(self, outcome: Outcome) -> None:
        """Ask once whether the leads are swapped."""
        from model.tracing.asking import Read

        def answer(swapped: bool | None) -> None:
            taken = replace(outcome, least=-outcome.most, most=-outcome.least) if swapped else outcome
            self.reply(Read(taken))

        question = "That is about minus what a sound circuit shows. Are red and black the wrong way round?"
        self.app.push_screen(QuestionDialog("Leads swapped?", question, "yes, swapped", "no, as read"), answer)

    def take_word(self, place: int) -> None:
        """Answer with one of the words."""
        from model.tracing.asking import Read
        from model.tracing.checks import WORDS_OF, seen

        question = self.question
        if question is not None:
            self.reply(Read(seen(WORDS_OF[question.check.kind][place])))

    def on_row_list_marked(self) -> None:
        """Let a number go to the row that is marked."""
        from tui.walk_rows import row_of

        seen, marked = self.seen, self.query_one(RowList).marked_row
        self.followed = "" if marked is None else marked.key
        if seen is None or seen.told is None or marked is None or not self.home or self.typed:
            return
        row = row_of(seen.told, marked.key)
        away = row is not None and marked.key != self.home and not row.refusal
        self.elsewhere = row.point if row is not None and away else ""
        self.show_answer()
