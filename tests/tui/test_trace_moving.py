"""A load that comes and goes: the step says what is moved while it is read, on the screen, in lines and on paper."""

from functools import cache

import pytest

from model.circuit.bench import Bench
from model.harness.harness import Harness
from model.sheets.trace_markdown import trace_markdown
from model.sheets.trace_sheet import trace_sheet
from model.tracing.asking import Question
from model.tracing.check_words import moving_words
from model.tracing.checks import MEASURED, CheckKind
from model.tracing.complaint import Complaint, Symptom
from model.tracing.trace import Trace
from tests.model.tracing.rigs import demo
from tui.line_sentences import question_sentences
from tui.trace_layout import step_lines
from tui.trace_run import TraceRun
from tui.trace_step import question_step
from tui.walks import Walks

LOAD = ("E1:load",)
SWINGS = "the loom and its plugs while you read; where it swings type both: 0.2..12.3"


@cache
def tractor() -> Harness:
    """Read the tractor."""
    return demo("field_tractor")


def traced(symptom: Symptom) -> Trace:
    """Begin a trace of its head lamp."""
    return Trace(Bench(tractor()), Complaint(LOAD, symptom))


def first(symptom: Symptom) -> Question:
    """Give the first check of a trace."""
    now = traced(symptom).next()
    assert isinstance(now, Question)
    return now


def test_the_step_and_the_lines_say_what_is_moved() -> None:
    """Before what to expect, and never given up in a low window; of a load that is simply dead nothing is moved."""
    trace = traced(Symptom.COMES_AND_GOES)
    run = TraceRun(trace, Walks(Bench(tractor())), None)
    now = trace.next()
    assert isinstance(now, Question)
    assert now.moving == moving_words(now.check.kind) != ""
    step = question_step(run.seen(), now)
    names = [name for name, _ in step.lines]
    assert dict(step.lines)["move"] == now.moving
    assert names.index("move") < names.index("expect")
    drawn = " ".join(line.plain for line in step_lines(step, 58, 8))
    assert "move    the loom and its plugs" in drawn
    assert f"Move {now.moving}." in list(question_sentences(tractor(), now, LOAD))
    assert not first(Symptom.DEAD).moving
    told = question_sentences(tractor(), first(Symptom.DEAD), LOAD)
    assert not any(line.startswith("Move ") for line in told)


@pytest.mark.slow
def test_the_sheet_says_it_in_each_box() -> None:
    """On paper it stands among the lines of the check."""
    assert f"**move:** {SWINGS}" in trace_markdown(trace_sheet(traced(Symptom.COMES_AND_GOES)))
    assert "**move:**" not in trace_markdown(trace_sheet(traced(Symptom.DEAD)))


@pytest.mark.parametrize("kind", list(CheckKind))
def test_every_reading_is_taken_moving(kind: CheckKind) -> None:
    """Numbers are told as both, what is seen as its worst; what is taken out or bridged is not moved besides."""
    words = moving_words(kind)
    assert (words == SWINGS) == (kind in MEASURED)
    still = {CheckKind.BRIDGE, CheckKind.SWAP, CheckKind.NEW_FUSE, CheckKind.LOOK}
    assert (words == "") == (kind in still)
