"""A word is asked and a reading is typed, as a hurried hand does: no digit of it answers."""

from pathlib import Path

import pytest

from model.tracing.checks import CheckKind
from tests.tui.on_screen import screen_text
from tests.tui.traced import answering_of, asked_of, kinds_of, press, scripted, trace_of, tracing
from tui.screens.trace import TraceScreen
from tui.screens.trace_found import FoundScreen
from tui.screens.trace_prove import ProveScreen
from tui.widgets.reading import NONE_CHOSEN, Answering, answer_lines

TO_THE_WORD = ("1", "2", "enter", "0", "enter")
TO_THE_CURE = (*TO_THE_WORD, "2", "enter", "1", "enter", "enter", "enter")
READINGS = ["2.25 V", "10.2..12.6", "12.6", "12", "1,", "-2", ".1", "+1", "O1", "1mV", "2?", "02", "9"]


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


@pytest.mark.first_few(1)
@pytest.mark.parametrize("typed", READINGS)
async def test_a_reading_is_no_answer_in_words(tmp_path: Path, typed: str) -> None:
    """It stands there refused while it is typed; Enter keeps nothing of it and says so; the word is asked still."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, *TO_THE_WORD)
        before = asked_of(app)
        assert before.check.kind is CheckKind.LISTEN
        await pilot.press(*typed)
        assert (answering_of(app).typed, answering_of(app).chosen) == (typed, NONE_CHOSEN)
        assert f"{typed}_  no answer here" in screen_text(app)
        assert "Esc, then 1 to 3, then Enter" in " ".join(screen_text(app).split())
        await press(app, pilot, "enter")
        assert f"“{typed}” is no answer here: press 1 to 3, then Enter." in screen_text(app)
        assert (answering_of(app).typed, answering_of(app).chosen) == ("", NONE_CHOSEN)
        assert asked_of(app) == before
        assert kinds_of(path).count("reading") == 2
        await press(app, pilot, "enter", "2", "enter")
        assert asked_of(app).check != before.check


@pytest.mark.slow
@pytest.mark.parametrize("typed", READINGS)
async def test_a_reading_does_not_say_that_it_is_cured(tmp_path: Path, typed: str) -> None:
    """Nor that it is not: where the cure is asked for a reading is refused as in a check."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, *TO_THE_CURE)
        assert isinstance(app.screen, ProveScreen)
        assert answering_of(app).choices == ("cured", "still there")
        await pilot.press(*typed)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, ProveScreen)
        assert f"“{typed}” is no answer here: press 1 or 2, then Enter." in screen_text(app)
        assert "repaired" not in kinds_of(path)
        await press(app, pilot, "1")
        assert answering_of(app).chosen == 0


async def test_a_digit_alone_chooses_and_backspace_comes_back_to_it(tmp_path: Path) -> None:
    """What was typed too much goes sign by sign; Esc drops all of it and leaves nothing chosen, nor the trace."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_WORD, "2")
        assert answering_of(app).chosen == 1
        await press(app, pilot, "3")
        assert answering_of(app).chosen == NONE_CHOSEN
        await press(app, pilot, "backspace")
        assert answering_of(app).chosen == 1
        await press(app, pilot, "escape")
        assert (answering_of(app).typed, answering_of(app).chosen) == ("", NONE_CHOSEN)
        assert isinstance(app.screen, TraceScreen)


async def test_a_letter_behind_a_digit_runs_no_command(tmp_path: Path) -> None:
    """The v of ``5v`` opens nothing; with the line empty it does."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_WORD, "2", "v")
        assert isinstance(app.screen, TraceScreen)
        assert answering_of(app).typed == "2v"
        await press(app, pilot, "escape", "v")
        assert not isinstance(app.screen, TraceScreen)


async def test_an_arrow_takes_the_place_of_what_was_typed(tmp_path: Path) -> None:
    """Right and left choose again; down leads to another row, where a number is a reading."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_WORD, "1", "2", "right")
        assert (answering_of(app).typed, answering_of(app).chosen) == ("", 0)
        await press(app, pilot, "2", "down", "1", "1")
        assert not answering_of(app).choices
        assert (answering_of(app).typed, bool(answering_of(app).at)) == ("11", True)
        assert trace_of(app).question is not None


async def test_words_are_taken_as_ever(tmp_path: Path) -> None:
    """One digit and Enter for each word, up to the finding."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_WORD, "2", "enter", "1", "enter")
        assert isinstance(app.screen, FoundScreen)


def test_the_words_stand_beside_what_was_refused() -> None:
    """Nobody has to guess what would be an answer."""
    told = "\n".join(line.plain for line in answer_lines(Answering("12.6", choices=("cured", "still there")), 60))
    assert "12.6_  no answer here" in told
    assert "1 cured" in told
    assert "2 still there" in told
    assert "Esc, then 1 or 2, then Enter" in told
