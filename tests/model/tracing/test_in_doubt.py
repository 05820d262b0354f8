"""Numbers that who read them does not trust: taken in, never decisive, and read again where they would decide."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from model.circuit.bench import Bench
from model.circuit.condition import Condition
from model.circuit.faults import parse_fault
from model.tracing.asking import Also, Finding, Question, Read
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import MEASURED, Check, CheckKind, Outcome, measured
from model.tracing.complaint import Complaint
from model.tracing.finding import Stopped
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.likelihood import DOUBT_SHARE, doubted_likelihood
from model.tracing.marks import Mark
from model.tracing.trace import Trace
from model.tracing.vehicle import Vehicle
from tests.model.tracing.rigs import demo

STOP, DIP = "E6:stop", "E1:dip"


@pytest.fixture(scope="module")
def buggy() -> Bench:
    """Put the trail buggy on a bench."""
    return Bench(demo("trail_buggy"))


@pytest.fixture(scope="module")
def inquiry(buggy: Bench) -> Inquiry:
    """Ask what its right stop lamp, dead, may be due to."""
    return open_inquiry(buggy, Complaint((STOP,)))


def doubted(volts: float) -> Outcome:
    """Give volts that who read them does not trust."""
    return replace(measured(volts), in_doubt=True)


def at(inquiry: Inquiry, point: str) -> Check:
    """Give the check of volts at a point against the battery's negative post."""
    return Check(CheckKind.VOLTS, inquiry.condition, red=point, black="G1.-")


def belief_of(inquiry: Inquiry, *answers: tuple[Check, Outcome]) -> Belief:
    """Give what answers leave."""
    return Belief(inquiry.foresight, [Evidence(*one) for one in answers], {})


def answer(trace: Trace, vehicle: Vehicle, *, sure: bool) -> Check:
    """Answer what is asked as the vehicle does, numbers in doubt or not, and give the check."""
    asked = trace.next()
    assert isinstance(asked, Question)
    outcome = vehicle.answer(asked.check)
    trace.reply(Read(replace(outcome, in_doubt=not sure and asked.check.kind in MEASURED)))
    return asked.check


def vehicle_with(trace: Trace, fault: str) -> Vehicle:
    """Give a vehicle with a fault hidden in it, whose driver never slips."""
    faults = [parse_fault(trace.harness, fault)]
    return Vehicle(trace.harness, faults, trace.complaint.loads, trace.condition, seed=1, slips=0.0)


def test_a_doubted_likelihood_by_hand() -> None:
    """Of 0.7 as read and 0.3 anything: 4.0 and 0.02 become 0.7 * 4 + 0.3 * 4 = 4.0 and 0.014 + 1.2 = 1.214.

    Where no suspect foresees the reading better than anything does, 0.075, it says nothing: 0.7 * 0.002 + 0.3 * 0.075.
    """
    assert doubted_likelihood(np.array([4.0, 0.02]), 0.075) == pytest.approx([4.0, 1.214])
    assert doubted_likelihood(np.array([0.002, 0.002]), 0.075) == pytest.approx([0.0239, 0.0239])


@pytest.mark.parametrize("volts", [0.0, 6.1, 12.4])
def test_no_two_suspects_are_moved_apart_by_more_than_the_share(inquiry: Inquiry, volts: float) -> None:
    """Read surely 12.4 V sets dozens aside; in doubt the odds of any two change by 1 / 0.3 at most."""
    before = belief_of(inquiry).rows
    after = belief_of(inquiry, (at(inquiry, "BB4"), doubted(volts))).rows
    factors = after / before
    assert factors.max() / factors.min() <= 1.0 / DOUBT_SHARE + 1e-9
    assert factors.max() / factors.min() > 1.5 or volts == 6.1


@pytest.mark.slow
@pytest.mark.parametrize("volts", [0.0, 12.4])
def test_one_number_in_doubt_clears_nothing(buggy: Bench, volts: float) -> None:
    """The same number read surely sets parts of the walk aside; its sentence says that it decides nothing."""
    marked: dict[bool, list[Mark]] = {}
    for in_doubt in (False, True):
        trace = Trace(buggy, Complaint((STOP,)))
        check = Check(CheckKind.VOLTS, trace.condition, red="BB4", black="G1.-")
        trace.reply(Also(check, replace(measured(volts), in_doubt=in_doubt)))
        marked[in_doubt] = [mark for mark in trace.marks().values() if mark is Mark.SET_ASIDE]
        assert trace.did().endswith("in doubt: by itself it decides nothing.") is in_doubt
    assert marked[False]
    assert not marked[True]


