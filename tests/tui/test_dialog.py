"""Messages and questions."""

import pytest

from model.errors import Breach, FusewalkError, HarnessFileError
from tests.tui.on_screen import NASTY, screen_text
from tui.app import FusewalkApp
from tui.screens.dialog import CarefulDialog, MessageDialog, QuestionDialog, error_dialog


@pytest.mark.slow
@pytest.mark.parametrize("key", ["enter", "escape"])
async def test_a_message_opens_twice(key: str) -> None:
    """The same words can be told again after they have been read."""
    app = FusewalkApp()
    async with app.run_test() as pilot:
        below = app.screen
        for _ in range(2):
            app.tell(FusewalkError("No such load.", "buggy.toml", "Press / to find one."))
            await pilot.pause()
            shown = screen_text(app)
            assert all(words in shown for words in ("No such load.", "buggy.toml", "Press / to find one."))
            await pilot.press(key)
            assert app.screen is below


@pytest.mark.parametrize(("key", "answer"), [("enter", True), ("escape", False)])
async def test_a_question_has_two_answers(key: str, answer: bool) -> None:
    """Enter is yes, Esc is no, each time it is asked."""
    app = FusewalkApp()
    answers: list[bool | None] = []
    async with app.run_test() as pilot:
        for _ in range(2):
            app.push_screen(QuestionDialog("Quit", "A trace is running. Quit all the same?", "quit"), answers.append)
            await pilot.pause()
            assert "Enter quit   Esc go back" in screen_text(app)
            await pilot.press(key)
            await pilot.pause()
    assert answers == [answer, answer]


@pytest.mark.parametrize(("key", "answer"), [("enter", False), ("escape", False), ("y", True)])
async def test_a_question_that_must_not_be_answered_by_accident(key: str, answer: bool) -> None:
    """Enter and Esc go on; y alone is yes."""
    app = FusewalkApp()
    answers: list[bool | None] = []
    async with app.run_test() as pilot:
        app.push_screen(CarefulDialog("End this trace?", "It would not be offered again.", "end it"), answers.append)
        await pilot.pause()
        assert "Enter go on   y end it" in screen_text(app)
        await pilot.press("x", key)
        await pilot.pause()
    assert answers == [answer]


def test_every_breach_of_a_file_is_told() -> None:
    """A file that breaks the format is told with all its breaches, and what is empty makes no paragraph."""
    breaches = tuple(Breach(line, "wires", f"W{line}", "size", "[b]", "mm2") for line in (3, 7))
    dialog = error_dialog(HarnessFileError("ten_wires.toml", breaches))
    assert dialog.sentences == ("ten_wires.toml", *(breach.text("ten_wires.toml") for breach in breaches))


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (120, 40)])
async def test_nasty_words_and_many_of_them(size: tuple[int, int]) -> None:
    """Any words can be told; what has no room scrolls, and the way out stays in sight."""
    app = FusewalkApp()
    async with app.run_test(size=size) as pilot:
        await app.push_screen(MessageDialog("F1 [/15A]", [*NASTY, *NASTY, "y " * 400]))
        await pilot.pause()
        shown = screen_text(app)
        assert "F1 [/15A]" in shown
        assert "S1 [on]" in shown
        assert "Enter go on" in shown
        await pilot.press("end", "pagedown")
        await pilot.press("enter")
        assert not isinstance(app.screen, MessageDialog)
