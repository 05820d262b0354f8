"""A fuse that blew: each check says that it is blown, the proof that a new one is in."""

from dataclasses import replace

import pytest

from model.tracing.asking import Finding, Question
from model.tracing.checks import CheckKind, Word, seen
from model.tracing.complaint import Complaint, Symptom
from tests.tui.line_trace import FOUND, IGNITION, VOLTS, LineTrace, buggy, question
from tests.tui.test_line_words import talk
from tui.trace_run import Seen
from tui.trace_step import question_step

BLOWS = Complaint(("M2:load",), Symptom.BLOWS_FUSE, fuse="F23")


def shown(now: Question | Finding, complaint: Complaint = BLOWS) -> dict[str, str]:
    """Give the lines of the step at the volts check, asked or as the proof."""
    at = Seen(buggy(), complaint, IGNITION, now, (), {}, "", 0.0, None, (), "", None)
    return dict(question_step(at, now if isinstance(now, Question) else question()).lines)


def test_a_check_on_the_screen_says_that_the_fuse_is_blown() -> None:
    """Behind the key and the switches; where nothing blew nothing is said."""
    assert shown(question())["set"].endswith("fuse F23 (Fuel pump) blown, no new one in")
    assert "F23" not in shown(question(), Complaint(("M2:load",)))["set"]


def test_the_proof_on_the_screen_says_that_a_new_fuse_is_in() -> None:
    """With rating and colour (ISO 8820-3: 15 A is blue)."""
    assert shown(FOUND)["set"].endswith("a new 15 A blade fuse, blue, as fuse F23 (Fuel pump)")


@pytest.mark.parametrize(("word", "is_left"), [("blows", True), ("holds", False)])
def test_a_check_in_sentences_says_it_until_a_new_fuse_holds(word: str, is_left: bool) -> None:
    """And the proof that a new one is in, where none has held yet."""
    new_fuse = replace(VOLTS, kind=CheckKind.NEW_FUSE, red="", black="", part="F23")
    trace = LineTrace(question(), question(new_fuse, step=2), question(step=3))
    trace.complaint = BLOWS
    _, said = talk(trace, "12.4", word, "12.4")
    asked = [one for one in said if one.endswith("how many volts?")]
    assert [("F23 (Fuel pump) blown, no new one in" in one) for one in asked[:2]] == [True, is_left]
    proof = next(one for one in said if one.startswith("To prove it:"))
    assert ("a new 15 A blade fuse, blue, as fuse F23" in proof) is is_left
    assert seen(Word(word)) in [one.outcome for one in trace.answers]
