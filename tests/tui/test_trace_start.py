"""The program started with a complaint: its file is read, then the trace asks."""

from __future__ import annotations

from pathlib import Path

from model.tracing.complaint import Complaint
from tests.tui.builds import build
from tests.tui.on_screen import until
from tests.tui.small_loom import SMALL_LOOM
from tui.app import FusewalkApp
from tui.screens.loads import LoadsScreen
from tui.screens.trace import TraceScreen


async def test_a_complaint_is_traced_once_its_file_has_been_read(tmp_path: Path) -> None:
    """Nothing is asked before; the way back leads to the loads, and nothing is traced again."""
    app = FusewalkApp(build(tmp_path, SMALL_LOOM))
    app.complaint = Complaint(("E1:load",))
    async with app.run_test() as pilot:
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.question is not None)
        assert app.complaint is None
        assert isinstance(app.screen_stack[-2], LoadsScreen)
        app.standing = app.standing.turned(1) if app.standing is not None else None
        await pilot.pause()
        assert sum(isinstance(screen, TraceScreen) for screen in app.screen_stack) == 1


async def test_without_a_complaint_the_loads_are_shown(tmp_path: Path) -> None:
    """As ever."""
    app = FusewalkApp(build(tmp_path, SMALL_LOOM))
    async with app.run_test() as pilot:
        await until(pilot, lambda: app.standing is not None)
        await pilot.pause()
        assert isinstance(app.screen, LoadsScreen)
