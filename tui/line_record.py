"""A trace in sentences beside its record: one that was left is gone on with where the person wants it."""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path
from typing import TextIO

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.errors import AnswerError, RecordError
from model.record import Record
from model.tracing.complaint import Complaint
from model.tracing.learned import learned_from
from tui.clock import now
from tui.left_words import left_words
from tui.line_input import LineInput
from tui.line_words import NO, YES, Conversation, say
from tui.standing import Standing
from tui.taken_words import taken_words
from tui.trace_record import RecordKeeper, Unfinished, make_trace, unfinished
from tui.trace_rounds import Rounds
from tui.walks import Walks


def run_lines(bench: Bench, complaint: Complaint, path: Path, answers: LineInput, out: TextIO) -> int:
    """Trace in sentences to the end, each reply written into the record of the harness file.

    Parameters
    ----------
    path
        The harness file.

    Returns
    -------
    int
        0 where it ended with a finding or was stopped on request, 1 where it ended without a finding.

    Raises
    ------
    ArgumentError, CircuitError
        Where the complaint does not fit the harness.
    """
    standing = Standing(path, bench, Walks(bench), Condition(bench.harness.key_names[0]))
    resumed = _resumed(standing, complaint, answers, out)
    record = Record.open(path, now())
    try:
        if record.problem is not None:
            say(out, (f"Nothing is written down: {record.problem}",))
        keeper = RecordKeeper(record, standing, complaint, resumed)
        trace = make_trace(bench, keeper.complaint, learned_from(keeper.before))
        rounds = Rounds(bench)
        say(out, (keeper.replay(trace, rounds), taken_words(bench.harness, keeper.complaint.loads)))
        return Conversation(trace, answers, out, keeper, rounds).run()
    finally:
        with suppress(RecordError):  # what could not be written is printed
            record.close()
        print_left(out, left_words(path, record.waiting))


def print_left(out: TextIO, words: str) -> None:
    """Print what could not be written; to standard error where nobody reads the output any more."""
    for stream in (out, sys.stderr) if words else ():
        try:
            stream.write(words)
            stream.flush()
        except OSError:
            continue
        return


def _resumed(standing: Standing, complaint: Complaint, answers: LineInput, out: TextIO) -> Unfinished | None:
    """Ask whether a trace of these loads that was left is to be gone on with."""
    left = unfinished(standing, complaint.loads)
    if left is None:
        return None
    question = f"A trace of this was left on {left.words}. Go on with it? Type yes or no."
    say(out, (question,))
    while True:
        try:
            typed = answers.read()
        except AnswerError as error:
            say(out, (str(error),))
            continue
        if typed is None or typed.strip().casefold() in NO:
            return None
        if typed.strip().casefold() in YES:
            return left
        say(out, (question,))
