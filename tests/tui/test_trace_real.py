"""A trace of a build with a fault in it, from t to cured: every key pressed, every answer solved from the circuit."""

import shutil
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.builds import TRACTOR, opened
from tests.tui.faulty_vehicle import FaultyVehicle, keys_for
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.traced import answering_of, asking, finding_of, free, kinds_of, mark_load, to_the_proof
from tui.app import FusewalkApp
from tui.screens.dialog import MessageDialog, QuestionDialog
from tui.screens.loads import LoadsScreen
from tui.screens.trace import TraceScreen
from tui.screens.trace_found import FoundScreen
from tui.screens.trace_prove import ProveScreen

MOST_CHECKS = 25


async def answered(app: FusewalkApp, pilot: Pilot[Any], vehicle: FaultyVehicle) -> int:
    """Answer whatever is asked until the trace ends; return how many checks that took."""
    for count in range(MOST_CHECKS):
        screen = app.screen
        if not isinstance(screen, TraceScreen) or screen.question is None:
            return count
        for key in keys_for(screen.question, vehicle):
            await pilot.press(key)
        await free(app, pilot)
        if isinstance(app.screen, QuestionDialog):
            await pilot.press("escape")
            await free(app, pilot)
    raise AssertionError(f"not found in {MOST_CHECKS} checks")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fault", "part"),
    [("W8=open", "W8"), pytest.param("F2=blown", "F2", marks=pytest.mark.slow)],
)
async def test_a_fault_is_traced_from_t_to_cured(tmp_path: Path, fault: str, part: str) -> None:
    """On a positive-ground tractor the head lamp is dead; the keys alone lead to the part, and mended it is cured."""
    path = Path(shutil.copy(TRACTOR, tmp_path))
    vehicle = FaultyVehicle(path, fault)
    async with opened(path) as (app, pilot):
        mark_load(app, "E1:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None, 3000)
        await pilot.pause()
        checks = await answered(app, pilot, vehicle)
        await until(pilot, lambda: isinstance(app.screen, FoundScreen))
        await pilot.pause()
        finding = finding_of(app)
        assert part in {suspect.part.partition(":")[0].partition(".")[0] for suspect in finding.group}
        assert checks >= 1
        assert part in screen_text(app)
        assert "finding" in kinds_of(path)
        await to_the_proof(app, pilot)
        await until(pilot, lambda: isinstance(app.screen, ProveScreen))
        await at_rest(pilot)
        await pilot.press("enter")
        await pilot.pause()
        if not answering_of(app).choices:
            await pilot.press("enter")
        await pilot.press("1", "enter")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog), 3000)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        assert kinds_of(path)[-1] == "repaired"
