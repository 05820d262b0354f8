"""Which harness is open: the choice of a file, what stands on the bench, and the way back to the choice."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual.reactive import reactive

from model.errors import FusewalkError
from tui.outlet import Sparing
from tui.screens.dialog import error_dialog
from tui.screens.loads import LoadsScreen
from tui.screens.open_harness import OpenHarness

if TYPE_CHECKING:
    from model.harness.harness import Harness
    from model.tracing.complaint import Complaint
    from tui.standing import Standing
    from tui.trace_asked import Asked
    from tui.trace_record import Unfinished


class Opening(Sparing):
    """What the app knows of the harness that is open.

    Attributes
    ----------
    path
        The file that was opened last.
    standing
        The harness on the bench and the condition that it is in; None until the file has been read. Screens watch it.
    complaint
        What is to be traced as soon as the file has been read; None where nothing is, or it has begun.
    said_before
        What was said before the first check of a trace that was then not started, with the harness it was said of.
    """

    path: Path | None = None
    standing: reactive[Standing | None] = reactive(None)
    complaint: Complaint | None = None
    said_before: tuple[Harness, Asked] | None = None

    def watch_standing(self, standing: Standing | None) -> None:
        """Trace what the program was started with, once its harness has been read."""
        if standing is not None and self.complaint is not None:
            complaint, self.complaint = self.complaint, None
            self.call_later(self.trace_complaint, complaint)

    def choose_file(self) -> None:
        """Ask which harness to open."""
        self.push_screen(OpenHarness(), self.open_file)

    def open_file(self, path: Path | None) -> None:
        """Show the harness in a file; None leaves all as it is."""
        if path is None:
            return
        if self.standing is not None and self.standing.path != path:
            self.standing = None
        self.path = path
        self.push_screen(LoadsScreen(path))

    def trace_loads(self, loads: tuple[str, ...]) -> None:
        """Ask what is wrong with loads, then trace it."""
        from tui.screens.trace_ask import TraceAskScreen

        self.push_screen(TraceAskScreen(loads))

    def trace_complaint(self, complaint: Complaint) -> None:
        """Trace what has been told already; where a trace of it was left, ask whether to go on with that."""
        from tui.screens.dialog import QuestionDialog
        from tui.trace_record import unfinished

        standing = self.standing
        assert standing is not None
        left = unfinished(standing, complaint.loads)
        if left is None:
            self.start_trace(complaint, None)
            return

        def answer(go_on: bool | None) -> None:
            self.start_trace(complaint, left if go_on else None)

        question = f"A trace of {left.words}, was left."
        self.push_screen(QuestionDialog("Go on with it?", question, "go on with it", "start anew"), answer)

    def start_trace(self, complaint: Complaint, left: Unfinished | None) -> None:
        """Show the trace of a complaint, or go on with the one that was left."""
        from tui.screens.trace import TraceScreen
        from tui.trace_record import start_trace
        from tui.trace_run import element_named

        standing = self.standing
        assert standing is not None
        name = element_named(standing.harness, complaint.loads)
        self.push_screen(TraceScreen(partial(start_trace, standing, complaint, left), name))

    def is_reading(self) -> bool:
        """Tell whether a file is being read that is to stand on the bench."""
        return self.standing is None and any(isinstance(screen, LoadsScreen) for screen in self.screen_stack)

    def give_up_file(self, error: FusewalkError) -> None:
        """Tell all that is wrong with a file, then go back to the choice of one."""
        self.standing = None
        self.push_screen(error_dialog(error), lambda _: self.leave_file())

    def leave_file(self) -> None:
        """Go back from the loads of a file, and what was opened over them meanwhile, to the choice of one."""
        while any(isinstance(screen, LoadsScreen) for screen in self.screen_stack[:-1]):
            self.pop_screen()
        if isinstance(self.screen, LoadsScreen):
            self.screen.dismiss(None)
        # asked by the app itself: a screen that goes would take its answer with it
        self.call_later(self.choose_file)
