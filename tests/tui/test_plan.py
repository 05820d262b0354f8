"""A plan on the screen: what is typed answers the marked row, is kept, and the mark goes to the next open one."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest
from textual.widgets import Input

from model.plans.judging import Standing
from model.plans.kept import Kept
from model.plans.plan import Plan, PlanKind
from model.record_entries import TakenBack
from tests.model.plan_rows import ROWS
from tests.tui.on_screen import screen_text, until
from tests.tui.planned import (
    entries_in,
    made_by_hand,
    marked_key,
    measured_in,
    plan_of,
    planning,
    type_in,
    written,
)
from tui.app import FusewalkApp
from tui.plan_verdict import verdict_content, verdict_words
from tui.screens.dialog import MessageDialog, QuestionDialog
from tui.screens.plan import PlanScreen
from tui.screens.plan_record import RecordScreen
from tui.screens.plans import PlansScreen
from tui.screens.who import WhoScreen, read_celsius
from tui.widgets.rows import RowList
from tui.widgets.trace_view import TraceStepView


@pytest.fixture(autouse=True)
def _by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    made_by_hand(monkeypatch)


def standings(app: FusewalkApp) -> dict[str, Standing]:
    """Return how each answered row stands."""
    return {key: kept.verdict.standing for key, kept in plan_of(app).kept.items()}


def rows_shown(app: FusewalkApp) -> list[str]:
    """Return the keys of the rows that the list has."""
    return [row.key for row in app.screen.query_one(RowList).rows if row.key]


@pytest.mark.slow
async def test_readings_are_judged_kept_and_lead_on(tmp_path: Path) -> None:
    """0.31 of at most 0.45 Ω is good, what reads open is not; comma or point; the record has value and verdict."""
    async with planning(tmp_path) as (app, pilot, path):
        assert marked_key(app) == "W2"
        await type_in(app, pilot, "0,31")
        assert marked_key(app) == "W5"
        shown = " ".join(screen_text(app).split())
        assert "W2 F1.out to M1.+: GOOD, kept 04 May 18:03. 0.31 Ω, within at most 0.45 Ω. Limit: computed" in shown
        await pilot.press("down")
        await type_in(app, pilot, "4.7k")
        assert standings(app) == {"W2": Standing.GOOD, "F1.out open": Standing.BAD}
        entries = measured_in(path)
        assert [(entry.row, entry.ohms, entry.verdict) for entry in entries] == [
            ("W2", 0.31, "good"),
            ("F1.out open", 4700.0, "bad"),
        ]
        assert entries[0].limit_source == "computed"
        assert entries[0].computed_from == "1.2 m of 1.5 mm², two crimps"


async def test_a_row_that_cannot_fail_says_so_and_stays_unproven(tmp_path: Path) -> None:
    """It says in its row that it cannot fail, in the step why and what to do; a reading within leaves it unproven."""
    async with planning(tmp_path) as (app, pilot, _):
        await pilot.press("down")
        await pilot.pause()
        shown = screen_text(app)
        assert "cannot fail" in next(line for line in shown.splitlines() if "› " in line)
        assert "it cannot fail as it stands: P1 stands beside it." in shown
        assert "horn P1: until then it cannot fail" in shown
        await type_in(app, pilot, "0.2")
        assert standings(app) == {"W5": Standing.UNPROVEN}


@pytest.mark.slow
async def test_open_is_a_reading_and_millivolts_go_with_their_amperes(tmp_path: Path) -> None:
    """OL is open, capital O begins it; 24 mV at 4.6 A are 5.2 mΩ, over the 2.5 mΩ (AC 43.13-1B 11-188): bad."""
    async with planning(tmp_path) as (app, pilot, path):
        await pilot.press("down", "down")
        await type_in(app, pilot, "OL")
        assert marked_key(app) == "G1.-"
        await pilot.press(*"24", "space", *"at", "space", "4", "full_stop", "6")
        assert "24 mV at 4.6 A" in screen_text(app)
        await pilot.press("enter")
        await written(app, pilot)
        assert standings(app) == {"F1.out open": Standing.GOOD, "G1.-": Standing.BAD}
        opened, ground = measured_in(path)
        assert opened.ohms == math.inf
        assert ground.millivolts == pytest.approx(24.0)
        assert ground.at_amps == 4.6
        assert ground.high == pytest.approx(11.5)


async def test_what_cannot_be_read_stays_and_letters_belong_to_the_entry(tmp_path: Path) -> None:
    """Behind a digit g is a letter of the entry and not a verdict; Enter says why it is none.

    The next sign then begins a new reading, Esc empties it.
    """
    async with planning(tmp_path) as (app, pilot, path):
        await pilot.press("1", "g", "b", "enter")
        await pilot.pause()
        assert plan_of(app).typed == "1gb"
        assert "cannot be read as ohms" in screen_text(app)
        await pilot.press("2")
        assert plan_of(app).typed == "2"
        assert plan_of(app).wrong == ""
        await pilot.press("escape")
        assert plan_of(app).typed == ""
        assert standings(app) == {}
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))
    assert not path.with_name("rig.record.toml").exists()


@pytest.mark.slow
async def test_words_answer_a_row_and_can_be_taken_back(tmp_path: Path) -> None:
    """g, b and s mark good, bad and skipped, Enter keeps it; u opens the row again, and the record tells that too."""
    async with planning(tmp_path) as (app, pilot, path):
        await pilot.press("g", "b", "escape", "b", "down", "up")
        assert not path.with_name("rig.record.toml").exists()
        await pilot.press("b", "g")
        assert "GOOD? Enter keeps it" in screen_text(app)
        await pilot.press("enter", "b", "enter", "s", "enter")
        await written(app, pilot)
        assert standings(app) == {"W2": Standing.GOOD, "W5": Standing.BAD, "F1.out open": Standing.SKIPPED}
        await pilot.press("u")
        await written(app, pilot)
        assert marked_key(app) == "F1.out open"
        assert "F1.out open" not in standings(app)
        assert isinstance(entries_in(path)[-1], TakenBack)
        await pilot.press("home", "u")
        await written(app, pilot)
        assert standings(app) == {"W5": Standing.BAD}


async def test_no_number_answers_what_is_only_seen(tmp_path: Path) -> None:
    """A digit at such a row begins no entry; g does answer it."""
    async with planning(tmp_path) as (app, pilot, _):
        plan_of(app).go_to("M1 on")
        await pilot.pause()
        await pilot.press("1")
        assert plan_of(app).typed == ""
        assert "No number is asked here" in screen_text(app)
        await pilot.press("enter")
        await pilot.pause()
        assert "g good, b bad, s skip; Enter keeps it." in screen_text(app).splitlines()[-1]
        await pilot.press("g", "enter")
        await written(app, pilot)
        assert standings(app) == {"M1 on": Standing.GOOD}


@pytest.mark.slow
async def test_only_what_is_left_is_shown(tmp_path: Path) -> None:
    """The good rows are left out, a row answered then goes from the list; Esc shows all again before it leaves."""
    async with planning(tmp_path) as (app, pilot, _):
        await type_in(app, pilot, "0.3")
        await pilot.press("down", "b", "enter", "f")
        await written(app, pilot)
        assert rows_shown(app) == ["W5", "F1.out open", "G1.-", "M1 on", "F1"]
        assert marked_key(app) == "G1.-"
        await type_in(app, pilot, "1")
        assert "G1.-" not in rows_shown(app)
        assert marked_key(app) == "M1 on"
        await pilot.press("escape")
        await pilot.pause()
        assert len(rows_shown(app)) == 6


@pytest.mark.slow
async def test_rows_are_found_by_letters(tmp_path: Path) -> None:
    """/ asks, and leads to the first row that has the words; one that none has is told."""
    async with planning(tmp_path) as (app, pilot, _):
        await pilot.press("slash", *"zebra", "enter")
        await pilot.pause()
        assert "No row has “zebra”." in screen_text(app)
        app.screen.query_one(Input).value = ""
        await pilot.press(*"neigh", "enter")
        await until(pilot, lambda: marked_key(app) == "F1.out open")


async def test_the_step_tells_all_that_is_to_be_done(tmp_path: Path) -> None:
    """Where, the state, the meter, both probes, what to expect with limit and source; cautions and what to do before.

    What holds for every row stands until one has been answered; a shows every caution, the whole of what to do before
    and what the limit was computed from; o what the plan leaves out and cannot show.
    """
    async with planning(tmp_path, (100, 40)) as (app, pilot, _):
        step = app.screen.query_one(TraceStepView).step
        assert step is not None
        assert step.cautions == ("Fuel: no flame, no spark.", "Rings and watch off.")
        lines = dict(step.lines)
        assert lines["first"] == "Pull F1."
        assert lines["place"].startswith("fuse box, two clips")
        assert lines["set"] == "loom fitted, all apart"
        assert "ohms" in lines["with"]
        assert lines["red"].startswith("F1, load side")
        assert lines["black"].startswith("M1 (Fuel pump) terminal +")
        assert lines["expect"] == "0.24 Ω; good at most 0.45 Ω (computed)"
        assert len(lines) == 7
        await pilot.press("a")
        await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        await pilot.pause()
        shown = screen_text(app)
        for words in ("Caution: Rings and watch off.", "Before it: Pull F1.", "Computed from 1.2 m of 1.5 mm²"):
            assert words in shown
        await pilot.press("escape", "o")
        await pilot.pause()
        shown = screen_text(app)
        for words in ("Not measured: X9: airbag wiring", "No row shows it: W7", "It proves what it proves."):
            assert words in shown


async def test_a_caution_that_stood_before_the_row_before_takes_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whole where it is new; where the row before had the same it is cut in one line with the key for the whole."""
    long = "Fuel: no flame, no spark, an extinguisher at hand, and the battery off before a line is opened."
    made_by_hand(monkeypatch, tuple(replace(row, cautions=(long,)) for row in ROWS[:3]))
    async with planning(tmp_path, (60, 30)) as (app, pilot, _):
        await type_in(app, pilot, "0.3")
        step = app.screen.query_one(TraceStepView).step
        assert step is not None
        assert step.cautions == (long,)
        await pilot.press("down")
        await pilot.pause()
        step = app.screen.query_one(TraceStepView).step
        assert step is not None
        (caution,) = step.cautions
        assert caution.endswith("… a: all of it")
        assert len(caution) <= 58 - len("Caution: ")
        await pilot.press("a")
        await pilot.pause()
        assert long in " ".join(screen_text(app).split())


