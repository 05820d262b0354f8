"""What is typed into a trace: numbers as a meter shows them, words by one key, and what cannot be read."""

import math
import threading
from pathlib import Path

import pytest

from model.errors import CircuitError
from model.record_entries import Reading
from model.tracing.asking import Also, Read
from model.tracing.checks import CheckKind, Word
from tests.tui.on_screen import screen_text, until
from tests.tui.traced import (
    answering_of,
    asked_of,
    entries_of,
    finding_of,
    free,
    kinds_of,
    press,
    scripted,
    trace_of,
    tracing,
)
from tui.screens.dialog import MessageDialog, QuestionDialog
from tui.screens.trace_found import FoundScreen
from tui.screens.trace_shown import WAIT
from tui.widgets.reading import NONE_CHOSEN
from tui.widgets.rows import RowList


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


async def test_a_number_is_typed_in_at_once(tmp_path: Path) -> None:
    """Digits, a comma and a unit stand in the line with how they are understood; Enter asks the next check."""
    async with tracing(tmp_path) as (app, pilot, _):
        assert asked_of(app).check.red == "F1.out"
        await press(app, pilot, "1", "2", "comma", "3", "V")
        assert answering_of(app).typed == "12,3V"
        assert answering_of(app).understood == "12.3 V"
        assert "Enter takes it" in screen_text(app)
        await press(app, pilot, "enter")
        assert asked_of(app).check.red == "E1.-"
        seen = trace_of(app).seen
        assert seen is not None
        assert seen.answers[0].outcome.least == 12.3


async def test_a_number_in_doubt_is_taken_shown_and_kept_as_that(tmp_path: Path) -> None:
    """A question mark behind it: the line, the row, the answers and the record say that it is in doubt."""
    async with tracing(tmp_path, size=(80, 40)) as (app, pilot, path):
        await press(app, pilot, "1", "2", "full_stop", "1", "question_mark")
        assert answering_of(app).understood == "12.1 V, in doubt"
        await press(app, pilot, "enter")
        assert "12.10?" in screen_text(app)
        reading = entries_of(path)[-1]
        assert isinstance(reading, Reading)
        assert (reading.volts, reading.in_doubt) == (12.1, True)
        await press(app, pilot, "r")
        assert "12.10 V, in doubt" in screen_text(app)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("keys", ["n", "h", "u", "b", "c", "w", "y"])
async def test_once_a_number_is_begun_letters_are_no_commands(tmp_path: Path, keys: str) -> None:
    """Every letter belongs to the entry until Enter or Esc, whatever it does before."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", keys)
        assert answering_of(app).typed == f"1{keys}"
        await press(app, pilot, "escape")
        assert answering_of(app).typed == ""
        assert trace_of(app).question is not None
        assert not list(path.parent.glob("*.record.toml"))


@pytest.mark.first_few(1)
@pytest.mark.parametrize("keys", [("x",), (), ("1", "e", "9"), ("1", "2", "full_stop", "3", "full_stop"), ("O", "L")])
async def test_what_cannot_be_read_loses_nothing(tmp_path: Path, keys: tuple[str, ...]) -> None:
    """Text, nothing, 1e9, two points and OL of volts: the same check stays, what was typed too, and it says why."""
    async with tracing(tmp_path) as (app, pilot, path):
        before = asked_of(app)
        await press(app, pilot, *keys, "enter")
        assert asked_of(app) == before
        assert not path.with_name("lamp.record.toml").exists()
        if keys and keys != ("x",):
            assert answering_of(app).typed
            assert "".join(keys[:1]) == answering_of(app).typed[:1]
            assert answering_of(app).wrong
            assert answering_of(app).wrong.split()[0] in screen_text(app)
            await press(app, pilot, "escape")
        await press(app, pilot, "1", "2", "enter")
        assert asked_of(app).check != before.check


async def test_what_was_refused_is_replaced_by_what_is_typed_next(tmp_path: Path) -> None:
    """A second reading is not typed onto the refused one; Backspace mends that instead."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *"10", "full_stop", "full_stop", "full_stop", "enter")
        assert answering_of(app).wrong
        await press(app, pilot, "1", "1")
        assert (answering_of(app).typed, answering_of(app).wrong) == ("11", "")
        await press(app, pilot, "x", "enter")
        assert answering_of(app).wrong
        await press(app, pilot, "backspace", "full_stop", "5", "enter")
        seen = trace_of(app).seen
        assert seen is not None
        assert seen.answers[0].outcome.least == 11.5


