"""What can be replied beside a reading: taken back, out of reach, changed, struck, another check, ended."""

from pathlib import Path

import pytest
from textual.widgets import Input

from model.tracing.asking import Change, NoHelper, Skip, Strike, Take, Unsure
from tests.tui.on_screen import screen_text, until
from tests.tui.traced import (
    answering_of,
    asked_of,
    begun,
    finding_of,
    kinds_of,
    mark_load,
    press,
    scripted,
    to_the_proof,
    trace_of,
    tracing,
)
from tui.screens.dialog import MessageDialog, QuestionDialog
from tui.screens.loads import LoadsScreen
from tui.screens.trace import TraceScreen
from tui.screens.trace_answers import AnswersScreen
from tui.screens.trace_found import FoundScreen
from tui.screens.trace_prove import ProveScreen
from tui.screens.trace_why import WhyScreen
from tui.widgets.rows import RowList


@pytest.fixture(autouse=True)
def _script(monkeypatch: pytest.MonkeyPatch) -> None:
    scripted(monkeypatch)


TO_THE_END = ("1", "2", "enter", "0", "enter", "1", "enter", "1", "enter")


async def test_a_reply_is_taken_back(tmp_path: Path) -> None:
    """U asks the check before anew, until there is nothing left, and says what it took; the record keeps that too."""
    async with tracing(tmp_path) as (app, pilot, path):
        first = asked_of(app)
        await press(app, pilot, "1", "2", "enter", "u")
        assert asked_of(app) == first
        assert "Taken back: 12.00 V, volts at F1 out." in screen_text(app)
        assert kinds_of(path) == ["trace", "reading", "undone"]
        await press(app, pilot, "u")
        assert "There is nothing to take back." in screen_text(app)


@pytest.mark.parametrize(("key", "reply", "kind"), [("n", Skip(), "skip"), ("z", Unsure(), "unsure")])
async def test_a_check_that_cannot_be_made_is_passed_over(
    tmp_path: Path, key: str, reply: Skip | Unsure, kind: str
) -> None:
    """N and z lead to the next check, each in one key, and are kept."""
    async with tracing(tmp_path) as (app, pilot, path):
        first = asked_of(app)
        await press(app, pilot, key)
        assert asked_of(app).check != first.check
        seen = trace_of(app).seen
        assert seen is not None
        assert seen.last == reply
        assert kinds_of(path)[-1] == kind


async def test_nobody_helps(tmp_path: Path) -> None:
    """H says that nobody can hold a switch."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "h")
        seen = trace_of(app).seen
        assert seen is not None
        assert seen.last == NoHelper()
        assert kinds_of(path)[-1] == "no helper"


async def test_what_was_out_of_reach_can_be_reached_after_all(tmp_path: Path) -> None:
    """In the list of answers Enter on what was passed over asks it again."""
    async with tracing(tmp_path) as (app, pilot, path):
        first = asked_of(app)
        await press(app, pilot, "n", "r")
        assert isinstance(app.screen, AnswersScreen)
        assert "could not be reached" in screen_text(app)
        await press(app, pilot, "enter")
        assert asked_of(app).check == first.check
        assert kinds_of(path)[-1] == "reached"


@pytest.mark.slow
async def test_an_answer_is_struck_out(tmp_path: Path) -> None:
    """D in the list of answers takes the marked one out; what it answered is asked again."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter", "0", "enter", "r", "home", "d")
        seen = trace_of(app).seen
        assert seen is not None
        assert seen.last == Strike(0)
        assert [one.check.red for one in seen.answers] == ["E1.-"]
        assert asked_of(app).check.red == "F1.out"
        assert kinds_of(path)[-1] == "struck"