def test_what_is_in_doubt_surprises_nobody_and_need_not_be_explained(inquiry: Inquiry) -> None:
    """30 V at two points fits no fault: read surely that is odd, in doubt it is not."""
    checks = [at(inquiry, point) for point in ("BB4", "BB2", "K1.86")]
    for in_doubt in (False, True):
        belief = belief_of(inquiry, *((check, replace(measured(30.0), in_doubt=in_doubt)) for check in checks))
        assert belief.fits_badly() is not in_doubt
        assert belief.is_surprising(0) is not in_doubt
        assert belief.doubtful() == () or not in_doubt


def test_read_again_it_counts_no_more(inquiry: Inquiry) -> None:
    """0 V in doubt, then 12.4 V for sure at the same point: all is as if the first had not been read."""
    check = at(inquiry, "BB4")
    again = belief_of(inquiry, (check, doubted(0.0)), (check, measured(12.4)))
    once = belief_of(inquiry, (check, measured(12.4)))
    assert again.rows == pytest.approx(once.rows)


def test_posts_in_doubt_are_not_what_all_else_is_a_share_of(inquiry: Inquiry) -> None:
    """11.2 V read for sure stands for the supply in that key state; in doubt it does not."""
    posts = Check(CheckKind.VOLTS, inquiry.condition, red="G1.+", black="G1.-")
    assert belief_of(inquiry, (posts, measured(11.2))).known.posts_volts == {inquiry.condition.key: 11.2}
    assert belief_of(inquiry, (posts, doubted(11.2))).known.posts_volts == {}


@pytest.mark.slow
def test_a_flat_battery_in_doubt_is_read_again_before_it_is_charged(buggy: Bench) -> None:
    """Under 12.0 V at rest all else misleads: in doubt it is asked again first, and read again it counts."""
    trace = Trace(buggy, Complaint((STOP,)))
    posts = Check(CheckKind.VOLTS, Condition("off"), red="G1.+", black="G1.-")
    trace.reply(Also(posts, doubted(11.2)))
    asked = trace.next()
    assert isinstance(asked, Question)
    assert asked.check == posts
    assert asked.why == "Again: were the battery so low, it would have to be charged before all else."
    trace.reply(Read(measured(11.2)))
    ended = trace.next()
    assert isinstance(ended, Finding)
    assert ended.stopped == Stopped.CHARGE_FIRST


@pytest.mark.slow
def test_what_would_decide_in_doubt_is_asked_again(buggy: Bench) -> None:
    """The second of two readings that find a ground point off is in doubt: it is read again before the trace ends."""
    trace = Trace(buggy, Complaint((DIP,)))
    vehicle = vehicle_with(trace, "GND1=open")
    answer(trace, vehicle, sure=True)
    check = answer(trace, vehicle, sure=False)
    assert check.kind is CheckKind.DROP
    reasons = {}
    while isinstance(ended := trace.next(), Question):
        reasons[answer(trace, vehicle, sure=True)] = ended.why
    assert reasons[check] == "Again: 0.27 V, in doubt, would decide what is wrong."
    assert list(reasons)[-1] == check
    assert ended.group[0].part == "GND1"
    assert "numbers in doubt" not in ended.repair


@pytest.mark.slow
def test_what_ends_it_without_the_number_in_doubt_is_not_asked_again(buggy: Bench) -> None:
    """Read surely all the same is found: nobody is sent back to the number that was in doubt."""
    trace = Trace(buggy, Complaint((STOP,)))
    vehicle = vehicle_with(trace, "W6=open")
    made = [answer(trace, vehicle, sure=False)]
    while isinstance(ended := trace.next(), Question):
        made.append(answer(trace, vehicle, sure=True))
    assert len(set(made)) == len(made)
    assert ended.group[0].part == "W6"


@pytest.mark.slow
def test_who_is_never_sure_is_told_what_the_finding_rests_on(buggy: Bench) -> None:
    """With every number in doubt two are asked again; then the trace goes on and its finding says what it rests on."""
    trace = Trace(buggy, Complaint((STOP,)))
    vehicle = vehicle_with(trace, "W6=open")
    reasons = []
    while isinstance(asked := trace.next(), Question):
        reasons.append(asked.why)
        answer(trace, vehicle, sure=False)
    assert sum(why.startswith("Again:") for why in reasons) == 2
    assert asked.group[0].part == "W6"
    assert asked.repair.startswith("This rests on numbers in doubt: read them again before anything is cut or bought.")
