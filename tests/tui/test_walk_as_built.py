"""What was read while the loom was proven stands on the walk beside what is computed."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.circuit.condition import Condition
from model.plans.judging import Taken
from model.plans.kept import Measuring, measured_entry
from model.plans.plan import Measure, Plan, PlanKind, PlanRow
from model.record import Record
from tests.model.plan_rows import WHEN
from tests.tui.builds import LAMP, build, standing_of, walk_of, walking
from tests.tui.on_screen import screen_text, until
from tui.app import FusewalkApp


def keep_volts(path: Path, key: str, red: str, volts: float) -> None:
    """Write into the record that a plan read volts in a key state against the battery's negative post."""
    row = PlanRow(red, red, "", Measure.VOLTS, Condition(key), red, "G1.-")
    plan = Plan(PlanKind.LOADS, "Lamp", 1, (row,))
    with Record.open(path, WHEN) as record:
        record.append(measured_entry(plan, row, Taken(volts), when=WHEN, by=Measuring()))


def line_of(app: FusewalkApp, point: str) -> str:
    """Return the row of a point as it stands on the screen."""
    lines = [line for line in screen_text(app).splitlines() if f" {point} " in f"{line} " and "red " not in line]
    return lines[0]


@pytest.mark.first_few(1)
@pytest.mark.parametrize(("size", "unplugged"), [((60, 30), False), ((80, 40), True), ((120, 40), True)])
async def test_the_walk_has_a_column_as_built(tmp_path: Path, size: tuple[int, int], unplugged: bool) -> None:
    """In the key state in which it was read the point has its figure; a narrow list leaves the unplugged volts out."""
    path = build(tmp_path, LAMP)
    keep_volts(path, "ignition", "S1.1", 12.21)
    async with walking(path, "E1:load", size) as (app, pilot):
        await until(pilot, lambda: bool(walk_of(app).entries))
        await pilot.pause()
        shown = screen_text(app)
        assert standing_of(app).condition.key == "ignition"
        assert "as built" in shown
        assert ("unplugged" in shown.split("feed")[0]) is unplugged
        assert "12.21" in line_of(app, "S1.1")
        await pilot.press("k")
        await until(pilot, lambda: standing_of(app).condition.key == "off" and "as built" not in screen_text(app))


async def test_without_a_record_the_walk_stays_as_it_was(tmp_path: Path) -> None:
    """No column, and no file is made by looking."""
    path = build(tmp_path, LAMP)
    async with walking(path, "E1:load") as (app, pilot):
        await pilot.pause()
        assert "as built" not in screen_text(app)
    assert sorted(entry.name for entry in tmp_path.glob("*.record.toml")) == []
