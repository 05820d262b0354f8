"""What stands on the screens of a trace of the buggy's pump, sign for sign, at three sizes; the checks are scripted.

``UPDATE_GOLDEN=1`` writes the files anew; what has changed is then read in the difference.
"""

import shutil
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint
from tests.tui.builds import BUGGY, opened
from tests.tui.on_screen import at_rest
from tests.tui.test_golden import SIZES, check
from tests.tui.traced import asking, begun, mark_load, press
from tests.tui.traced_by_script import TracedByScript


def pump_trace(bench: Bench, complaint: Complaint, learned: object) -> TracedByScript:
    """Ask for the relay's pin 30, what falls over its contact, and whether it pulls in."""
    trace = TracedByScript(bench, complaint)
    trace.script = (
        Check(CheckKind.VOLTS, trace.condition, "K7.30", "G1.-"),
        Check(CheckKind.DROP, trace.condition, "K7.30", "K7.87"),
        Check(CheckKind.LISTEN, trace.condition, part="K7"),
    )
    return trace


@pytest.mark.first_few(1)
@pytest.mark.parametrize("size", SIZES)
async def test_a_trace_from_its_questions_to_the_finding(
    size: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The questions, a check with a number half typed, one answered with a word, large letters, why, and the end."""
    monkeypatch.setattr("tui.trace_record.make_trace", pump_trace)
    path = Path(shutil.copy(BUGGY, tmp_path))
    async with opened(path, size) as (app, pilot):
        mark_load(app, "M2:load")
        await pilot.press("t")
        await asking(app, pilot)
        await pilot.press("end", "space")
        await pilot.pause()
        check(app, "trace_ask")
        await pilot.press("escape")
        await begun(app, pilot)
        await press(app, pilot, "1", "2", "full_stop", "3")
        check(app, "trace")
        await press(app, pilot, "enter", "0", "full_stop", "0", "3", "enter", "right", "right")
        check(app, "trace_word")
        await press(app, pilot, "g")
        check(app, "trace_big")
        await press(app, pilot, "g", "y")
        await at_rest(pilot)
        check(app, "trace_why")
        await press(app, pilot, "escape", "1", "enter")
        check(app, "trace_found")
