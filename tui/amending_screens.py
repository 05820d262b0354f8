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
    from tui.trace_run import TraceRun


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


def ask_undo(screen: Framed[Any], then: Callable[[Done], None], beside: Beside | None = None) -> None:
    """Ask whether the last amendment is taken back, then take it back aside.

    Parameters
    ----------
    beside
        Lets the record go while it is written here; None where nothing holds it.
    """
    from tui.putting_in import last_amendment, take_back, undo_words

    path = screen.fusewalk.path
    if path is None:
        return

    def work() -> Done:
        undoing = partial(take_back, path)
        return undoing() if beside is None else beside(undoing)

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


def trace_below(app: FusewalkApp) -> TraceRun | None:
    """Give the trace that a screen lies over: it holds the record."""
    from tui.screens.trace_shown import TraceShown

    return next((one.run_of for one in reversed(app.screen_stack) if isinstance(one, TraceShown)), None)


def stay_amended(app: FusewalkApp, done: Done) -> None:
    """Let all screens stand on the new revision where they are; a trace goes on on the loom as it was traced."""
    from tui.putting_in import done_words
    from tui.restand import stood_anew

    before = app.standing
    assert before is not None
    app.standing = stood_anew(before, before.path, done.after)
    app.call_later(app.say, done_words(done))