@pytest.mark.slow
async def test_who_measures_stands_in_each_answer(tmp_path: Path) -> None:
    """I asks for name, meter and degrees; what is no temperature is told; the next answers carry them."""
    async with planning(tmp_path) as (app, pilot, path):
        await pilot.press("i")
        await until(pilot, lambda: isinstance(app.screen, WhoScreen))
        await pilot.press(*"Ada", "enter", *"yellow", "enter", *"warm", "enter")
        await pilot.pause()
        assert "That is no temperature" in screen_text(app)
        app.screen.query_one("#ambient", Input).value = "14,5"
        await pilot.press("enter")
        await pilot.pause()
        await type_in(app, pilot, "0.3")
        entry = measured_in(path)[0]
        assert (entry.who, entry.meter, entry.ambient_celsius) == ("Ada", "yellow", 14.5)
        await pilot.press("r")
        await until(pilot, lambda: isinstance(app.screen, RecordScreen) and bool(app.screen.shown.entries))
        await pilot.pause()
        shown = " ".join(screen_text(app).split())
        assert "W2: continuity, fitted, all apart: 0.3 Ω. Good." in shown
        assert "Measured by Ada, meter yellow, air 14.5 °C. Harness revision 3." in shown


@pytest.mark.slow
@pytest.mark.parametrize(("key", "who"), [("enter", "Ada"), ("escape", "")])
async def test_what_was_typed_of_who_is_asked_about(tmp_path: Path, key: str, who: str) -> None:
    """Esc with a name typed asks: Enter keeps it, Esc drops it; with nothing typed it asks nothing."""
    async with planning(tmp_path) as (app, pilot, _):
        await pilot.press("i")
        await until(pilot, lambda: isinstance(app.screen, WhoScreen))
        await pilot.press(*"Ada", "escape")
        await until(pilot, lambda: isinstance(app.screen, QuestionDialog))
        await pilot.press(key)
        await until(pilot, lambda: isinstance(app.screen, PlanScreen))
        assert plan_of(app).keeper.measuring.who == who
        await pilot.press("i")
        await until(pilot, lambda: isinstance(app.screen, WhoScreen))
        await pilot.press("escape")
        await until(pilot, lambda: not isinstance(app.screen, WhoScreen))
        assert app.screen is plan_of(app)


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [("18", 18.0), ("-5,5", -5.5), ("14.5 °C", 14.5), ("warm", None), ("900", None), ("nan", None), ("", None)],
)
def test_degrees_are_read_or_refused(typed: str, celsius: float | None) -> None:
    """A comma or a point; what is no weather is none."""
    assert read_celsius(typed) == celsius