async def test_millivolts_are_volts(tmp_path: Path) -> None:
    """0.3mV is three tenths of a thousandth of a volt."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "0", "full_stop", "3", "m", "V", "enter")
        reading = entries_of(path)[-1]
        assert isinstance(reading, Reading)
        assert reading.volts == pytest.approx(0.0003)


@pytest.mark.slow
async def test_a_reading_that_swings_is_taken_as_least_and_most(tmp_path: Path) -> None:
    """0.1..12.3 is kept as both, and stands as both in the row."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *("0", "full_stop", "1", "full_stop", "full_stop", "1", "2", "full_stop", "3"), "enter")
        seen = trace_of(app).seen
        assert seen is not None
        outcome = seen.answers[0].outcome
        assert (outcome.least, outcome.most) == (0.1, 12.3)
        assert not math.isnan(outcome.value)


@pytest.mark.slow
async def test_words_are_marked_and_taken_with_enter(tmp_path: Path) -> None:
    """A digit or an arrow marks a word, Enter takes it; Enter alone answers nothing, as one out of habit would."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter", "0", "enter")
        assert asked_of(app).check.kind is CheckKind.LISTEN
        assert answering_of(app).choices == ("it pulls in", "it stays silent", "it buzzes")
        await press(app, pilot, "enter")
        assert "Choose first: press 1 to 3, then Enter." in screen_text(app)
        await press(app, pilot, "1", "right")
        assert asked_of(app).check.kind is CheckKind.LISTEN
        assert answering_of(app).chosen == 1
        await press(app, pilot, "enter", "enter")
        assert asked_of(app).check.kind is CheckKind.LAMP
        assert answering_of(app).chosen == NONE_CHOSEN
        await press(app, pilot, "right", "right", "right", "left", "enter")
        assert isinstance(app.screen, FoundScreen)
        words = [entry.word for entry in entries_of(path) if isinstance(entry, Reading) and entry.word]
        assert words == [str(Word.SILENT), str(Word.DIM)]
        assert finding_of(app).steps == 4


async def test_a_number_at_another_row_is_a_reading_unasked(tmp_path: Path) -> None:
    """With the mark moved, the line names the point, and the number is kept there; the check asked stays."""
    async with tracing(tmp_path) as (app, pilot, path):
        before = asked_of(app)
        await press(app, pilot, "down")
        marked = app.screen.query_one(RowList).marked_row
        assert marked is not None
        point = marked.content.plain.split()[0]
        assert answering_of(app).at == point
        await press(app, pilot, "1", "1", "enter")
        assert asked_of(app).check == before.check
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.last, Also)
        assert seen.last.check.red == point
        reading = entries_of(path)[-1]
        assert isinstance(reading, Reading)
        assert reading.unasked
        row = next(row for row in app.screen.query_one(RowList).rows if point in row.content.plain)
        assert "11.00" in row.content.plain


@pytest.mark.slow
async def test_a_number_at_another_row_while_a_word_is_asked(tmp_path: Path) -> None:
    """Digits are words of the check only while the mark stands where it was put."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "0", "enter", "up", "2", "enter")
        assert asked_of(app).check.kind is CheckKind.LISTEN
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.last, Also)


