"""From a bad row to a trace that opens with its reading, and back to the plan: the record goes with them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.circuit.condition import Condition
from model.harness.harness import Harness
from model.plans.plan import LoomState, Measure, Plan, PlanKind, PlanRow
from model.record import read_record
from model.tracing.asking import Also
from model.tracing.complaint import Symptom
from tests.model.plan_rows import ROWS, small_harness, small_plan
from tests.tui.builds import LAMP, build, opened
from tests.tui.on_screen import screen_text, until
from tests.tui.planned import listed, made_by_hand, marked_key, plan_of, planning, ready, type_in
from tui.plan_trace import power_question
from tui.screens.choose import ChooseScreen
from tui.screens.dialog import MessageDialog, QuestionDialog
from tui.screens.plan import PlanScreen
from tui.screens.plans import PlansScreen
from tui.screens.trace import TraceScreen

TWO_LAMPS = (
    LAMP.replace('[ { id = "S1"', '[ { id = "S2" }, { id = "S1"')
    .replace('location = "nose" } ]\nwires', 'location = "nose" }, { id = "E2", kind = "lamp", watts = 5 } ]\nwires')
    .replace("wires = [", 'wires = [ { id = "W6", from = "S1.2", to = "S2.1" },'
    ' { id = "W7", from = "S2.2", to = "E2.+" }, { id = "W8", from = "E2.-", to = "CHASSIS" },')
)  # fmt: skip
"""A second lamp behind a switch of its own."""


@pytest.mark.slow
async def test_a_bad_row_opens_a_trace_with_its_reading_weighed(tmp_path: Path) -> None:
    """W3 of the lamp reads open: t asks whether power may come on, then traces the lamp.

    The reading stands as its first answer, the record has both. Esc leads back to the plan, which takes answers again.
    """
    path = build(tmp_path, LAMP)
    async with opened(path) as (app, pilot):
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen), 3000)
        await listed(app, pilot)
        await pilot.press("enter")
        await ready(app, pilot)
        plan_of(app).go_to("W3")
        await pilot.pause()
        await pilot.press("t")
        await pilot.pause()
        assert "A trace starts from a row that is bad." in screen_text(app)
        await type_in(app, pilot, "OL")
        assert marked_key(app) != "W3"
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, QuestionDialog), 3000)
        await pilot.pause()
        shown = " ".join(screen_text(app).split())
        assert "The trace measures with power on: battery, fuses and loads in." in shown
        assert "pull at the terminals at S1 (Key) pin 2" in shown
        assert "and at E1 (Lamp) terminal +" in shown
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, PlanScreen)
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, QuestionDialog), 3000)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None, 3000)
        await pilot.pause()
        assert isinstance(app.screen, TraceScreen)
        seen = app.screen.seen
        assert seen is not None
        assert seen.complaint.loads == ("E1:load",)
        assert isinstance(seen.last, Also)
        assert seen.answers[0].check.red == "S1.2"
        assert seen.unkept == ""
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlanScreen))
        await ready(app, pilot)
        assert plan_of(app).told_of == "W3"
        assert plan_of(app).keeper.held_words == ""
        await pilot.press("home")
        await type_in(app, pilot, "0.1")
    entries = read_record(path).entries
    assert [entry.kind for entry in entries] == ["measured", "trace", "reading", "measured"]
    assert {entry.plan for entry in entries if entry.kind == "measured"} == {PlanKind.CONTINUITY}


async def test_where_no_load_shows_it_no_trace_opens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """6 A asked and 60 read at a fuse that no load names: it says what to do in place of a trace."""
    made_by_hand(monkeypatch, (replace(ROWS[5], key="amps"),))
    async with planning(tmp_path) as (app, pilot, _):
        await type_in(app, pilot, "60")
        await pilot.press("t")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog), 3000)
        await pilot.pause()
        assert "No trace helps here." in screen_text(app)
        assert "More flows than should" in screen_text(app)


@pytest.mark.slow
@pytest.mark.parametrize(("downs", "load", "symptom"), [(0, "E1:load", Symptom.DEAD), (1, "E2:load", Symptom.STAYS_ON)])
async def test_of_what_is_on_the_wrong_load_is_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, downs: int, load: str, symptom: Symptom
) -> None:
    """What should be on stands first and is traced as dead, the others below and are traced as staying on."""
    on = Condition("ignition")
    row = PlanRow("rest in ignition", "What is on", "", Measure.SEEN, on, covers=("E1:load",), expect_words="On: lamp.")
    path = build(tmp_path, TWO_LAMPS)

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        return Plan(kind, "", 1, (row,) if kind is PlanKind.LOADS else ())

    monkeypatch.setattr("model.plans.every_plan.make_plan", make)
    async with opened(path) as (app, pilot):
        await pilot.press("v")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen), 3000)
        await listed(app, pilot)
        await pilot.press(*["down"] * 4, "enter")
        await ready(app, pilot)
        await pilot.press("b", "enter", "t")
        await until(pilot, lambda: isinstance(app.screen, ChooseScreen), 3000)
        await pilot.pause()
        shown = screen_text(app)
        assert shown.index("Should be on, and was not:") < shown.index("Should be off, and was on:")
        await pilot.press(*["down"] * downs, "enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen) and app.screen.seen is not None, 3000)
        assert isinstance(app.screen, TraceScreen)
        assert app.screen.seen is not None
        complaint = app.screen.seen.complaint
        assert (complaint.loads, complaint.symptom) == ((load,), symptom)


def test_power_is_asked_for_where_none_was_on_alone() -> None:
    """Ohms of continuity name both ends and the crimps, insulation what touches; volts ask for nothing."""
    harness = small_harness()
    plan = small_plan()
    asked = power_question(harness, plan, ROWS[0])
    assert "pull at the terminals at F1" in asked
    assert "M1 (Fuel pump) terminal +" in asked
    touching = power_question(harness, replace(plan, kind=PlanKind.INSULATION), ROWS[0])
    assert "for what touches" in touching
    assert power_question(harness, replace(plan, kind=PlanKind.LOADS), ROWS[4]) == ""
