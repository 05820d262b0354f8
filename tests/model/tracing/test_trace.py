"""The trace as a machine without input or output: replies in, questions and a finding out."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import parse_fault
from model.errors import AnswerError
from model.harness.toml_file import read_harness
from model.tracing.asking import (
    Also,
    Change,
    Finding,
    NoHelper,
    Question,
    Reached,
    Read,
    Repaired,
    Skip,
    Stop,
    Strike,
    Take,
    Unsure,
)
from model.tracing.checks import Check, CheckKind, Outcome, Word, measured, seen
from model.tracing.complaint import Complaint, Symptom
from model.tracing.finding import Stopped
from model.tracing.marks import Mark
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle

DEMOS = Path(__file__).parents[3] / "demo_builds"
HEAD_LAMP = "E1:load"


@pytest.fixture(scope="module")
def bench() -> Bench:
    """Give the field tractor, at rest."""
    return Bench(read_harness(DEMOS / "field_tractor.toml"))


@pytest.fixture
def trace(bench: Bench) -> Trace:
    """Give a trace of its left head lamp, dead."""
    return Trace(bench, Complaint((HEAD_LAMP,)))


def vehicle_with(trace: Trace, *faults: str, slips: float = 0.0, seed: int = 1) -> Vehicle:
    """Give a vehicle with these faults hidden in it, whose driver never slips."""
    hidden = [parse_fault(trace.harness, fault) for fault in faults]
    return Vehicle(trace.harness, hidden, trace.complaint.loads, trace.condition, seed=seed, slips=slips)


def traced(trace: Trace, vehicle: Vehicle, most: int = 40) -> Finding:
    """Answer what is asked until it ends."""
    for _ in range(most):
        asked = trace.next()
        if isinstance(asked, Finding):
            return asked
        trace.reply(Read(vehicle.answer(asked.check)))
    raise AssertionError("the trace does not end")


def question(trace: Trace) -> Question:
    """Give what is asked, known to be a question."""
    asked = trace.next()
    assert isinstance(asked, Question)
    return asked


def typical(asked: Question) -> Outcome:
    """Give the likeliest outcome of a question."""
    return asked.outlooks[0].outcome


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["E1:load=open", "F2=blown", "S2:BH-H=open", "GND2=open", "W7=open"])
def test_names_the_hidden_fault(bench: Bench, fault: str) -> None:
    """Whatever breaks the head lamp's circuit is in the group that the trace ends with."""
    site, _, kind = fault.partition("=")
    trace = Trace(bench, Complaint((HEAD_LAMP,)))
    assert site in {one.site for one in trace.hypotheses}
    finding = traced(trace, vehicle_with(trace, fault))
    assert (site, kind) in {(one.part, str(one.fault)) for one in finding.group}


@pytest.mark.slow
def test_finding_has_part_place_and_reading(trace: Trace) -> None:
    """A finding names a part and a place, the readings that say so, a repair, and a check that proves it."""
    finding = traced(trace, vehicle_with(trace, "E1:load=open"))
    assert finding.group
    assert finding.group[0].part.partition(":")[0] in finding.sentence
    assert "radiator frame" in finding.sentence
    assert finding.because
    assert finding.repair
    assert finding.prove is not None


@pytest.mark.slow
def test_same_replies_same_questions(bench: Bench, trace: Trace) -> None:
    """A trace given the replies of another asks the same and ends the same."""
    finding = traced(trace, vehicle_with(trace, "E1:load=open"))
    again = Trace(bench, trace.complaint)
    for reply in trace.replies:
        again.reply(reply)
    assert again.next() == finding


def test_undo_goes_back_to_the_same_question(trace: Trace) -> None:
    """Taking an answer back asks again what it had answered, and leaves the shares as they were."""
    first, suspects = question(trace), trace.suspects()
    trace.reply(Read(typical(first)))
    assert trace.next() != first
    trace.undo()
    assert trace.next() == first
    assert trace.suspects() == suspects
    with pytest.raises(AnswerError):
        trace.undo()