@pytest.mark.slow
async def test_an_answer_is_changed(tmp_path: Path) -> None:
    """Enter asks for the right value; what cannot be read is told there and changes nothing."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter", "r", "enter", *"soon", "enter")
        assert "cannot be read as volts" in screen_text(app)
        app.screen.query_one(Input).value = "11,9"
        await press(app, pilot, "enter")
        await until(pilot, lambda: isinstance(app.screen, TraceScreen))
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.last, Change)
        assert seen.answers[0].outcome.least == 11.9
        assert kinds_of(path)[-1] == "changed"


async def test_another_check_is_taken(tmp_path: Path) -> None:
    """Y shows the suspects with their shares and what each answer leaves; Enter takes another check."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "y")
        assert isinstance(app.screen, WhyScreen)
        await until(pilot, lambda: "other checks" in screen_text(app) and "60 %" in screen_text(app))
        shown = screen_text(app)
        assert "near 12.3 V: 7 suspects" in shown
        marked = app.screen.query_one(RowList).marked_row
        assert marked is not None
        await press(app, pilot, "enter")
        assert asked_of(app).check.red == "E1.-"
        seen = trace_of(app).seen
        assert seen is not None
        assert isinstance(seen.last, Take)
        assert kinds_of(path)[-1] == "taken"


async def test_the_fault_is_found_mended_and_proven(tmp_path: Path) -> None:
    """The end says what is wrong, what says so, cautions before the work, the proof; a good reading offers cured."""
    async with tracing(tmp_path, size=(80, 40)) as (app, pilot, path):
        await press(app, pilot, *TO_THE_END)
        assert isinstance(app.screen, FoundScreen)
        shown = screen_text(app)
        finding = finding_of(app)
        for words in (finding.sentence, *finding.because, *finding.cautions, finding.repair):
            assert words in shown
        assert shown.index(finding.cautions[0]) < shown.index(finding.repair)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, ProveScreen)
        await press(app, pilot, "1", "2", "full_stop", "2", "enter")
        assert "the reading is good" in screen_text(app)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, MessageDialog)
        await press(app, pilot, "enter")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        assert kinds_of(path)[-1] == "repaired"


@pytest.mark.slow
async def test_enter_alone_never_says_that_it_is_cured(tmp_path: Path) -> None:
    """Without a reading neither answer is chosen: 1 and 2 or the arrows choose."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, *TO_THE_END, "enter", "enter", "enter")
        assert isinstance(app.screen, ProveScreen)
        assert "Choose first: press 1 or 2, then Enter." in screen_text(app)
        assert "repaired" not in kinds_of(path)
        await press(app, pilot, "2")
        assert "repaired" not in kinds_of(path)
        await press(app, pilot, "enter")
        assert asked_of(app).step == 1
        assert kinds_of(path)[-1] == "repaired"


@pytest.mark.slow
async def test_a_reading_outside_the_band_says_so(tmp_path: Path) -> None:
    """A proof that fails is told, and that it is still there is what Enter takes."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END, "enter", *"3", "enter")
        assert "something is still wrong there" in " ".join(screen_text(app).split())
        assert answering_of(app).chosen == 1


@pytest.mark.slow
async def test_a_number_in_doubt_proves_no_repair(tmp_path: Path) -> None:
    """The entry keeps it and says why; without the question mark it is taken."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END, "enter", "1", "2", "question_mark", "enter")
        assert "A number in doubt proves nothing." in screen_text(app)
        assert "is it cured?" not in screen_text(app)
        await press(app, pilot, "backspace", "enter")
        assert "is it cured?" in " ".join(screen_text(app).split())


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_the_verdict_of_a_proof_stands_whole_with_what_is_asked(tmp_path: Path, size: tuple[int, int]) -> None:
    """What it proves, what may hide still, and the question that the answers belong to; the band stands above them."""
    async with tracing(tmp_path, size=size) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END)
        await to_the_proof(app, pilot)
        await press(app, pilot, "1", "2", "full_stop", "2", "enter")
        await pilot.pause()
        assert isinstance(app.screen, ProveScreen)
        told = " ".join(screen_text(app).split())
        assert "a joint of some tenths of an ohm may hide in it. Look at what was complained of: is it cured?" in told
        assert "expect 12.30 V" in told
        assert "1 cured" in told


@pytest.mark.slow
async def test_the_finding_can_be_left_and_taken_back(tmp_path: Path) -> None:
    """Esc leads back to the walk; u asks the last check again; Enter shows the finding anew."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END, "escape")
        assert isinstance(app.screen, TraceScreen)
        assert "Enter shows how" in screen_text(app)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, FoundScreen)
        await press(app, pilot, "escape", "u")
        assert asked_of(app).step == 4