async def test_keys_say_wait_while_the_next_check_is_worked_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No key is swallowed: what needs the check says so, and the line of the answer does too."""
    async with tracing(tmp_path) as (app, pilot, _):
        may_go, run = threading.Event(), trace_of(app).run_of
        assert run is not None
        monkeypatch.setattr(run, "looks_swapped", lambda _: may_go.wait() and False)
        await pilot.press("1", "2", "enter")
        said = ["Wait" in answering_of(app).understood]
        for key in ("y", "r", "n", "enter", "b"):
            await pilot.press(key)
            said.append(WAIT in screen_text(app))
        may_go.set()
        await free(app, pilot)
        assert said == [True] * 6
        assert asked_of(app).step == 2


async def test_b_types_the_posts_as_in_the_walk(tmp_path: Path) -> None:
    """The number after b is read from post to post; the check that is asked stays."""
    async with tracing(tmp_path) as (app, pilot, _):
        before = asked_of(app)
        await press(app, pilot, "b", "1", "2", "enter")
        assert asked_of(app).check == before.check
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.last, Also)
        assert (seen.last.check.red, seen.last.check.black) == ("G1.+", "G1.-")


@pytest.mark.slow
async def test_a_refusal_is_whole_in_a_low_window(tmp_path: Path) -> None:
    """At 60×20 what is wrong with a reading, and what to type, stands there to its end."""
    async with tracing(tmp_path, size=(60, 20)) as (app, pilot, _):
        await press(app, pilot, *"12", "full_stop", *"6512", "full_stop", "6", "enter")
        assert len(answering_of(app).wrong) > 60
        assert " ".join(answering_of(app).wrong.split()[-3:]) in " ".join(screen_text(app).split())


@pytest.mark.slow
async def test_any_point_can_be_read(tmp_path: Path) -> None:
    """O asks for a point by words; a name that is none is told, a chosen one takes the next number."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "o", *"K9", "enter")
        assert "There is no point" in screen_text(app)
        await press(app, pilot, "backspace", "1", "full_stop", *"87", "enter")
        await until(pilot, lambda: trace_of(app).elsewhere == "K1.87")
        assert answering_of(app).at == "K1.87"
        await press(app, pilot, "1", "2", "enter")
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.last, Also)
        assert seen.last.check.red == "K1.87"


@pytest.mark.slow
async def test_leads_the_wrong_way_round_are_asked_about_once(tmp_path: Path) -> None:
    """About minus what is expected: Enter takes the amount, Esc what was read."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "minus", "1", "2", "enter")
        assert isinstance(app.screen, QuestionDialog)
        await press(app, pilot, "enter")
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.last, Read)
        assert seen.last.outcome.least == 12.0
        await press(app, pilot, "minus", "1", "1", "enter", "escape")
        seen = trace_of(app).seen
        assert seen is not None
        assert seen.answers[-1].outcome.least == -11.0


@pytest.mark.slow
async def test_each_answer_is_in_the_record_before_the_next_check(tmp_path: Path) -> None:
    """After every Enter the file holds the answer: a kill then costs nothing."""
    async with tracing(tmp_path) as (app, pilot, path):
        assert not path.with_name("lamp.record.toml").exists()
        await press(app, pilot, "1", "2", "enter")
        assert kinds_of(path) == ["trace", "reading"]
        await press(app, pilot, "0", "enter")
        assert kinds_of(path) == ["trace", "reading", "reading"]
        await press(app, pilot, "2", "enter")
        assert kinds_of(path)[-1] == "reading"
        await press(app, pilot, "1", "enter")
        assert kinds_of(path) == ["trace", *["reading"] * 4, "finding"]


async def test_where_a_reading_fails_it_is_waited_for_no_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The error is told, and the line of the answer says again what is typed, for Enter to try once more."""
    async with tracing(tmp_path) as (app, pilot, _):
        before, trace = asked_of(app), trace_of(app)
        assert trace.run_of is not None

        def fails(reply: object) -> None:
            raise CircuitError("The circuit cannot be solved.", do="Try again.")

        with monkeypatch.context() as patched:
            patched.setattr(trace.run_of, "reply", fails)
            await press(app, pilot, "1", "2", "enter")
            await until(pilot, lambda: isinstance(app.screen, MessageDialog))
        await pilot.press("enter")
        await until(pilot, lambda: app.screen is trace)
        assert (answering_of(app).typed, answering_of(app).understood) == ("12", "12 V")
        await press(app, pilot, "enter")
        assert asked_of(app) != before
