"""Bad rows of the plans before: said on the first line of the list, and of every plan that puts power on."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.harness.harness import Harness
from model.plans.plan import LoomState, Plan, PlanKind, PlanRow
from tests.model.plan_rows import ROWS, small_plan
from tests.tui.on_screen import screen_text, until
from tests.tui.planned import listed, listing, plan_of, ready, type_in
from tui.plan_earlier import earlier_words, own_words
from tui.screens.plans import PlansScreen

OWN = PlanRow("F1 off", "Fuse F1 in", "", ROWS[0].measure, ROWS[0].condition, limit=ROWS[0].limit)


@pytest.fixture(autouse=True)
def _by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        if kind is PlanKind.CONTINUITY and state is LoomState.APART:
            return small_plan()
        rows = (OWN, ROWS[1]) if kind in (PlanKind.FIRST_POWER, PlanKind.INSULATION) else ()
        return Plan(kind, harness.build.name, harness.build.revision, rows)

    monkeypatch.setattr("model.plans.every_plan.make_plan", make)


@pytest.mark.slow
async def test_what_is_bad_stands_where_power_would_come_on(tmp_path: Path) -> None:
    """In the list and in first power on the first line below the bar; in insulation not; mended it is gone."""
    words = "continuity has 1 bad row: put no power on before it is mended."
    async with listing(tmp_path) as (app, pilot):
        assert "bad row" not in screen_text(app)
        await pilot.press("enter")
        await ready(app, pilot)
        await type_in(app, pilot, "OL")
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))
        await listed(app, pilot)
        assert words in screen_text(app).splitlines()[2]
        await pilot.press(*["down"] * 3, "enter")
        await ready(app, pilot)
        await until(pilot, lambda: words in screen_text(app).splitlines()[2])
        await pilot.press("escape", *["up"] * 2, "enter")
        await ready(app, pilot)
        assert plan_of(app).kind is PlanKind.INSULATION
        assert words not in screen_text(app)
        await pilot.press("escape", "up", "enter")
        await ready(app, pilot)
        plan_of(app).go_to("W2")
        await pilot.pause()
        await type_in(app, pilot, "0.3")
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))
        await listed(app, pilot)
        assert words not in screen_text(app)


async def test_first_power_says_of_its_own_bad_row_on_the_next(tmp_path: Path) -> None:
    """On the bad row its verdict says stop; on the row below the first line says to fit nothing more."""
    async with listing(tmp_path) as (app, pilot):
        await pilot.press(*["down"] * 3, "enter")
        await ready(app, pilot)
        await type_in(app, pilot, "OL")
        shown = " ".join(screen_text(app).split())
        assert "BAD. STOP: supply off, grounded clamp off." in shown
        assert "1 row here is bad" not in shown
        await pilot.press("down")
        await pilot.pause()
        assert "1 row here is bad: fit nothing more before it is mended." in screen_text(app).splitlines()[2]


def test_the_plans_are_named_with_their_counts() -> None:
    """Several in one sentence; loads alone keep from cranking."""
    both = earlier_words({PlanKind.CONTINUITY: 2, PlanKind.INSULATION: 1})
    assert both == "continuity has 2 bad rows, insulation 1: put no power on before they are mended."
    assert earlier_words({PlanKind.LOADS: 1}) == "loads has 1 bad row: do not crank before it is mended."
    assert earlier_words({}) == own_words(PlanKind.LOADS, 3) == own_words(PlanKind.FIRST_POWER, 0) == ""