@pytest.mark.slow
async def test_a_trace_is_ended(tmp_path: Path) -> None:
    """E asks, y ends it without a finding: it is not offered again."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter", "e")
        assert isinstance(app.screen, QuestionDialog)
        await press(app, pilot, "y")
        assert isinstance(app.screen, FoundScreen)
        assert "Stopped on request." in screen_text(app)
        assert "stopped" in kinds_of(path)
        await press(app, pilot, "escape", "escape")
        await until(pilot, lambda: isinstance(app.screen, LoadsScreen))
        mark_load(app, "E1:load")
        await begun(app, pilot)
        assert asked_of(app).step == 1


@pytest.mark.slow
async def test_a_trace_is_not_ended_by_accident(tmp_path: Path) -> None:
    """E and Enter, or the word stop and Enter, leave the check asked and the record without an end."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, "1", "2", "enter")
        asked = asked_of(app)
        await press(app, pilot, "e", "enter")
        assert asked_of(app) == asked
        await press(app, pilot, *"stop")
        while not isinstance(app.screen, TraceScreen):
            await press(app, pilot, "escape")
        assert asked_of(app) == asked
        assert kinds_of(path) == ["trace", "reading"]


@pytest.mark.slow
async def test_the_last_answer_is_taken_back_from_the_finding(tmp_path: Path) -> None:
    """U on the finding asks the last check again, and after an end on request goes on where it stood."""
    async with tracing(tmp_path) as (app, pilot, path):
        await press(app, pilot, *TO_THE_END)
        assert isinstance(app.screen, FoundScreen)
        assert "u undo" in screen_text(app)
        await press(app, pilot, "u")
        assert asked_of(app).step == 4
        assert kinds_of(path)[-1] == "undone"
        await press(app, pilot, "e", "y", "u")
        assert asked_of(app).step == 4


@pytest.mark.slow
async def test_the_finding_leads_to_every_suspect(tmp_path: Path) -> None:
    """Y lists those of the group first, whatever their share; Esc leads back to the finding."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END, "y")
        assert isinstance(app.screen, WhyScreen)
        await until(pilot, lambda: "suspects" in screen_text(app))
        shown = screen_text(app)
        assert -1 < shown.find("suspects") < shown.find("60 %") < shown.find("30 %") < shown.find("no other check")
        await press(app, pilot, "escape")
        assert isinstance(app.screen, FoundScreen)


@pytest.mark.slow
async def test_what_was_read_before_a_repair_in_vain_is_still_seen(tmp_path: Path) -> None:
    """Only what the repair cannot have changed, in brackets on the walk; it is no answer; u brings the finding back.

    The wire ahead of the fuse was mended: volts behind it, the relay and the lamp there hang on it, ground does not.
    """
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, *TO_THE_END, "enter", "enter", "2", "enter")
        seen = trace_of(app).seen
        assert seen is not None
        assert seen.answers == ()
        assert [one.check.red for one in seen.before] == ["E1.-"]
        assert "(0.00)" in "\n".join(row.content.plain for row in trace_of(app).query_one(RowList).rows)
        await press(app, pilot, "r")
        assert "read before the repair, not weighed any more" in screen_text(app)
        await press(app, pilot, "d")
        assert "That was read before the repair: o reads it anew." in screen_text(app)
        await press(app, pilot, "escape", "escape")
    async with tracing(tmp_path) as (app, pilot, _):
        seen = trace_of(app).seen
        assert seen is not None
        assert [one.check.red for one in seen.before] == ["E1.-"]
        await press(app, pilot, "u")
        assert isinstance(app.screen, FoundScreen)
        assert app.screen.seen.before == ()


@pytest.mark.slow
async def test_quitting_in_the_middle_is_asked_about(tmp_path: Path) -> None:
    """Q quits at once where nothing is answered; else it asks, and Esc goes on."""
    async with tracing(tmp_path) as (app, pilot, _):
        await press(app, pilot, "1", "2", "enter", "q")
        assert isinstance(app.screen, QuestionDialog)
        await press(app, pilot, "escape")
        assert app.return_code is None
        await press(app, pilot, "q", "enter")
        assert app.return_code == 0
