"""How a trace in JSON Lines ends: the last line and the exit code."""

from __future__ import annotations

import json
from io import StringIO

import pytest

from model.tracing.asking import Finding
from tests.tui.line_trace import STOP, LineTrace, question, run
from tui.line_input import LineInput
from tui.line_mode import run_json


def test_the_last_line_is_the_finding() -> None:
    """With every key of the format, and exit code 0."""
    code, lines = run(LineTrace())
    assert code == 0
    assert lines == [
        {
            "finding": [{"part": "W9", "fault": "open", "probability": 0.9712}],
            "group_probability": 0.9712,
            "steps": 2,
            "minutes": 7.1,
            "repair": "Cut W9 out.",
            "cautions": ["Battery off first."],
            "prove": {
                "kind": "volts", "red": "G1.+", "black": "G1.-", "key": "ignition", "settings": {"S2": "head"},
                "low": 11.9, "high": 12.6,
            },
        }
    ]  # fmt: skip


@pytest.mark.parametrize("lines", [[STOP], [], [b'{"stop": true}'], [b"\xef\xbb\xbf" + b'{"stop": true}\r\n']])
def test_stop_and_the_end_of_input_end_it_with_code_0(lines: list[object]) -> None:
    """The last line says why there is no finding; a mark of byte order and other line ends are no trouble."""
    code, written = run(LineTrace(question()), *lines)
    assert code == 0
    assert len(written) == 2
    assert (written[-1]["finding"], written[-1]["stopped"]) == ([], "stopped on request")
    assert written[-1]["group_probability"] == 0


def test_an_end_without_a_finding_has_code_1() -> None:
    """A battery too low is the first and the last line."""
    low = Finding((), 0.0, 0, 0.0, stopped="charge the battery first")
    code, lines = run(LineTrace(finding=low))
    assert code == 1
    assert (lines[0]["finding"], lines[0]["stopped"]) == ([], "charge the battery first")


def test_no_input_at_all_is_an_end_too() -> None:
    """A standard input that was closed before the start."""
    out = StringIO()
    assert run_json(LineTrace(question()), LineInput(None), out) == 0
    assert json.loads(out.getvalue().splitlines()[-1])["stopped"]