@pytest.mark.slow
def test_skip_is_not_asked_again_until_reached(trace: Trace) -> None:
    """What cannot be reached is asked no more."""
    first = question(trace)
    trace.reply(Skip())
    for _ in range(6):
        asked = trace.next()
        if isinstance(asked, Finding):
            break
        assert asked.check != first.check
        trace.reply(Read(typical(asked)))


def test_unsure_changes_no_share(trace: Trace) -> None:
    """An answer that tells nothing leaves the suspects as they were, and another check is asked."""
    first, suspects = question(trace), trace.suspects()
    trace.reply(Unsure())
    assert trace.suspects() == suspects
    assert question(trace).check != first.check


def test_answer_that_does_not_fit_changes_nothing(trace: Trace) -> None:
    """A word for a number, or no number, is refused, and the same question stands."""
    first = question(trace)
    wrong = seen(Word.LIT) if first.check.kind is not CheckKind.LAMP else measured(1.0)
    for outcome in (wrong, measured(math.nan)):
        with pytest.raises(AnswerError):
            trace.reply(Read(outcome))
    assert trace.next() == first
    assert not trace.replies


def test_strike_and_change_are_as_if_never_given(bench: Bench, trace: Trace) -> None:
    """Striking an answer leaves the others; changing it counts the other reading in its place."""
    asked = question(trace)
    trace.reply(Read(typical(asked)))
    before = trace.suspects()
    other = Check(CheckKind.VOLTS, trace.condition, red="G1.+", black="G1.-")
    trace.reply(Also(other, measured(6.2)))
    trace.reply(Strike(1))
    assert [one.check for one in trace.answers] == [asked.check]
    assert trace.suspects() == before
    trace.reply(Change(0, asked.outlooks[-1].outcome))
    assert trace.answers[0].outcome == asked.outlooks[-1].outcome
    with pytest.raises(AnswerError):
        trace.reply(Strike(7))


def test_unasked_reading_counts(trace: Trace) -> None:
    """A reading at a point that was not asked for moves the shares, and a question follows."""
    lamp = Check(CheckKind.DROP, trace.condition, red="E1.+", black="E1.-")
    trace.reply(Also(lamp, measured(6.2)))
    assert trace.suspects()[0].part.startswith("E1")
    assert trace.did()


def test_chosen_check_is_asked_next(trace: Trace) -> None:
    """Any of the other checks can be taken in place of the one asked."""
    other = next(one.check for one in trace.offered() if one.check != question(trace).check)
    trace.reply(Take(other))
    assert question(trace).check == other


def test_stop_ends_without_a_finding(trace: Trace) -> None:
    """A trace stopped by the person ends at once, says so, and names no part."""
    trace.reply(Stop())
    finding = trace.next()
    assert isinstance(finding, Finding)
    assert finding.stopped == Stopped.BY_HAND
    assert not finding.group


def test_flat_battery_is_charged_first(bench: Bench) -> None:
    """Under 12.0 V per 12 V at rest nothing is asked: 5.9 V at a battery of 6 V."""
    finding = Trace(bench, Complaint((HEAD_LAMP,), posts_volts=5.9)).next()
    assert isinstance(finding, Finding)
    assert finding.stopped == Stopped.CHARGE_FIRST
    assert isinstance(Trace(bench, Complaint((HEAD_LAMP,), posts_volts=6.1)).next(), Question)


@pytest.mark.slow
def test_repair_that_did_not_cure_goes_on(trace: Trace) -> None:
    """After a repair in vain the same part is hardly suspected, and what a second fault hid is traced on."""
    vehicle = vehicle_with(trace, "E1:load=open")
    finding = traced(trace, vehicle)
    trace.reply(Repaired(cured=False))
    asked = trace.next()
    assert isinstance(asked, Question)
    assert not trace.answers
    mended = {one.part for one in finding.group}
    assert sum(one.probability for one in trace.suspects() if one.part in mended) < 0.2


def test_cured_ends_for_good(trace: Trace) -> None:
    """A repair that cured ends the trace."""
    traced(trace, vehicle_with(trace, "E1:load=open"))
    trace.reply(Repaired(cured=True))
    assert isinstance(trace.next(), Finding)
    with pytest.raises(AnswerError):
        trace.reply(Skip())


