"""The list of plans: in working order, counted beside the record, continuity in the state that is chosen."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.errors import CircuitError
from model.harness.harness import Harness
from model.plans.judging import Taken
from model.plans.plan import LoomState, Plan, PlanKind
from tests.model.plan_rows import answered, small_plan
from tests.model.record_rows import volts_entry
from tests.tui.on_screen import screen_text, until
from tests.tui.planned import listed, listing, made_by_hand, plan_of, ready, type_in
from tui.plan_list import list_rows, whole_sentences
from tui.screens.dialog import MessageDialog
from tui.screens.loads import LoadsScreen
from tui.screens.plan_record import RecordScreen
from tui.screens.plans import PlansScreen


async def test_the_plans_stand_in_working_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All in the order in which they are worked through, the record last; one without rows says so."""
    made_by_hand(monkeypatch)
    async with listing(tmp_path) as (app, _):
        shown = screen_text(app)
        places = [shown.index(f" {kind} ") for kind in PlanKind]
        assert places == sorted(places)
        assert shown.index("nothing measured yet") > places[-1]
        assert "nothing to prove" in next(line for line in shown.splitlines() if "insulation" in line)


async def test_space_chooses_the_state_of_the_loom(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It goes round bench, apart and mated; the plan that is opened then is of that state. No other plan has one."""
    asked: list[LoomState] = []

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        if kind is PlanKind.CONTINUITY:
            asked.append(state)
        return small_plan() if kind is PlanKind.CONTINUITY else Plan(kind, "Rig", 3, ())

    made_by_hand(monkeypatch)
    monkeypatch.setattr("model.plans.every_plan.make_plan", make)
    async with listing(tmp_path) as (app, pilot):
        assert "fitted, all apart" in screen_text(app)
        await pilot.press("space")
        await listed(app, pilot)
        assert "fitted and mated" in screen_text(app)
        await pilot.press("space")
        await listed(app, pilot)
        assert asked == [LoomState.APART, LoomState.MATED, LoomState.BENCH]
        await pilot.press("enter")
        await ready(app, pilot)
        assert plan_of(app).state is LoomState.BENCH
        await pilot.press("escape", "down", "space")
        await pilot.pause()
        assert "Only continuity has a state" in screen_text(app)


@pytest.mark.slow
async def test_the_rows_are_counted_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After one good, one unproven and one bad answer the line of the plan has them under their heads."""
    made_by_hand(monkeypatch)
    async with listing(tmp_path, (60, 20)) as (app, pilot):
        await pilot.press("enter")
        await ready(app, pilot)
        await type_in(app, pilot, "0.3", "0.2", "5")
        await pilot.press("escape")
        await listed(app, pilot)
        lines = screen_text(app).splitlines()
        head = next(line for line in lines if "unproven" in line)
        row = next(line for line in lines if "› continuity" in line)
        found = {word: row[: head.index(word) + len(word)].split()[-1] for word in head.split()[1:]}
        assert found == {"rows": "6", "open": "3", "good": "1", "bad": "1", "skipped": "0", "unproven": "1"}
        assert "3 rows measured, last 04 May 18:03" in screen_text(app)
        for keys in (("end", "enter"), ("r",)):
            await pilot.press(*keys)
            await until(pilot, lambda: isinstance(app.screen, RecordScreen))
            await pilot.press("escape")
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_what_a_plan_proves_ends_at_a_sentence(
    size: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What has no room is left out whole: the key for it stands there and shows it; the record has none."""
    about = (*(f"Sentence {number} of what this plan proves and how it does that." for number in range(20)), "The end.")

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        return replace(small_plan(), about=about) if kind is PlanKind.CONTINUITY else Plan(kind, "Rig", 3, ())

    monkeypatch.setattr("model.plans.every_plan.make_plan", make)
    async with listing(tmp_path, size) as (app, pilot):
        shown = " ".join(screen_text(app).split())
        assert "it does that. o: more" in shown
        assert "…" not in shown
        await pilot.press("o")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        await pilot.press("escape", "end", "o")
        await pilot.pause()
        assert "Mark a plan first" in screen_text(app)


def test_only_a_sentence_that_is_too_long_is_cut() -> None:
    """Two sentences of one line each: both in two lines, the first with the key in one; a short text has no key."""
    words = "Read the posts first. Then the loads."
    assert whole_sentences(words, 40, 1) == words
    assert whole_sentences(words, 30, 1) == "Read the posts first. o: more"
    assert whole_sentences(words, 30, 2) == words
    assert whole_sentences("Read the posts first of all.", 10, 1) == "Read the posts first of all."


async def test_a_fault_of_the_program_stops_no_other_plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list says so and makes the others; Enter keeps a note of it and leads back to the list."""

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        if kind is PlanKind.CONTINUITY:
            raise ZeroDivisionError
        return Plan(kind, "Rig", 3, ())

    monkeypatch.setattr("model.plans.every_plan.make_plan", make)
    async with listing(tmp_path) as (app, pilot):
        assert "cannot be made: a fault of the program itself" in screen_text(app)
        assert screen_text(app).count("nothing to prove") == len(PlanKind) - 1
        await pilot.press("enter")
        await until(pilot, lambda: "Something went wrong in Fusewalk itself." in screen_text(app))
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))


async def test_a_plan_that_cannot_be_made_says_why(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The others are made all the same; Enter on it tells the reason once more."""

    def make(harness: Harness, kind: PlanKind, state: LoomState = LoomState.APART) -> Plan:
        if kind is PlanKind.LOADS:
            raise CircuitError("K1 never comes to rest.", do="Look at its coil.")
        return Plan(kind, "Rig", 3, ())

    monkeypatch.setattr("model.plans.every_plan.make_plan", make)
    async with listing(tmp_path) as (app, pilot):
        assert "cannot be made: K1 never comes to rest." in screen_text(app)
        await pilot.press(*["down"] * 4, "enter")
        await until(pilot, lambda: "Look at its coil." in screen_text(app) and not isinstance(app.screen, PlansScreen))


def test_the_record_counts_what_traces_read_too() -> None:
    """After a trace alone it is not "nothing measured yet"; with plans both are counted, the newest time is told."""
    read = volts_entry()
    row = answered(small_plan(), "W2", Taken(0.31), 1)
    words = [list_rows((), entries, 60)[-1].content.plain for entries in ((), (read,), (row,), (read, row))]
    assert [" ".join(one.split()) for one in words] == [
        "record nothing measured yet",
        "record 1 reading in traces, last 04 May 18:03",
        "record 1 row measured, last 04 May 18:04",
        "record 1 row, 1 in traces, last 04 May 18:04",
    ]
