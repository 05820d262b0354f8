"""What keys alone cannot do on the way to a picture: a trace answered by a vehicle, a fault hidden always the same."""

from __future__ import annotations

from typing import Any

from textual.pilot import Pilot

from tui.app import FusewalkApp
from tui.picture_tour import settled

FAULT = "K7:30-87=open"
"""What the traced vehicle has: the contact of the pump's relay does not close."""

PRACTICE_SEED = 7
_MOST_CHECKS = 30


async def start_practice(pilot: Pilot[Any]) -> None:
    """Hide always the same fault."""
    from tui.screens.practice import PracticeScreen

    app = app_of(pilot)
    assert app.standing is not None
    await app.push_screen(PracticeScreen(app.standing.harness, PRACTICE_SEED))


async def break_down(pilot: Pilot[Any]) -> None:
    """Tell a fault of the program itself."""
    app_of(pilot).tell(RuntimeError("drawn for its picture"))


async def answer_all(pilot: Pilot[Any]) -> None:
    """Answer check after check as a vehicle with the fault shows it, until the trace ends.

    Raises
    ------
    RuntimeError
        Where it does not end.
    """
    from model.circuit.faults import parse_fault
    from model.tracing.asking import Read
    from model.tracing.vehicle import Vehicle
    from tui.screens.trace import TraceScreen

    trace = app_of(pilot).screen
    assert isinstance(trace, TraceScreen)
    assert trace.seen is not None
    seen = trace.seen
    fault = parse_fault(seen.harness, FAULT)
    vehicle = Vehicle(seen.harness, [fault], seen.complaint.loads, seen.condition, slips=0.0)
    for _ in range(_MOST_CHECKS):
        if trace.question is None:
            return
        trace.reply(Read(vehicle.answer(trace.question.check)))
        await settled(pilot)
    raise RuntimeError("the trace does not end")


def app_of(pilot: Pilot[Any]) -> FusewalkApp:
    """Return the app as what it is."""
    app = pilot.app
    assert isinstance(app, FusewalkApp)
    return app
