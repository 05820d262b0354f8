"""A trace over an input and an output stream, in JSON Lines: the same trace as on the screen."""

from __future__ import annotations

from contextlib import suppress
from typing import TextIO

from model.errors import FusewalkError
from model.tracing.asking import Finding, Stop
from model.words import clean
from tui.line_input import LineInput
from tui.line_json import finding_json, question_json, write_line
from tui.line_replies import Undo, read_reply
from tui.trace_run import Tracing

FOUND_OR_STOPPED = 0
NOT_FOUND = 1
_ERROR_CHARACTERS = 500


def run_json(trace: Tracing, answers: LineInput, out: TextIO) -> int:
    """Run a trace in JSON Lines to its end.

    Every line that does not fit gets an error and the same question again; the end of the input stops the trace.

    Returns
    -------
    int
        0 where it ended with a finding or was stopped on request, 1 where it ended without a finding.
    """
    on_request = has_ended = False
    while True:
        asked = trace.next()
        if isinstance(asked, Finding):
            write_line(out, finding_json(trace.harness, asked))
            return exit_code(asked, on_request=on_request)
        write_line(out, question_json(trace.harness, asked))
        with suppress(FusewalkError):
            trace.prepare()
        try:
            line = answers.read()
            has_ended = line is None
            reply = Stop() if line is None else read_reply(trace.harness, asked, line)
            if isinstance(reply, Undo):
                trace.undo()
            else:
                trace.reply(reply)
                on_request = isinstance(reply, Stop)
        except FusewalkError as error:
            if has_ended:
                raise
            write_line(out, {"error": clean(str(error), _ERROR_CHARACTERS), "step": asked.step})


def exit_code(finding: Finding, *, on_request: bool) -> int:
    """Give the exit code of a trace that ended so."""
    return FOUND_OR_STOPPED if on_request or (finding.group and not finding.stopped) else NOT_FOUND