@pytest.mark.slow
async def test_answers_of_the_record_stand_when_it_is_opened_again(tmp_path: Path) -> None:
    """What was answered before stands in its row, the mark goes to the first open one, the list has counted it."""
    async with planning(tmp_path) as (app, pilot, _):
        await type_in(app, pilot, "0.3", "0.2")
    async with planning(tmp_path) as (app, pilot, _):
        assert standings(app) == {"W2": Standing.GOOD, "W5": Standing.UNPROVEN}
        assert marked_key(app) == "F1.out open"
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlansScreen))
        line = app.screen.lines[0]  # type: ignore[attr-defined]
        assert line.counts == {
            Standing.OPEN: 4, Standing.GOOD: 1, Standing.BAD: 0, Standing.SKIPPED: 0, Standing.UNPROVEN: 1,
        }  # fmt: skip


async def test_the_plan_is_written_with_its_answers(tmp_path: Path) -> None:
    """W writes a file beside the harness that holds the rows and what was read; it says where."""
    async with planning(tmp_path) as (app, pilot, path):
        await type_in(app, pilot, "0.31")
        await pilot.press("w")
        await pilot.pause()
        written_to = next(path.parent.glob("continuity*.md"))
        assert "0.31 Ω" in written_to.read_text(encoding="utf-8")
        assert "Written to" in screen_text(app)


