"""Two faults at once: what is foreseen of pairs beside single faults, and which pairs are thought of."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from model.circuit.bench import Bench
from model.circuit.faults import Fault, FaultKind
from model.harness.toml_file import read_harness
from model.tracing.belief import Belief, Evidence
from model.tracing.checks import MEASURED, WORDS_OF, Check, CheckKind, Outcome, measured, seen
from model.tracing.complaint import Complaint
from model.tracing.field import complained_field
from model.tracing.foresee import Foresight, Known
from model.tracing.foresee_joined import JoinedForesight
from model.tracing.hypotheses import pair_of
from model.tracing.inquiry import Inquiry, open_inquiry
from model.tracing.pairing import PAIRS_AT_ONCE, ROUNDS_AT_MOST, with_pairs
from model.tracing.suspects import PAIR_SIGN
from model.tracing.vehicle import Vehicle

DEMOS = Path(__file__).parents[3] / "demo_builds"
LOAD = "E1:load"
BROKEN = Fault("W4", FaultKind.OPEN)
POOR_SWITCH = Fault("S10:1-2", FaultKind.HIGH, added_ohms=5.0)
POOR_WIRE = Fault("W4", FaultKind.HIGH, added_ohms=5.0)
BLOWN_LAMP = Fault(LOAD, FaultKind.OPEN)


def answered(inquiry: Inquiry, *faults: Fault) -> tuple[Evidence, ...]:
    """Answer volts and drops in the complaint's circuit and the next one as a vehicle with some faults would."""
    vehicle = Vehicle(inquiry.harness, faults, (LOAD,), inquiry.condition, slips=0.0)
    checks = [inquiry.checks[place] for circuit in inquiry.circuits[:2] for place in circuit]
    volts = [one for one in checks if one.kind in (CheckKind.VOLTS, CheckKind.DROP)]
    return tuple(Evidence(check, vehicle.answer(check)) for check in volts[:20])


@pytest.fixture(scope="module")
def inquiry() -> Inquiry:
    """Give a lamp of the harbour launch, dead."""
    return open_inquiry(Bench(read_harness(DEMOS / "harbour_launch.toml")), Complaint((LOAD,)))


@pytest.fixture(scope="module")
def answers(inquiry: Inquiry) -> tuple[Evidence, ...]:
    """Answer as with a broken wire, and a poor contact before it."""
    return answered(inquiry, BROKEN, POOR_SWITCH)


@pytest.fixture(scope="module")
def paired(inquiry: Inquiry, answers: tuple[Evidence, ...]) -> Inquiry:
    """Give what is thought of after those answers."""
    return with_pairs(inquiry, answers, frozenset(), counted=len(answers))


@pytest.mark.slow
@pytest.mark.parametrize(
    "faults",
    [
        (BROKEN, POOR_SWITCH),
        (BLOWN_LAMP, POOR_WIRE),
        (Fault("W5", FaultKind.HIGH, added_ohms=5.0), POOR_SWITCH),
    ],
)
def test_two_faults_are_found_where_no_single_one_fits(inquiry: Inquiry, faults: tuple[Fault, Fault]) -> None:
    """Before, the answers fit nothing; with pairs they are explained, and the true pair leads all others."""
    given = answered(inquiry, *faults)
    assert Belief(inquiry.foresight, given, {}).fits_badly()
    found = with_pairs(inquiry, given, frozenset(), counted=len(given))
    belief = Belief(found.foresight, given, {})
    assert not belief.fits_badly()
    best = belief.field.hypotheses[int(np.argmax(belief.hypotheses()))]
    assert best.is_pair
    assert set(best.site.split(PAIR_SIGN)) == {fault.site for fault in faults}


@pytest.mark.slow
def test_single_faults_stay_beside_pairs(inquiry: Inquiry, paired: Inquiry) -> None:
    """No row is dropped: those of single faults stand as before, against each other as before."""
    first = inquiry.field
    kept = paired.field.weights[: first.solved]
    assert paired.field.variants[: first.solved] == first.variants
    assert kept / kept.sum() == pytest.approx(first.weights[: first.solved] / first.weights[: first.solved].sum())
    assert paired.field.weights.sum() == pytest.approx(1.0)


@pytest.mark.slow
def test_as_many_pairs_are_solved_as_one_question_bears(paired: Inquiry, answers: tuple[Evidence, ...]) -> None:
    """For one question no more than two rounds are solved, and the next time other pairs than those."""
    assert len(paired.tried) <= ROUNDS_AT_MOST * PAIRS_AT_ONCE
    again = with_pairs(paired, answers, frozenset(), counted=len(answers))
    assert 0 < len(again.tried - paired.tried) <= ROUNDS_AT_MOST * PAIRS_AT_ONCE
    assert paired.tried < again.tried


@pytest.mark.slow
def test_the_same_answers_give_the_same_pairs(inquiry: Inquiry, paired: Inquiry, answers: tuple[Evidence, ...]) -> None:
    """Nothing of it is left to chance."""
    again = with_pairs(inquiry, answers, frozenset(), counted=len(answers))
    assert [one.name for one in again.hypotheses] == [one.name for one in paired.hypotheses]
    assert np.array_equal(again.field.weights, paired.field.weights)


@pytest.mark.slow
def test_pairs_are_foreseen_as_if_all_had_been_solved_together(inquiry: Inquiry) -> None:
    """Of every kind of check the joined foresight gives what one bench of all rows gives, unsolved rows left aside."""
    singles = [one for one in inquiry.field.hypotheses if one.ways][:12]
    made = [pair_of(one, other) for one, other in zip(singles, singles[3:], strict=False) if one.site != other.site]
    more = complained_field(inquiry.bench, inquiry.complaint, inquiry.condition, made, inquiry.field.points)
    field = inquiry.field.joined(more)
    joined = JoinedForesight(inquiry.foresight, Foresight(inquiry.bench, inquiry.complaint, more), field)
    together = Foresight(inquiry.bench, inquiry.complaint, field)
    known, solved = Known({}), field.solved
    assert solved == inquiry.field.solved + more.solved > inquiry.field.solved
    for kind in CheckKind:
        for check in [one for one in inquiry.checks if one.kind is kind][:2]:
            shares = joined.shares(check, known)
            assert shares[:, :solved] == pytest.approx(together.shares(check, known)[:, :solved], abs=1e-4)
            assert shares.sum(axis=0) == pytest.approx(1.0)
            outcome = _some_outcome(check)
            likely, wanted = (one.likelihood(check, outcome, known) for one in (joined, together))
            assert likely[:solved] == pytest.approx(wanted[:solved], rel=1e-3, abs=1e-6)


def _some_outcome(check: Check) -> Outcome:
    return measured(3.0) if check.kind in MEASURED else seen(WORDS_OF[check.kind][0])
