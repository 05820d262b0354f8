"""Whatever is typed or pasted into an entry: nothing is lost, nothing is cut, nothing ends the program."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from textual.events import AppBlur, AppFocus, Paste
from textual.widgets import Input

from model.harness.wire_list_questions import Question
from tests.fuzz.monkey_acts import READINGS, STRANGE, key_event, resize
from tests.fuzz.monkey_laws import drawn_lines
from tests.tui.builds import LAMP, build, opened, walking
from tests.tui.filled_in import CART, asked, form_of, mark
from tests.tui.on_screen import at_rest, screen_text, until
from tests.tui.planned import made_by_hand, marked_key, measured_in, plan_of, planning, ready, written
from tests.tui.test_amend_screen import amending
from tests.tui.traced import answering_of, asked_of, asking, free, press, scripted, trace_of, tracing
from tui.app import FusewalkApp
from tui.filters import disarmed
from tui.needs_asked import Asked, Wrote, write_answer
from tui.screens.search import SearchScreen
from tui.screens.trace_ask import TraceAskScreen
from tui.screens.walk import WalkScreen
from tui.typed_entry import TYPED_MOST
from tui.widgets.bars import BottomBar
from tui.widgets.entry import VoltsEntry
from tui.widgets.rows import RowList

LONG = "1" * 100_000


def said_by(app: FusewalkApp) -> str:
    """Return what the bottom line says."""
    return app.screen.query_one(BottomBar).said


def is_disarmed(app: FusewalkApp) -> bool:
    """Tell whether nothing that a terminal obeys is drawn."""
    return all(line == disarmed(line) for line in drawn_lines(app))


async def test_a_paste_takes_the_place_of_what_was_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a plan the next reading replaces one that could not be read, typed or pasted."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, path):
        await pilot.press("1", "g", "enter")
        assert plan_of(app).wrong
        app.post_message(Paste("0.24"))
        await until(pilot, lambda: plan_of(app).typed == "0.24")
        await pilot.press("enter")
        await written(app, pilot)
        assert [one.ohms for one in measured_in(path)] == [0.24]


async def test_what_has_no_room_is_left_out_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Cut off it would be another reading; what stood in the entry stays, and the bottom line says why.

    A unit behind thirty digits would be lost too.
    """
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, path):
        for text in ("0." + "0" * 40 + "5", LONG, "12.4\n" * 2000):
            for before in ("", "0.2"):
                plan_of(app).set_typed(before)
                app.say("")
                app.post_message(Paste(text))
                await until(pilot, lambda: "at most" in said_by(app))
                assert plan_of(app).typed == before
        await pilot.press("4", "enter")
        await written(app, pilot)
        assert [one.ohms for one in measured_in(path)] == [0.24]
        plan_of(app).set_typed("1" * TYPED_MOST)
        await pilot.press("k")
        assert plan_of(app).typed == "1" * TYPED_MOST
        assert "at most" in said_by(app)
        await pilot.press("backspace")
        assert not said_by(app)


