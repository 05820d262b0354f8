"""The ways from other screens into an amendment, and back out of the last one."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from tui.amend_lines import Told, kind_rows
from tui.screens.choose import ChooseScreen
from tui.screens.dialog import QuestionDialog

if TYPE_CHECKING:
    from model.amending import Done
    from model.tracing.amendment_forms import AmendForm
    from tui.app import FusewalkApp
    from tui.putting_in import LastAmendment
    from tui.screens.amend import Beside
    from tui.screens.frame import Framed
    from tui.standing import Standing


def ask_amendment(
    app: FusewalkApp,
    standing: Standing,
    forms: tuple[AmendForm, ...],
    told: Told,
    then: Callable[[Done], None],
    beside: Beside | None = None,
) -> None:
    """Ask which kind of work was done, then what of it; `then` is called with what was put into the file."""
    from tui.screens.amend import AmendScreen

    def chosen(key: str | None) -> None:
        if key is not None:
            app.push_screen(AmendScreen(standing, forms[int(key)], told, then, beside))

    app.push_screen(ChooseScreen("What was done? It goes into the file.", kind_rows(standing.harness, forms)), chosen)


def ask_undo(screen: Framed[Any], then: Callable[[Done], None], before: Callable[[], None] | None = None) -> None:
    """Ask whether the last amendment is taken back, then take it back aside.

    Parameters
    ----------
    before
        Called in the thread before the record is written, to let it go.
    """
    from tui.putting_in import last_amendment, take_back, undo_words

    path = screen.fusewalk.path
    if path is None:
        return

    def work() -> Done:
        if before is not None:
            before()
        return take_back(path)

    def answer(undoes: bool | None) -> None:
        if undoes:
            screen.aside(work, then, group="undo")

    def found(last: LastAmendment) -> None:
        if last.entry is None:
            screen.say(last.wrong or "The record tells of no amendment to take back.")
            return
        question = undo_words(last.entry)
        screen.app.push_screen(QuestionDialog("Take the last amendment back?", question, "take it back"), answer)

    screen.aside(partial(last_amendment, path), found, group="undo")
