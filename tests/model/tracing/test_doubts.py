"""Answers that hardly fit the others, and the end of a trace whose readings bound the fault on both sides."""

from __future__ import annotations

import pytest

from model.circuit.bench import Bench
from model.tracing.asking import Also, Finding, Question, Read, Skip
from model.tracing.checks import Check, CheckKind, Word, measured, seen
from model.tracing.complaint import Complaint
from model.tracing.trace import Trace
from tests.model.tracing.rigs import demo

STOP, INDICATOR = "E6:stop", "E6:indicator"
WRONG = "It hardly fits that Right tail cluster indicator (E6:indicator) works: look again."


@pytest.fixture(scope="module")
def buggy() -> Bench:
    """Put the trail buggy on a bench: its right stop lamp and right indicator hang on the key feed W6."""
    return Bench(demo("trail_buggy"))


def read(trace: Trace, point: str, volts: float) -> str:
    """Tell volts that were read against the battery post, and give what that did."""
    trace.reply(Also(Check(CheckKind.VOLTS, trace.condition, red=point, black="G1.-"), measured(volts)))
    return trace.did()


def asked(trace: Trace) -> Question:
    """Give the check that is asked."""
    question = trace.next()
    assert isinstance(question, Question)
    return question


def test_a_load_that_was_said_to_work_is_doubted_at_once_and_looked_at_again(buggy: Bench) -> None:
    """With the ignition bus dead the indicator is dead as well: it is said once, and the next check is to look."""
    trace = Trace(buggy, Complaint((STOP,), works=(INDICATOR,)))
    assert read(trace, "BB4", 0.0).endswith(WRONG)
    look = asked(trace)
    assert (look.check.kind, look.check.load) == (CheckKind.OBSERVE, INDICATOR)
    assert look.why == "Again: it hardly fits the answers that Right tail cluster indicator (E6:indicator) works."
    assert "hardly fits" not in read(trace, "K1.86", 0.0)


@pytest.mark.slow
def test_a_load_that_was_said_to_be_weak_is_doubted_too(buggy: Bench) -> None:
    """What leaves one lamp dead and its neighbour on the same feed weak is hardly any fault: it is looked at first."""
    trace = Trace(buggy, Complaint((STOP,), weak=(INDICATOR,)))
    look = asked(trace)
    assert (look.check.kind, look.check.load) == (CheckKind.OBSERVE, INDICATOR)
    assert look.why.endswith("that Right tail cluster indicator (E6:indicator) works weakly.")
    trace.reply(Read(seen(Word.WEAK)))
    assert asked(trace).check.load != INDICATOR


@pytest.mark.slow
def test_what_is_seen_again_counts_in_place_of_what_was_said(buggy: Bench) -> None:
    """Dead after all the trace stands where it stands without the tick; working after all it is not asked again."""
    trace = Trace(buggy, Complaint((STOP,), works=(INDICATOR,)))
    read(trace, "BB4", 0.0)
    trace.reply(Read(seen(Word.DEAD)))
    other = Trace(buggy, Complaint((STOP,), dead=(INDICATOR,)))
    read(other, "BB4", 0.0)
    assert [one.part for one in trace.suspects(3)] == [one.part for one in other.suspects(3)]
    trace.undo()
    trace.reply(Read(seen(Word.WORKS)))
    assert asked(trace).check.load != INDICATOR


@pytest.mark.slow
def test_a_look_that_cannot_be_taken_is_asked_once(buggy: Bench) -> None:
    """Who cannot see the lamp from there goes on with the readings."""
    trace = Trace(buggy, Complaint((STOP,), works=(INDICATOR,)))
    read(trace, "BB4", 0.0)
    trace.reply(Skip())
    assert asked(trace).check.load != INDICATOR


@pytest.mark.slow
def test_a_reading_that_hardly_fits_the_others_is_named_by_its_number(buggy: Bench) -> None:
    """Live behind the key switch, dead before it: the third of these answers is likelier mistaken than not."""
    trace = Trace(buggy, Complaint((STOP,)))
    told = [read(trace, point, volts) for point, volts in (("E6.54", 0.0), ("BB4", 12.4), ("BB2", 0.0))]
    told.append(read(trace, "K1.87", 12.4))
    assert told[-1].endswith("Answer 3, 0.00 V, hardly fits the others: take it again, or strike it among the answers.")


def test_a_first_reading_that_nobody_foresaw_is_not_doubted(buggy: Bench) -> None:
    """A dead bus is unlikely beforehand and well explained by what remains."""
    assert "hardly fits" not in read(Trace(buggy, Complaint((STOP,))), "BB4", 0.0)


@pytest.mark.slow
def test_a_trace_ends_where_readings_bound_the_only_suspect(buggy: Bench) -> None:
    """Live at the fuse, dead at the key switch, nothing between but W6: nothing more is asked."""
    trace = Trace(buggy, Complaint((STOP,)))
    for point, volts in (("BB2", 12.4), ("F12.out", 12.4), ("S1.30", 0.0)):
        read(trace, point, volts)
    found = trace.next()
    assert isinstance(found, Finding)
    assert [one.part for one in found.group] == ["W6"]
    assert found.group_probability < 0.99


@pytest.mark.slow
def test_a_wire_read_at_one_end_alone_is_not_bounded(buggy: Bench) -> None:
    """The far end of W6 is dead, which a fault before its fuse explains too: the trace goes on."""
    trace = Trace(buggy, Complaint((STOP,)))
    read(trace, "S1.30", 0.0)
    assert isinstance(trace.next(), Question)