async def test_the_mark_goes_on_from_a_bad_row(tmp_path: Path) -> None:
    """Its verdict stays shown, the word first and in reverse video; u takes it back, and the foot says so for one row.

    Behind it Enter of the next reading answers the next row, so that eyes on the meter give no row two readings.
    """
    async with planning(tmp_path) as (app, pilot, _):
        await type_in(app, pilot, "OL")
        assert marked_key(app) == "W5"
        words = plan_of(app).did_words()
        assert words.startswith("BAD, kept 04 May 18:03. ")
        assert "open, outside at most 0.45 Ω." in words
        drawn = verdict_content(words, 78, 3)
        assert [(span.start, span.end) for span in drawn.spans if "reverse" in str(span.style)] == [(0, 3)]
        await pilot.press("u")
        await written(app, pilot)
        assert marked_key(app) == "W2"
        assert standings(app) == {}
        assert "Taken back" in screen_text(app).splitlines()[-1]
        await pilot.press("b", "enter")
        await written(app, pilot)
        assert marked_key(app) == "W5"
        assert "Taken back" not in screen_text(app)


async def test_first_power_stays_on_a_bad_row(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing more may be fitted there: the answer line asks for another reading or Down."""
    made_by_hand(monkeypatch, ROWS[:3])
    async with planning(tmp_path) as (app, pilot, _):
        plan_of(app).kind = PlanKind.FIRST_POWER
        await type_in(app, pilot, "OL")
        assert marked_key(app) == "W2"
        assert "Once more, or Down." in screen_text(app)


def test_a_bad_row_of_first_power_says_stop_first() -> None:
    """Before when it was kept and why; a good one does not, and no other plan does."""
    bad = verdict_words(PlanKind.FIRST_POWER, Standing.BAD, "", "kept now", "12.00 V.")
    assert bad.startswith("BAD. STOP: supply off, grounded clamp off. Fit nothing more until it is found. Kept now.")
    assert "STOP" not in verdict_words(PlanKind.FIRST_POWER, Standing.GOOD, "", "kept now", "0.00 V.")
    assert verdict_words(PlanKind.LOADS, Standing.BAD, "Horn", "kept now", "9 V.") == "BAD, kept now. Horn: 9 V."


async def test_an_answer_is_not_forgotten_by_a_count_that_began_before_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What stands in the record is judged anew behind each dialog; what is answered meanwhile stays answered."""
    counted, may_show = Event(), Event()
    async with planning(tmp_path) as (app, pilot, _):
        plan = plan_of(app)
        answers = plan.keeper.answers

        def slowly(made: Plan) -> dict[str, Kept]:
            found = answers(made)
            counted.set()
            assert may_show.wait(20)
            return found

        monkeypatch.setattr(plan.keeper, "answers", slowly)
        plan.read_answers()
        await until(pilot, counted.is_set)
        monkeypatch.setattr(plan.keeper, "answers", answers)
        first = marked_key(app)
        await pilot.press("0", "full_stop", "3", "enter")
        assert first in plan.kept
        may_show.set()
        await written(app, pilot)
        assert first in plan.kept