def test_marks_suspects_and_clears(trace: Trace) -> None:
    """Before the first answer nothing is set aside; a full reading across the lamp sets its feed aside."""
    assert Mark.SET_ASIDE not in trace.marks().values()
    lamp = Check(CheckKind.DROP, trace.condition, red="E1.+", black="E1.-")
    trace.reply(Also(lamp, measured(6.1)))
    marks = trace.marks()
    assert marks["E1"] is Mark.SUSPECT
    assert marks["S2"] is Mark.SET_ASIDE


def test_reading_of_the_other_sign_may_be_swapped_leads() -> None:
    """A reading of about minus what is foreseen is held for swapped leads, on a negative-ground vehicle."""
    harness = read_harness(DEMOS / "trail_buggy.toml")
    trace = Trace(Bench(harness), Complaint(("E9:load",)))
    posts = Check(CheckKind.VOLTS, trace.condition, red="G1.+", black="G1.-")
    trace.reply(Take(posts))
    assert trace.looks_swapped(measured(-12.5))
    assert not trace.looks_swapped(measured(12.5))


def test_no_helper_asks_for_none(trace: Trace) -> None:
    """Without a helper every question that follows can be made alone."""
    trace.reply(NoHelper())
    assert question(trace).minutes < math.inf


@pytest.mark.slow
def test_two_faults_at_once_are_found_or_said(bench: Bench) -> None:
    """Readings that no single fault explains end in one of the two, or in saying that the file differs."""
    trace = Trace(bench, Complaint((HEAD_LAMP,)))
    vehicle = vehicle_with(trace, "E1:load=open", "F2=blown")
    finding = traced(trace, vehicle)
    named = {part for one in finding.group for part in one.part.replace(" + ", " ").split()}
    assert finding.stopped or named & {"F2", "E1:load"}


def test_symptom_that_the_file_cannot_show_is_still_a_trace(bench: Bench) -> None:
    """A weak load is traced from its own hypotheses."""
    trace = Trace(bench, Complaint((HEAD_LAMP,), Symptom.WEAK))
    finding = traced(trace, vehicle_with(trace, "GND2=0.3"))
    assert isinstance(finding, Finding)


def test_reading_to_be_taken_again_may_be_passed_over(bench: Bench) -> None:
    """Of readings that no fault explains, 12.6 V in a row on 6 V, one is asked again, and is passed over if need be."""
    trace = Trace(bench, Complaint((HEAD_LAMP,)))
    trace.reply(Also(Check(CheckKind.VOLTS, trace.condition, red="F2.out", black="G1.+"), measured(-6.3)))
    trace.reply(Also(Check(CheckKind.DROP, trace.condition, red="F2.out", black="G1.-"), measured(6.3)))
    asked = question(trace)
    assert asked.check in {one.check for one in trace.answers}
    assert asked.why.startswith("Again: ")
    assert " V fits nothing else. " in asked.why
    trace.reply(Unsure())
    again = trace.next()
    assert isinstance(again, Finding) or again.check != asked.check


def test_reading_with_a_held_switch_counts_without_a_helper(bench: Bench) -> None:
    """Somebody who has no helper and reads with the foot switch held has found a way: its minutes are finite."""
    trace = Trace(bench, Complaint((HEAD_LAMP,), has_helper=False))
    held = trace.condition.with_setting("S3", "down")
    trace.reply(Also(Check(CheckKind.VOLTS, held, red="F1.in", black="G1.+"), measured(-6.2)))
    assert math.isfinite(trace.minutes)


