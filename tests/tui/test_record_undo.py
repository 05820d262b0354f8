"""The last amendment taken back from the record."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.amending import Why, amend_file
from model.harness.amendment_kinds import found_different
from model.harness.toml_file import read_harness
from tests.tui.builds import build, opened, standing_of
from tests.tui.filled_in import CART, press, shown
from tests.tui.on_screen import until
from tui.screens.loads import LoadsScreen
from tui.screens.plan_record import RecordScreen


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_u_on_the_record_takes_the_last_amendment_back(tmp_path: Path, size: tuple[int, int]) -> None:
    """It is asked about with its words; the loads then stand on the file as it was, byte for byte."""
    path = build(tmp_path, CART)
    amend_file(path, found_different(read_harness(path), "F1", {"amps": 15}), datetime(2026, 3, 1, tzinfo=UTC), Why())
    async with opened(path, size) as (app, pilot):
        await press(app, pilot, "v", "r")
        await until(pilot, lambda: isinstance(app.screen, RecordScreen) and app.screen.keeper.is_open)
        await press(app, pilot, "u")
        assert "F1 is not as the file had it: amps 15" in shown(app)
        await press(app, pilot, "escape")
        assert standing_of(app).harness.build.revision == 4
        await press(app, pilot, "u", "enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        await until(pilot, lambda: "The file is revision 3" in shown(app))
        assert path.read_text(encoding="utf-8") == CART
        assert standing_of(app).harness == read_harness(path)
