"""What errors become on the terminal: a dialog that a person can act on, or a crash note and a way on."""

from __future__ import annotations

import contextlib
from collections import deque
from collections.abc import Callable, Iterator, Mapping
from threading import Lock, Thread

from textual.actions import ActionParseResult
from textual.dom import DOMNode

from model.errors import FusewalkError
from tui.crash import keep_note
from tui.opening import Opening
from tui.screens.dialog import MessageDialog, error_dialog
from tui.screens.frame import Framed

_AFTER_A_FAULT = "Start it again: what was read and kept is in the record. The note says what failed."
_GO_ON = "You can go on: what was read and kept is in the record. The note says what failed."


class Telling(Opening):
    """What the app says of what went wrong.

    Parameters
    ----------
    ansi_color
        Whether the terminal's own colours are used.

    Attributes
    ----------
    last_words
        What is written once the terminal is free again; empty where nothing went wrong.
    has_failed
        Whether a fault of the program itself takes it down, of which a note has been kept.
    actions_run
        The last actions, for a crash note.
    """

    def __init__(self, *, ansi_color: bool) -> None:
        super().__init__(ansi_color=ansi_color)
        self.last_words = ""
        self.has_failed = False
        self._speaking = Lock()
        self.leaving: list[Thread] = []
        self.actions_run: deque[str] = deque(maxlen=20)

    def let_go(self, close: Callable[[], str]) -> None:
        """Close a record in a thread; what it gives is written once the terminal is free again."""
        self.leaving.append(Thread(target=lambda: self.say_at_the_end(close())))
        self.leaving[-1].start()

    def say_at_the_end(self, words: str) -> None:
        """Put words behind those that are written once the terminal is free again, from any thread."""
        with self._speaking:
            self.last_words = f"{self.last_words}{words}"

    def wait_for_records(self) -> None:
        """Wait until every record has been let go."""
        for thread in self.leaving:
            thread.join()

    def say(self, sentence: str) -> None:
        """Say one thing in the bottom line of the screen, where it has one."""
        if isinstance(self.screen, Framed):
            self.screen.say(sentence)

    def tell(self, error: BaseException) -> None:
        """Show an error as a dialog: what can be mended as it is, anything else with a crash note."""
        if isinstance(error, FusewalkError):
            self.push_screen(error_dialog(error))
            return
        kept = keep_note(error, self.actions_run, self.size)
        self.push_screen(MessageDialog("Something went wrong in Fusewalk itself.", [kept, _GO_ON]))

    @contextlib.contextmanager
    def telling(self) -> Iterator[None]:
        """Turn an error that a person can mend into a dialog."""
        try:
            yield
        except FusewalkError as error:
            self.tell(error)

    async def run_action(
        self,
        action: str | ActionParseResult,
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        """Run an action, and tell an error that a person can mend."""
        self.actions_run.append(action if isinstance(action, str) else action[1])
        self.say("")
        with self.telling():
            return await super().run_action(action, default_namespace, namespaces)
        return True

    def _handle_exception(self, error: Exception) -> None:
        """Keep a note of a fault of our own before the app goes down."""
        if not self.has_failed:
            self.has_failed = True
            kept = keep_note(error, self.actions_run, self.size)
            self.say_at_the_end(f"Fusewalk stopped by a fault of its own. {kept}\n{_AFTER_A_FAULT}\n")
        super()._handle_exception(error)

    def _fatal_error(self) -> None:
        """Go down without printing the values of variables."""
        self._close_messages_no_wait()