@pytest.mark.slow
def test_new_fuse_that_did_not_hold_after_all_is_not_in(bench: Bench) -> None:
    """Where holds is changed into blows, the readings after it count as they would have without it."""
    trace = Trace(bench, Complaint((HEAD_LAMP,)))
    after = Also(Check(CheckKind.VOLTS, trace.condition, red="F2.out", black="G1.+"), measured(0.0))
    put_in = Check(CheckKind.NEW_FUSE, trace.condition, part="F2")
    changed, plain = trace.copy(), trace.copy()
    for reply in (Also(put_in, seen(Word.HOLDS)), after, Change(0, seen(Word.BLOWS))):
        changed.reply(reply)
    for reply in (Also(put_in, seen(Word.BLOWS)), after):
        plain.reply(reply)
    assert changed.suspects() == plain.suspects()


@pytest.mark.slow
def test_every_circuit_is_looked_at_before_a_trace_gives_up(trace: Trace) -> None:
    """Skipping all that is asked ends only once no check is left that could be made and would tell."""
    for _ in range(300):
        asked = trace.next()
        if isinstance(asked, Finding):
            break
        trace.reply(Skip())
    assert isinstance(trace.next(), Finding)
    assert not [one for one in trace.offered(500) if one.gain_bits >= 0.05 and one.gain_bits / one.minutes >= 0.05]


@pytest.mark.slow
def test_what_can_be_reached_after_all_opens_an_ended_trace(trace: Trace) -> None:
    """After an end for want of a check, a part that can be reached after all is asked again."""
    first = question(trace)
    for _ in range(300):
        asked = trace.next()
        if isinstance(asked, Finding):
            break
        trace.reply(Skip())
    name = first.check.part or first.check.load or first.check.red
    trace.reply(Reached(name.partition(".")[0]))
    assert isinstance(trace.next(), Question)


def test_open_is_no_volts(trace: Trace) -> None:
    """Infinite volts are refused: only ohms can be open."""
    trace.reply(Take(Check(CheckKind.DROP, trace.condition, red="E1.+", black="E1.-")))
    with pytest.raises(AnswerError):
        trace.reply(Read(measured(math.inf)))


@pytest.mark.slow
def test_a_reading_that_was_not_sure_is_asked_again_as_it_was() -> None:
    """At F12 the brake switch changes nothing: no helper is asked for, and after a second time the point is let be."""
    buggy = Bench(read_harness(DEMOS / "trail_buggy.toml"))
    trace = Trace(buggy, Complaint(("E6:stop",)))
    ignition = Condition("ignition")
    for point, volts in (("BB2", 12.4), ("S1.30", 0.0)):
        trace.reply(Also(Check(CheckKind.VOLTS, ignition, red=point, black="G1.-"), measured(volts)))
    first = trace.next()
    assert isinstance(first, Question)
    assert first.check == Check(CheckKind.VOLTS, ignition, red="F12.out", black="G1.-")
    trace.reply(Unsure())
    assert trace.did() == "Not sure: that sets nothing aside."
    again = trace.next()
    assert isinstance(again, Question)
    assert again.check == first.check
    trace.reply(Unsure())
    other = trace.next()
    assert isinstance(other, Question)
    assert (other.check.kind, other.check.points) != (CheckKind.VOLTS, first.check.points)


def zeros(trace: Trace) -> Finding:
    """Answer every reading with zero until the trace ends."""
    for _ in range(30):
        asked = trace.next()
        if isinstance(asked, Finding):
            return asked
        is_read = asked.check.kind in (CheckKind.VOLTS, CheckKind.DROP)
        trace.reply(Read(measured(0.0)) if is_read else Unsure())
    raise AssertionError("the trace has not ended")


@pytest.mark.slow
def test_zeros_alone_say_to_prove_the_leads_first(bench: Bench) -> None:
    """A lead off the meter reads zero anywhere; the posts, read with the same leads or before, prove them."""
    words = "All volts read are about zero, as with a lead off the meter:"
    trace = Trace(bench, Complaint(("E3:load",)))
    found = zeros(trace)
    assert found.group
    assert found.repair.startswith(words)
    trace.reply(Also(Check(CheckKind.VOLTS, trace.condition, red="G1.-", black="G1.+"), measured(-6.3)))
    assert not zeros(trace).repair.startswith(words)
    assert not zeros(Trace(bench, Complaint(("E3:load",), posts_volts=6.3))).repair.startswith(words)
