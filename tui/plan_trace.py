"""From a bad row of a plan to a trace that opens with its reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.errors import AnswerError, FusewalkError
from model.harness.harness import Harness, all_elements
from model.harness.parts import Module
from model.plans.judging import Taken
from model.plans.load_rows import load_name
from model.plans.plan import LoomState, Measure, Plan, PlanKind, PlanRow
from model.plans.to_trace import NoTrace, RowTrace, trace_of_row
from model.sheets.plan_points import touched

if TYPE_CHECKING:
    from tui.screens.plan import PlanScreen
    from tui.standing import Standing
    from tui.trace_run import TraceRun

_BEFORE_POWER = frozenset({PlanKind.CONTINUITY, PlanKind.INSULATION})
_WITHOUT_POWER = frozenset({Measure.OHMS, Measure.APART, Measure.MILLIVOLTS})


def find_trace(standing: Standing, row: PlanRow, taken: Taken, state: LoomState | None) -> RowTrace | NoTrace:
    """Find which load shows what a reading says, or say why no trace helps; it may take seconds."""
    try:
        return trace_of_row(standing.walks.bench, standing.walks.walk, row, taken, state)
    except FusewalkError as error:
        return NoTrace(f"{error.what} {error.do}".rstrip())


def power_question(harness: Harness, plan: Plan, row: PlanRow) -> str:
    """Say what a trace from a row that was read without power asks for, and where to look first; else nothing."""
    if plan.kind not in _BEFORE_POWER or row.measure not in _WITHOUT_POWER:
        return ""
    ends = [touched(harness, point) for point in dict.fromkeys((row.red, row.black)) if point]
    where = f" at {' and at '.join(ends)}" if ends else ""
    look = (
        f"pull at the terminals{where}, tug the crimps, look along the wire, and read again"
        if row.measure is Measure.OHMS and plan.kind is PlanKind.CONTINUITY
        else f"look{where} and along the wires for what touches: a strand over, a rubbed place, damp; then read again"
    )
    return (
        "The trace measures with power on: battery, fuses and loads in. On a loom that has not passed its first power "
        f"look first: {look}. Enter opens the trace, Esc stays here."
    )


def seen_choices(harness: Harness, row: PlanRow) -> list[tuple[str, str, str]]:
    """List the loads of a row of what is on: those that should be on, then those that should be off.

    Returns
    -------
    list of (str, str, str)
        The head, the name of the element, how it is called.
    """
    named = {
        one.name: f"{load_name(harness, one)}, {one.part_id}"
        for one in all_elements(harness)
        if not isinstance(harness.parts[one.part_id], Module)
    }
    on = [name for name in row.covers if name in named]
    return [
        *(("Should be on, and was not:", name, named[name]) for name in on),
        *(("Should be off, and was on:", name, words) for name, words in named.items() if name not in on),
    ]


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
