"""From a bad row of a plan to a trace that opens with its reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.errors import AnswerError, FusewalkError
from model.plans.judging import Taken
from model.plans.plan import LoomState, PlanRow
from model.plans.to_trace import NoTrace, RowTrace, trace_of_row

if TYPE_CHECKING:
    from tui.screens.plan import PlanScreen
    from tui.standing import Standing
    from tui.trace_run import TraceRun


def find_trace(standing: Standing, row: PlanRow, taken: Taken, state: LoomState | None) -> RowTrace | NoTrace:
    """Find which load shows what a reading says, or say why no trace helps; it may take seconds."""
    try:
        return trace_of_row(standing.walks.bench, standing.walks.walk, row, taken, state)
    except FusewalkError as error:
        return NoTrace(f"{error.what} {error.do}".rstrip())


def start_with(standing: Standing, found: RowTrace) -> TraceRun:
    """Set a trace up with the reading of the row already weighed.

    Raises
    ------
    FusewalkError
        Where the circuit cannot be as the complaint says, or the reading fits nothing.
    """
    from tui.trace_record import start_trace

    run = start_trace(standing, found.complaint)
    if found.also is None:
        return run
    try:
        run.reply(found.also)
    except AnswerError as error:
        run.close()
        raise AnswerError(f"The reading of the row cannot be weighed: {error.what}", do=error.do) from None
    return run


def open_trace(screen: PlanScreen, standing: Standing, found: RowTrace | NoTrace) -> None:
    """Show the trace, the record let go for it; say why where there is none."""
    from functools import partial

    from tui.screens.dialog import MessageDialog
    from tui.screens.trace import TraceScreen
    from tui.trace_run import element_named

    screen.say("")
    if isinstance(found, NoTrace):
        screen.app.push_screen(MessageDialog("No trace helps here.", [found.why]))
        return

    def show(_: None) -> None:
        if screen.keeper.unwritten:
            screen.show_trouble()
        name = element_named(standing.harness, found.complaint.loads)
        screen.app.push_screen(TraceScreen(partial(start_with, standing, found), name))
        if found.unweighed:
            screen.app.call_later(screen.fusewalk.say, f"It begins without the reading. {found.unweighed}")

    screen.aside(screen.keeper.release, show, group="record")
