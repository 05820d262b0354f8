"""What a trace gives a screen to show: the figures of the rows beside those of the step."""

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.harness.toml_file import read_harness_text
from model.tracing.asking import Also, Question
from model.tracing.checks import Check, CheckKind, measured
from model.tracing.complaint import Complaint
from model.tracing.trace import Trace
from tests.tui.small_loom import SMALL_LOOM
from tui.trace_run import Seen, TraceRun
from tui.walks import Walks


def run_of(complaint: Complaint) -> TraceRun:
    """Begin a trace in the small loom."""
    walks = Walks(Bench(read_harness_text(SMALL_LOOM, "small.toml")))
    return TraceRun(Trace(walks.bench, complaint), walks, None)


def both_at(run: TraceRun, seen: Seen, point: str) -> tuple[float | None, float | None]:
    """Give the volts to expect at a point by the step of a check there, and by its row."""
    assert isinstance(seen.now, Question)
    assert seen.told is not None
    check = Check(CheckKind.VOLTS, seen.now.check.condition, point, seen.told.walk.black)
    rows = [row for section in seen.told.sections for row in section.rows if row.point == point]
    return run.question_for(check).healthy, rows[0].expect[check.condition.key].on


@pytest.mark.parametrize("condition", [None, Condition("ignition")])
def test_row_and_step_give_one_figure_for_one_point(condition: Condition | None) -> None:
    """With 12.3 V at the posts, at rest or as it was seen, the row of E1.+ expects what a check there expects."""
    run = run_of(Complaint(("E1:load",), condition=condition, posts_volts=12.3))
    step_volts, row_volts = both_at(run, run.seen(), "E1.+")
    assert step_volts == pytest.approx(row_volts)
    assert row_volts is not None
    assert 11.5 < row_volts < 12.3


def test_posts_that_were_read_in_the_trace_move_the_rows_too() -> None:
    """A reading of 12.1 V at the posts holds from then on for the rows as for the steps."""
    run = run_of(Complaint(("E1:load",)))
    seen = run.seen()
    assert isinstance(seen.now, Question)
    posts = Check(CheckKind.VOLTS, seen.now.check.condition, "G1.+", "G1.-")
    seen = run.reply(Also(posts, measured(12.1)))
    step_volts, row_volts = both_at(run, seen, "E1.+")
    assert step_volts == pytest.approx(row_volts)
    assert row_volts is not None
    assert row_volts < 12.1