async def test_what_is_typed_before_a_plan_is_read_stands_in_its_entry(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With its first digits dropped 12.4 would be taken as 2.4."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, path):
        plan = plan_of(app)
        plan.is_counted = False
        await pilot.press("0", "full_stop", "3", "backspace", "2", "enter")
        assert plan.typed == ""
        assert said_by(app) == "Typed already: 0.2"
        plan.read_answers()
        await until(pilot, lambda: plan.typed == "0.2")
        await pilot.press("4", "enter")
        await written(app, pilot)
        assert [one.ohms for one in measured_in(path)] == [0.24]


async def test_two_numbers_typed_before_a_plan_is_read_are_not_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """0.2, Enter, 3 would be taken as 0.23; what Enter has ended is gone on with by Backspace, or dropped by Esc."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, _):
        plan = plan_of(app)
        plan.is_counted = False
        await pilot.press("0", "full_stop", "2", "enter", "3")
        refused = "Not added: Enter has ended that number. Typed already: 0.2"
        assert said_by(app) == refused
        app.say("")
        app.post_message(Paste("4"))
        await until(pilot, lambda: said_by(app) == refused)
        await pilot.press("backspace", "7")
        assert said_by(app) == "Typed already: 0.7"
        await pilot.press("enter", "escape", "1", "enter")
        plan.read_answers()
        await until(pilot, lambda: plan.typed == "1")
        assert not plan.has_ended


@pytest.mark.slow
async def test_what_is_typed_while_the_next_check_is_worked_out_stands_in_its_entry(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its Enter is not heard: nobody had seen what is asked. Where a word is asked it is told, and not taken."""
    scripted(monkeypatch)
    async with tracing(tmp_path) as (app, pilot, _):
        for answer, ahead, comes in (("1", "12.4", "12.4"), ("", "9.1", "")):
            may_go = threading.Event()
            run = trace_of(app).run_of
            assert run is not None
            swapped = run.looks_swapped
            monkeypatch.setattr(
                run, "looks_swapped", lambda outcome, go=may_go, was=swapped: go.wait() and was(outcome)
            )
            asked_first = asked_of(app)
            await pilot.press(*answer, "enter")
            assert trace_of(app).is_busy
            for sign in ahead:
                await pilot.press("full_stop" if sign == "." else sign)
            await pilot.press("enter")
            assert ahead in said_by(app)
            monkeypatch.setattr(run, "looks_swapped", swapped)
            may_go.set()
            await free(app, pilot)
            assert asked_of(app) != asked_first
            assert trace_of(app).typed == comes
        assert "9.1" in said_by(app)


async def test_readings_are_pasted_where_they_are_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The posts before a trace and a check take a paste; a question of words says that it takes none."""
    scripted(monkeypatch)
    path = build(tmp_path, LAMP)
    async with opened(path) as (app, pilot):
        await pilot.press("t")
        await asking(app, pilot)
        app.post_message(Paste("12.6\n"))
        await until(pilot, lambda: answering_of(app).typed == "12.6")
        await pilot.press("enter")
        assert isinstance(app.screen, TraceAskScreen)
        assert app.screen.asked.posts_volts == 12.6
    async with tracing(tmp_path) as (app, pilot, _):
        app.post_message(Paste(" 12.4 V "))
        await until(pilot, lambda: answering_of(app).typed == "12.4 V")
        await press(app, pilot, "enter", "0", "enter")
        assert trace_of(app).takes_words()
        app.post_message(Paste("12.4"))
        await until(pilot, lambda: "no number" in said_by(app))
        assert answering_of(app).typed == ""


@pytest.mark.slow
async def test_a_half_typed_reading_survives(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Changes of the window, a window left and entered: entry, mark and row stay."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, _):
        await pilot.press("down", "0", "full_stop", "2")
        before = (plan_of(app).typed, marked_key(app))
        for event in (AppBlur(), AppFocus()):
            app.post_message(event)
        for size in ((1, 1), (39, 12), (3, 200), (400, 100), (80, 24)):
            await resize(pilot, size)
        await ready(app, pilot)
        assert (plan_of(app).typed, marked_key(app)) == before


async def test_several_pasted_lines_become_one(tmp_path: Path) -> None:
    """None but the first would be lost without a word; escape sequences and NUL are not taken in."""
    async with opened(build(tmp_path, LAMP)) as (app, pilot):
        await pilot.press("slash")
        await until(pilot, lambda: isinstance(app.screen, SearchScreen) and app.screen.ready)
        app.post_message(Paste("\x1b[2Jgreen\r\nwhite\n\x001.5\t"))
        await until(pilot, lambda: app.screen.query_one(Input).value == "[2Jgreen white 1.5")
        app.post_message(Paste(LONG))
        await until(pilot, lambda: "at most 200" in said_by(app))
        assert app.screen.query_one(Input).value == "[2Jgreen white 1.5"


async def test_volts_of_the_posts_are_not_cut(tmp_path: Path) -> None:
    """Of millivolts with the unit cut off volts would be left."""
    async with walking(build(tmp_path, LAMP), "E1:load") as (app, pilot):
        await pilot.press("b")
        entry = app.screen.query_one(VoltsEntry).query_one(Input)
        await until(pilot, lambda: entry.has_focus)
        app.post_message(Paste("12400 mV"))
        await until(pilot, lambda: "12.40 V" in screen_text(app))
        app.post_message(Paste(LONG))
        await until(pilot, lambda: "at most" in said_by(app))
        assert entry.value == "12400 mV"


@pytest.mark.slow
async def test_any_text_is_borne_by_the_entry_of_an_answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Other digits, wide, joined and turned signs, escape sequences, markup: refused with what was typed left there."""
    made_by_hand(monkeypatch)
    async with planning(tmp_path) as (app, pilot, path):
        for text in (text for text in STRANGE if len(text) < 100):
            app.post_message(Paste(text))
            await pilot.pause()
            typed = plan_of(app).typed
            assert typed == " ".join(text.split())
            if typed:
                await pilot.press("enter")
                assert is_disarmed(app)
                assert plan_of(app).typed == typed
                await pilot.press("escape")
        await written(app, pilot)
        assert measured_in(path) == []


@pytest.mark.slow
async def test_any_text_is_borne_by_what_a_file_still_needs(tmp_path: Path) -> None:
    """Whatever is typed as an answer is written or refused; what was refused stays where it was typed."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        needs = await asked(app, pilot)
        before = path.read_bytes()
        for text in ("\x1b[2J", "[/]", "nan", "1e999", "−12", "12\u202ex", "🔋", "9" * 1900):
            app.post_message(Paste(text))
            await pilot.pause()
            typed = needs.query_one(Input).value
            await pilot.press("enter")
            await until(pilot, lambda: not needs.is_writing)
            await pilot.pause()
            assert is_disarmed(app)
            assert needs.query_one(Input).value == typed
            assert path.read_bytes() == before
            needs.query_one(Input).value = ""


@pytest.mark.thorough
@pytest.mark.parametrize("keys", [("t", "enter"), ("v", "enter"), ("f",), ("a", "enter"), ("slash",)], ids="-".join)
async def test_any_text_is_borne_by_every_entry(keys: tuple[str, ...], tmp_path: Path) -> None:
    """Typed sign by sign and pasted, with Enter and Esc behind: no exception, nothing obeyed by the terminal drawn."""
    async with opened(build(tmp_path, CART)) as (app, pilot):
        for key in keys:
            await pilot.press(key)
            await at_rest(pilot)
        for text in (*READINGS[:4], *STRANGE):
            for event in [Paste(text), *(map(key_event, text) if len(text) < 20 else [])]:
                app.post_message(event)
            await pilot.pause()
            assert is_disarmed(app)
            for key in ("enter", "escape") if not app.screen.query(Input) else ("backspace",):
                await pilot.press(key)
            assert app.return_code in (None, 0)
            if app.return_code == 0:
                # a q that was typed as a command
                break


@pytest.mark.slow
async def test_a_row_that_is_clicked_drops_nothing_that_is_typed_in_another(tmp_path: Path) -> None:
    """What stands in the open row is taken first; where it cannot be, the entry stays open with it."""
    async with opened(build(tmp_path, CART)) as (app, pilot):
        await amending(app, pilot, "F1", "found different")
        form = form_of(app)
        rows = form.query_one(RowList)
        await mark(app, pilot, "amps")
        for typed, open_then in (("x", "amps"), ("15", "label")):
            form.open(next(line for line in form.form_lines() if line.key == "amps"), typed)
            rows.mark_key("label")
            marked_row = rows.marked_row
            assert marked_row is not None
            rows.post_message(RowList.Taken(marked_row))
            await pilot.pause()
            assert form.open_key == open_then
            assert bool(form.wrong) is (typed == "x")
        assert form.values == {"amps": "15"}


@pytest.mark.slow
async def test_a_choice_that_is_clicked_writes_no_typed_answer(tmp_path: Path) -> None:
    """The file would get what is typed while somebody sees what is clicked."""
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        needs = await asked(app, pilot)
        before, rows = path.read_bytes(), needs.query_one(RowList)
        needs.query_one(Input).value = "36"
        marked_row = rows.marked_row
        assert marked_row is not None
        rows.post_message(RowList.Taken(marked_row))
        await until(pilot, lambda: "Something is typed" in screen_text(app))
        assert path.read_bytes() == before
        assert needs.query_one(Input).value == "36"


def held_writing(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Let no answer be written before the event is set."""
    may_go, write = threading.Event(), write_answer

    def wait_and_write(asked_now: Asked, question: Question, answer: str) -> Wrote:
        may_go.wait()
        return write(asked_now, question, answer)

    monkeypatch.setattr("tui.needs_asked.write_answer", wait_and_write)
    return may_go


@pytest.mark.slow
async def test_what_is_typed_while_an_answer_is_written_stands_at_the_next_question(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With its first digit dropped 15 would go into the file as 5."""
    may_go = held_writing(monkeypatch)
    async with opened(build(tmp_path, CART)) as (app, pilot):
        needs = await asked(app, pilot)
        first = needs.question
        needs.query_one(Input).value = "12"
        needs.action_take()
        assert needs.is_writing
        for key in ("1", "x", "backspace", "5", "enter"):
            await pilot.press(key)
        may_go.set()
        await until(pilot, lambda: not needs.is_writing and needs.question is not first)
        await pilot.pause()
        assert needs.query_one(Input).value == "15"


async def test_what_is_typed_behind_a_refused_answer_is_no_part_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """0 is refused; 5, typed for the next question meanwhile, would make 05 of it. It is told, the 0 stands alone."""
    may_go = held_writing(monkeypatch)
    path = build(tmp_path, CART)
    async with opened(path) as (app, pilot):
        needs = await asked(app, pilot)
        first, before = needs.question, path.read_bytes()
        needs.query_one(Input).value = "0"
        needs.action_take()
        await pilot.press("5", "enter")
        may_go.set()
        await until(pilot, lambda: not needs.is_writing)
        await pilot.pause()
        assert needs.query_one(Input).value == "0"
        assert said_by(app) == "Not taken, the question is still the same: 5"
        assert needs.wrong_typed == "0"
        assert needs.question is first
        assert path.read_bytes() == before


@pytest.mark.slow
async def test_volts_that_are_half_typed_survive_a_second_asking(tmp_path: Path) -> None:
    """After a click on a row b leads back into the entry as it stands, and Esc leaves the entry, not the walk."""
    async with walking(build(tmp_path, LAMP), "E1:load") as (app, pilot):
        await pilot.press("b", "1", "2", "full_stop")
        app.screen.query_one(RowList).focus()
        await pilot.press("k", "question_mark", "escape", "b", "4")
        entry = app.screen.query_one(VoltsEntry)
        await until(pilot, lambda: entry.query_one(Input).value == "12.4")
        app.screen.query_one(RowList).focus()
        await pilot.press("escape", "escape")
        await until(pilot, lambda: not entry.display)
        assert isinstance(app.screen, WalkScreen)
