"""No check whose answer is known beforehand; what a sound circuit shows while a fuse is known to be blown."""

from pathlib import Path

import numpy as np
import pytest

from model.circuit.bench import Bench
from model.harness.toml_file import read_harness
from model.tracing.asking import Question
from model.tracing.checks import Check, CheckKind
from model.tracing.complaint import Complaint, Symptom
from model.tracing.foregone import is_foregone
from model.tracing.trace import Trace

DEMOS = Path(__file__).parents[3] / "demo_builds"
OWNER = np.array([0, 1, 2])
ROWS = np.array([0.6, 0.3, 0.1])


def test_answer_that_every_suspect_foresees_alike_is_foregone() -> None:
    """All three suspects give the first answer 98 times in 100: nobody is set aside by either."""
    assert is_foregone(0.0, ROWS, OWNER, np.array([[0.98] * 3, [0.02] * 3]))


def test_answer_that_sets_a_suspect_aside_is_not_foregone() -> None:
    """The first suspect alone gives the second answer: each answer sets somebody aside."""
    shares = np.array([[0.0, 1.0, 1.0], [1.0, 0.0, 0.0]])
    assert not is_foregone(0.05, ROWS, OWNER, shares)


def test_answer_that_sets_next_to_nobody_aside_is_foregone() -> None:
    """A suspect of 2 in 100 is set aside by the answer that comes 98 times in 100: no news."""
    rows = np.array([0.58, 0.40, 0.02])
    shares = np.array([[1.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    assert is_foregone(0.09, rows, OWNER, shares)


def test_check_that_moves_the_shares_is_not_foregone() -> None:
    """One that tells three tenths of a bit is worth its while, though all suspects stay."""
    assert not is_foregone(0.3, ROWS, OWNER, np.array([[0.7, 0.3, 0.5], [0.3, 0.7, 0.5]]))


@pytest.fixture(scope="module")
def pump() -> Trace:
    """Give the trace of the buggy's fuel pump, whose fuse blows."""
    bench = Bench(read_harness(DEMOS / "trail_buggy.toml"))
    return Trace(bench, Complaint(("M2:load",), Symptom.BLOWS_FUSE, fuse="F23"))


@pytest.mark.slow
def test_blown_fuse_is_traced_by_a_lamp_in_its_place_with_something_apart(pump: Trace) -> None:
    """The first check parts the suspects: no volts behind a fuse that is known to be blown, no look at its load."""
    asked = pump.next()
    assert isinstance(asked, Question)
    assert (asked.check.kind, asked.check.part) == (CheckKind.LAMP, "F23")
    assert len(asked.check.condition.settings) > len(pump.condition.settings) + 1
    assert max(one.likely for one in asked.outlooks) < 0.9


def test_sound_circuit_is_told_with_the_blown_fuse_as_it_stands(pump: Trace) -> None:
    """With F23 blown a sound pump circuit has no volts behind it, and the pump stands still."""
    volts = pump.question_for(Check(CheckKind.VOLTS, pump.condition, red="F23.out", black="G1.-"))
    assert volts.healthy == pytest.approx(0.0, abs=0.01)
    seen = pump.question_for(Check(CheckKind.OBSERVE, pump.condition, load="M2:load"))
    assert seen.healthy_words == "dead"


def test_outcome_behind_a_whole_fuse_is_told_as_ever(pump: Trace) -> None:
    """The other side of the fuse holds the battery's volts: 12.65 V open circuit of a charged lead battery."""
    volts = pump.question_for(Check(CheckKind.VOLTS, pump.condition, red="F23.in", black="G1.-"))
    assert volts.healthy == pytest.approx(12.6, abs=0.15)
